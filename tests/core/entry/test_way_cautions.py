"""A way that says nothing of where people walk is taken by the ladders' ends, and said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.entry.entry import plan_entry
from core.entry.way import way_of
from core.entry.way_cautions import way_cautions
from core.site.job import Job, Route, Stop
from core.site.places import Ladder, Structure, Surface
from core.site.site import Site
from support.simple_sites import FREE, isotropic

YARD = Surface(
    name="Yard", kind="ground", height=0.0, outline=((-50, -50), (50, -50), (50, 50), (-50, 50))
)
LADDER = Ladder(name="Tower ladder", points=((0.0, 0.0, 0.0), (0.0, 0.0, 60.0)))
GATE = Stop(name="Gate", position=(-40.0, 0.0, 0.0))
WORK = Stop(name="Work", ladder="Tower ladder", height=58.0, dwell=60.0)


def site(**more: object) -> Site:
    strong = isotropic("low", 450e6, 3000.0, (1.5, 0.0, 20.0))
    made = Site(name="s", antennas=(strong,), surfaces=(YARD,), ladders=(LADDER,), reflection=FREE)
    return replace(made, **more)  # type: ignore[arg-type]


def job(*stops: Stop, back: tuple[Stop, ...] | None = None) -> Job:
    return Job(name="job", route=Route(stops=stops, way_down=back))


def passed(where: Site, one: Job) -> np.ndarray:
    return np.array([p.end for leg in way_of(where, one).legs for p in leg.pieces])


def test_a_ladder_is_got_on_at_its_foot_not_through_the_air() -> None:
    here = site()
    short = plan_entry(here, job(GATE, WORK))
    foot = Stop(name="Foot", ladder="Tower ladder", height=0.0)
    long = plan_entry(here, job(GATE, foot, WORK))
    assert (0.0, 0.0, 0.0) in {tuple(p) for p in passed(here, job(GATE, WORK)).tolist()}
    assert not short.verdict.is_go
    assert short.verdict == long.verdict
    assert short.worst is not None
    assert long.worst is not None
    assert short.worst.average == pytest.approx(long.worst.average, rel=1e-6)
    assert short.way is not None
    (said,) = [w for w in way_cautions(here, short.way) if "climbed" in w]
    assert "Tower ladder is taken to be climbed from or to 0 m" in said
    assert long.way is not None
    assert way_cautions(here, long.way) == ()


def test_off_a_ladder_to_a_platform_and_down_another_way_nobody_flies() -> None:
    shelf = Surface(
        name="Shelf", kind="platform", height=40.0, outline=((-3, -3), (3, -3), (3, 3), (-3, 3))
    )
    other = Ladder(name="Other", points=((2.0, 0.0, 40.0), (2.0, 0.0, 60.0)))
    here = site(surfaces=(YARD, shelf), ladders=(LADDER, other))
    rest = Stop(name="Rest", position=(-2.0, 0.0, 40.0))
    top = Stop(name="Top", ladder="Other", height=55.0)
    way = way_of(here, job(GATE, WORK, rest, top, back=(GATE,)))
    ends = [tuple(p.end) for leg in way.legs for p in leg.pieces]
    # Down the tower's ladder to the platform, over to the other ladder's foot.
    assert ends[2:7] == [(0, 0, 40), (-2, 0, 40), (2, 0, 40), (2, 0, 55), (2, 0, 40)]
    # Straight from there to the gate nothing is drawn: said, not hidden.
    assert any("Gate and Top" in w and "leaves what is drawn" in w for w in way_cautions(here, way))
    # From one ladder to another it is where they come closest, on the lowest such place.
    way = way_of(here, job(WORK, top))
    assert [tuple(p.end) for leg in way.legs[:1] for p in leg.pieces] == [
        (0, 0, 40), (2, 0, 40), (2, 0, 55),
    ]  # fmt: skip


@pytest.mark.parametrize("kind", ["penthouse", "wall"])
def test_a_walk_through_what_stands_there_is_said(kind: str) -> None:
    outline = (
        ((-20, -5), (-20, 5)) if kind == "wall" else ((-20, -5), (-10, -5), (-10, 5), (-20, 5))
    )
    block = Structure(name="Block", kind=kind, outline=outline, base=0.0, top=3.0)
    here = site(structures=(block,))
    foot = Stop(name="Foot", ladder="Tower ladder", height=0.0)
    assert any("goes through Block" in w for w in way_cautions(here, way_of(here, job(GATE, foot))))
    around = Stop(name="Corner", position=(-15.0, 9.0, 0.0))
    way = way_of(here, job(GATE, around, foot))
    assert way_cautions(here, way) == ()
    # What is stepped over, and what hangs over heads, is not in the way.
    for low, high in ((0.0, 0.2), (2.5, 6.0)):
        flat = site(structures=(replace(block, base=low, top=high),))
        assert way_cautions(flat, way_of(flat, job(GATE, foot))) == ()
