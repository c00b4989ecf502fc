"""Distances along a line (app.modes.measuring)."""

from __future__ import annotations

import numpy as np

from app.modes.drawing import Key, Left, Pointer
from app.modes.measuring import Measuring
from core.fences.snapping import Targets
from core.units import FOOT

CORNER = (10.0, 0.0)
NEAR = Targets(np.array([CORNER]), ("hut",), np.zeros((0, 2, 2)), ())
START = Measuring(("east", "west", "north", "south"), NEAR)


def put(mode: Measuring, *places: tuple[float, float]) -> Measuring:
    for place in places:
        mode, effect = mode.pressed(Pointer(place, 0.5))
        assert effect is None
    return mode


def test_a_distance_and_its_parts_are_said_with_their_directions() -> None:
    state = put(START, (0.0, 0.0)).moved(Pointer((-3.0, 4.0), 0.5)).sketch().state
    assert state == "5 m (3 m west, 4 m north)"
    feet = Measuring(START.ways, NEAR, feet=True)
    state = put(feet, (0.0, 0.0), (30.0 * FOOT, -40.0 * FOOT)).sketch().state
    assert state == "50.0 ft (30.0 ft east, 40.0 ft south)"


def test_the_whole_line_is_summed_and_snaps() -> None:
    mode = put(START, (0.0, 0.0), (10.2, 0.1))
    assert mode.places[1] == CORNER
    mode = put(mode, (10.0, 5.0))
    assert mode.sketch().state.endswith("in all 15 m")
    free, _ = put(START, (0.0, 0.0)).pressed(Pointer((10.2, 0.1), 0.5, free=True))
    assert free.places[1] == (10.2, 0.1)


def test_it_is_measured_with_keys_alone_taken_back_finished_and_begun_anew() -> None:
    mode = START
    for key in (Key.RIGHT, Key.SPACE, Key.RIGHT, Key.RIGHT, Key.UP, Key.SPACE):
        mode, _ = mode.key(key, shift=False)
    assert mode.places == ((0.5, 0.0), (1.5, 0.5))
    mode, _ = mode.key(Key.BACK, shift=False)
    assert len(mode.places) == 1
    mode = put(mode, (5.0, 5.0))
    mode, _ = mode.key(Key.CLOSE, shift=False)
    assert mode.done
    assert mode.moved(Pointer((9.0, 9.0), 0.5)).sketch().rubber == ()
    assert put(mode, (7.0, 7.0)).places == ((7.0, 7.0),)
    _, effect = mode.key(Key.LEAVE, shift=False)
    assert isinstance(effect, Left)
