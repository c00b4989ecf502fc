"""Doubts beside the thing they are about: in the list, on the map, in the list of emitters, in the form."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.window.main_window import MainWindow
from core.site.parts import Part
from core.site.places import AccessPoint, Ladder, Structure
from core.site.site import Site
from support.every_kind import antenna_of
from support.forms import answer, take
from support.simple_sites import FREE, ground
from support.windows import wait_for

ROOM = Structure(
    name="plant room", kind="penthouse", base=0.0, top=20.0,
    outline=((-3.0, 4.0), (3.0, 4.0), (3.0, 8.0), (-3.0, 8.0)),
)  # fmt: skip
PANEL = replace(antenna_of("panel"), contact="555-0100 (invented)")
SITE = Site(
    name="doubtful (invented)", reflection=FREE, surfaces=(ground(60.0),), structures=(ROOM,), antennas=(PANEL,),
    ladders=(Ladder(name="loose ladder", points=((9.0, 0.0, 5.0), (9.0, 0.0, 12.0))),),
    access_points=(AccessPoint(name="hatch", kind="hatch", position=(-8.0, 0.0, 9.0), public=False),),
)  # fmt: skip


def marks(window: MainWindow) -> list[tuple[float, float]]:
    axes = window.maps.pane("plan").canvas.map.axes
    return sorted(tuple(t.xy) for t in axes.texts if t.get_text() == "!")


def test_doubts_are_listed_marked_gone_to_and_follow_every_edit(window: MainWindow) -> None:
    form = take(window, SITE)
    doubts = window.panel("doubts")
    tabs = doubts.parentWidget().parentWidget()
    tabs.setCurrentWidget(doubts)
    wait_for(lambda: len(doubts.doubts) >= 4)
    rows = {doubts.item(r, 0).text(): r for r in range(doubts.rowCount())}
    assert set(rows) == {"antenna panel (invented)", "ladder loose ladder", "way in hatch"}
    assert marks(window) == [(-8.0, 0.0), (0.0, 0.0), (9.0, 0.0)]
    # Beside the antenna: in the list of emitters and in its form.
    number = window.panel("emitters").item(0, 0)
    assert number.text() == "1 ⚠"
    assert "radiates into the penthouse" in number.toolTip()
    assert form.doubted.text().startswith("⚠ radiates into the penthouse 'plant room'")

    # Choosing one goes there, by mouse and by keys.
    at = doubts.visualItemRect(doubts.item(rows["way in hatch"], 1)).center()
    QTest.mouseClick(doubts.viewport(), Qt.MouseButton.LeftButton, pos=at)
    canvas = window.maps.pane("plan").canvas
    middle = canvas.rect().center()
    assert abs(canvas.place_of(middle)[0] + 8.0) < 2.0 * canvas.scale
    assert window.maps.scene.part == Part("access_points", "hatch")
    while doubts.currentRow() != rows["antenna panel (invented)"]:
        QTest.keyClick(doubts, Qt.Key.Key_Up)
    assert window.maps.scene.selected == PANEL.name
    assert abs(canvas.place_of(middle)[0]) < 2.0 * canvas.scale

    # It lives with every edit, and with undo.
    assert not answer(form, "azimuth", "180")
    wait_for(lambda: all(d.thing != "antenna" for d in doubts.doubts))
    assert number.text() == "1"
    assert form.doubted.isHidden()
    window.document.stack.undo()
    wait_for(lambda: any(d.thing == "antenna" for d in doubts.doubts))

    # Where the site is not worked on there are no marks.
    window.show_task("field")
    assert marks(window) == []
    window.show_task("site")
    assert len(marks(window)) == 3


def test_a_site_without_doubts_says_so(window: MainWindow) -> None:
    away = replace(PANEL, azimuth=180.0)
    take(window, replace(SITE, ladders=(), access_points=(), antennas=(away,)))
    doubts = window.panel("doubts")
    wait_for(lambda: doubts.rowCount() == 1)
    assert doubts.item(0, 1).text() == "Nothing on the site is doubtful."
    doubts.selectRow(0)
    assert window.maps.scene.selected == PANEL.name
