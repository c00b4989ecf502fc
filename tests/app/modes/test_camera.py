"""The camera: what it keeps in place, and how far it goes (app.modes.camera)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.modes.camera import CLOSEST, FARTHEST_OUT, Camera, Trail, fitted

SIZE = (640.0, 480.0)
coordinate = st.floats(-2000.0, 2000.0)
scale = st.floats(0.001, 10.0)


def pixel(camera: Camera, name: str, place: tuple[float, float]) -> tuple[float, float]:
    left, _, _, high = camera.bounds(name, SIZE)
    return (place[0] - left) / camera.scale, (high - place[1]) / camera.scale


@given(scale, coordinate, coordinate, st.floats(0.1, 10.0), st.floats(0, 640), st.floats(0, 480))
def test_zooming_leaves_the_place_under_the_pointer(
    start: float, u: float, v: float, closer: float, x: float, y: float
) -> None:
    camera = Camera(start, {"plan": (u, v), "elevation": (1.0, 2.0)})
    left, _, _, high = camera.bounds("plan", SIZE)
    about = left + x * start, high - y * start
    after = camera.zoomed("plan", about, closer)
    assert pixel(after, "plan", about) == pytest.approx((x, y), abs=1e-3)
    assert after.scale == pytest.approx(min(max(start / closer, CLOSEST), FARTHEST_OUT))
    assert after.middle("elevation") == (1.0, 2.0), "the other map does not move"


def test_closer_shows_less_of_both_maps() -> None:
    camera = Camera(0.1, {"plan": (5.0, 5.0), "elevation": (0.0, 20.0)})
    after = camera.zoomed("plan", (5.0, 5.0), 2.0)
    for name in ("plan", "elevation"):
        left, low, right, high = after.bounds(name, SIZE)
        assert (right - left, high - low) == pytest.approx((32.0, 24.0))


def test_panning_right_and_up_shows_what_is_east_and_high() -> None:
    camera = Camera(0.1, {"plan": (0.0, 0.0), "elevation": (0.0, 0.0)})
    after = camera.panned("plan", 3.0, 2.0)
    assert after.middle("plan") == (3.0, 2.0)
    assert after.middle("elevation") == (0.0, 0.0)
    assert after.scale == camera.scale


def test_from_a_centimetre_to_ten_kilometres() -> None:
    camera = Camera(0.1, {"plan": (0.0, 0.0)})
    near = camera.zoomed("plan", (0.0, 0.0), 1e9)
    far = camera.zoomed("plan", (0.0, 0.0), 1e-9)
    assert 0.01 / near.scale >= 20.0, "a centimetre can be seen"
    assert 10_000.0 / far.scale <= 640.0, "ten kilometres fit"
    assert (near.scale, far.scale) == (CLOSEST, FARTHEST_OUT)
    # The least map of the window is still a view (core.views.views.LEAST_SIDE).
    left, low, right, high = near.bounds("plan", (260.0, 260.0))
    assert min(right - left, high - low) >= 0.1


@given(coordinate, coordinate, st.floats(0.5, 3000.0), st.floats(0.5, 3000.0))
def test_what_is_fitted_is_seen_whole_on_every_map(u: float, v: float, w: float, h: float) -> None:
    boxes = {"plan": (u, v, u + w, v + h), "elevation": (-h, 0.0, h, w)}
    sizes = {"plan": SIZE, "elevation": (300.0, 500.0)}
    camera = fitted(boxes, sizes)
    for name, (left, low, right, high) in boxes.items():
        a, b, c, d = camera.bounds(name, sizes[name])
        assert a <= left
        assert b <= low
        assert c >= right
        assert d >= high


def test_the_way_back_has_no_end_but_the_beginning() -> None:
    trail, cameras = Trail(), [Camera(0.1 * (i + 1)) for i in range(3)]
    for camera in cameras:
        trail = trail.after(camera)
    found = []
    while True:
        camera, trail = trail.back()
        if camera is None:
            break
        found.append(camera)
    assert found == cameras[::-1]
    assert trail == Trail()
