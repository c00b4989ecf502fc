"""The tasks of the window: a tab or a key turns to one, its panels are shown and no others."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QTabWidget, QWidget

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
    seen = {name for name, *_ in PANELS if window.panel(name).isVisibleTo(window)}
    for name, place, tasks, _ in PANELS:
        if tasks == EVERY:
            continue
        if place in ("left", "below", "right"):
            tabs, page = shared(window.panel(name))
            assert tabs.isTabVisible(tabs.indexOf(page)) == (named.task in tasks), name
        else:
            assert (name in seen) == (named.task in tasks), name


def shared(panel: QWidget) -> tuple[QTabWidget, QWidget]:
    """Return the tabs that a panel is one of, and its page there."""
    page = panel
    while not isinstance(page.parentWidget().parentWidget(), QTabWidget):
        page = page.parentWidget()
    return page.parentWidget().parentWidget(), page


def test_a_task_comes_back_with_the_tab_it_was_left_with(window: MainWindow) -> None:
    window.show_task("entry")
    tabs, page = shared(window.panel("stops"))
    assert tabs.currentWidget() is page, "a task begins with the first of its own"
    tabs.setCurrentWidget(shared(window.panel("survey"))[1])
    window.show_task("field")
    assert tabs.currentWidget() is shared(window.panel("emitters"))[1]
    window.show_task("entry")
    assert tabs.currentWidget() is shared(window.panel("survey"))[1]
    window.show_task("briefing")
    assert not tabs.isVisibleTo(window), "paper has nothing below it"


def test_turning_to_another_task_changes_nothing_of_what_is_looked_at(window: MainWindow) -> None:
    window.open(DEMO)
    # A map that shows all of the site goes on to show all of it in whatever room a task leaves to it.
    window.maps.steering.zoom(1)
    before = window.maps.scene
    window.tasks.setCurrentIndex(2)
    after = window.maps.scene
    assert after.task == "entry"
    assert (after.site, after.look, after.origin) == (before.site, before.look, before.origin)
