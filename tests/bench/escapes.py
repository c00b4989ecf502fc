"""Look for places that a proven zone has missed, and measure how much too large it is; a long run.

    python tests/bench/escapes.py [--points N] [--followed N] [SITE ...]

Each site is one of the two demo sites or an invented one of tests/support/generated_sites.py. Of every zone
at the default tolerance, N random places of the view outside it and N/10 outside within 5 cm of its edge are
evaluated in float64; a place *escapes* where the threshold is exceeded or an antenna is reactive. The zone's
excess over the true area comes from N/10 places inside it, one at random in each square of a grid. Prints
a Markdown table; exit code 1 if any place escapes. With ``--followed`` the zones are those weighed again from kept
bounds after random changes of powers, states, places and thresholds.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon

from core import caches
from core.exposure.totals import exposure
from core.files.site_file import load_site
from core.proof.tolerance import Ceiling, Tolerance
from core.site.site import Site
from core.views.defaults import default_elevation, default_plan
from core.views.views import PlanView, View
from core.zones.following import follow, keep, remember
from core.zones.site_zones import SiteZones
from core.zones.steps import STEPS
from core.zones.zone import Zone, zone
from support.generated_sites import KEYS, Look, Subject, generated
from support.handled import handled, steps_of, turned

Points = NDArray[np.float64]

ROOT = Path(__file__).parents[2]

NEAR = 0.05
"""m: how far from the edge a place near it may be."""

DEMOS = {path.stem: path for path in sorted((ROOT / "demo_sites").glob("*/*.json"))}

_KEPT = Ceiling(seconds=5.0, cells=30_000)
_COARSE = Tolerance(percent=10.0, metres=0.1)

_COLUMNS = 8192
"""Points evaluated together."""

_MOST_DRAWN = 40
"""Draws for each place wanted outside, after which a zone that fills its view is left alone."""

HEAD = (
    "| site | antennas | view | over | area m² | s | evaluations | outside | worst | near edge | worst "
    "| excess % | |\n|---|---:|---|---|---:|---:|---:|---:|---:|---:|---:|---:|---|"
)


@dataclass(slots=True)
class Worst:
    """The largest total over the threshold among ``count`` places outside a zone, and where it is (u, v).

    A reactive place counts as infinite.
    """

    count: int = 0
    ratio: float = 0.0
    place: tuple[float, float] = (np.nan, np.nan)

    def add(self, uv: Points, ratio: Points) -> None:
        """Take more places (n, 2) and their totals (n,) as parts of the threshold into account."""
        self.count += len(uv)
        if len(uv) and ratio.max() > self.ratio:
            i = int(np.argmax(ratio))
            self.ratio, self.place = float(ratio[i]), (float(uv[i, 0]), float(uv[i, 1]))


@dataclass(slots=True)
class Held:
    """A zone and what was found of it; ``excess`` and its standard error in percent of the true area."""

    zone: Zone
    anywhere: Worst = field(default_factory=Worst)
    near: Worst = field(default_factory=Worst)
    excess: float = 0.0
    error: float = 0.0

    @property
    def escaped(self) -> bool:
        """True when a place outside exceeds the threshold."""
        return max(self.anywhere.ratio, self.near.ratio) > 1.0

    def outside(self, uv: Points) -> NDArray[np.bool_]:
        """Return which places (n, 2) lie outside the region; its edge is inside."""
        return ~shapely.intersects_xy(self.zone.region, uv[:, 0], uv[:, 1])


def ratios(site: Site, view: View, uv: Points, asked: Sequence[tuple[str, float]]) -> list[Points]:
    """Return for each (tier, threshold) the totals (n,) at places (n, 2) over the threshold.

    Infinite where any height of the body is reactive.
    """
    found: list[list[Points]] = [[np.zeros(0)] for _ in asked]
    size = max(1, _COLUMNS // len(view.body.heights))
    for start in range(0, len(uv), size):
        part = uv[start : start + size]
        one = exposure(site, view.to_site(site, part[:, 0], part[:, 1]), view.body)
        for into, (tier, threshold) in zip(found, asked, strict=True):
            into.append(np.where(one.reactive, np.inf, one.of(tier).total / threshold))
    return [np.concatenate(parts) for parts in found]


def hold(
    subject: Subject,
    look: Look,
    points: int,
    rng: np.random.Generator,
    zones: Sequence[Zone] | None = None,
) -> list[Held]:
    """Prove the zones of a view, unless they are given, and throw places at them."""
    site, view = subject.site, look.view
    if zones is None:
        zones = [zone(site, threshold, tier, view) for tier, threshold in look.asked]
    held = [Held(one) for one in zones]
    for one in held:
        shapely.prepare(one.zone.region)
    for uv in _spread(view, held, points, rng):
        for one, ratio in zip(held, ratios(site, view, uv, look.asked), strict=True):
            out = one.outside(uv)
            one.anywhere.add(uv[out], ratio[out])
    for one, asked in zip(held, look.asked, strict=True):
        edge = _beside(one, points // 10, rng)
        one.near.add(edge, ratios(site, view, edge, [asked])[0])
        inside = _within(one.zone.region, points // 10, rng)
        if len(inside):
            share = float((ratios(site, view, inside, [asked])[0] > 1.0).mean())
            one.excess, one.error = _excess(share, len(inside))
    return held


def hold_followed(
    subject: Subject, look: Look, points: int, rng: np.random.Generator, changes: int
) -> Iterator[tuple[Subject, Look, list[Held]]]:
    """Keep bounds of a view, change its site and thresholds so many times, and throw places at what is weighed again.

    Changes after which nothing can be said from kept bounds are left out.
    """
    steps, view = steps_of(look), look.view
    caches.SHARED.clear()
    keep(subject.site, view, steps, ceiling=_KEPT)
    for i in range(changes):
        site, asked = handled(subject.site, rng), turned(steps, rng)
        if i % 3 == 2:
            # What was proven in full cuts what is looser.
            proven = [zone(site, s.threshold, s.tier, view, _COARSE) for s in asked]
            remember(site, SiteZones(view, tuple(zip(asked, proven, strict=True))))
        found = follow(site, view, asked)
        if found is None:
            continue
        # Kept bounds cover all that may be over; here only what is in the view is asked.
        now = Look(view, tuple((s.tier, s.threshold) for s in asked))
        other = Subject(site, (now,))
        yield other, now, hold(other, now, points, rng, [one for _, one in found.zones])


def _spread(
    view: View, held: Sequence[Held], points: int, rng: np.random.Generator
) -> Iterator[Points]:
    """Yield places all over a view until each zone has had so many outside it."""
    u0, v0, u1, v1 = view.bounds
    block = max(1, min(points, 100_000))
    for _ in range(_MOST_DRAWN * points // block):
        lacking = [one for one in held if one.anywhere.count < points]
        if not lacking:
            return
        uv = np.stack([rng.uniform(u0, u1, block), rng.uniform(v0, v1, block)], axis=1)
        yield uv[np.any([one.outside(uv) for one in lacking], axis=0)]


def _beside(one: Held, points: int, rng: np.random.Generator) -> Points:
    """Return about so many places of the view outside a zone, within :data:`NEAR` of its edge."""
    lines = one.zone.region.boundary
    found: list[Points] = [np.zeros((0, 2))]
    u0, v0, u1, v1 = one.zone.view.bounds
    ends, owner = shapely.get_coordinates(shapely.get_parts(lines), return_index=True)
    joined = owner[1:] == owner[:-1]
    start, way = ends[:-1][joined], np.diff(ends, axis=0)[joined]
    length = np.hypot(*way.T)
    if length.sum() == 0.0:
        return found[0]
    for _ in range(20):
        pick = rng.choice(len(length), points, p=length / length.sum())
        turn, away = rng.uniform(0.0, 2.0 * np.pi, points), NEAR * np.sqrt(rng.random(points))
        uv = start[pick] + rng.random(points)[:, None] * way[pick]
        uv += away[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
        seen = (uv[:, 0] >= u0) & (uv[:, 0] <= u1) & (uv[:, 1] >= v0) & (uv[:, 1] <= v1)
        found.append(uv[seen & one.outside(uv)])
        if sum(map(len, found)) >= points:
            break
    return np.concatenate(found)[:points]


def _within(region: MultiPolygon, points: int, rng: np.random.Generator) -> Points:
    """Return about so many places spread over a region, one at random in each square of a grid."""
    if region.is_empty:
        return np.zeros((0, 2))
    side = float(np.sqrt(region.area / points))
    u0, v0, u1, v1 = region.bounds
    columns, rows = int((u1 - u0) / side) + 1, int((v1 - v0) / side) + 1
    found = []
    for row in range(rows):
        u = u0 + (np.arange(columns) + rng.random(columns)) * side
        v = v0 + (row + rng.random(columns)) * side
        inside = shapely.contains_xy(region, u, v)
        found.append(np.stack([u[inside], v[inside]], axis=1))
    return np.concatenate(found)


def _excess(share: float, places: int) -> tuple[float, float]:
    """Return how much too large a zone is, % of the true area, and the standard error of that.

    ``share`` is the part of so many places inside that is over the threshold. The error is that of places
    wholly at random; one in each square does better.
    """
    if share == 0.0:
        return np.inf, np.inf
    error = np.sqrt((1.0 - share) * share / places) / share**2
    return 100.0 * (1.0 / share - 1.0), 100.0 * float(error)


def subject(name: str) -> Subject:
    """Return a demo site with its default plan and elevation and its named zones, or a generated one."""
    if name not in DEMOS:
        return generated(name)
    site = load_site(DEMOS[name])
    asked = tuple((step.tier, step.threshold) for step in STEPS)
    return Subject(site, (Look(default_plan(site), asked), Look(default_elevation(site), asked)))


def row(name: str, site: Site, look: Look, asked: tuple[str, float], one: Held) -> str:
    """Return a line of the table."""
    rule = "mean" if look.view.body.average else "peak"
    body = "point" if len(look.view.body.heights) == 1 else rule
    where = "plan" if isinstance(look.view, PlanView) else "elevation"
    remarks = [] if one.zone.complete else ["loose: a ceiling was met"]
    for worst in (one.anywhere, one.near):
        if worst.ratio > 1.0:
            remarks.append(f"ESCAPES at {worst.place[0]!r}, {worst.place[1]!r}")
    cells = (
        name,
        f"{len(site.antennas)}",
        f"{where}, {body}",
        f"{100.0 * asked[1]:g} % {site.limit_set} {asked[0]}",
        f"{one.zone.area:.2f}",
        f"{one.zone.seconds:.2f}",
        f"{one.zone.evaluations}",
        f"{one.anywhere.count}",
        f"{one.anywhere.ratio:.6f}",
        f"{one.near.count}",
        f"{one.near.ratio:.6f}",
        f"{one.excess:.2f} ± {one.error:.2f}",
        "; ".join(remarks),
    )
    return "| " + " | ".join(cells) + " |"


def main() -> int:
    """Run the command; return its exit code."""
    names = (*DEMOS, *KEYS)
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("sites", nargs="*", metavar="SITE", help=f"any of {', '.join(names)}")
    parser.add_argument("--points", type=int, default=1_000_000, metavar="N")
    parser.add_argument(
        "--followed", type=int, metavar="N", help="weigh kept bounds again after N random changes"
    )
    options = parser.parse_args()
    wrong = [name for name in options.sites if name not in names]
    if wrong or options.points < 10:
        parser.error(f"unknown site {wrong[0]!r}" if wrong else "--points must be 10 or more")
    print(HEAD, flush=True)
    escaped = False
    for name in options.sites or names:
        chosen = subject(name)
        rng = np.random.default_rng(names.index(name))
        for look in chosen.looks:
            tried: Iterable[tuple[Subject, Look, list[Held]]]
            if options.followed:
                tried = hold_followed(chosen, look, options.points, rng, options.followed)
            else:
                tried = [(chosen, look, hold(chosen, look, options.points, rng))]
            for subject_now, look_now, held in tried:
                for asked, one in zip(look_now.asked, held, strict=True):
                    print(row(name, subject_now.site, look_now, asked, one), flush=True)
                    escaped |= one.escaped
    return int(escaped)


if __name__ == "__main__":
    sys.exit(main())
