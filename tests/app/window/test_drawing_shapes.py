"""Shapes of a site drawn on the plan, with the real widgets, mouse and keys."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.modes.shape_kinds import DRAWN
from app.modes.tracing import Tracing
from app.window.main_window import MainWindow
from core.files.site_file import load_site
from core.site.parts import Part
from core.site.site import Site
from support.drawing_hand import CTRL, SHIFT, Hand, draw_the_demo_roof
from support.places import ROOT
from support.windows import settle, wait_for

K = Qt.Key
ROOF = ROOT / "demo_sites" / "harrow-lane-roof" / "harrow-lane-roof.json"


@pytest.fixture
def hand(window: MainWindow) -> Hand:
    """A hand on the plan of a new site."""
    window.desk.beginning.begin(Site(name="new", antennas=()))
    settle(window)
    return Hand(window)


def mode(hand: Hand) -> Tracing:
    traced = hand.window.desk.shapes.mode
    assert isinstance(traced, Tracing)
    return traced


def test_the_demo_roof_is_drawn_by_keys_alone(hand: Hand) -> None:
    draw_the_demo_roof(hand)
    site, shipped = hand.window.document.site, load_site(ROOF)
    assert site.structures == shipped.structures
    assert site.ladders == shipped.ladders
    assert [a.position for a in site.access_points] == [a.position for a in shipped.access_points]
    named = {"Exchange building roof": "Main roof"}
    for drawn, wanted in zip(site.surfaces, shipped.surfaces, strict=True):
        assert named.get(drawn.name, drawn.name) == wanted.name
        assert (drawn.kind, drawn.height) == (wanted.kind, wanted.height)
        assert (drawn.outline, drawn.holes) == (wanted.outline, wanted.holes)
    texts = [hand.window.document.stack.text(i) for i in range(1, 10)]
    assert texts[1] == "draw 'Exchange building'"
    for _ in range(9):
        hand.window.document.stack.undo()
    assert hand.window.document.site == Site(name="new", antennas=())


def test_a_roof_is_traced_by_clicks_that_snap_square(hand: Hand) -> None:
    hand.begin("roof")
    assert hand.action("draw roof").isChecked()
    hand.click((-10.1, -8.03), (12.0, -7.9))
    assert mode(hand).corners[1] == (pytest.approx(12.0, abs=0.3), mode(hand).corners[0][1])
    hand.click((11.8, 9.0))
    hand.point((-10.0, 9.1))
    wait_for(lambda: "square to both ends" in mode(hand).sketch().state)
    hand.click((-10.0, 9.1), (-10.1, -8.03))
    a, b, c, d = mode(hand).corners
    assert (a[1], b[0], c[1], d[0]) == (b[1], c[0], d[1], a[0])
    hand.type("12 ft 6 in", "Low roof")
    (roof,) = hand.window.document.site.surfaces
    assert (roof.name, roof.height, roof.outline) == ("Low roof", 3.81, (a, b, c, d))
    assert not hand.action("draw roof").isChecked()
    assert hand.window.maps.scene.part == Part("surfaces", "Low roof")
    assert hand.window.maps.scene.pin is None


def test_lengths_go_where_the_pointer_is_and_all_is_taken_back(hand: Hand) -> None:
    hand.begin("wall")
    hand.click((0.0, 0.0))
    start = mode(hand).corners[0]
    hand.point((0.05, 9.0))
    hand.type("12.5")
    assert mode(hand).corners[1] == pytest.approx((start[0], start[1] + 12.5))
    hand.type("10 @ 90")
    hand.type("3 m S 2 m E")
    assert mode(hand).corners[2:] == (
        pytest.approx((start[0] + 10.0, start[1] + 12.5)),
        pytest.approx((start[0] + 12.0, start[1] + 9.5)),
    )
    hand.window.panel("controls").feet.click()
    hand.type("10 @ 180")
    assert mode(hand).corners[4] == pytest.approx((start[0] + 12.0, start[1] + 9.5 - 3.048))
    hand.window.panel("controls").feet.click()
    # Letters, answers and places are taken back one by one.
    hand.begin("roof")
    hand.type("0; 0", "9; 0", "9; 9")
    QTest.keyClicks(hand.plan, "4; 44")
    hand.key(K.Key_Backspace)
    assert mode(hand).text == "4; 4"
    hand.key(K.Key_Escape)
    assert mode(hand).text == ""
    hand.key(K.Key_Z, CTRL)
    assert len(mode(hand).corners) == 2
    hand.type("9; 9")
    hand.key(K.Key_Return)
    hand.type("5")
    assert mode(hand).ask.name == "name"
    hand.key(K.Key_Backspace)
    assert mode(hand).ask.name == "height"
    hand.key(K.Key_Backspace)
    assert not mode(hand).asking
    hand.key(K.Key_Escape)
    assert hand.window.desk.shapes.mode is None
    assert not hand.window.document.site.surfaces
    assert hand.window.document.stack.count() == 1


WRONG = (
    ("roof", ("12.5",), "there is none yet", "12.5"),
    ("roof", ("0; 0", "5 @ north"), "'north' is not a number", "5 @ north"),
    ("roof", ("0; 0", "3 4"), "is not a length", "3 4"),
    ("roof", ("1; 2; 3; 4",), "is no place", "1; 2; 3; 4"),
    ("roof", ("0; 0", "1e9 @ 90"), "is not a length", "1e9 @ 90"),
    ("roof", ("0; 0", "9; 9", "9; 0", "0; 9", ""), "cross or touch itself", ""),
    ("roof", ("0; 0", "9; 9", ""), "at least 3 corners", ""),
    ("roof", ("0; 0", "9; 0", "9; 9", "", ""), "Roof: type it", ""),
    ("roof", ("0; 0", "9; 0", "9; 9", "", "high"), "Height: 'high'", "high"),
    ("wall", ("0; 0", ""), "at least 2 points", ""),
    ("wall", ("0; 0", "9; 0", "", "-1"), "top: -1 m is not above its foot at 0 m", "-1"),
    ("ladder", ("0; 0", ""), "at least 2 points", ""),
    ("tower", ("0; 0", "30", "0"), "width: 0 m", "0"),
    ("hole", ("0; 0", "9; 0", "9; 9", ""), "lies in no surface", ""),
)  # fmt: skip
"""Kind, what is typed, part of what is said, and what stays to be mended."""


def test_what_cannot_be_used_is_said_and_stays(hand: Hand) -> None:
    message = hand.window.message
    for kind, texts, part, stays in WRONG:
        message.hide()
        hand.begin(kind)
        hand.type(*texts)
        assert part in message.text()
        assert message.isVisible()
        assert "\n" not in message.text()
        assert mode(hand).text == stays
        assert mode(hand).corners or len(texts) == 1
        assert hand.window.document.stack.count() == 1
        hand.window.desk.shapes.stop()


def test_towers_and_ways_in_are_a_click_ladders_have_heights(hand: Hand) -> None:
    hand.begin("tower")
    hand.click((4.0, 5.0))
    hand.type("60", "0.9", "")
    tower = hand.window.document.site.structures[0]
    assert (tower.name, tower.kind, tower.base, tower.top) == ("Tower", "tower", 0.0, 60.0)
    xs = sorted(x for x, _ in tower.outline)
    assert xs[-1] - xs[0] == pytest.approx(0.9)
    hand.begin("mast")
    hand.click((-4.0, 5.0))
    hand.click((0.0, 0.0))
    assert "type it" in hand.window.message.text()
    hand.type("+12", "", "Tower")
    assert "two entries are called 'Tower'" in hand.window.message.text()
    assert mode(hand).text == "Tower"
    hand.key(K.Key_Escape)
    hand.type("Whip mast")
    assert hand.window.document.site.structures[1].top == 12.0
    hand.begin("hatch")
    hand.click((1.0, 1.0))
    hand.type("")
    assert hand.window.document.site.access_points[0].name == "Hatch"
    # A ladder has heights typed, or of what is below.
    hand.draw("roof", "0; 0 | 9; 0 | 9; 9 | 0; 9", "6", "Roof")
    hand.begin("ladder")
    hand.type("-0.3; 4")
    hand.type("+7")
    hand.click((5.0, 4.0))
    hand.key(K.Key_Return)
    hand.type("Way up")
    (ladder,) = hand.window.document.site.ladders
    assert ladder.points[:2] == ((-0.3, 4.0, 0.0), (-0.3, 4.0, 7.0))
    assert ladder.points[2][2] == 6.0


def test_a_hole_is_cut_and_corners_snap_to_what_is_drawn(hand: Hand) -> None:
    hand.draw("ground", "-30; -30 | 30; -30 | 30; 30 | -30; 30", "", "")
    hand.draw("roof", "-10; -10 | 10; -10 | 10; 10 | -10; 10", "8", "Roof")
    hand.begin("hole")
    hand.type("-2; -2", "2; -2", "2; 2", "")
    ground, roof = hand.window.document.site.surfaces
    assert (ground.holes, roof.holes) == ((), (((-2.0, -2.0), (2.0, -2.0), (2.0, 2.0)),))
    assert hand.window.document.stack.undoText() == "cut a hole in 'Roof'"
    hand.begin("railing")
    hand.click((9.9, 9.9), (-9.9, 10.1))
    assert mode(hand).corners == ((10.0, 10.0), (-10.0, 10.0))
    hand.click((-12.0, 10.1), modifier=SHIFT)
    assert mode(hand).corners[2] != (-12.0, 10.0)
    hand.key(K.Key_Return)
    hand.type("+1.1", "")
    assert hand.window.document.site.structures[0].base == 8.0


def test_one_kind_takes_the_place_of_another_and_opening_ends_it(
    hand: Hand, tmp_path: Path
) -> None:
    for kind in ("roof", "wall", "ladder"):
        hand.begin(kind)
        assert [k.key for k in DRAWN if hand.action(f"draw {k.key}").isChecked()] == [kind]
        assert mode(hand).kind.key == kind
    hand.window.fences.draw(True)
    hand.window.fences.stop()
    path = tmp_path / "s.json"
    assert hand.window.files.save_to(path)
    hand.begin("wall")
    hand.type("0; 0")
    hand.window.open(path)
    assert hand.window.desk.shapes.mode is None
    assert hand.plan.hand is None
    assert not hand.action("draw wall").isChecked()
    # The kind drawn last is drawn again by one key.
    hand.begin("platform")
    hand.key(K.Key_Escape)
    hand.window.desk.draw_again()
    assert mode(hand).kind.key == "platform"
