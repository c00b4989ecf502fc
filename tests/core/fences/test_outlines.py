"""Hand-drawn outlines: what is refused, and what lines snap to."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from core.errors import InputError
from core.fences.outlines import Outline, fence_outline, with_corner, with_moved, without_corner
from core.fences.snapping import snap, targets
from core.site.places import Fence, Structure, Surface
from core.site.site import Site

SQUARE: Outline = ((0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0))
place = st.tuples(st.floats(-20.0, 20.0), st.floats(-20.0, 20.0))


@pytest.mark.parametrize(
    ("corners", "part"),
    [
        ((), "0 corners"),
        (SQUARE[:2], "2 corners"),
        ((SQUARE[0], SQUARE[1], SQUARE[1], SQUARE[0]), "2 corners"),
        (((0, 0), (5, 0), (10, 0)), "no area"),
        (((0, 0), (10, 0), (10, 0.0001)), "2 corners"),
        (((0, 0), (10, 8), (10, 0), (0, 8)), "cross or touch itself at 5.00, 4.00"),
        (((0, 0), (10, 0), (10, 8), (5, 0)), "touch itself at 5.00, 0.00"),
        (((0, 0), (10, 0), (20, 0), (10, 0), (10, 8)), "touch itself"),
    ],
)
def test_shapes_that_are_no_fence_are_one_clear_line(corners: Outline, part: str) -> None:
    with pytest.raises(InputError) as caught:
        fence_outline(corners)
    assert part in caught.value.line()
    assert caught.value.fix


def test_corners_are_whole_millimetres_and_not_doubled() -> None:
    drawn = ((0.00049, 0.0), (10.0, 0.0), (10.0, 0.0002), (10.0, 8.0), (0.0, 8.0), (0.0, 0.0))
    assert fence_outline(drawn) == SQUARE


@given(st.lists(place, min_size=3, max_size=8))
def test_what_is_taken_is_a_simple_shape_and_what_is_refused_is_none(corners: list) -> None:  # type: ignore[type-arg]
    try:
        taken = fence_outline(tuple(corners))
    except InputError:
        rounded = [(round(x, 3), round(y, 3)) for x, y in corners]
        kept = [p for p, q in itertools.pairwise([*rounded, rounded[0]]) if math.dist(p, q) > 1e-3]
        simple = len(kept) > 2 and shapely.LinearRing(kept).is_simple
        assert not simple or Polygon(kept).area < 0.02
    else:
        shape = Polygon(taken)
        assert shape.is_valid
        assert shape.area >= 0.01
        Fence(name="f", tier="public", threshold=1.0, outline=taken)


def test_corners_go_in_out_and_elsewhere_and_the_last_side_closes_the_line() -> None:
    assert with_corner(SQUARE, 3, (-1.0, 4.0)) == (*SQUARE, (-1.0, 4.0))
    assert with_corner(SQUARE, 0, (5.0, -1.0))[1] == (5.0, -1.0)
    assert with_moved(SQUARE, 2, (12.0, 9.0))[2] == (12.0, 9.0)
    assert without_corner(SQUARE, 1) == (SQUARE[0], *SQUARE[2:])


def site() -> Site:
    hole = ((4.0, 3.0), (6.0, 3.0), (6.0, 5.0), (4.0, 5.0))
    return Site(
        name="s",
        antennas=(),
        surfaces=(Surface(name="roof", kind="roof", height=9.0, outline=SQUARE, holes=(hole,)),),
        structures=(
            Structure(
                name="wall", kind="wall", outline=((1.0, 1.0), (1.0, 7.0)), base=9.0, top=11.0
            ),
        ),
        fences=(
            Fence(name="old", tier="public", threshold=1.0, outline=((2, 2), (3, 2), (3, 2.9))),
        ),
    )


def test_lines_snap_to_corners_before_edges_and_only_within_reach() -> None:
    found = targets(site())
    assert snap(found, (10.2, 8.1), 0.5).what == "corner of roof"
    assert snap(found, (10.2, 8.1), 0.5).place == (10.0, 8.0)
    assert snap(found, (4.7, 3.1), 0.3).place == pytest.approx((4.7, 3.0))
    assert snap(found, (4.7, 3.1), 0.3).what == "edge of roof"
    assert snap(found, (1.2, 4.0), 0.3).what == "edge of wall"
    assert snap(found, (2.1, 2.1), 0.3).what == "corner of old"
    assert snap(targets(site(), leave_out=("old",)), (2.1, 2.1), 0.3).what == ""
    free = snap(found, (7.7, 6.2), 0.3)
    assert (free.place, free.what) == ((7.7, 6.2), "")
    # The side that would close a wall's line is not there.
    assert snap(found, (5.5, 1.0), 0.3).what == ""


def test_a_site_with_nothing_on_it_draws_nothing_to_anything() -> None:
    assert snap(targets(Site(name="s", antennas=())), (1.0, 2.0), 5.0).place == (1.0, 2.0)


@given(place, st.floats(0.0, 30.0))
def test_a_snapped_place_is_within_reach_and_on_a_target(at: tuple[float, float], r: float) -> None:
    found = targets(site())
    one = snap(found, at, r)
    assert math.dist(one.place, at) <= r + 1e-9
    lines = shapely.multilinestrings(shapely.linestrings(found.edges))
    near = min(
        float(lines.distance(shapely.Point(at))), *np.hypot(*(found.corners - at).T).tolist()
    )
    if one.what:
        on = shapely.Point(one.place)
        assert (
            lines.distance(on) < 1e-9
            or min(np.hypot(*(found.corners - np.array(one.place)).T)) == 0.0
        )
    else:
        assert near > r - 1e-9
