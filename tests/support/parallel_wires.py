"""Exact enough fields of parallel thin wires, to hold models against: a small method of moments.

Galerkin with piecewise sinusoids, whose fields are closed forms (three spherical waves a basis function; Jordan and
Balmain, Electromagnetic Waves and Radiating Systems, ch. 14, from memory). Wires run along z, delta-gap feeds
in their middles; lengths in metres, rms values, time factor exp(+jωt).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.units import ETA0

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Wire:
    """A wire from ``z - length/2`` to ``z + length/2`` at (x, y), fed by ``volts`` in its middle."""

    x: float
    y: float
    z: float
    length: float
    radius: float
    volts: complex = 0.0


class Wires:
    """Solved wires that radiate 1 W."""

    def __init__(self, wires: list[Wire], lam: float, functions: int = 11) -> None:
        self._k = 2.0 * np.pi / lam
        size = [w.length / (functions + 1) for w in wires]
        self._half = np.repeat(size, functions)
        step = np.arange(1, functions + 1)
        self._at = np.array(
            [
                (w.x, w.y, w.z - w.length / 2.0 + d * m)
                for w, d in zip(wires, size, strict=True)
                for m in step
            ]
        )
        radius = np.repeat([w.radius for w in wires], functions)
        volts = np.zeros(len(self._at), complex)
        volts[functions // 2 :: functions] = [w.volts for w in wires]
        current = np.linalg.solve(self._impedance(radius), volts)
        power = float(np.real(np.sum(volts * current.conj())))
        self.current = current / np.sqrt(power)

    def _impedance(self, radius: Floats) -> NDArray[np.complex128]:
        k, half = self._k, self._half
        gap = self._at[:, None, :2] - self._at[None, :, :2]
        across = np.hypot(gap[..., 0], gap[..., 1])
        across = np.where(across < 1e-9, radius[:, None], across)
        nodes, weights = np.polynomial.legendre.leggauss(12)
        total = np.zeros((len(half), len(half)), complex)
        for u, w in zip(
            np.concatenate([(nodes - 1) / 2, (nodes + 1) / 2]), np.tile(weights / 2, 2), strict=True
        ):
            up = (self._at[:, 2] + u * half)[:, None] - self._at[None, :, 2]
            shape = half * np.sin(k * half * (1.0 - abs(u))) / np.sin(k * half)
            total -= w * shape[:, None] * _sinusoid(k, across, up, half[None])[0]
        return total

    def density(self, points: Floats) -> Floats:
        """Return the larger of E²/η and ηH² (n,), W/m²."""
        e2, h2 = self.squares(points)
        larger: Floats = np.maximum(e2 / ETA0, h2 * ETA0)
        return larger

    def squares(self, points: Floats) -> tuple[Floats, Floats]:
        """Return E² and H² (n,), rms."""
        e = np.zeros((len(points), 3), complex)
        h = np.zeros((len(points), 3), complex)
        for at, half, current in zip(self._at, self._half, self.current, strict=True):
            x, y = points[:, 0] - at[0], points[:, 1] - at[1]
            rho = np.maximum(np.hypot(x, y), 1e-6)
            ez, er, hf = _sinusoid(self._k, rho, points[:, 2] - at[2], half)
            e += current * np.stack([er * x / rho, er * y / rho, ez], axis=1)
            h += current * np.stack([-hf * y / rho, hf * x / rho, 0.0 * hf], axis=1)
        e2, h2 = (np.sum(np.abs(v) ** 2, axis=1) for v in (e, h))
        return e2, h2

    def gain(self, way: Floats) -> Floats:
        """Return the gain (a ratio) in directions (n, 3)."""
        far = 1e4 * 2.0 * np.pi / self._k
        found: Floats = self.density(far * way) * 4.0 * np.pi * far**2
        return found


def yagi(
    lengths: list[float],
    places: list[float],
    lam: float,
    radius: float = 0.0015,
    functions: int = 9,
) -> Wires:
    """Return a Yagi along x about its middle, its second element fed; sizes in wavelengths."""
    middle = (places[0] + places[-1]) / 2.0
    wires = [
        Wire((x - middle) * lam, 0.0, 0.0, length * lam, radius * lam, 1.0 if i == 1 else 0.0)
        for i, (x, length) in enumerate(zip(places, lengths, strict=True))
    ]
    return Wires(wires, lam, functions)


def _sinusoid(
    k: float, rho: Floats, dz: Floats, half: Floats | float
) -> tuple[NDArray[np.complex128], ...]:
    """Return Ez, Eρ and Hφ of a unit current sin k(half - |z|) / sin k half."""
    r0, r1, r2 = (np.sqrt(rho**2 + (dz + s * half) ** 2) for s in (0.0, -1.0, 1.0))
    c, s = np.cos(k * half), np.sin(k * half)
    w0, w1, w2 = (np.exp(-1j * k * r) for r in (r0, r1, r2))
    f = 1j * ETA0 / (4.0 * np.pi * s)
    ez = -f * (w1 / r1 + w2 / r2 - 2.0 * c * w0 / r0)
    er = f / rho * ((dz - half) * w1 / r1 + (dz + half) * w2 / r2 - 2.0 * dz * c * w0 / r0)
    hf = 1j / (4.0 * np.pi * rho * s) * (w1 + w2 - 2.0 * c * w0)
    return ez, er, hf
