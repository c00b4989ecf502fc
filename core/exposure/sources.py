"""The carriers of a site with the power that counts, and their fields at points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core import geometry
from core.antennas.open_tilt import as_unsaid
from core.arrays import Bools, Codes, Floats, Points
from core.errors import InputError
from core.exposure.power import Radiated, radiated
from core.fields.unit_field import UnitField, plane_wave
from core.limits.low_power import absorbed
from core.limits.model import LimitSet
from core.limits.tier import Tier
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Site
from core.site.surroundings import Surroundings, surroundings, words
from core.views.body import Body, resolved

_OWN_GROUND = Reflection(ReflectionKind.NONE)
_OWN_WORDS = "the ground is part of this antenna's model; no reflection is counted on top"
_FULL_WORDS = "full reflection is part of this antenna's model; no surface is counted on top"


@dataclass(frozen=True, slots=True)
class Source:
    """One carrier on one antenna, with the power that counts."""

    antenna: Antenna
    carrier: Carrier
    radiated: Radiated
    power: float
    reflection: Reflection
    conservative: bool
    grid_north: float
    around: Surroundings

    @property
    def name(self) -> str:
        """Antenna and carrier, as the lists show them."""
        return f"{self.antenna.name}: {self.carrier.name}"

    def absorbed(self, limit_set: str, tier: Tier) -> float | None:
        """Return the fraction that stands for it in its reactive region; None where there is none under the limit.

        Counted at full power: what turns it down may not be there next time.

        Parameters
        ----------
        limit_set : str
            Key of the set.
        tier : {"public", "occupational"}
            Whose limit.
        """
        if self.radiated.fed is None:
            return None
        fractions = [
            absorbed(limit_set, t, self.radiated.fed, self.carrier.frequency)
            for t in ("public", tier)
        ]
        return fractions[1] if all(f is not None and f <= 1.0 for f in fractions) else None

    def is_blocked(self, limit_set: str) -> bool:
        """Return whether there is no figure in its reactive region."""
        return self.absorbed(limit_set, "public") is None

    @property
    def key(self) -> tuple[object, ...]:
        """What the unit field depends on; power, state and limits are not in it."""
        a = self.antenna
        return (
            a.kind,
            a.position,
            a.azimuth - self.grid_north,
            a.tilt,
            a.roll,
            self.carrier.frequency,
            self.conservative,
            self.around,
        )

    @property
    def reflection_words(self) -> str:
        """What the reading says of reflection."""
        if self.antenna.kind.has_own_ground:
            return _OWN_WORDS
        if self.antenna.kind.has_own_reflection and self.reflection.kind is ReflectionKind.SURFACES:
            return _FULL_WORDS
        return words(self.around, self.reflection)

    @property
    def frame(self) -> NDArray[np.float64]:
        """The antenna's axes (3, 3) in the site frame; azimuths are from true north."""
        return self.antenna.frame(self.grid_north)

    def unit_field(self, points: Points) -> UnitField:
        """Return the field for 1 W radiated at site points (n, 3), without a reflection factor.

        What stands about the antenna is in it: for every mirror the field at the mirrored place times its coefficient,
        added in amplitude as if in phase, so that no lobe is missed; then what steel adds.
        """
        return self._sound(self._whole_field(points), points)

    def _sound(self, field: UnitField, points: Points) -> UnitField:
        """Return the field if every figure of it is a number; nothing else leaves this module."""
        for square in (field.e2, field.h2):
            good = (square >= 0.0) & (square < np.inf)
            if not good.all():
                x, y, z = (float(v) for v in points[int(np.argmin(good))])
                raise InputError(
                    f"its field at {x:g}, {y:g}, {z:g} m cannot be computed",
                    field=f'antenna "{self.antenna.name}"',
                    fix="Check its lengths and frequencies and their units",
                )
        return field

    def _whole_field(self, points: Points) -> UnitField:
        direct = self.free_field(points)
        around = self.around
        if around.none:
            return direct
        at, frequency = self.antenna.position, self.carrier.frequency
        e, h = np.sqrt(direct.e2), np.sqrt(direct.h2)
        for image in around.images:
            size = image.coefficient(points, at, frequency)
            sent = size > 0.0
            if sent.any():
                there = image.mirrored(points[sent])
                ray = self.free_field(there)
                ray = around.spread.under(ray, self._local(there), around.image_fill(image))
                e[sent] += size[sent] * np.sqrt(ray.e2)
                h[sent] += size[sent] * np.sqrt(ray.h2)
        if around.sends_more:
            e2, h2 = plane_wave(around.glow(points, at, self.frame, frequency) ** 2)
            e, h = e + np.sqrt(e2), h + np.sqrt(h2)
        total = UnitField(e**2, h**2, direct.reactive, direct.model)
        steel = around.steel
        if steel is None:
            return total
        total = around.spread.under(total, self._local(points), steel.fill)
        rise = steel.rise(steel.distance(points)).astype(points.dtype)
        return UnitField(total.e2 * rise, total.h2 * rise, total.reactive, total.model)

    def free_field(self, points: Points) -> UnitField:
        """Return the field for 1 W at site points (n, 3) as if nothing stood about the antenna."""
        kind, frequency = self.antenna.kind, self.carrier.frequency
        return kind.unit_field(self._local(points), frequency, conservative=self.conservative)

    def _local(self, points: Points) -> Floats:
        return geometry.to_local(points, np.array(self.antenna.position), self.frame)


