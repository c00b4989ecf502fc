"""What a person should look at before trusting a site's figures: possible slips, not errors."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from core.antennas.stack import Stack
from core.exposure.sources import Source, not_covered, sources
from core.exposure.surveyed import raised_words
from core.limits.sets import get_set
from core.reading.doubt import Doubt, Thing, of_antenna
from core.reading.provisos import on_trust, outside, silent
from core.reading.sketch import sketch_doubts
from core.reading.ways_in import ways_in_doubts
from core.site.job import Job
from core.site.moving import middle
from core.site.pairs import contradictions
from core.site.places import Structure, Surface
from core.site.poles import carrying_poles
from core.site.site import Antenna, Condition, Site, told
from core.site.surfaces import surface_shape
from core.units import show_power, to_db

MOST_LOSS = 6.0
LEAST_POWER = 0.01
TALLEST = 650.0
FARTHEST = 30.0
"""m from all surfaces and structures beyond which an antenna seems to hang in the air (common practice, no source)."""

ONE_ANTENNA = 60.0
"""m within which antennas on one frequency may be parts of one (common practice, no source)."""
TALL_POLE = 8.0
"""m over everything drawn about it that an antenna is held up by something drawn (common practice, no source)."""
NEAR_POLE = 5.0
"""m in plan within which something drawn may hold an antenna (common practice, no source)."""

USUAL_WATTS = {
    "panel": 1e3, "beam-array": 1e3, "yagi": 2e3, "dish": 50.0, "whip": 2e3, "hf-dipole": 1e5,
    "stack": 2e5, "panel-ring": 3e5, "am-mast": 2.5e6, "am-array": 2.5e6,
}  # fmt: skip
"""The most a carrier of such an antenna usually radiates, W (common practice, no source); no figure uses it."""
LEAST_WATTS = {
    "panel": 1.0,
    "stack": 1.0,
    "panel-ring": 10.0,
    "am-mast": 1.0,
    "am-array": 1.0,
    "hf-dipole": 1.0,
}
"""The least a carrier of such an antenna usually radiates, W (common practice, no source); no figure uses it."""
STICKS_FROM, STICK_WATTS = 130e6, 2e3
"""Hz from which vertical dipoles one above the other are sticks of two-way radio, and the most W that one gets."""
USUAL_GAIN = {
    "panel": 24.0, "beam-array": 32.0, "yagi": 20.0, "dish": 60.0, "whip": 9.0, "hf-dipole": 9.0, "stack": 18.0,
    "panel-ring": 24.0, "am-mast": 8.0, "am-array": 15.0,
}  # fmt: skip
"""The highest gain in dBi that such antennas are usually said to have (common practice, no source)."""


def doubts(site: Site) -> list[str]:
    """Return every doubt about a site, one line each.

    Raises
    ------
    InputError
        If the site cannot be computed at all.
    """
    return [doubt.line for doubt in all_doubts(site)]


def all_doubts(site: Site) -> list[Doubt]:
    """Return every doubt about a ``site``, with what it is about.

    Raises
    ------
    InputError
        If the site cannot be computed at all.
    """
    all_sources = sources(site)
    found = [*_site_doubts(site), *sketch_doubts(site)]
    uncovered = not_covered(all_sources, get_set(site.limit_set))
    lines = outside(site)
    found += [of_antenna(s.antenna, line) for s, line in zip(uncovered, lines, strict=True)]
    off = [a for a in site.antennas if a.state.condition is Condition.OFF]
    found += [of_antenna(a, line) for a, line in zip(off, silent(site), strict=True)]
    found += [Doubt(line) for line in raised_words(site)]
    for pole in carrying_poles(site):
        about = pole.structure
        found.append(Doubt(pole.words, "structure", about.name, (*middle(about), about.top)))
    found += _twins(site)
    found += _from_one_transmitter(all_sources)
    for antenna in site.antennas:
        found += [of_antenna(antenna, line) for line in _antenna_doubts(site, antenna)]
    for source in all_sources:
        found += [of_antenna(source.antenna, line) for line in _power_doubts(source)]
    return [*found, *ways_in_doubts(site)]


def _twins(site: Site) -> Iterator[Doubt]:
    """Yield the antennas that are where an equal one is already: pasted, or entered, twice."""
    known: dict[tuple[object, ...], Antenna] = {}
    for antenna in site.antennas:
        place = tuple(round(v, 1) for v in antenna.position)
        key = (antenna.kind, place, antenna.azimuth, antenna.tilt, antenna.carriers)
        first = known.setdefault(key, antenna)
        if first is not antenna:
            line = f"{antenna.name}: equal to {first.name}, in the same place: entered twice?"
            yield of_antenna(antenna, line)


def _from_one_transmitter(all_sources: Sequence[Source]) -> Iterator[Doubt]:
    """Yield antennas that may be parts of one: their fields would add, and not their powers.

    Sector antennas share frequencies and not what they send.
    """
    known: dict[float, list[Source]] = {}
    for source in all_sources:
        kind = source.antenna.kind.built(source.carrier.frequency)
        silent_now = source.antenna.state.condition is Condition.OFF
        if silent_now or (kind.has_boresight and kind.is_backed):
            continue
        for other in known.setdefault(source.carrier.frequency, []):
            apart = math.dist(source.antenna.position, other.antenna.position)
            if other.antenna is not source.antenna and apart <= ONE_ANTENNA:
                line = (
                    f"{source.antenna.name}: on the frequency of {other.antenna.name} and {apart:.1f} m from it: fed "
                    "from one transmitter? Their powers are added; fields of one signal add up to 3 dB more for two, 6 "
                    "dB for four. Enter parts of one antenna as one"
                )
                yield of_antenna(source.antenna, line)
                break
        known[source.carrier.frequency].append(source)


def _site_doubts(site: Site) -> Iterator[Doubt]:
    if not site.antennas:
        yield Doubt("no antenna is on the list: every figure is zero and means nothing")
    if not site.surfaces:
        yield Doubt(
            "no surface is drawn: there is no verdict, only figures for stated heights. Draw ground and roofs"
        )
    elif all(s.kind != "ground" for s in site.surfaces):
        yield Doubt(
            "no ground is drawn: around and below what is drawn the datum counts as ground, which may be wrong. Draw it"
        )
    names = {a.name for a in site.antennas}
    for state in site.states:
        for gone in [name for name, _ in state.states if name not in names]:
            line = f"state {state.name}: names the antenna {gone!r}, which is not on the site"
            yield Doubt(line, "state", state.name)
    for job in site.jobs:
        yield from (Doubt(line, "job", job.name) for line in _job_doubts(site, job))
    for survey in site.surveys:
        for gone in sorted({n for r in survey.readings for n, _ in r.states} - names):
            line = f"survey {survey.name}: names the antenna {gone!r}, which is not on the site any more"
            yield Doubt(line, "survey", survey.name)
    for error in contradictions(site):
        line = f"{error.field}: {error.message}"
        about = next((a for a in site.antennas if f'"{a.name}"' in error.field), None)
        yield Doubt(line) if about is None else of_antenna(about, line)
    drawn: list[tuple[Thing, Surface | Structure, float]] = [
        *(("surface", one, one.height) for one in site.surfaces),
        *(("structure", one, one.top) for one in site.structures),
    ]
    for thing, one, height in drawn:
        if len(one.outline) > 2 and not shapely.Polygon(one.outline).is_valid:
            place = (*middle(one), height)
            yield Doubt(f"{one.name}: the outline crosses itself", thing, one.name, place)


def _job_doubts(site: Site, job: Job) -> Iterator[str]:
    """Yield what a job names that is not there."""
    stops = (*job.route.stops, *(job.route.way_down or ())) if job.route is not None else ()
    ladders = [stop.ladder for stop in stops] + [job.work.ladder if job.work is not None else ""]
    for what, names, known in (
        ("antenna", [name for name, _ in job.states], {a.name for a in site.antennas}),
        ("ladder", [name for name in ladders if name], {one.name for one in site.ladders}),
        ("garment", [job.garment] if job.garment else [], {g.name for g in site.garments}),
    ):
        for gone in dict.fromkeys(name for name in names if name not in known):
            yield f"job {job.name}: names the {what} {gone!r}, which is not on the site"


def _antenna_doubts(site: Site, antenna: Antenna) -> Iterator[str]:
    name, state = antenna.name, antenna.state
    trusted = on_trust(antenna)
    if trusted:
        yield f"{trusted}, counted at full power until locked out"
    if state.condition is Condition.REDUCED and state.percent < 1.0:
        yield f"{name}: reduced to {state.percent:g} %: is a fraction meant?"
    if not told(antenna.contact):
        yield f"{name}: no contact to call"
    lowest = min((s.height for s in site.surfaces), default=0.0)
    z = antenna.position[2]
    if z < lowest or z > lowest + TALLEST:
        yield f"{name}: at {z:g} m above the datum, but the lowest surface is at {lowest:g} m"
    away = _from_everything(site, antenna)
    if away is not None and away > FARTHEST:
        yield f"{name}: {away:.0f} m from every surface and structure drawn: what holds it up?"
    elif site.structures and (above := _above_everything(site, antenna)) > TALL_POLE:
        yield (
            f"{name}: {above:.0f} m above every surface and structure within {NEAR_POLE:g} m of it: what holds it up? "
            "Draw it: steel near an antenna counts"
        )
    for carrier in antenna.carriers:
        for problem in antenna.kind.problems(carrier.frequency):
            yield f"{name}: {carrier.name}: {problem}"
        if carrier.power.loss > MOST_LOSS:
            yield f"{name}: {carrier.name}: {carrier.power.loss:g} dB of line loss is unusual and lowers every figure"


def _from_everything(site: Site, antenna: Antenna) -> float | None:
    """Return how far in plan an antenna is from the nearest surface or structure, m; None if none is drawn."""
    drawn = [surface_shape(s) for s in site.surfaces]
    drawn += [shapely.MultiPoint(s.outline).convex_hull for s in site.structures]
    shapes = [shape for shape in drawn if not shape.is_empty]
    if not shapes:
        return None
    x, y, _ = antenna.position
    return min(float(shape.distance(shapely.Point(x, y))) for shape in shapes)


def _above_everything(site: Site, antenna: Antenna) -> float:
    """Return how far an antenna is above all surfaces and structures that may hold it, m."""
    x, y, z = antenna.position
    point = shapely.Point(x, y)
    tops = [s.height for s in site.surfaces if surface_shape(s).distance(point) <= NEAR_POLE]
    tops += [
        s.top
        for s in site.structures
        if shapely.MultiPoint(s.outline).convex_hull.distance(point) <= NEAR_POLE
    ]
    return z - max(tops, default=z)


def _power_doubts(source: Source) -> Iterator[str]:
    kind, f = source.antenna.kind, source.carrier.frequency
    made = kind.built(f)
    if source.radiated.power < LEAST_WATTS.get(made.KEY, LEAST_POWER):
        yield f"{source.name}: only {show_power(source.radiated.power)} radiated: check the unit of the power"
    most = USUAL_WATTS.get(made.KEY, float("inf"))
    if isinstance(made, Stack) and made.bay == "vertical-dipole" and f > STICKS_FROM:
        most = STICK_WATTS
    if source.radiated.power > most * (1.0 + 1e-9):
        yield (
            f"{source.name}: {show_power(source.radiated.power)} radiated is more than such an antenna "
            f"({made.TITLE}) usually gets ({show_power(most)}): check power, unit and kind"
        )
    gain, own = source.carrier.power.gain, to_db(kind.directivity(f))
    if gain is not None and gain > USUAL_GAIN.get(made.KEY, float("inf")):
        yield (
            f"{source.name}: a gain of {gain:.4g} dBi is more than such an antenna ({made.TITLE}) usually has "
            f"({USUAL_GAIN[made.KEY]:g} dBi)"
        )
    if gain is not None and not kind.is_sphere and gain < own - 3.0:
        yield f"{source.name}: stated gain {gain:.4g} dBi is {own - gain:.1f} dB under the pattern's: dBd?"
