"""Bays that are fed with like voltages: through their fields in each other their currents are not alike.

What feeds a stack is seldom known. Equal currents are one end of it; bays on branches of half wavelengths get equal
voltages, and then the currents follow from the impedances (induced-EMF method: Balanis, Antenna Theory, sections 8.5
and 8.6, from memory). A bay's own resistance is that of the power it radiates alone; its own reactance depends on
thickness and matching, which nobody says, so it stays open.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.antennas.bay_shapes import Bay
from core.arrays import Floats
from core.fields.arms import make_arms, radiated_power
from core.fields.one_arm import near_arm

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(12)


def fed_alike(
    bay: Bay, heights: Floats, weights: NDArray[np.complex128], k: float, reactance: float
) -> NDArray[np.complex128]:
    """Return the loop currents (bays, arms) of equal bays, one above another, whose feeds get like voltages.

    Parameters
    ----------
    bay : Bay
        One bay; ``bay.port`` says which of its arms hang on one feed.
    heights : array, shape (n,)
        Heights of the bays, evenly spaced, m.
    weights : complex array, shape (n,)
        What the voltages are multiplied by: tilt and null fill.
    k : float
        Wave number, rad/m.
    reactance : float
        Of one feed by itself, in parts of its resistance.
    """
    count, ports = len(heights), int(bay.port.max()) + 1
    lead = np.array([bay.current[bay.port == p][0] for p in range(ports)])
    phase = lead / np.abs(lead)
    flow = bay.current / phase[bay.port]
    own = _resistance(bay, flow, ports, k).astype(np.complex128)
    own += 1j * reactance * np.mean(np.diag(own)) * np.eye(ports)
    z = np.zeros((count, ports, count, ports), np.complex128)
    for i in range(count):
        z[i, :, i] = own
    for apart in range(1, count):
        up = _mutual(bay, flow, ports, heights[apart] - heights[0], k)
        for i in range(count - apart):
            z[i + apart, :, i] = up
            z[i, :, i + apart] = up.T
    volts = np.outer(weights, phase).ravel()
    loops = np.linalg.solve(z.reshape(count * ports, -1), volts).reshape(count, ports)
    currents: NDArray[np.complex128] = loops[:, bay.port] * flow
    return currents


def _resistance(bay: Bay, flow: NDArray[np.complex128], ports: int, k: float) -> Floats:
    """Return the resistances (ports, ports) of one bay from the power that its feeds radiate, alone and by twos."""

    def power(on: Floats) -> float:
        return radiated_power(
            make_arms(bay.centre, bay.axis, bay.half_length, flow * on[bay.port], k)
        )

    each = np.eye(ports)
    r = np.diag([power(one) for one in each])
    for p in range(ports):
        for q in range(p):
            r[p, q] = r[q, p] = (power(each[p] + each[q]) - r[p, p] - r[q, q]) / 2.0
    return r


def _mutual(
    bay: Bay, flow: NDArray[np.complex128], ports: int, up: float, k: float
) -> NDArray[np.complex128]:
    """Return the impedances (ports, ports) between a bay and one ``up`` m over it: -∫ E·I along its arms."""
    along = bay.half_length[:, None] * _NODES
    places = bay.centre[:, None] + along[:, :, None] * bay.axis[:, None] + np.array([0.0, 0.0, up])
    moment = flow[:, None] * np.sin(k * (bay.half_length[:, None] - np.abs(along)))
    moment = moment * bay.half_length[:, None] * _WEIGHTS
    onto = (bay.port == np.arange(ports)[:, None]).astype(np.float64)
    z = np.zeros((ports, ports), np.complex128)
    flat = places.reshape(-1, 3)
    for a, port in enumerate(bay.port):
        e, _ = near_arm(flat - bay.centre[a], bay.axis[a], bay.half_length[a], flow[a], k)
        met = np.einsum("ijk,ik->ij", e.reshape(places.shape), bay.axis)
        z[:, port] -= onto @ (met * moment).sum(axis=1)
    return z
