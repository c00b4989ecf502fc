"""The tasks of the window: a tab or a key turns to one, its panels are shown and no others."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.window.main_window import MainWindow
from app.window.panels.table import PANELS
from app.window.tasks import EVERY, TASKS

DEMO = Path(__file__).parents[3] / "demo_sites" / "harrow-lane-roof" / "harrow-lane-roof.json"


@pytest.mark.parametrize("named", TASKS, ids=lambda named: named.task)
def test_a_key_turns_to_a_task_and_shows_its_panels(window: MainWindow, named) -> None:
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window)
    key = getattr(Qt.Key, f"Key_{named.key}")
    QTest.keyClick(window, key)
    assert window.maps.scene.task == named.task
    assert window.tasks.tabText(window.tasks.currentIndex()) == named.text
    for name, place, tasks, _ in PANELS:
        if tasks == EVERY:
            continue
        panel = window.panel(name)
        if place == "below":
            tabs = panel.parentWidget().parentWidget()
            assert tabs.isTabVisible(tabs.indexOf(panel)) == (named.task in tasks), name
        elif place == "instead of the maps":
            assert panel.isVisibleTo(window) == (named.task in tasks), name
        else:
            assert panel.isHidden() != (named.task in tasks), name


def test_turning_to_another_task_computes_nothing_and_moves_no_map(window: MainWindow) -> None:
    window.open(DEMO)
    # A map that shows all of the site goes on to show all of it in whatever room a task leaves to it.
    window.maps.steering.zoom(1)
    before = window.maps.scene
    window.tasks.setCurrentIndex(2)
    after = window.maps.scene
    assert after.task == "entry"
    assert (after.camera, after.site, after.look) == (before.camera, before.site, before.look)
