"""Shapes moved on the elevation: heights, tops, points of ladders and ways in, with the real mouse and keys."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.window.main_window import MainWindow
from app.window.pointing import PointedCanvas
from core.files.site_writer import save_site
from core.site.parts import Part, Shape, value_of
from core.site.places import AccessPoint, Ladder, Structure, Surface
from core.site.site import Site
from support.on_maps import LEFT, SHIFT, canvas, drag
from support.windows import settle

K = Qt.Key
YARD = ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0))
HUT = ((-4.0, -3.0), (4.0, -3.0), (4.0, 3.0), (-4.0, 3.0))
POST = ((14.0, -1.0), (16.0, -1.0), (16.0, 1.0), (14.0, 1.0))
Spot = tuple[float, float, float]


def yard() -> Site:
    return Site(
        name="yard",
        antennas=(),
        surfaces=(
            Surface(name="Yard", kind="ground", height=0.0, outline=YARD),
            Surface(name="Hut roof", kind="roof", height=8.0, outline=HUT),
            Surface(name="Deck", kind="platform", height=12.0, outline=((-20.0, -2.0), (-10.0, -2.0), (-10.0, 2.0))),
        ),
        structures=(
            Structure(name="Hut", kind="penthouse", outline=HUT, base=0.0, top=8.0),
            Structure(name="Post", kind="mast", outline=POST, base=0.0, top=20.0),
        ),
        ladders=(Ladder(name="Way up", points=((8.0, 5.0, 0.0), (8.0, 5.0, 10.0))),),
        access_points=(AccessPoint(name="Door", kind="door", position=(-7.0, -3.0, 3.0)),),
        extent=(-22.0, -22.0, 22.0, 22.0),
    )  # fmt: skip


@pytest.fixture
def opened(window: MainWindow, tmp_path: Path) -> MainWindow:
    save_site(yard(), tmp_path / "yard.json")
    assert window.open(tmp_path / "yard.json")
    window.show_task("site")
    settle(window)
    window.actions_by_name["handle"].trigger()
    return window


def side(window: MainWindow) -> PointedCanvas:
    return canvas(window, "elevation")


def pixel(window: MainWindow, spot: Spot) -> QPoint:
    """Return the pixel of a place on the elevation."""
    on = side(window)
    assert on.view is not None
    u, v = on.view.to_view(np.array([spot]))[0]
    return on.pixel_of((float(u), float(v))).toPoint()


def pull(window: MainWindow, start: Spot, end: Spot) -> None:
    """Choose what is at a place, and drag it elsewhere."""
    a, b = pixel(window, start), pixel(window, end)
    QTest.mouseClick(side(window), LEFT, pos=a)
    drag(side(window), a, b)


def shape(window: MainWindow, group: str, name: str) -> Shape:
    found = value_of(window.document.site, Part(group, name))  # type: ignore[arg-type]
    assert found is not None
    assert not isinstance(found, Site)
    return found


def test_a_surface_is_lifted_and_nothing_of_it_moves_on_the_plan(opened: MainWindow) -> None:
    scale = side(opened).scale
    pull(opened, (-15.0, 0.0, 12.0), (-12.0, 0.0, 15.0))
    deck = shape(opened, "surfaces", "Deck")
    assert isinstance(deck, Surface)
    assert deck.height == pytest.approx(15.0, abs=2.0 * scale)
    assert deck.outline == yard().surfaces[2].outline
    assert opened.document.stack.count() == 1
    assert opened.document.stack.undoText() == "lift 'Deck'"
    opened.document.stack.undo()
    assert opened.document.site == yard()


def test_a_top_is_dragged_and_drawn_to_heights_that_are_there(opened: MainWindow) -> None:
    pull(opened, (15.0, 0.0, 20.0), (15.0, 0.0, 12.0 + 4.0 * side(opened).scale))
    post = shape(opened, "structures", "Post")
    assert isinstance(post, Structure)
    assert (post.top, post.base, post.outline) == (12.0, 0.0, POST), "as high as the deck"
    opened.document.stack.undo()
    pull(opened, (15.0, 0.0, 20.0), (15.0, 0.0, -9.0))
    post = shape(opened, "structures", "Post")
    assert isinstance(post, Structure)
    assert post.top > post.base, "a top stays above its base"


def test_a_roof_goes_with_what_it_covers(opened: MainWindow) -> None:
    pull(opened, (0.0, 0.0, 8.0), (0.0, 0.0, 16.0))
    hut, roof = shape(opened, "structures", "Hut"), shape(opened, "surfaces", "Hut roof")
    assert isinstance(hut, Structure)
    assert isinstance(roof, Surface)
    assert hut.top == roof.height == pytest.approx(16.0, abs=2.0 * side(opened).scale)
    assert opened.document.stack.count() == 1


def test_a_point_of_a_ladder_goes_along_and_up_and_stays_upright(opened: MainWindow) -> None:
    scale = side(opened).scale
    pull(opened, (8.0, 5.0, 10.0), (8.0 + 3.0 * scale, 0.0, 14.0))
    ladder = shape(opened, "ladders", "Way up")
    assert isinstance(ladder, Ladder)
    assert ladder.points[0] == (8.0, 5.0, 0.0)
    assert ladder.points[1][:2] == (8.0, 5.0), "upright over its foot"
    assert ladder.points[1][2] == pytest.approx(14.0, abs=2.0 * scale)
    opened.document.stack.undo()
    pull(opened, (8.0, 5.0, 10.0), (11.0, 0.0, 10.0))
    ladder = shape(opened, "ladders", "Way up")
    assert isinstance(ladder, Ladder)
    assert ladder.points[1][0] == pytest.approx(11.0, abs=2.0 * scale)
    assert ladder.points[1][1] == 5.0, "how far it is from the plane stays"


def test_a_way_in_is_put_on_another_height(opened: MainWindow) -> None:
    pull(opened, (-7.0, -3.0, 3.0), (-9.0, 0.0, 8.0))
    door = shape(opened, "access_points", "Door")
    assert isinstance(door, AccessPoint)
    assert door.position[0] == pytest.approx(-9.0, abs=2.0 * side(opened).scale)
    assert door.position[1:] == (-3.0, 8.0)
    assert opened.document.stack.undoText() == "move 'Door'"


def test_what_has_no_clear_meaning_is_said_and_nothing_moves(opened: MainWindow) -> None:
    camera = opened.maps.scene.camera
    for start, why in (
        ((15.0, 0.0, 16.0), "Drag its top edge"),
        ((8.0, 5.0, 5.0), "drag one of its points"),
    ):
        at = pixel(opened, start)
        QTest.mouseClick(side(opened), LEFT, pos=at)
        drag(side(opened), at, at + QPoint(30, 30))
        assert why in opened.statusBar().currentMessage()
        assert not opened.message.isVisible()
    assert opened.document.site == yard()
    assert opened.document.stack.count() == 0
    assert opened.maps.scene.camera == camera


def test_escape_puts_it_back_and_a_typed_height_still_counts(opened: MainWindow) -> None:
    on = side(opened)
    at = pixel(opened, (-15.0, 0.0, 12.0))
    QTest.mouseClick(on, LEFT, pos=at)
    QTest.mousePress(on, LEFT, pos=at)
    QTest.mouseMove(on, at + QPoint(0, 40))
    assert "from where it was" in on._sketch.sketch.state
    QTest.keyClick(on, K.Key_Escape)
    QTest.mouseRelease(on, LEFT, pos=at + QPoint(0, 40))
    assert opened.document.stack.count() == 0
    line = opened.panel("what is there").form.editors["height"].widget
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, "6,5")
    QTest.keyClick(line, K.Key_Return)
    deck = shape(opened, "surfaces", "Deck")
    assert isinstance(deck, Surface)
    assert deck.height == 6.5
    QTest.keyClick(on, K.Key_Escape)
    assert on.hand is None
    assert canvas(opened).hand is None
    assert not opened.actions_by_name["handle"].isChecked()


def test_keys_choose_lift_and_remove(opened: MainWindow) -> None:
    on, stack = side(opened), opened.document.stack
    on.setFocus()
    QTest.keyClick(on, K.Key_Up)
    assert "Nothing is chosen" in opened.statusBar().currentMessage()
    for _ in range(3):
        QTest.keyClick(on, K.Key_Space)
    assert opened.maps.scene.part == Part("surfaces", "Deck")
    QTest.keyClick(on, K.Key_Up)
    QTest.keyClick(on, K.Key_Up, SHIFT)
    deck = shape(opened, "surfaces", "Deck")
    assert isinstance(deck, Surface)
    assert deck.height == pytest.approx(12.6)
    assert stack.count() == 1, "steps in a row are one edit"
    QTest.keyClick(on, K.Key_Right)
    assert "only its height" in opened.statusBar().currentMessage()
    opened.desk.shapes.choose(Part("ladders", "Way up"))
    QTest.keyClick(on, K.Key_Return)
    QTest.keyClick(on, K.Key_Right)
    ladder = shape(opened, "ladders", "Way up")
    assert isinstance(ladder, Ladder)
    assert ladder.points == ((8.0, 5.0, 0.0), (8.5, 5.0, 10.0))
    QTest.keyClick(on, K.Key_Delete)
    assert opened.document.site.ladders == ()
    while stack.canUndo():
        stack.undo()
    assert opened.document.site == yard()
