"""Nothing in the window is cut where there is little room: every text that has to be read can be."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QPushButton, QRadioButton, QToolButton

from app.window import entries
from app.window.main_window import MainWindow
from app.window.panels.emitters import EmitterTable
from app.window.panels.job_list import JobList
from app.window.panels.plan_panel import PlanPanel
from app.window.panels.profile_pane import ProfilePane
from app.window.panels.stop_table import StopTable
from core.site.state import Condition, NamedState, State
from support.briefed import emitter, job, mast
from support.entry_window import cell, opened, planned
from support.windows import settle, wait_for

LEFT = Qt.MouseButton.LeftButton
FOUR = [emitter(f"FM {n}", eirp=60_000.0, position=(4.0, float(n), 30.0)) for n in range(4)]


@pytest.fixture(autouse=True)
def _no_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(entries, "QUIET", 0)


def in_front(window: MainWindow, name: str) -> None:
    window.middle._tabs["below"].setCurrentWidget(window.panel(name))
    QApplication.processEvents()


def test_a_plan_shows_four_rows_and_all_that_is_asked_for(
    window: MainWindow, tmp_path: Path
) -> None:
    window.resize(1440, 900)
    opened(window, tmp_path / "m.json", mast(*FOUR))
    in_front(window, "power plan")
    panel = window.panel("power plan")
    assert isinstance(panel, PlanPanel)
    QTest.mouseClick(panel.look, LEFT)
    wait_for(lambda: panel.list.count() > 0)
    assert panel.table.rowCount() == 4
    last = panel.table.visualItemRect(cell(panel.table, 3, 0))
    assert last.bottom() <= panel.table.viewport().height()
    for box in (panel.where, panel.aim):
        assert box.width() >= box.sizeHint().width()
    item = panel.list.item(0)
    assert "kW less" in item.toolTip()
    assert panel.list.visualItemRect(item).width() <= panel.list.viewport().width()
    # What the plan's state does to emitters stands beside them, and is no text of the job.
    panel.plan_applied.emit(panel._plans[0], "quiet")
    planned(window)
    states = window.panel("jobs").states  # type: ignore[attr-defined]
    given = cell(states, 0, 1)
    assert given.text() == ""
    assert given.data(Qt.ItemDataRole.UserRole) == "(locked out)"
    assert "'quiet'" in given.toolTip()
    assert window.document.site.jobs[0].states == ()


def test_what_a_state_sets_is_shown_beside_what_the_job_sets(
    window: MainWindow, tmp_path: Path
) -> None:
    low = NamedState(name="low", states=(("FM 1", State(Condition.REDUCED, 10.0)),))
    plan = job(states=(("FM 0", State(Condition.OFF)),))
    opened(window, tmp_path / "m.json", mast(*FOUR, plan=plan, states=(low,)))
    window.maps.show_state("low")
    planned(window)
    panel = window.panel("jobs")
    assert isinstance(panel, JobList)
    texts = [cell(panel.states, r, 1).text() for r in range(3)]
    shown = [cell(panel.states, r, 1).data(Qt.ItemDataRole.UserRole) for r in range(3)]
    assert (texts, shown) == (["off", "", ""], ["", "(reduced to 10 %)", ""])


def test_entry_has_room_on_a_small_screen(window: MainWindow, tmp_path: Path) -> None:
    window.resize(1280, 720)
    opened(window, tmp_path / "m.json", mast(*FOUR))
    in_front(window, "stops")
    stops, profile = window.panel("stops"), window.panel("profile")
    assert isinstance(stops, StopTable)
    assert isinstance(profile, ProfilePane)
    for part in stops.findChildren(QPushButton) + stops.findChildren(QToolButton):
        words = part.fontMetrics().horizontalAdvance(part.text().replace("&", ""))
        assert part.width() >= words + 8, part.text()
    for field in (stops.climbing, stops.walking):
        assert field.geometry().right() <= stops.width()
        assert field.width() >= field.fontMetrics().horizontalAdvance(field.text()) + 10
    first = min(b.geometry().left() for b in profile.findChildren(QRadioButton))
    assert profile.words.geometry().right() <= first
    assert profile.words.toolTip() == profile.words.text()


def test_no_box_of_the_last_site_is_left_in_the_table(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "a.json", mast(*FOUR))
    window.document.stack.setClean()
    opened(window, tmp_path / "b.json", mast(*FOUR[:2]))
    settle(window)
    table = window.panel("emitters")
    assert isinstance(table, EmitterTable)
    boxes = [b for b in table.findChildren(QComboBox) if not b.isHidden()]
    assert len(boxes) == 2
    assert {table.cellWidget(r, 6) for r in range(2)} == set(boxes)
