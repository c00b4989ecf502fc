"""Bounds of a smooth function on a patch up to its second derivative, and their algebra.

For a (scalar or vector) function f and the patch's directions d_j a jet holds

    m0 ≥ sup |f|,   m1 ≥ sup (Σ_j |∂f/∂d_j|²)^½,   m2 ≥ sup Σ_j |∂²f/∂d_j²|.

Product and chain rule with the inequality of Cauchy and Schwarz give the jets of products and of
functions of functions. ``jump`` bounds how far the function may step away from such a smooth one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Floats


@dataclass(frozen=True, slots=True)
class Jet:
    """Bounds m0, m1, m2 and jump (arrays that broadcast together); see the module's text."""

    m0: Floats
    m1: Floats
    m2: Floats
    jump: Floats | float = 0.0

    def __mul__(self, other: Jet) -> Jet:
        return Jet(
            self.m0 * other.m0,
            self.m0 * other.m1 + self.m1 * other.m0,
            self.m0 * other.m2 + 2.0 * self.m1 * other.m1 + self.m2 * other.m0,
            self.m0 * other.jump + self.jump * (other.m0 + other.jump),
        )

    def __add__(self, other: Jet) -> Jet:
        return Jet(
            self.m0 + other.m0,
            self.m1 + other.m1,
            self.m2 + other.m2,
            self.jump + other.jump,
        )

    def scaled(self, factor: Floats | float) -> Jet:
        """Return the jet of a constant multiple, ``factor`` ≥ 0."""
        return Jet(self.m0 * factor, self.m1 * factor, self.m2 * factor, self.jump * factor)

    def total(self) -> Jet:
        """Return the jet of the sum over the last axis; only of functions that do not jump."""
        return Jet(self.m0.sum(axis=-1), self.m1.sum(axis=-1), self.m2.sum(axis=-1))

    def root_total(self) -> Jet:
        """Return the jet of the vector that stacks the functions along the last axis, without jumps."""
        return Jet(*(np.sqrt(np.sum(m * m, axis=-1)) for m in (self.m0, self.m1, self.m2)))


def stacked(jets: Sequence[Jet]) -> Jet:
    """Return the jet of the vector that stacks functions (n,)."""
    m0, m1, m2, jump = (
        np.sqrt(sum(np.square(getattr(j, name)) for j in jets)) for name in Jet.__slots__
    )
    return Jet(m0, m1, m2, jump)


def larger(one: Jet, other: Jet) -> Jet:
    """Return the jet of the larger of two amplitudes.

    Parameters
    ----------
    one : Jet
        The one.
    other : Jet
        The other.
    """
    return Jet(*(np.maximum(getattr(one, m), getattr(other, m)) for m in Jet.__slots__))


def placed(n: int, rows: NDArray[np.intp], jet: Jet) -> Jet:
    """Return a jet on n patches that is ``jet`` on some of them and zero on the others.

    Parameters
    ----------
    rows : array
        Which of the rows.
    """

    def spread(values: Floats | float) -> Floats:
        out = np.zeros(n)
        out[rows] = values
        return out

    return Jet(spread(jet.m0), spread(jet.m1), spread(jet.m2), spread(jet.jump))


def compose(d0: Floats | float, d1: Floats | float, d2: Floats | float, inner: Jet) -> Jet:
    """Return the jet of φ(f) from bounds on |φ|, |φ'|, |φ''| over the values of f.

    Parameters
    ----------
    d0 : Floats | float
        Bound of the value.
    d1 : Floats | float
        Bound of the slope.
    d2 : Floats | float
        Bound of the bend.
    inner : Jet
        Jet of the inner function.
    """
    return Jet(
        np.broadcast_to(np.asarray(d0, dtype=np.float64), inner.m1.shape),
        d1 * inner.m1,
        d2 * inner.m1**2 + d1 * inner.m2,
    )


def wave(rate: Floats, bend: Floats) -> Jet:
    """Return the jet of e^{jψ} from bounds on (Σ|ψ_j'|²)^½ and Σ|ψ_jj''|.

    Parameters
    ----------
    rate : array
        Bound of the phase's rate, rad/m.
    bend : array
        Bound of the phase's bend, rad/m².
    """
    return Jet(np.ones_like(rate), rate, rate * rate + bend)
