"""The list of fences in the window, and what a fit leaves of an earlier one."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QTabWidget

from app.window import fence_tools, proving
from app.window.main_window import MainWindow
from app.window.panels.fence_list import COLUMNS, FenceList
from core.progress import Cancelled
from core.site.places import AccessPoint, Fence, Ladder
from core.site.site import Site
from support.simple_sites import FREE, ground, isotropic
from support.windows import settle, wait_for

CTRL = Qt.KeyboardModifier.ControlModifier
DRAWN = Fence(
    name="mine", tier="public", threshold=1.0,
    outline=((20.0, 20.0), (30.0, 20.0), (30.0, 30.0), (20.0, 30.0)),
)  # fmt: skip


@pytest.fixture
def listed(window: MainWindow) -> FenceList:
    """The list of a yard with a source, a ladder, a gate beside the source and a drawn fence."""
    site = Site(
        name="yard",
        antennas=(isotropic("source", 98e6, 2000.0, (2.0, 1.0, 4.0)),),
        reflection=FREE,
        surfaces=(ground(40.0),),
        ladders=(Ladder(name="mast", points=((0.0, 0.0, 0.0), (0.0, 0.0, 30.0))),),
        access_points=(AccessPoint(name="Side gate", kind="gate", position=(5.0, 1.0, 0.0)),),
        extent=(-25.0, -25.0, 25.0, 25.0),
        fences=(DRAWN,),
    )
    window.document.edit("site", lambda _: site)
    panel = window.panel("fences")
    assert isinstance(panel, FenceList)
    tabs = window.findChild(QTabWidget)
    assert tabs is not None
    tabs.setCurrentWidget(panel)
    settle(window)
    return panel


def rows(panel: FenceList) -> dict[str, list[str]]:
    table = panel.table
    texts = [
        [table.item(r, c).text() for c in range(len(COLUMNS))] for r in range(table.rowCount())
    ]
    return {text[0]: text[1:] for text in texts}


def fit(window: MainWindow) -> None:
    before = window.document.stack.count()
    QTest.keyClick(window, Qt.Key.Key_F, CTRL)
    wait_for(
        lambda: (
            window.document.stack.count() > before
            or "Fitted" in window.statusBar().currentMessage()
        )
    )
    wait_for(lambda: len(window.maps.scene.checks) >= len(window.document.site.fences))


def test_fitting_twice_stacks_nothing_and_leaves_what_was_drawn(
    window: MainWindow, listed: FenceList
) -> None:
    fit(window)
    names = [f.name for f in window.document.site.fences]
    assert names == ["mine", "fence public 1", "stops on mast, public"]
    first = window.document.site.fences
    QTest.keyClick(window, Qt.Key.Key_F, CTRL)
    wait_for(lambda: "gave way" in window.statusBar().currentMessage())
    assert window.document.site.fences == first
    power = window.document.site.antennas[0].carriers[0].power
    window.document.set_power(0, 0, replace(power, eirp=500.0))
    fit(window)
    assert [f.name for f in window.document.site.fences] == names
    assert window.document.site.fences[1] != first[1]
    # The other tier has fences of its own.
    window.panel("controls").tier.setCurrentIndex(1)
    window.panel("controls").tier.activated.emit(1)
    fit(window)
    assert len(window.document.site.fences) == 5
    assert {f.tier for f in window.document.site.fences[3:]} == {"occupational"}


def test_each_row_says_length_corners_check_and_who_is_shut_in(
    window: MainWindow, listed: FenceList
) -> None:
    QTest.mouseClick(listed.fit, Qt.MouseButton.LeftButton)
    wait_for(lambda: len(rows(listed)) == 3)
    wait_for(lambda: "posts" in rows(listed)["fence public 1"][1])
    wait_for(lambda: "holds" in rows(listed)["fence public 1"][3])
    holds, length, corners, check, shut = rows(listed)["fence public 1"]
    outline = window.document.site.fences[1].outline
    assert holds == "100 % of FCC public"
    assert corners == str(len(outline))
    around = sum(
        ((a - c) ** 2 + (b - d) ** 2) ** 0.5
        for (a, b), (c, d) in zip(outline, (*outline[1:], outline[0]), strict=True)
    )
    assert float(length.split(" m")[0]) == pytest.approx(around, abs=0.06)
    assert "margin of 0.20 m" in check
    assert shut == "Side gate"
    assert rows(listed)["mine"][4] == ""
    assert "no part of its zone" in rows(listed)["mine"][3]
    assert " m of mast" in rows(listed)["stops on mast, public"][1]
    window.panel("controls").feet.click()
    assert " ft" in rows(listed)["fence public 1"][1]


def test_a_row_is_shown_on_the_map_and_removed_with_a_key(
    window: MainWindow, listed: FenceList
) -> None:
    def width() -> float:
        patches = window.maps.pane("plan").canvas.map.axes.patches
        return max(p.get_linewidth() for p in patches)

    thin = width()
    item = listed.table.item(0, 0)
    QTest.mouseClick(
        listed.table.viewport(),
        Qt.MouseButton.LeftButton,
        pos=listed.table.visualItemRect(item).center(),
    )
    assert window.maps.scene.selected == "mine"
    assert width() > thin
    QTest.keyClick(listed.table, Qt.Key.Key_Delete)
    assert not window.document.site.fences
    assert listed.table.rowCount() == 0
    assert not listed.remove.isEnabled()
    window.document.stack.undo()
    assert list(rows(listed)) == ["mine"]


def test_what_a_fit_has_proven_is_not_proven_again_for_its_check(
    window: MainWindow, listed: FenceList, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("proven again")

    wait_for(lambda: bool(window.maps.scene.checks))
    # The drawn fence's zone is kept from its own check: a changed power makes all of it new.
    power = window.document.site.antennas[0].carriers[0].power
    window.document.set_fences((), "none")
    window.document.set_power(0, 0, replace(power, eirp=700.0))
    settle(window)
    monkeypatch.setattr(proving, "site_zone", never)
    listed.fit.click()
    wait_for(lambda: "fence public 1" in window.maps.scene.checks)
    assert all(check.holds for check in window.maps.scene.checks.values())


def test_a_fit_can_be_cancelled(
    window: MainWindow, listed: FenceList, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = []

    def endless(*_: object, cancelled: Callable[[], bool], **__: object) -> None:
        begun.append(True)
        while not cancelled():
            time.sleep(0.005)
        raise Cancelled

    monkeypatch.setattr(fence_tools, "fit_site", endless)
    listed.fit.click()
    wait_for(lambda: bool(begun) and window.cancel.isVisible())
    QTest.mouseClick(window.cancel, Qt.MouseButton.LeftButton)
    wait_for(lambda: not window.cancel.isVisible())
    assert "cancelled" in window.statusBar().currentMessage()
    assert window.document.site.fences == (DRAWN,)


def test_a_site_that_changed_meanwhile_is_not_fenced(window: MainWindow, listed: FenceList) -> None:
    window.fences.fit()
    window.document.move(0, (3.0, 1.0, 4.0))
    wait_for(lambda: "changed while fences" in window.message.text())
    assert window.document.site.fences == (DRAWN,)