def sources(site: Site) -> tuple[Source, ...]:
    """Return every carrier of a site with its power.

    Raises
    ------
    InputError
        If a power entry is inconsistent or a frequency does not suit its antenna.
    """
    all_sources = []
    for i, antenna in enumerate(site.antennas):
        for j, carrier in enumerate(antenna.carriers):
            try:
                _upright(antenna)
                antenna.kind.fits(carrier.frequency)
                counted = as_unsaid(antenna.kind, carrier.frequency)
                mine = antenna if counted is antenna.kind else replace(antenna, kind=counted)
                power = radiated(mine, carrier)
            except InputError as error:
                where = f'antennas[{i}] "{antenna.name}": carriers[{j}]'
                raise error.within(where) from None
            conservative = (
                site.conservative if antenna.conservative is None else antenna.conservative
            )
            reflection = antenna.reflection or site.reflection
            around = surroundings(site, mine, carrier.frequency, conservative=conservative)
            all_sources.append(
                Source(
                    mine,
                    carrier,
                    power,
                    power.power * antenna.state.factor,
                    _OWN_GROUND if antenna.kind.has_own_ground else reflection,
                    conservative,
                    site.grid_north,
                    around,
                )
            )
    return tuple(all_sources)


def _upright(antenna: Antenna) -> None:
    if antenna.kind.has_own_ground and (antenna.tilt or antenna.roll):
        raise InputError(
            "stands on the ground that is part of its model and cannot be tilted or rolled",
            field="tilt",
            fix="Set tilt and roll to 0, or choose another kind",
        )


LEVEL = 3.0
"""Degrees of tilt up to which a beam counts as level."""


@dataclass(frozen=True, slots=True)
class Fields:
    """Fields of every source at n points, at the power that counts, reflection included.

    ``e2`` and ``h2`` have shape (sources, n), V²/m² and A²/m²; ``reactive`` and ``model`` likewise.
    """

    e2: Floats
    h2: Floats
    reactive: Bools
    model: Codes


def fields(all_sources: Sequence[Source], points: Points) -> Fields:
    """Return the fields of the sources at site points (n, 3), in the points' precision.

    Parameters
    ----------
    all_sources : Sequence[Source]
        Every carrier of the site with its power.
    """
    shape = (len(all_sources), len(points))
    out = Fields(
        np.zeros(shape, points.dtype),
        np.zeros(shape, points.dtype),
        np.zeros(shape, bool),
        np.zeros(shape, np.int8),
    )
    known: dict[tuple[object, ...], UnitField] = {}
    for i, source in enumerate(all_sources):
        if source.power == 0.0:
            continue
        if source.key not in known:
            known[source.key] = source.unit_field(points)
        unit = known[source.key]
        scale = points.dtype.type(source.power * source.reflection.power_factor)
        out.e2[i] = unit.e2 * scale
        out.h2[i] = unit.h2 * scale
        out.reactive[i] = unit.reactive
        out.model[i] = unit.model
    return out


def whole_column(all_sources: Sequence[Source], body: Body, low: float, high: float) -> Body:
    """Return a body with heights fine enough for every beam that can cross it.

    Parameters
    ----------
    all_sources : Sequence[Source]
        Every carrier of the site with its power.
    body : Body
        The column as it is named.
    low, high : float
        Between which heights bodies stand or hang, m above the site datum.
    """
    low, high = low + min(body.heights), high + max(body.heights)
    narrowest = np.inf
    for source in all_sources:
        a = source.antenna
        size = a.kind.beam_size(source.carrier.frequency)
        # A level beam passes over heads or under feet if its antenna is far enough above or below.
        level = abs(a.tilt) <= LEVEL and abs(a.roll) <= LEVEL
        if source.power and not (level and not low - size <= a.position[2] <= high + size):
            narrowest = min(narrowest, size)
    return resolved(body, narrowest)


def not_covered(all_sources: Sequence[Source], limit_set: LimitSet) -> tuple[Source, ...]:
    """Return the radiating sources whose frequency lies outside the set: no limit, no verdict.

    Parameters
    ----------
    all_sources : Sequence[Source]
        Every carrier of the site with its power.
    """
    return tuple(
        s for s in all_sources if s.power > 0 and not limit_set.covers(s.carrier.frequency)
    )
