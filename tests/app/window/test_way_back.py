"""The way back of a job edited as the way there: in the table, and drawn on the maps with the mouse."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.window import entries
from app.window.main_window import MainWindow
from app.window.panels.stop_table import StopTable
from core.errors import InputError
from core.files.site_file import load_site
from core.site.job import Stop
from core.site.routes import stops_of, with_stops
from support.briefed import STOPS, emitter, job, mast
from support.entry_window import cell, opened, planned
from support.on_maps import CTRL, LEFT

K = Qt.Key


@pytest.fixture(autouse=True)
def _no_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(entries, "QUIET", 0)


@pytest.fixture
def table(window: MainWindow, tmp_path: Path) -> StopTable:
    """The stops of a lamp change, turned to its way back with the keys."""
    opened(window, tmp_path / "mast.json", mast(emitter(eirp=100.0)))
    found = window.panel("stops")
    assert isinstance(found, StopTable)
    found.way.setFocus()
    QTest.keyClick(found.way, K.Key_Down)
    assert found.back
    return found


def way_back(window: MainWindow) -> tuple[Stop, ...] | None:
    route = window.document.site.jobs[0].route
    assert route is not None
    return route.way_down


def own_way(table: StopTable) -> None:
    """Take the tick off "the same way"."""
    QTest.mouseClick(table.same, LEFT, pos=QPoint(8, table.same.height() // 2))


def test_it_begins_as_the_same_way_and_every_cell_is_typed(
    window: MainWindow, table: StopTable, tmp_path: Path
) -> None:
    assert table.same.isVisible()
    assert table.same.isChecked()
    assert table.table.rowCount() == 0
    own_way(table)
    assert [s.name for s in way_back(window) or ()] == ["Foot", "Gate"]
    assert all(s.dwell == 0.0 for s in way_back(window) or ())
    assert [cell(table.table, r, 0).text() for r in (0, 1)] == ["4", "5"], "numbers go on"
    cell(table.table, 0, 1).setText("Rest")
    cell(table.table, 0, 2).setText("ladder, 15 m")
    cell(table.table, 0, 3).setText("5 min")
    planned(window)
    down = way_back(window)
    assert down is not None
    assert (down[0].name, down[0].height, down[0].dwell) == ("Rest", 15.0, 300.0)
    assert "%" in cell(table.table, 0, 4).text(), "what is met there stands beside it"
    assert "on the way back" in window.document.stack.undoText()
    assert stops_of(window.document.site.jobs[0]) == STOPS
    cell(table.table, 1, 2).setText("ladder, 99 m")
    assert "stop 5, Where" in window.message.text()
    assert cell(table.table, 1, 2).text() == "ladder, 99 m", "it stays to be mended"
    assert way_back(window) == down
    assert window.files.save()
    assert load_site(tmp_path / "mast.json").jobs == window.document.site.jobs
    own_way(table)
    assert way_back(window) is None
    window.document.stack.undo()
    assert way_back(window) == down


def test_stops_are_moved_taken_out_and_climbed_to(window: MainWindow, table: StopTable) -> None:
    QTest.mouseClick(table.climb, LEFT)
    down = way_back(window)
    assert down is not None
    assert [(s.ladder, s.height) for s in down] == [("ladder", 1.0)], "down to its foot"
    own_way(table)
    own_way(table)
    table.table.setCurrentCell(1, 1)
    QTest.mouseClick(table.up, LEFT)
    assert [s.name for s in way_back(window) or ()] == ["Gate", "Foot"]
    for _ in range(2):
        table.table.setCurrentCell(0, 1)
        QTest.keyClick(table.table, K.Key_Delete)
    assert way_back(window) is None, "without a stop it is the same way"
    assert table.same.isChecked()
    QTest.keyClick(table.way, K.Key_Up)
    assert table.table.rowCount() == 3
    assert not table.same.isVisible()


def test_it_is_drawn_on_the_maps(window: MainWindow, table: StopTable) -> None:
    QTest.keyClick(window, K.Key_W, CTRL)
    assert window.entries.route.on
    pane = window.maps.pane("plan")
    u, v = pane.view(window.maps.scene).to_view(np.array([(-12.0, 9.0, 0.0)]))[0]
    QTest.mouseClick(pane.canvas, LEFT, pos=pane.canvas.pixel_of((float(u), float(v))).toPoint())
    down = way_back(window)
    assert down is not None
    assert down[0].position == pytest.approx((-12.0, 9.0, 0.0), abs=2.0 * pane.canvas.scale)
    assert stops_of(window.document.site.jobs[0]) == STOPS, "the way there stays"
    lines = next(art for one, art in window.entries.drawn._art if one is pane)._told[0]
    assert len(lines.stops) == 4
    assert lines.line[-1] == pytest.approx(down[0].position)
    QTest.keyClick(pane.canvas, K.Key_Backspace)
    assert way_back(window) is None


def test_a_way_back_from_nowhere_is_refused() -> None:
    with pytest.raises(InputError, match="no way there yet"):
        with_stops(job(route=None), STOPS, back=True)
