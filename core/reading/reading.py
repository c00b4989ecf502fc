"""One reading: what a click shows, as data. Window, command line and page print the same."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from core.exposure.fractions import Exposure
from core.exposure.sources import Source, not_covered
from core.exposure.surveyed import raises_at
from core.exposure.totals import exposure
from core.limits.categories import Category, category
from core.limits.low_power import LOCAL
from core.limits.model import Limit
from core.limits.tier import Tier
from core.reading.cautions import FULL, contact_cautions
from core.reading.data import IfBack, LimitLine, Reading, SourceLine, TierLine
from core.reading.span import span
from core.site.poles import carrying_poles
from core.site.site import Condition, Site, State
from core.site.surfaces import has_surface
from core.units import ETA0, show_power
from core.views.body import CLIMBING, POINT, STANDING, Body


def read(
    site: Site,
    position: tuple[float, float, float],
    body: Body = POINT,
    height_rule: str = "",
    warning: str = "",
) -> Reading:
    """Return the reading at a place.

    Parameters
    ----------
    site : Site
    position : (x, y, z)
        m above the site datum; where a body column is used, its foot (or its middle for a climber).
    body : Body
        Column of heights over ``position``.
    height_rule : str
        How the height was chosen, in words.
    warning : str
        What the reader must know about that choice; shown with the verdict.

    Raises
    ------
    InputError
        If the site's powers or frequencies are inconsistent.
    """
    result = exposure(site, np.array([position], dtype=np.float64), body)
    uncovered = tuple(s.name for s in not_covered(result.sources, result.limit_set))
    reactive = _reactive_names(result)
    nowhere = no_surface(site, position, body)
    column = np.array(position) + np.outer(result.body.heights, (0.0, 0.0, 1.0))
    poles = tuple(pole for pole in carrying_poles(site) if pole.near(column).any())
    beside = tuple(pole.words for pole in poles)
    verdict: Category | None
    if reactive:
        verdict = Category.FOUR
    else:
        verdict = category(float(result.public.total[0]), float(result.occupational.total[0]))
        if verdict is Category.ONE and (uncovered or nowhere or not result.sources):
            verdict = None
        if poles and verdict is not Category.FOUR:
            verdict = None
    peaks: Exposure | None = None
    if body.average:
        at = np.array([position], dtype=np.float64)
        peaks = exposure(site, at, replace(body, average=False))
    rule = height_rule or f"point at {position[2]:g} m above the site datum"
    return Reading(
        site=site.name,
        revision=site.edition,
        position=position,
        height_rule=rule,
        limit_set=result.limit_set,
        public=_tier_line(result, "public", peaks),
        occupational=_tier_line(result, "occupational", peaks),
        category=verdict,
        reactive=reactive,
        uncovered=uncovered,
        emitters=tuple(_source_line(result, i, position) for i in range(len(result.sources))),
        estimate="conservative: floors and added decibels counted"
        if site.conservative
        else "best estimate: no floors, no added decibels; it can be low",
        assumptions=_assumptions(site, result),
        cautions=(*beside, *FULL, *contact_cautions(result.sources, site.limit_set)),
        warning="; ".join(w for w in (warning, *beside) if w),
        poles=tuple(pole.structure.name for pole in poles),
        if_back=_if_back(site, position, body),
        no_surface=nowhere,
        span=span(site, position, body, result),
        raised=tuple(r.words(site.limit_set) for r in raises_at(site, position, result.body)),
    )


def no_surface(site: Site, position: tuple[float, float, float], body: Body) -> bool:
    """Return whether nothing is drawn that a body could be on at this place.

    Parameters
    ----------
    site : Site
        The site.
    position : tuple of three floats
        Of the body's foot, m.
    body : Body
        The column of heights that is exposed.
    """
    if body.heights == CLIMBING.heights and site.ladders:
        return False
    if body.heights == STANDING.heights:
        return not has_surface(site, position[0], position[1])
    return not site.surfaces


def _if_back(site: Site, position: tuple[float, float, float], body: Body) -> IfBack | None:
    """Read the place again with everything on that is merely off."""
    names = tuple(a.name for a in site.antennas if a.state.condition is Condition.OFF)
    if not names:
        return None
    back = tuple(replace(a, state=State()) if a.name in names else a for a in site.antennas)
    lit = replace(site, antennas=back)
    result = exposure(lit, np.array([position], dtype=np.float64), body)
    column = np.array(position) + np.outer(result.body.heights, (0.0, 0.0, 1.0))
    return IfBack(
        names,
        float(result.public.total[0]),
        float(result.occupational.total[0]),
        # Beside a pole that would carry its wave there is no figure either.
        bool(result.reactive[0]) or any(p.near(column).any() for p in carrying_poles(lit)),
    )


def _reactive_names(result: Exposure) -> tuple[str, ...]:
    inside = np.asarray(result.fields.reactive.any(axis=1))
    return tuple(
        dict.fromkeys(
            s.antenna.name
            for s, near in zip(result.sources, inside, strict=True)
            if near and s.is_blocked(result.limit_set.key)
        )
    )


def _height_index(result: Exposure, tier: Tier) -> int | None:
    index = int(result.of(tier).height[0])
    return None if index < 0 else index


def _tier_line(result: Exposure, tier: Tier, peaks: Exposure | None) -> TierLine:
    one = result.of(tier)
    total = float(one.total[0])
    table = result.limit_set.of(tier)[int(one.table[0])]
    index = _height_index(result, tier)
    electric, magnetic = float(one.electric[0]), float(one.magnetic[0])
    if math.isclose(electric, magnetic, rel_tol=1e-12):
        side = "electric and magnetic totals are equal"
    else:
        side = (
            "electric total is the larger"
            if electric > magnetic
            else "magnetic total is the larger"
        )
    return TierLine(
        name=result.limit_set.name_of(tier),
        total=total,
        margin_db=-10.0 * math.log10(total) if total > 0 else None,
        side=side,
        table=table.title,
        height=None if index is None else result.body.heights[index],
        fix=_fix(result, tier),
        peak=None if peaks is None or index is not None else float(peaks.of(tier).total[0]),
        raised=float(one.raised[0]),
    )


def _fix(result: Exposure, tier: Tier) -> str:
    """Say what would bring the place to the limit: the least cut of one emitter, or of all."""
    one = result.of(tier)
    total = float(one.total[0])
    if total <= 1.0:
        return ""
    if result.reactive[0]:
        return "Move away from the antenna, or switch it off and lock it out."
    if one.raised[0] > 0.0:
        return "Find out why a reading here is above the prediction; until then only distance brings it down."
    shares = one.shares[:, 0]
    top = int(np.argmax(shares))
    rest = total - float(shares[top])
    name = result.sources[top].name
    if rest < 1.0:
        down = _enough_db(float(shares[top]) / (1.0 - rest))
        return (
            f"{name} down by {down:.1f} dB (to {100.0 * 10.0 ** (-0.1 * down):.3g} % of its present power) "
            "would bring it to the limit."
        )
    return (
        f"No single emitter is enough: all of them down by {_enough_db(total):.1f} dB, or the "
        f"strongest ones off, beginning with {name}."
    )


def _enough_db(times: float) -> float:
    """Return a cut in whole tenths of a decibel that is no less than what is needed."""
    return math.ceil(100.0 * math.log10(times) - 1e-9) / 10.0


def _source_line(result: Exposure, i: int, position: tuple[float, float, float]) -> SourceLine:
    source = result.sources[i]
    index = _height_index(result, "public")
    e2, h2 = result.fields.e2[i], result.fields.h2[i]
    pick = slice(None) if index is None else slice(index, index + 1)
    e2_here, h2_here = float(e2[pick].mean()), float(h2[pick].mean())
    density = float(np.maximum(e2[pick] / ETA0, h2[pick] * ETA0).mean())
    frequency = source.carrier.frequency
    kind = source.antenna.kind
    notes = kind.notes(frequency, conservative=source.conservative)
    note = notes[int(result.fields.model[i][pick].max())]
    place = np.array(position) - np.array(source.antenna.position)
    place[2] += (
        result.body.heights[index] if index is not None else float(np.mean(result.body.heights))
    )
    return SourceLine(
        name=source.name,
        antenna=source.antenna.name,
        frequency=frequency,
        state=source.antenna.state.words,
        power=source.power,
        public=float(result.public.shares[i, 0]),
        occupational=float(result.occupational.shares[i, 0]),
        e=math.sqrt(e2_here),
        h=math.sqrt(h2_here),
        s=density,
        distance=float(np.linalg.norm(place)),
        reactive=_is_blocked(result, i),
        model=note.name,
        why=note.why,
        source=note.source,
        trust=note.trust,
        added_db=note.added_db,
        reflection=source.reflection_words,
        power_words=source.radiated.words,
        assumptions=(
            *kind.assumptions(),
            *kind.problems(frequency),
            *_state_words(source),
            *_tiny_words(result, i),
            *(
                ()
                if source.conservative
                else ("best estimate for this antenna: no floors, nothing added",)
            ),
        ),
        limits={tier: _limit_line(result, tier, source) for tier in ("public", "occupational")},
    )


def _is_blocked(result: Exposure, i: int) -> bool:
    near = bool(result.fields.reactive[i].any())
    return near and result.sources[i].is_blocked(result.limit_set.key)


def _tiny_words(result: Exposure, i: int) -> tuple[str, ...]:
    source, key = result.sources[i], result.limit_set.key
    if not result.fields.reactive[i].any() or source.is_blocked(key):
        return ()
    limit = LOCAL[key]
    return (
        f"inside its reactive region the fields are not known; its whole power of "
        f"{show_power(source.radiated.fed or 0)}, "
        f"absorbed in {limit.grams:g} g, is what the percents say ({limit.public:g} W/kg public, "
        f"{limit.occupational:g} W/kg occupational: {limit.source}; {limit.status})",
    )


def _state_words(source: Source) -> tuple[str, ...]:
    condition = source.antenna.state.condition
    if condition in (Condition.STANDBY, Condition.UNKNOWN):
        return (f"{condition.value}: counted at full power until the plan says it is locked out",)
    if condition is Condition.OFF:
        return ("off is not locked out: it can come back while somebody is up",)
    if condition is Condition.REDUCED:
        return ("a power reduction must be confirmed with the owner and tagged",)
    return ()


def _limit_line(result: Exposure, tier: Tier, source: Source) -> LimitLine | None:
    """Return the limit of the governing table, or of the first table that has one."""
    tables = result.limit_set.of(tier)
    governing = tables[int(result.of(tier).table[0])]
    for table in (governing, *tables):
        limit = table.at(source.carrier.frequency)
        if limit is not None:
            return LimitLine(
                table.title, limit_text(limit), limit.source, limit.status, _averaging(limit)
            )
    return None


def limit_text(limit: Limit) -> str:
    """Return the values of a limit with units, as ``E 61.4 V/m, H 0.163 A/m, S 10 W/m² (1 mW/cm²)``."""
    parts = []
    if limit.e is not None:
        parts.append(f"E {limit.e:.4g} V/m")
    if limit.h is not None:
        parts.append(f"H {limit.h:.4g} A/m")
    if limit.s is not None:
        star = ", plane-wave equivalent, not checked" if limit.plane_wave_s else ""
        parts.append(f"S {limit.s:.4g} W/m² ({limit.s / 10.0:.4g} mW/cm²{star})")
    return ", ".join(parts)


def _averaging(limit: Limit) -> str:
    if limit.averaging_minutes is None:
        return "instantaneous"
    return f"{limit.averaging_minutes:.3g} min"


def _steel_words(result: Exposure) -> str:
    about = {s.around.steel.words for s in result.sources if s.around.steel is not None and s.power}
    return "; ".join(sorted(about)) or "no tower or mast is drawn: nothing is added for steel"


def _assumptions(site: Site, result: Exposure) -> tuple[str, ...]:
    words = [
        f"limits: {result.limit_set.title}; {result.limit_set.rule}",
        f"site reflection: {site.reflection.words}",
        result.body.words if len(result.body.heights) > 1 else "single point, no body average",
        "continuous exposure: no credit for time",
        _steel_words(result),
        "no shading by roofs, walls or steel is counted",
    ]
    if result.limit_set.status:
        words.append(f"status of the limits: {result.limit_set.status}")
    return tuple(words)
