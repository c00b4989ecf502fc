"""Ways in for the public: in a zone, beside one, shut in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.exposure.totals import exposure
from core.reading.doubts import doubts
from core.reading.ways_in import REACH, ways_in_doubts
from core.site.places import AccessPoint, Fence
from core.site.site import Site
from core.views.body import STANDING
from support.simple_sites import FREE, ground, isotropic


def site(x: float, *, public: bool = True, **changes: object) -> Site:
    gate = AccessPoint(name="Gate", kind="gate", position=(x, 0.0, 0.0), public=public)
    made = Site(
        name="s",
        antennas=(isotropic("a", 98.1e6, 2000.0, (0.0, 0.0, 1.0)),),
        reflection=FREE,
        surfaces=(ground(60.0),),
        access_points=(gate,),
    )
    return replace(made, **changes)  # type: ignore[arg-type]


def edge() -> float:
    """Where the public limit is met on the x axis: S of the source falls with the square of the distance."""
    low, high = 5.0, 50.0
    while high - low > 1e-6:
        middle = (low + high) / 2.0
        over = exposure(site(1.0), np.array([[middle, 0.0, 0.0]]), STANDING).public.total[0] > 1.0
        low, high = (middle, high) if over else (low, middle)
    return low


@pytest.mark.parametrize(
    ("beyond", "said"),
    [(-0.1, "where one stands there"), (0.2, f"within {REACH:g} m of it"), (REACH + 0.2, "")],
)
def test_a_gate_in_a_zone_or_beside_it_is_doubted(beyond: float, said: str) -> None:
    lines = [doubt.line for doubt in ways_in_doubts(site(edge() + beyond))]
    assert bool(lines) == bool(said)
    assert all(said in line for line in lines)
    assert all(line in doubts(site(edge() + beyond)) for line in lines)


def test_a_way_in_for_trained_people_is_not() -> None:
    assert not list(ways_in_doubts(site(edge() - 1.0, public=False)))


def test_a_gate_inside_a_fence_is_doubted() -> None:
    ring = ((50.0, -5.0), (58.0, -5.0), (58.0, 5.0), (50.0, 5.0))
    fence = Fence(name="ring", tier="public", threshold=1.0, outline=ring)
    inside, outside = (site(x, fences=(fence,)) for x in (55.0, 59.5))
    assert [doubt.line for doubt in ways_in_doubts(inside)] == [
        "Gate: open to the public, but inside ring"
    ]
    assert not list(ways_in_doubts(outside))
