"""The way of a job drawn on plan and elevation, with the real widgets, mouse and keys."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.window import entries
from app.window.main_window import MainWindow
from core.site.job import Stop
from support.briefed import emitter, job, mast
from support.entry_window import opened

K, M, LEFT = Qt.Key, Qt.KeyboardModifier, Qt.MouseButton.LeftButton
Place = tuple[float, float]


@pytest.fixture(autouse=True)
def _no_entry(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is found along the way is held elsewhere."""
    monkeypatch.setattr(entries, "PLANNED", ())


@pytest.fixture
def drawing(window: MainWindow, tmp_path: Path) -> MainWindow:
    """A job without a route, its way being drawn."""
    site = replace(mast(emitter(eirp=100.0), jobs=()), extent=(-30.0, -30.0, 30.0, 30.0))
    opened(window, tmp_path / "m.json", site)
    window.document.edit("a job", lambda s: replace(s, jobs=(job(route=None, work=None),)))
    QTest.keyClick(window, K.Key_W, M.ControlModifier)
    assert window.entries.route.on
    return window


def pixel(window: MainWindow, pane: str, place: Place) -> QPoint:
    """Return the pixel of (x, y) on the plan, of (x, z) in the ladder's plane on the elevation."""
    one = window.maps.pane(pane)
    point = (*place, 0.0) if pane == "plan" else (place[0], 0.0, place[1])
    u, v = one.view(window.maps.scene).to_view(np.array([point]))[0]
    return one.canvas.pixel_of((float(u), float(v))).toPoint()


def click(window: MainWindow, pane: str, place: Place, modifier: M = M.NoModifier) -> None:
    canvas = window.maps.pane(pane).canvas
    QTest.mouseClick(canvas, LEFT, modifier, pixel(window, pane, place))


def drag(window: MainWindow, pane: str, start: Place, end: Place) -> None:
    canvas = window.maps.pane(pane).canvas
    a, b = pixel(window, pane, start), pixel(window, pane, end)
    QTest.mousePress(canvas, LEFT, pos=a)
    for part in (0.4, 0.8, 1.0):
        QTest.mouseMove(canvas, a + (b - a) * part)
    QTest.mouseRelease(canvas, LEFT, pos=b)


def key(window: MainWindow, pane: str, which: K, modifier: M = M.NoModifier) -> None:
    QTest.keyClick(window.maps.pane(pane).canvas, which, modifier)


def stops(window: MainWindow) -> tuple[Stop, ...]:
    route = window.document.site.jobs[0].route
    return route.stops if route is not None else ()


def test_clicks_put_stops_and_a_ladder_is_climbed(drawing: MainWindow) -> None:
    click(drawing, "plan", (-20.0, 0.2))
    click(drawing, "plan", (-10.0, 8.0))
    click(drawing, "elevation", (0.0, 25.0))
    made = stops(drawing)
    assert [s.name for s in made] == ["gate", "Stop 2", "Foot of ladder", made[3].name]
    assert made[0].position == (-20.0, 0.0, 0.0), "drawn to the way in"
    x, y, z = made[1].position or (0.0, 0.0, 9.0)
    assert abs(x + 10.0) < 0.5
    assert abs(y - 8.0) < 0.5
    assert z == 0.0, "people stand on the ground"
    assert made[2].height == 1.0
    assert abs((made[3].height or 0.0) - 25.0) < 0.5
    assert drawing.maps.scene.pin is None
    assert drawing.document.stack.count() == 4, "one edit each, the foot with the climb"
    drawing.document.stack.undo()
    assert len(stops(drawing)) == 2


def test_stops_are_moved_and_taken_out(drawing: MainWindow) -> None:
    click(drawing, "plan", (-20.0, 0.2))
    click(drawing, "elevation", (0.0, 25.0))
    drag(drawing, "elevation", (0.0, 25.0), (3.0, 12.0))
    top = stops(drawing)[2]
    assert top.ladder == "ladder", "a climber stays on the ladder"
    assert abs((top.height or 0.0) - 12.0) < 0.5
    drag(drawing, "plan", (-20.0, 0.0), (-15.0, -9.0))
    x, y, _ = stops(drawing)[0].position or (0.0, 0.0, 0.0)
    assert abs(x + 15.0) < 0.5
    assert abs(y + 9.0) < 0.5
    key(drawing, "elevation", K.Key_Delete)
    assert [s.ladder for s in stops(drawing)] == ["", "ladder"]


def test_keys_move_and_places_outside_are_refused(drawing: MainWindow) -> None:
    """Steps in a row are one edit; a place outside of the site is refused in one line."""
    click(drawing, "plan", (-15.0, 10.0))
    before = stops(drawing)[0].position
    count = drawing.document.stack.count()
    key(drawing, "plan", K.Key_Right)
    key(drawing, "plan", K.Key_Right)
    key(drawing, "plan", K.Key_Up, M.ShiftModifier)
    after = stops(drawing)[0].position
    assert before is not None
    assert after is not None
    assert abs(after[0] - before[0] - 1.0) < 1e-6
    assert abs(after[1] - before[1] - 0.1) < 1e-6
    assert drawing.document.stack.count() == count + 1
    drawing.document.stack.undo()
    assert stops(drawing)[0].position == before
    for _ in range(12):
        drawing.maps.steering.zoom(-1)
    click(drawing, "plan", (-400.0, 0.0))
    assert len(stops(drawing)) == 1
    assert "outside the site" in drawing.message.text()


def test_the_mode_ends_and_what_was_put_stays(drawing: MainWindow) -> None:
    key(drawing, "plan", K.Key_Delete)
    assert "There is no stop yet" in drawing.message.text()
    click(drawing, "plan", (-15.0, 10.0))
    action = drawing.actions_by_name["route"]
    for how in ("escape", "enter", "action", "task"):
        if not drawing.entries.route.on:
            QTest.keyClick(drawing, K.Key_W, M.ControlModifier)
        assert drawing.entries.route.on
        if how == "task":
            QTest.keyClick(drawing, K.Key_F3)
        elif how == "action":
            action.trigger()
        else:
            key(drawing, "plan", K.Key_Escape if how == "escape" else K.Key_Return)
        assert not drawing.entries.route.on, how
        assert not action.isChecked()
        assert len(stops(drawing)) == 1
        assert all(p.canvas.hand is None for p in drawing.panes)
    click(drawing, "plan", (5.0, 5.0))
    assert drawing.maps.scene.pin is not None, "the mouse pins readings again"
