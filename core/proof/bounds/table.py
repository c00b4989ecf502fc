"""Bounds of a gain table and of an azimuth cut: what lies between nodes, and the corners at nodes.

Between nodes the gain is bilinear in decibels, l(φ, θ), so the amplitude 10^(l/20) has along a direction a
second derivative of at least

    -10^(l/20) c (|l_φ| |φ''| + |l_θ| |θ''| + 2 |l_φθ| |φ'θ'|),   c = ln 10/20,

the square of its first derivative only adding to it. At a node the slope may fall by κ: over a patch
such corners lift the amplitude above its chord by at most κ φ' a/2 each. Largest slopes and falls over the
range of angles are found as core.patterns finds the largest gain.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.arrays import Floats
from core.caches import kept
from core.patterns.model import Pattern
from core.proof.bounds.base import Patches
from core.proof.bounds.jet import Jet

_C = np.log(10.0) / 20.0


@dataclass(frozen=True, slots=True)
class Angles:
    """Ranges of azimuth (clockwise) and elevation on patches (n,), degrees, and least distances, m."""

    left: Floats
    right: Floats
    down: Floats
    up: Floats
    axis: Floats
    away: Floats


@dataclass(frozen=True, eq=False)
class _Slopes:
    """Tables over the nodes of a pattern, disguised as gains so that its range search serves them."""

    across: Pattern
    upward: Pattern
    twist: Pattern
    fall_across: Pattern
    fall_upward: Pattern
    nodes_across: Floats
    nodes_upward: Floats


@kept
def _slopes(pattern: Pattern) -> _Slopes:
    """Return slopes per rad, in decibels, and the falls of slope at nodes."""
    a = np.radians(np.append(pattern.azimuth, 180.0))
    e = np.radians(pattern.elevation)
    table = np.hstack([pattern.table, pattern.table[:, :1]])
    across = np.diff(table, axis=1) / np.diff(a)
    upward = np.diff(pattern.table, axis=0) / np.diff(e)[:, None]
    around = np.hstack([upward, upward[:, :1]])
    twist = np.abs(np.diff(around, axis=1) / np.diff(a))
    left = np.roll(across, 1, axis=1)
    fall_across = np.maximum(left - across, 0.0)
    fall_upward = np.zeros_like(pattern.table)
    fall_upward[1:-1] = np.maximum(upward[:-1] - upward[1:], 0.0)
    rows = np.vstack([np.abs(upward), np.zeros((1, upward.shape[1]))])
    twists = np.vstack([twist, np.zeros((1, twist.shape[1]))])

    def tabled(values: Floats) -> Pattern:
        return Pattern(pattern.azimuth, pattern.elevation, values)

    return _Slopes(
        tabled(np.maximum(np.abs(across), np.abs(left))),
        tabled(np.maximum(rows, np.roll(rows, 1, axis=0))),
        tabled(_spread(twists)),
        tabled(fall_across),
        tabled(fall_upward),
        _around(pattern.azimuth),
        np.asarray(pattern.elevation, dtype=np.float64),
    )


def _around(azimuth: Floats) -> Floats:
    """Return azimuth nodes over three turns, because ranges may reach past ±180°."""
    nodes: Floats = np.concatenate([azimuth - 360.0, azimuth, azimuth + 360.0])
    return nodes


def _within(nodes: Floats, low: Floats, high: Floats) -> Floats:
    """Return how many nodes lie in ranges (n,) or come as near as rounding."""
    first = np.searchsorted(nodes, low - 1e-9, side="left")
    last = np.searchsorted(nodes, high + 1e-9, side="right")
    count: Floats = (last - first).astype(np.float64)
    return count


def _spread(values: Floats) -> Floats:
    """Return for each node the largest of the four cells around it; cell (i, j) is right and above."""
    wide = np.maximum(values, np.roll(values, 1, axis=1))
    return np.maximum(wide, np.roll(wide, 1, axis=0))


def _most(table: Pattern, at: Angles) -> Floats:
    # As gains, slopes of thousands of decibels would be more than a number can hold.
    top: Floats = table.level_max_over(at.left, at.right, at.down, at.up)
    return np.maximum(top, 0.0)


def gain_jet(pattern: Pattern, at: Angles, patches: Patches) -> Jet:
    """Return the jet of √gain over patches, the corners at nodes as its jump.

    Parameters
    ----------
    pattern : Pattern
        The 3-D pattern.
    """
    nd = patches.dimension
    s = _slopes(pattern)
    top = np.sqrt(pattern.gain_max_over(at.left, at.right, at.down, at.up))
    across, upward, twist = (_most(t, at) for t in (s.across, s.upward, s.twist))
    phi, theta = 1.0 / at.axis, 1.0 / at.away
    first = _C * np.hypot(across * phi, upward * theta)
    second = across * phi**2 + upward * 2.0 * theta * np.maximum(phi, theta) + twist * phi * theta
    corners = _falls(s, at, phi, theta)
    lift = 0.5 * nd * patches.half * _C * corners
    return Jet(top, top * first, top * nd * _C * second, top * lift)


def _falls(s: _Slopes, at: Angles, phi: Floats, theta: Floats) -> Floats:
    across = _within(s.nodes_across, at.left, at.right)
    upward = _within(s.nodes_upward, at.down, at.up)
    total: Floats = (
        _most(s.fall_across, at) * across * phi + _most(s.fall_upward, at) * upward * theta
    )
    return total


@dataclass(frozen=True, eq=False)
class Section:
    """An azimuth cut that is linear in field between nodes: its largest values, slopes and falls."""

    field: Pattern
    slope: Pattern
    fall: Pattern
    nodes: Floats


def azimuth_cut(azimuth: Floats, field: Floats) -> Section:
    """Return the cut of relative fields (na,) at nodes from -180 up.

    Parameters
    ----------
    azimuth : array
        Degrees clockwise.
    """
    a = np.radians(np.append(azimuth, 180.0))
    slope = np.diff(np.append(field, field[0])) / np.diff(a)
    left = np.roll(slope, 1)

    def tabled(values: Floats) -> Pattern:
        return Pattern(azimuth, np.array([-90.0, 90.0]), np.vstack([values, values]))

    return Section(
        tabled(field),
        tabled(np.maximum(np.abs(slope), np.abs(left))),
        tabled(np.maximum(left - slope, 0.0)),
        _around(azimuth),
    )


def cut_jet(cut: Section, at: Angles, patches: Patches) -> Jet:
    """Return the jet of an azimuth cut over patches, the corners at nodes as its jump."""
    nd = patches.dimension
    phi = 1.0 / at.axis
    slope = _most(cut.slope, at)
    count = _within(cut.nodes, at.left, at.right)
    lift = 0.5 * nd * patches.half * _most(cut.fall, at) * count * phi
    return Jet(_most(cut.field, at) + 1e-9, slope * phi, nd * slope * phi**2, lift)
