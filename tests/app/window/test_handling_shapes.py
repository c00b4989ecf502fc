"""Shapes of a site chosen, moved, turned, typed, copied and removed, with the real widgets, mouse and keys."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCheckBox, QComboBox, QLineEdit, QMessageBox

from app.modes.handling import Handling
from app.window.corner_table import CornerTable
from app.window.document import Document
from app.window.main_window import MainWindow
from app.window.panels.shape_form import ShapeForm
from app.window.panels.what_is_there import WhatIsThere
from core.files.site_file import load_site
from core.files.site_writer import save_site, site_text
from core.site.parts import Part, value_of
from core.site.places import AccessPoint, Fence, Ladder, Structure, Surface
from core.site.site import Site
from support.drawing_hand import CTRL, LEFT, SHIFT, Hand
from support.shape_edits import random_shape_edit
from support.simple_sites import isotropic
from support.windows import settle

K = Qt.Key
YARD = ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0))
DECK = ((-10.0, -8.0), (10.0, -8.0), (10.0, 8.0), (-10.0, 8.0))
HUT = ((-4.0, -3.0), (4.0, -3.0), (4.0, 3.0), (-4.0, 3.0))


def yard() -> Site:
    return Site(
        name="yard",
        antennas=(),
        surfaces=(
            Surface(name="Yard", kind="ground", height=0.0, outline=YARD),
            Surface(name="Deck", kind="roof", height=5.0, outline=DECK, holes=(HUT,)),
        ),
        structures=(
            Structure(name="Hut", kind="penthouse", outline=HUT, base=5.0, top=8.0),
            Structure(name="Rail", kind="railing", outline=((-10.0, 8.0), (10.0, 8.0)), base=5.0, top=6.1),
        ),
        ladders=(Ladder(name="Way up", points=((10.2, 0.0, 0.0), (10.2, 0.0, 5.0))),),
        access_points=(AccessPoint(name="Door", kind="door", position=(0.0, -3.0, 5.0)),),
        fences=(Fence(name="f", tier="public", threshold=1.0, ladder="Way up", stops=((1.0, 2.0),)),),
        extent=(-20.0, -20.0, 20.0, 20.0),
    )  # fmt: skip


@pytest.fixture
def hand(window: MainWindow, tmp_path: Path) -> Hand:
    """A hand on the plan of a yard with a deck, in the task of what is there."""
    save_site(yard(), tmp_path / "yard.json")
    assert window.open(tmp_path / "yard.json")
    window.show_task("site")
    settle(window)
    return Hand(window)


def panel(hand: Hand) -> WhatIsThere:
    found = hand.window.panel("what is there")
    assert isinstance(found, WhatIsThere)
    return found


def form(hand: Hand) -> ShapeForm:
    return panel(hand).form


def typed(hand: Hand, field: str, text: str) -> QLineEdit:
    """Type into a field of the form, Enter after it."""
    line = form(hand).editors[field].widget
    assert isinstance(line, QLineEdit)
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)
    QTest.keyClick(line, K.Key_Return)
    return line


def chosen(hand: Hand) -> str:
    part = hand.window.maps.scene.part
    return part.name if part is not None else ""


def surface(hand: Hand, name: str) -> Surface:
    value = value_of(hand.window.document.site, Part("surfaces", name))
    assert isinstance(value, Surface)
    return value


def hut(hand: Hand) -> Structure:
    value = value_of(hand.window.document.site, Part("structures", "Hut"))
    assert isinstance(value, Structure)
    return value


def test_a_click_chooses_what_is_there_and_the_form_shows_it(hand: Hand) -> None:
    for place, name in (
        ((-20.0, -20.0), "Yard"), ((-7.0, 0.0), "Deck"), ((1.5, 1.0), "Hut"), ((5.0, 8.05), "Rail"),
        ((10.2, 0.05), "Way up"), ((0.1, -3.1), "Door"),
    ):  # fmt: skip
        hand.click(place)
        assert chosen(hand) == name
        assert form(hand).title.text() == name
        item = panel(hand).list.currentItem()
        assert item is not None
        assert item.text(0) == name
    elevation = hand.window.maps.pane("elevation").canvas
    for (u, v), name in (((3.0, 8.0), "Hut"), ((-9.0, 5.0), "Deck"), ((10.2, 2.0), "Way up")):
        QTest.mouseClick(elevation, LEFT, pos=elevation.pixel_of((u, v)).toPoint())
        assert chosen(hand) == name
    hand.click((0.1, -3.1))
    assert hand.window.maps.scene.pin is not None, "a click still pins a reading"
    assert hand.window.document.stack.count() == 0
    hand.window.show_task("field")
    hand.click((-20.0, -20.0))
    assert chosen(hand) == "Door", "other tasks choose nothing"
    assert all(p.canvas.map._marked for p in hand.window.maps.panes), "it is marked on every map"


def test_every_number_of_a_shape_can_be_typed(hand: Hand) -> None:
    shapes, site = hand.window.desk.shapes, hand.window.document
    shapes.choose(Part("surfaces", "Deck"))
    typed(hand, "height", "16 ft")
    assert surface(hand, "Deck").height == 4.8768
    assert site.stack.undoText() == "height of 'Deck'"
    typed(hand, "name", "Main deck")
    assert (chosen(hand), site.stack.undoText()) == ("Main deck", "rename 'Deck'")
    material = form(hand).editors["material"].widget
    assert isinstance(material, QComboBox)
    material.setCurrentText("concrete")
    material.activated.emit(material.currentIndex())
    assert surface(hand, "Main deck").material == "concrete"
    corners = form(hand).editors["outline"].widget
    assert isinstance(corners, CornerTable)
    corners.table.item(2, 0).setText("12,5")
    assert surface(hand, "Main deck").outline[2] == (12.5, 8.0)
    corners.ring.setCurrentIndex(1)
    corners.table.item(0, 1).setText("-2 m")
    assert surface(hand, "Main deck").holes[0][0] == (-4.0, -2.0)
    shapes.choose(Part("access_points", "Door"))
    typed(hand, "position", "1; -3; 5.25")
    public = form(hand).editors["public"].widget
    assert isinstance(public, QCheckBox)
    public.click()
    (door,) = site.site.access_points
    assert (door.position, door.public) == ((1.0, -3.0, 5.25), False)
    shapes.choose(Part("ladders", "Way up"))
    typed(hand, "name", "Cage ladder")
    assert site.site.fences[0].ladder == "Cage ladder"
    # The ladder went up with the deck that it leads to.
    hand.window.panel("controls").feet.click()
    assert form(hand).editors["points"].widget.table.item(1, 2).text() == "16"
    shapes.choose(Part("site"))
    typed(hand, "anchor", "41.2; -96.1")
    typed(hand, "grid_north", "10")
    assert site.site.grid_north == 10.0
    count = site.stack.count()
    for _ in range(count):
        site.stack.undo()
    assert site.site == yard()


def test_what_is_refused_stays_where_it_was_typed(hand: Hand) -> None:
    shapes, message = hand.window.desk.shapes, hand.window.message
    for part, field, text, why in (
        (Part("surfaces", "Deck"), "height", "high", "Height: 'high' is not a length"),
        (Part("surfaces", "Deck"), "height", "1e6", "is not a length"),
        (Part("surfaces", "Deck"), "height", "200 km", "height: 200000 m is not a place"),
        (Part("surfaces", "Deck"), "name", "Yard", "two entries are called 'Yard'"),
        (Part("structures", "Hut"), "top", "4", "top: 4 m is not above the base at 5 m"),
        (Part("access_points", "Door"), "position", "1; 2", "Place: '1; 2' is no place"),
    ):
        message.hide()
        shapes.choose(part)
        line = typed(hand, field, text)
        assert why in message.text()
        assert message.isVisible()
        assert (line.text(), form(hand).editors[field].is_refused) == (text, True)
        # It is there still when somebody comes back to it, and another edit leaves it.
        shapes.choose(Part("surfaces", "Yard"))
        shapes.move_by((0.0, 0.0, 0.0))
        shapes.choose(part)
        line = form(hand).editors[field].widget
        assert isinstance(line, QLineEdit)
        assert (line.text(), form(hand).editors[field].is_refused) == (text, True)
        QTest.keyClick(line, K.Key_End)
        line.setModified(True)
        QTest.keyClick(line, K.Key_Escape)
        assert not form(hand).editors[field].is_refused
    assert hand.window.document.site == yard()
    shapes.choose(Part("surfaces", "Deck"))
    table = form(hand).editors["outline"].widget.table
    table.item(1, 1).setText("west")
    assert "Corners: row 2, y: 'west' is not a length" in message.text()
    assert table.item(1, 1).text() == "west"
    table.item(1, 1).setText("-8")
    assert hand.window.document.site == yard()
    # Corners are put in, taken out and pasted.
    hand.window.desk.shapes.choose(Part("structures", "Hut"))
    corners = form(hand).editors["outline"].widget
    assert isinstance(corners, CornerTable)
    corners.table.setCurrentCell(0, 0)
    QTest.keyClick(corners.table, K.Key_Insert)
    assert hut(hand).outline[:3] == ((-4.0, -3.0), (0.0, -3.0), (4.0, -3.0))
    QTest.keyClick(corners.table, K.Key_Delete)
    assert hut(hand).outline == HUT
    QGuiApplication.clipboard().setText("0\t0\n5\t0\n5 ft\t9,5\n")
    QTest.keyClick(corners.table, K.Key_V, CTRL)
    assert hut(hand).outline == ((0.0, 0.0), (5.0, 0.0), (1.524, 9.5))
    corners.table.setCurrentCell(0, 0)
    QTest.keyClick(corners.table, K.Key_Delete)
    assert "has 2 corners" in hand.window.message.text()
    assert len(hut(hand).outline) == 3


def test_a_deck_takes_along_what_stands_on_it_and_the_window_names_antennas_that_stay(
    hand: Hand,
) -> None:
    """Typed, moved and dragged alike; one undo takes all of it back."""
    site = hand.window.document.site
    masted = replace(
        site, antennas=(isotropic("Stick", 98e6, 10.0, (2.0, 5.0, 7.0)),), limit_set="FCC"
    )
    hand.window.document.edit("put", lambda _: masted)
    hand.window.desk.shapes.choose(Part("surfaces", "Deck"))
    typed(hand, "height", "6.5")
    after = hand.window.document.site
    assert surface(hand, "Deck").height == 6.5
    assert [(s.base, s.top) for s in after.structures] == [(6.5, 9.5), (6.5, 7.6)]
    assert after.ladders[0].points == ((10.2, 0.0, 0.0), (10.2, 0.0, 6.5))
    assert after.access_points[0].position == (0.0, -3.0, 6.5)
    assert after.antennas[0].position == (2.0, 5.0, 7.0)
    said = hand.window.message.text()
    assert "antennas stay where they are: Stick" in said
    assert hand.window.message.isVisible()
    hand.window.document.stack.undo()
    assert hand.window.document.site == masted
    assert not hand.window.message.isVisible()
    by = form(hand).by
    by.setText("2 m E")
    QTest.keyClick(by, K.Key_Return)
    assert hand.window.document.site.access_points[0].position == (2.0, -3.0, 5.0)
    for text, height in (("50 cm up", 5.5), ("+1", 6.5), ("2 m down", 4.5)):
        by.setText(text)
        QTest.keyClick(by, K.Key_Return)
        assert surface(hand, "Deck").height == pytest.approx(height)
    by.setText("5 ft 6 in W")
    QTest.keyClick(by, K.Key_Return)
    assert surface(hand, "Deck").outline[0][0] == pytest.approx(-8.0 - 5.5 * 0.3048)
    assert "antennas stay" in hand.window.message.text()


def test_what_is_half_drawn_or_refused_in_the_form_is_asked_about_before_the_site_goes(
    hand: Hand, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def question(_: object, __: str, text: str, ___: object) -> QMessageBox.StandardButton:
        asked.append(text)
        return QMessageBox.StandardButton.Cancel

    monkeypatch.setattr(QMessageBox, "question", question)
    assert hand.window.files.may_leave()
    hand.begin("wall")
    hand.type("0; 0", "4; 0")
    assert not hand.window.files.may_leave()
    assert "typed or drawn of the half drawn wall" in asked[-1].lower()
    assert hand.window.files.save()
    assert "NOT in it: what is typed or drawn of the half drawn wall" in hand.window.message.text()
    hand.key(K.Key_Escape)
    hand.key(K.Key_Escape)
    assert hand.window.files.may_leave()
    hand.window.desk.shapes.choose(Part("structures", "Hut"))
    typed(hand, "top", "abc")
    hand.window.desk.shapes.choose(Part("surfaces", "Deck"))
    assert not hand.window.files.may_leave()
    assert "typed or drawn of Hut" in asked[-1]
    hand.window.desk.shapes.choose(Part("structures", "Hut"))
    assert hand.window.message.isVisible()
    typed(hand, "top", "8 m")
    assert not hand.window.message.isVisible(), "as it was before: the complaint is no longer true"
    typed(hand, "top", "9")
    assert hand.window.files.save()
    assert hand.window.files.may_leave()
    assert len(asked) == 2


def test_a_shape_is_dragged_by_its_middle_and_a_corner_by_itself(hand: Hand) -> None:
    hand.action("handle").trigger()
    hand.click((1.5, 1.0))
    assert chosen(hand) == "Hut"
    assert hand.window.document.stack.count() == 0
    hand.drag((1.5, 1.0), (4.0, 3.0))
    (x, y), *_ = hut(hand).outline
    assert (x, y) == (pytest.approx(-1.5, abs=0.2), pytest.approx(-1.0, abs=0.2))
    assert hand.window.document.stack.undoText() == "move 'Hut'"
    hand.window.document.stack.undo()
    assert hut(hand).outline == HUT
    hand.drag(HUT[2], (9.9, 7.9))
    assert hut(hand).outline == (*HUT[:2], (10.0, 8.0), HUT[3]), "drawn to the corner of the deck"
    assert hand.window.document.stack.undoText() == "move a corner of 'Hut'"
    hand.double((0.0, -3.0))
    assert len(hut(hand).outline) == 5
    hand.key(K.Key_Delete)
    assert len(hut(hand).outline) == 4
    hand.drag((0.0, 0.0), (60.0, 60.0))
    hand.key(K.Key_Escape)
    assert hand.window.desk.shapes.mode is None
    assert not hand.action("handle").isChecked()
    # A drag beside what is chosen moves the map.
    hand.action("handle").trigger()
    hand.window.desk.shapes.choose(Part("structures", "Hut"))
    before, count = hand.window.maps.scene.camera, hand.window.document.stack.count()
    hand.drag((-16.0, -16.0), (-14.0, -14.0))
    assert hand.window.maps.scene.camera != before
    assert hand.window.document.stack.count() == count


def test_keys_choose_move_turn_copy_and_remove(hand: Hand) -> None:
    stack = hand.window.document.stack
    hand.action("handle").trigger()
    hand.key(K.Key_Delete)
    assert "Nothing is chosen" in hand.window.message.text()
    hand.key(K.Key_Space)
    assert chosen(hand) == "Yard"
    for _ in range(2):
        hand.key(K.Key_Space)
    assert chosen(hand) == "Hut"
    for _ in range(3):
        hand.key(K.Key_Right)
    hand.key(K.Key_Up, SHIFT)
    assert stack.count() == 1, "steps in a row undo as one"
    assert hut(hand).outline[0] == (-2.5, -2.9)
    stack.undo()
    hand.key(K.Key_Return)
    hand.key(K.Key_Left)
    assert hut(hand).outline == ((-4.5, -3.0), *HUT[1:])
    stack.undo()
    mode = hand.window.desk.shapes.mode
    assert isinstance(mode, Handling)
    QTest.keyClicks(form(hand).turn, "90")
    QTest.keyClick(form(hand).turn, K.Key_Return)
    assert set(hut(hand).outline) == {(-3.0, 4.0), (-3.0, -4.0), (3.0, -4.0), (3.0, 4.0)}
    assert stack.undoText() == "turn 'Hut'"
    for text, first in (("3 m W 1 m N", (-6.0, 5.0)), ("+1 ft", (-6.0, 5.0))):
        QTest.keyClicks(form(hand).by, text)
        QTest.keyClick(form(hand).by, K.Key_Return)
        assert hut(hand).outline[0] == first
        assert form(hand).by.text() == ""
    assert (hut(hand).base, hut(hand).top) == (5.3048, 8.3048)
    QTest.keyClicks(form(hand).by, "far")
    QTest.keyClick(form(hand).by, K.Key_Return)
    assert "Move by" in hand.window.message.text()
    assert form(hand).by.text() == "far"
    hand.window.desk.shapes.copy()
    assert (chosen(hand), stack.undoText()) == ("Hut 2", "copy 'Hut'")
    panel(hand).list.setFocus()
    QTest.keyClick(panel(hand).list, K.Key_Delete)
    assert stack.undoText() == "remove 'Hut 2'"
    assert chosen(hand) == ""
    hand.window.desk.shapes.choose(Part("ladders", "Way up"))
    hand.window.desk.shapes.remove_chosen()
    site = hand.window.document.site
    assert not site.ladders
    assert not site.fences, "the stops of a ladder go with it"
    while stack.canUndo():
        stack.undo()
    assert hand.window.document.site == yard()


def test_random_edits_of_shapes_are_undone_and_done_again_to_the_byte(
    qt: QApplication, tmp_path: Path
) -> None:
    document, rng = Document(), random.Random(7)
    save_site(yard(), tmp_path / "s.json")
    document.open(tmp_path / "s.json")
    first = site_text(document.site)
    for _ in range(400):
        random_shape_edit(document, rng)
    stack = document.stack
    assert stack.count() > 300
    assert all(stack.text(i).strip() for i in range(stack.count()))
    last = site_text(document.site)
    document.save(tmp_path / "t.json")
    assert load_site(tmp_path / "t.json") == document.site
    while stack.canUndo():
        stack.undo()
    assert site_text(document.site) == first
    while stack.canRedo():
        stack.redo()
    assert site_text(document.site) == last
