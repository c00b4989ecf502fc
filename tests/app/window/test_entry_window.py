"""The Entry task with the real widgets: jobs, stops, garment, profile; the verdict follows what is typed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from app.window import entries
from app.window.main_window import MainWindow
from app.window.panels.garment_card import GarmentCard
from app.window.panels.job_list import JobList
from app.window.panels.profile_pane import ProfilePane
from app.window.panels.stop_table import StopTable
from app.window.panels.verdict_line import VerdictLine
from core.site.state import Condition, State
from support.briefed import emitter, in_suit, job, mast
from support.entry_window import cell, opened, planned, write

K, M, LEFT = Qt.Key, Qt.KeyboardModifier, Qt.MouseButton.LeftButton
STRONG = emitter(eirp=60_000.0)


@pytest.fixture(autouse=True)
def _no_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(entries, "QUIET", 0)


def jobs(window: MainWindow) -> JobList:
    panel = window.panel("jobs")
    assert isinstance(panel, JobList)
    return panel


def stops(window: MainWindow) -> StopTable:
    panel = window.panel("stops")
    assert isinstance(panel, StopTable)
    return panel


def card(window: MainWindow) -> GarmentCard:
    panel = window.panel("garment")
    assert isinstance(panel, GarmentCard)
    return panel


def profile(window: MainWindow) -> ProfilePane:
    panel = window.panel("profile")
    assert isinstance(panel, ProfilePane)
    return panel


def press(window: MainWindow, name: str) -> None:
    button = window.findChild(QPushButton, name)
    assert button is not None
    QTest.mouseClick(button, LEFT)


# jobs ----------------------------------------------------------------------------------------------


def test_a_job_is_made_copied_renamed_and_deleted(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "m.json", mast(jobs=()))
    press(window, "job new")
    assert [j.name for j in window.document.site.jobs] == ["New job"]
    panel = jobs(window)
    write(panel.when, "tomorrow, 08:00")
    press(window, "job copy")
    assert [j.name for j in window.document.site.jobs] == ["New job", "New job 2"]
    assert window.maps.scene.chosen is window.document.site.jobs[1]
    assert window.document.site.jobs[1].when == "tomorrow, 08:00"
    item = panel.list.currentItem()
    assert item is not None
    item.setText("Lamp")
    assert [j.name for j in window.document.site.jobs] == ["New job", "Lamp"]
    item = panel.list.currentItem()
    assert item is not None
    item.setText("New job")
    assert "New job" in window.message.text()
    assert [j.name for j in window.document.site.jobs] == ["New job", "Lamp"]
    QTest.keyClick(panel.list, K.Key_Delete)
    assert [j.name for j in window.document.site.jobs] == ["New job"]
    while window.document.stack.canUndo():
        window.document.stack.undo()
    assert window.document.site.jobs == ()


def test_the_verdict_follows_states_and_says_what_is_about(
    window: MainWindow, tmp_path: Path
) -> None:
    opened(window, tmp_path / "m.json", mast(STRONG))
    assert "NO GO" in planned(window)
    table = jobs(window).states
    cell(table, 0, 1).setText("locked out")
    line = window.panel("entry verdict")
    assert isinstance(line, VerdictLine)
    assert line.sentence.text().startswith("About")
    assert "Go: no garment needed" in planned(window)
    assert window.document.site.jobs[0].states == (("North FM", State(Condition.LOCKED_OUT)),)
    cell(table, 0, 1).setText("loud")
    assert "loud" in window.message.text()
    assert cell(table, 0, 1).text() == "loud", "what was typed stays"
    assert window.document.site.jobs[0].states == (("North FM", State(Condition.LOCKED_OUT)),)
    window.document.stack.undo()
    assert "NO GO" in planned(window)


def test_an_edit_of_the_site_is_followed_and_one_that_changes_nothing_is_not(
    window: MainWindow, tmp_path: Path
) -> None:
    opened(window, tmp_path / "m.json", mast(STRONG))
    before = window.entries.worker.newest
    window.document.set_fences((), "nothing")
    assert window.entries.worker.newest == before
    window.document.set_state(0, State(Condition.OFF))
    assert "Go" in planned(window)
    assert window.entries.worker.newest > before


def test_a_job_that_names_what_is_gone_is_said_in_one_line(
    window: MainWindow, tmp_path: Path
) -> None:
    opened(window, tmp_path / "m.json", mast(STRONG))
    window.document.edit("no ladder", lambda site: replace(site, ladders=()))
    assert "cannot be said" in planned(window)
    window.document.stack.undo()
    assert "NO GO" in planned(window)


def test_the_work_volume_is_typed(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "m.json", mast(STRONG))
    panel = jobs(window)
    write(panel.last, "35 m")
    work = window.document.site.jobs[0].work
    assert work is not None
    assert work.heights == (29.5, 35.0)
    write(panel.first, "39 m")
    assert "lower value first" in window.message.text()
    assert panel.first.text() == "39 m"
    write(panel.first, "400 m")
    assert "is not on ladder" in window.message.text()
    window.document.stack.undo()
    work = window.document.site.jobs[0].work
    assert work is not None
    assert work.heights == (29.5, 30.5)


# stops ---------------------------------------------------------------------------------------------


def test_stops_are_typed_and_what_is_refused_stays(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "m.json", mast(STRONG))
    panel = stops(window)
    cell(panel.table, 2, 3).setText("20 min")
    route = window.document.site.jobs[0].route
    assert route is not None
    assert route.stops[2].dwell == 1200.0
    cell(panel.table, 2, 2).setText("ladder, 25 m")
    route = window.document.site.jobs[0].route
    assert route is not None
    assert route.stops[2].height == 25.0
    for column, text, said in (
        (3, "soon", "soon"), (2, "ladder, 400 m", "is not on ladder"), (2, "up there", "is not a length"),
    ):  # fmt: skip
        cell(panel.table, 2, column).setText(text)
        assert said in window.message.text()
        assert cell(panel.table, 2, column).text() == text
    route = window.document.site.jobs[0].route
    assert route is not None
    assert (route.stops[2].dwell, route.stops[2].height) == (1200.0, 25.0)
    planned(window)
    assert "%" in cell(panel.table, 2, 4).text()
    panel.table.setCurrentCell(0, 1)
    QTest.mouseClick(panel.remove, LEFT)
    route = window.document.site.jobs[0].route
    assert route is not None
    assert [s.name for s in route.stops] == ["Foot", "Lamp"]


def test_a_ladder_is_climbed_by_choosing_it(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "m.json", mast(STRONG, plan=job(route=None)))
    QTest.mouseClick(stops(window).climb, LEFT)
    route = window.document.site.jobs[0].route
    assert route is not None
    assert [(s.ladder, s.height) for s in route.stops] == [("ladder", 1.0), ("ladder", 40.0)]


# profile -------------------------------------------------------------------------------------------


def test_hovering_the_profile_marks_the_maps_and_a_click_pins(
    window: MainWindow, tmp_path: Path
) -> None:
    opened(window, tmp_path / "m.json", mast(STRONG))
    pane = profile(window)
    QTest.qWait(50)
    course = pane.course
    assert course is not None
    assert not course.about
    index = len(course.seconds) // 3
    at = pane.canvas.pixel_of(index).toPoint()
    QTest.mouseMove(pane.canvas, at)
    for name in ("plan", "elevation"):
        told = window.maps.pane(name).canvas.told
        assert told is not None
        assert "public" in told.words or "occupational" in told.words
    shown = window.maps.pane("elevation").canvas.told
    QTest.mouseClick(pane.canvas, LEFT, M.NoModifier, at)
    pin = window.maps.scene.pin
    assert pin is not None
    assert shown is not None
    assert abs(pin.place[2] - shown.place[1]) < 1e-6
    QTest.keyClick(pane.canvas, K.Key_Right)
    moved = window.maps.scene.pin
    assert moved is not None
    assert moved.place != pin.place
    QTest.mouseMove(window, QPoint(5, 5))
    pane.canvas.hovered.emit(-1)
    assert window.maps.pane("plan").canvas.told is None
    QTest.mouseClick(pane.length, LEFT, pos=QPoint(8, pane.length.height() // 2))
    assert pane.canvas.shown is not None
    assert pane.canvas.shown.length


# garment -------------------------------------------------------------------------------------------


def test_the_card_is_typed_and_the_verdict_follows(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "m.json", mast(emitter(eirp=1500.0), plan=in_suit()))
    panel = card(window)
    assert "Go in the complete set" in planned(window)
    QTest.mouseClick(
        panel.parts["gloves"], LEFT, pos=QPoint(8, panel.parts["gloves"].height() // 2)
    )
    assert "incomplete" in planned(window)
    window.document.stack.undo()
    write(panel.inspected, "last week")
    assert "is not a date" in window.message.text()
    assert panel.inspected.text() == "last week"
    assert window.document.site.garments[0].inspected == "2026-11-01"
    cell(panel.bands, 0, 2).setText("120 %")
    assert "NO GO" in planned(window)
    cell(panel.bands, 0, 2).setText("lots")
    assert "lots" in window.message.text()
    assert cell(panel.bands, 0, 2).text() == "lots"
    assert window.document.site.garments[0].bands[0].percent == 120.0
    while window.document.stack.canUndo():
        window.document.stack.undo()
    assert "Go in the complete set" in planned(window)
    write(panel.why["reduce"], "")
    assert "reduce" in planned(window)
    write(panel.called, "suit")
    assert window.document.site.jobs[0].garment == "suit"


def test_a_new_card_is_worn_in_a_job_that_has_none_and_undone_at_once(
    window: MainWindow, tmp_path: Path
) -> None:
    opened(window, tmp_path / "m.json", mast(emitter(eirp=1500.0), plan=job()))
    panel = card(window)
    QTest.mouseClick(panel.new, LEFT)
    assert window.document.site.jobs[0].garment == "New set" == panel.which.currentData()
    assert "no credit" in planned(window)
    QTest.mouseClick(panel.new, LEFT)
    assert window.document.site.jobs[0].garment == "New set"
    assert len(window.document.site.garments) == 3
    window.document.stack.undo()
    window.document.stack.undo()
    assert window.document.site.jobs[0].garment == ""
    assert len(window.document.site.garments) == 1


def test_a_second_band_may_not_overlap(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "m.json", mast(emitter(eirp=1500.0), plan=in_suit()))
    bands = card(window).bands
    for column, text in enumerate(("500 MHz", "2 GHz", "9 dB")):
        cell(bands, 1, column).setText(text)
    assert "overlap" in window.message.text()
    assert cell(bands, 1, 0).text() == "500 MHz"
    cell(bands, 1, 0).setText("1 GHz")
    assert [b.decibels for b in window.document.site.garments[0].bands] == [None, 9.0]
