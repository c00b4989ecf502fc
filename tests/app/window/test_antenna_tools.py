"""The chosen antennas: several at a time, copied, pasted, put elsewhere, turned to other sectors, renamed, removed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from app.window.dialogs.add_antenna import AddAntenna
from app.window.dialogs.place_antennas import AtStructure, OtherSectors
from app.window.main_window import MainWindow
from core.files.site_file import load_site
from core.files.site_writer import site_text
from core.site.places import Structure
from core.site.site import Site
from core.validation.data import PATTERNS
from support.every_kind import antenna_of, site_of
from support.forms import answer, take
from support.simple_sites import FREE, ground, isotropic
from support.windows import settle

SQUARE = ((9.0, -1.0), (11.0, -1.0), (11.0, 1.0), (9.0, 1.0))
MAST = Structure(name="mast", kind="mast", outline=SQUARE, base=2.0, top=30.0)
SITE = Site(
    name="three (invented)", reflection=FREE, surfaces=(ground(60.0),), structures=(MAST,),
    antennas=tuple(isotropic(f"Sector {i}", 98e6, 10.0, (10.0 * i, 4.0, 9.0)) for i in (1, 2, 3)),
)  # fmt: skip


def names(window: MainWindow) -> list[str]:
    return [a.name for a in window.document.site.antennas]


def choose_rows(window: MainWindow, *rows: int) -> None:
    """Click on rows of the list, the second and further ones with Ctrl."""
    table = window.panel("emitters")
    for n, row in enumerate(rows):
        at = table.visualItemRect(table.item(row, 2)).center()
        held = Qt.KeyboardModifier.ControlModifier if n else Qt.KeyboardModifier.NoModifier
        QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, held, at)


def test_several_are_chosen_copied_pasted_and_removed_and_undo_brings_all_back(
    window: MainWindow,
) -> None:
    take(window, SITE)
    before = site_text(window.document.site)
    table = window.panel("emitters")
    choose_rows(window, 0, 2)
    assert sorted(table.selected_antennas()) == [0, 2]
    QTest.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert "Sector 3" in QGuiApplication.clipboard().text()
    QTest.keyClick(table, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert names(window) == ["Sector 1", "Sector 2", "Sector 3", "Sector 4", "Sector 5"]
    assert window.document.site.antennas[3].position == (11.0, 4.0, 9.0)
    assert sorted(table.selected_antennas()) == [3, 4]
    assert window.document.stack.undoText() == "paste 2 antennas"
    # Once more: none of them lies on the copies that are there.
    window.antennas.paste()
    places = [a.position for a in window.document.site.antennas]
    assert len(set(places)) == len(places) == 7
    window.document.stack.undo()
    choose_rows(window, 3, 4)
    QTest.keyClick(table, Qt.Key.Key_Delete)
    assert names(window) == ["Sector 1", "Sector 2", "Sector 3"]
    choose_rows(window, 1)
    window.panel("antenna").tools["duplicate"].click()
    assert names(window)[-1] == "Sector 4"
    assert window.panel("antenna").title.text() == "4  Sector 4"
    while window.document.stack.canUndo():
        window.document.stack.undo()
    assert site_text(window.document.site) == before


def test_a_clipboard_of_something_else_is_said(window: MainWindow) -> None:
    take(window, SITE)
    QGuiApplication.clipboard().setText("a shopping list")
    window.antennas.paste()
    assert "no antennas of this program" in window.message.text()
    assert names(window) == ["Sector 1", "Sector 2", "Sector 3"]


def test_a_pattern_comes_along_to_another_site(window: MainWindow, tmp_path: Path) -> None:
    first, second = tmp_path / "a", tmp_path / "b"
    first.mkdir()
    second.mkdir()
    antenna = antenna_of("pattern")
    name = antenna.kind.file  # type: ignore[attr-defined]
    (first / name).write_bytes((PATTERNS / name).read_bytes())
    take(window, replace(SITE, antennas=(antenna,)))
    assert window.files.save_to(first / "a.json")
    window.antennas.copy()
    take(window, SITE)
    window.document.path = None
    assert window.files.save_to(second / "b.json")
    window.antennas.paste()
    assert names(window)[-1] == antenna.name, window.message.text()
    assert window.files.save_to(second / "b.json")
    assert (second / name).read_bytes() == (PATTERNS / name).read_bytes()
    assert load_site(second / "b.json").antennas[-1].name == antenna.name


def test_an_antenna_is_renamed_in_the_list_and_in_the_form(window: MainWindow) -> None:
    form = take(window, SITE)
    table = window.panel("emitters")
    table.item(1, 1).setText("FM main")
    assert names(window)[1] == "FM main"
    assert window.document.stack.undoText() == "rename Sector 2 to FM main"
    assert form.title.text() == "2  FM main"
    table.item(1, 1).setText("Sector 3")
    assert "another antenna is called 'Sector 3'" in window.message.text()
    assert table.item(1, 1).text() == "Sector 3"
    assert names(window)[1] == "FM main"
    table.select([0])
    assert "another antenna is called" in answer(form, "name", "Sector 3")
    assert not answer(form, "name", "UHF")
    assert (form.title.text(), names(window)[0]) == ("1  UHF", "UHF")
    window.document.stack.undo()
    assert form.title.text() == "1  Sector 1"


def test_a_click_on_the_plan_or_the_elevation_puts_it_there(window: MainWindow) -> None:
    form = take(window, SITE)
    settle(window)
    plan, elevation = (window.maps.pane(name).canvas for name in ("plan", "elevation"))
    form.tools["place"].click()
    at = QPoint(plan.width() // 3, plan.height() // 3)
    shift = Qt.KeyboardModifier.ShiftModifier
    QTest.mouseClick(plan, Qt.MouseButton.LeftButton, shift, at)
    x, y = plan.place_of(at)
    moved = window.document.site.antennas[0].position
    assert moved == pytest.approx((x, y, 9.0), abs=1e-3)
    assert window.document.stack.undoText() == "move Sector 1"
    assert plan.hand is None
    form.tools["place"].click()
    up = QPoint(elevation.width() // 2, elevation.height() // 4)
    QTest.mouseClick(elevation, Qt.MouseButton.LeftButton, shift, up)
    position = window.document.site.antennas[0].position
    # The elevation looks along 90°: there a click says how far east and how high.
    assert (position[1], position[2]) == pytest.approx(
        (moved[1], elevation.place_of(up)[1]), abs=2e-3
    )
    form.tools["place"].click()
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    assert (plan.hand, elevation.hand) == (None, None)
    assert not window.actions_by_name["put"].isChecked()
    assert window.document.site.antennas[0].position == position
    # By keys: from where it is, half a metre west.
    window.actions_by_name["put"].trigger()
    QTest.keyClick(plan, Qt.Key.Key_Left)
    QTest.keyClick(plan, Qt.Key.Key_Space)
    assert window.document.site.antennas[0].position[0] == pytest.approx(
        position[0] - 0.5, abs=2e-3
    )


def test_it_is_put_at_a_structure_by_height_bearing_and_distance(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    form = take(window, SITE)
    seen = []

    def fill(dialog: AtStructure) -> int:
        for field, text in (
            (dialog.level, "tall"),
            (dialog.bearing, "90"),
            (dialog.distance, "1.5 m"),
        ):
            field.clear()
            QTest.keyClicks(field, text)
        dialog.take()
        seen.append(dialog.message.text())
        dialog.level.clear()
        QTest.keyClicks(dialog.level, "20 m")
        dialog.turns.setChecked(True)
        dialog.take()
        return dialog.result()

    monkeypatch.setattr(AtStructure, "exec", fill)
    form.tools["structure"].click()
    assert "Height" in seen[0]
    assert "tall" in seen[0]
    antenna = window.document.site.antennas[0]
    assert antenna.position == pytest.approx((11.5, 0.0, 22.0))
    assert antenna.azimuth == 90.0
    take(window, replace(SITE, structures=()))
    window.antennas.ask_structure()
    assert "no structure yet" in window.message.text()


def test_the_same_at_other_bearings_is_one_edit(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    form = take(window, SITE)
    table = window.panel("emitters")
    seen = []

    def fill(dialog: OtherSectors) -> int:
        seen.append((dialog.about.currentText(), dialog.place.text()))
        dialog.turns.setText("north")
        dialog.take()
        seen.append(dialog.message.text())
        dialog.turns.setText("90; 180")
        dialog.take()
        return dialog.result()

    monkeypatch.setattr(OtherSectors, "exec", fill)
    table.select([0])
    form.tools["sectors"].click()
    assert seen[0] == ("mast (mast)", "10 m, 0 m")
    assert "Turned by" in seen[1]
    # Four metres north of the mast's middle: then east, then south of it.
    assert [a.position[:2] for a in window.document.site.antennas[3:]] == [
        (14.0, 0.0),
        (10.0, -4.0),
    ]
    assert names(window)[3:] == ["Sector 4", "Sector 5"]
    assert window.document.stack.count() == 1
    assert table.selectionModel().isSelected(table.model().index(4, 0))


def test_a_typed_centre_is_taken_in_the_unit_that_is_shown(window: MainWindow) -> None:
    dialog = OtherSectors(SITE, SITE.antennas[0], window, feet=True)
    dialog.place.clear()
    QTest.keyClicks(dialog.place, "0, 0")
    dialog.take()
    assert (dialog.angles, dialog.centre) == ((120.0, 240.0), (0.0, 0.0))
    dialog = OtherSectors(SITE, SITE.antennas[0], window, feet=True)
    dialog.take()
    assert dialog.centre == (10.0, 0.0)
    dialog.turns.setText("1, " * 40)
    dialog.take()
    assert "1 to 24" in dialog.message.text()


def test_the_dialog_of_a_class_is_a_way_into_the_form(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    form = take(window, SITE)
    window.show_task("field")
    offered = []

    def fill(dialog: AddAntenna) -> int:
        offered.append(dialog.position.text())
        dialog.entry.setCurrentIndex(dialog.entry.findData("stick-uhf"))
        for field, text in (
            (dialog.name, "UHF stick"),
            (dialog.frequency, "455 MHz"),
            (dialog.power, "50 W"),
        ):
            QTest.keyClicks(field, text)
        dialog._try()
        return dialog.result()

    monkeypatch.setattr(AddAntenna, "exec", fill)
    window.maps.look_at((3.0, 4.0, 0.0), True)
    window.antennas.ask_add()
    assert offered == ["3, 4, 0"]
    assert window.maps.scene.task == "site"
    assert form.title.text() == "4  UHF stick"
    assert form.isVisible()
    assert isinstance(form.findChild(QPushButton, "tool add"), QPushButton)


def test_nothing_chosen_is_said_and_a_row_of_another_site_is_not_chosen(window: MainWindow) -> None:
    form = take(window, SITE)
    window.document.site = site_of("dish")
    window.document.opened.emit()
    window.document.site_changed.emit(window.document.site)
    assert "No antenna is chosen" in form.title.text()
    for what in (
        window.antennas.duplicate,
        window.antennas.remove,
        window.actions_by_name["put"].trigger,
    ):
        what()
        assert "No antenna is chosen" in window.message.text()
    choose_rows(window, 0)
    assert form.title.text() == "1  dish (invented)"
