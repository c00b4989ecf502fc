"""The window driven with mouse and keys."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit

from app.window import pane as pane_module
from app.window.canvas import MapCanvas
from app.window.main_window import MainWindow
from core.exposure.raster import Raster
from core.exposure.totals import exposure
from core.site.site import Condition
from support.places import DEMOS
from support.simple_sites import isotropic
from support.windows import settle, wait_for

ROOF = DEMOS / "harrow-lane-roof" / "harrow-lane-roof.json"
TOWER = DEMOS / "cold-ridge-tower" / "cold-ridge-tower.json"


def pixel(canvas: MapCanvas, u: float, v: float) -> QPoint:
    """The widget pixel of a place on a map."""
    return canvas.pixel_of((u, v)).toPoint()


def click(canvas: MapCanvas, u: float, v: float) -> None:
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=pixel(canvas, u, v))


@pytest.fixture
def opened(window: MainWindow) -> MainWindow:
    assert window.open(ROOF)
    settle(window)
    return window


def test_a_click_in_the_plan_pins_a_reading_with_its_reasons(opened: MainWindow) -> None:
    click(opened.maps.pane("plan").canvas, 6.0, 10.0)
    wait_for(lambda: opened.panel("reading").reading is not None)
    reading = opened.panel("reading").reading
    assert reading is not None
    x, y, z = reading.position
    assert (x, y) == pytest.approx((6.0, 10.0), abs=0.3)
    assert z == 16.0
    shown = opened.panel("reading")
    assert "V/m" not in shown.toPlainText()
    shown.text.setFocus()
    QTest.keyClick(shown.text, Qt.Key.Key_Tab)
    QTest.keyClick(shown.text, Qt.Key.Key_Return)
    text = shown.toPlainText()
    for words in (
        "of FCC general population",
        "Main roof",
        "Sector north",
        "47 CFR",
        "dB under",
        "Cautions",
        "V/m",
    ):
        assert words in text
    exact = exposure(
        opened.document.site, np.array([reading.position]), opened.maps.scene.look.plan_body
    )
    assert reading.public.total == pytest.approx(exact.public.total[0], rel=1e-12)


def test_hovering_shows_the_value_without_a_full_draw(opened: MainWindow) -> None:
    draws = opened.maps.pane("plan").canvas.full_draws
    for x in (4.0, 5.0, 6.0):
        QTest.mouseMove(
            opened.maps.pane("plan").canvas, pixel(opened.maps.pane("plan").canvas, x, 8.0)
        )
        QTest.qWait(5)
    assert "% of FCC public" in opened.statusBar().currentMessage()
    assert opened.maps.pane("plan").canvas.full_draws == draws


def test_turning_an_emitter_off_acts_at_once_and_can_be_undone(opened: MainWindow) -> None:
    click(opened.maps.pane("plan").canvas, 2.0, 12.5)
    settle(opened)
    before = opened.panel("reading").reading.public.total
    box = opened.panel("emitters").cellWidget(0, 6)
    assert isinstance(box, QComboBox)
    box.setFocus()
    box.setCurrentIndex(box.findData(Condition.LOCKED_OUT.value))
    box.activated.emit(box.currentIndex())
    settle(opened)
    after = opened.panel("reading").reading.public.total
    assert after < 0.5 * before
    QTest.keyClick(opened, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    settle(opened)
    assert opened.panel("reading").reading.public.total == pytest.approx(before)


def test_typing_a_power_acts_at_once_and_nonsense_is_refused(opened: MainWindow) -> None:
    click(opened.maps.pane("plan").canvas, -2.0, 2.0)
    settle(opened)
    shares = {e.name: e.public for e in opened.panel("reading").reading.emitters}
    row = next(
        r
        for r in range(opened.panel("emitters").rowCount())
        if opened.panel("emitters").item(r, 1).text() == "Paging stick"
    )
    item = opened.panel("emitters").item(row, 4)
    opened.panel("emitters").setCurrentItem(item)
    opened.panel("emitters").editItem(item)
    editor = opened.panel("emitters").findChild(QLineEdit)
    editor.selectAll()
    QTest.keyClicks(editor, "500 W")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    settle(opened)
    now = {e.name: e.public for e in opened.panel("reading").reading.emitters}
    assert now["Paging stick: 929.6"] == pytest.approx(shares["Paging stick: 929.6"] / 2.0)
    site = opened.document.site
    opened.panel("emitters").item(row, 4).setText("-3 W")
    assert "more than 0 W" in opened.message.text()
    # What was typed stays to be mended; nothing of it counts.
    assert opened.panel("emitters").item(row, 4).text() == "-3 W"
    assert "more than 0 W" in opened.panel("emitters").item(row, 4).toolTip()
    assert opened.document.site is site
    opened.panel("emitters").item(row, 4).setText("0,75 kW")
    assert opened.panel("emitters").item(row, 4).text() == "750 W"
    opened.panel("emitters").item(row, 4).setText("500 W")
    settle(opened)


def test_changing_tier_and_lines_computes_no_field(opened: MainWindow) -> None:
    computed = opened.panes[0].cache.computed
    opened.panel("controls").tier.setCurrentIndex(1)
    opened.panel("controls").tier.activated.emit(1)
    opened.panel("controls").contours.setText("10, 50")
    opened.panel("controls").contours.editingFinished.emit()
    settle(opened)
    assert opened.panes[0].cache.computed == computed
    assert opened.maps.pane("plan").canvas.tier == "occupational"
    assert tuple(opened.maps.pane("plan").canvas.contours) == (10.0, 50.0)
    opened.panel("controls").contours.setText("ten")
    opened.panel("controls").contours.editingFinished.emit()
    assert "percents" in opened.message.text()
    # What was typed stays to be mended; the lines are those that were.
    assert opened.panel("controls").contours.text() == "ten"
    assert tuple(opened.maps.pane("plan").canvas.contours) == (10.0, 50.0)
    opened.panel("controls").contours.setText("12,5; 50")
    opened.panel("controls").contours.editingFinished.emit()
    assert tuple(opened.maps.pane("plan").canvas.contours) == (12.5, 50.0)


def test_changing_the_limit_set_rescales_and_is_named_everywhere(opened: MainWindow) -> None:
    computed = opened.panes[0].cache.computed
    box = opened.panel("controls").limits
    box.setCurrentIndex(box.findData("SC6-2015"))
    box.activated.emit(box.currentIndex())
    settle(opened)
    assert opened.panes[0].cache.computed == computed
    assert "SC6-2015" in opened.findChild(QLabel, "plan title").text()
    assert "from memory" in opened.panel("controls").note.text()


def test_dragging_an_antenna_moves_it_only_with_the_tool_on(opened: MainWindow) -> None:
    canvas = opened.maps.pane("plan").canvas

    def drag() -> None:
        start, end = pixel(canvas, -3.5, 2.5), pixel(canvas, -1.0, 1.0)
        QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=start)
        for t in (0.3, 0.6, 1.0):
            QTest.mouseMove(canvas, start + (end - start) * t)
            QTest.qWait(5)
        QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=end)
        settle(opened)

    middle = opened.maps.scene.camera.middle("plan")
    drag()
    assert opened.document.site.antenna("Paging stick").position[0] == -3.5
    moved = opened.maps.scene.camera.middle("plan")
    assert (moved[0] - middle[0], moved[1] - middle[1]) == pytest.approx((-2.5, 1.5), abs=0.3)
    assert opened.maps.scene.pin is None
    opened.actions_by_name["move"].setChecked(True)
    drag()
    x, y, z = opened.document.site.antenna("Paging stick").position
    assert (x, y) == pytest.approx((-1.0, 1.0), abs=0.3)
    assert z == 24.2
    opened.document.stack.undo()
    assert opened.document.site.antenna("Paging stick").position[0] == -3.5
    settle(opened)


def test_a_bad_file_leaves_what_was_there(opened: MainWindow, tmp_path: Path) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text("{", "utf-8")
    site = opened.document.site
    assert not opened.open(bad)
    assert opened.document.site is site
    assert opened.message.isVisible()
    assert "not JSON" in opened.message.text()
    assert opened.document.path == ROOF


def test_saving_and_opening_again_keeps_everything(opened: MainWindow, tmp_path: Path) -> None:
    opened.document.set_state(0, opened.document.site.antennas[1].state)
    assert opened.files.save_to(tmp_path / "copy.json")
    assert opened.open(tmp_path / "copy.json")
    settle(opened)
    assert len(opened.document.site.antennas) == 6


def test_export_writes_the_map_that_is_shown(opened: MainWindow, tmp_path: Path) -> None:
    for name in ("plan.png", "plan.svg", "plan.pdf"):
        assert opened.printing.export("plan", tmp_path / name)
        wait_for(lambda: not opened.printing.busy)
        assert (tmp_path / name).stat().st_size > 10_000
    assert not opened.printing.export("plan", tmp_path / "plan.bmp")
    assert ".bmp" in opened.message.text()


def test_keys_move_the_pin(opened: MainWindow) -> None:
    click(opened.maps.pane("plan").canvas, 6.0, 10.0)
    settle(opened)
    x = opened.maps.scene.pin.place[0]
    QTest.keyClick(opened, Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    settle(opened)
    assert opened.maps.scene.pin.place[0] == pytest.approx(x + 0.5)


def test_the_caution_is_always_on_screen(opened: MainWindow) -> None:
    caution = opened.findChild(QLabel, "caution")
    assert caution.isVisible()
    assert "calibrated meter" in caution.text()


@pytest.mark.usefixtures("full_pictures")
def test_the_full_picture_has_220_cells_along_its_longer_side(window: MainWindow) -> None:
    window.document.add(isotropic("a", 98e6, 100.0))
    settle(window)
    for name in ("plan", "elevation"):
        shown = window.maps.pane(name).canvas.raster
        assert shown is not None
        # An elevation's rows follow the climber's column, at least as fine.
        assert max(shown.public.shape) >= 220
    assert max(window.maps.pane("plan").canvas.raster.public.shape) == 220


@pytest.mark.usefixtures("full_pictures")
def test_the_window_answers_while_the_maps_are_computed(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = json.loads(TOWER.read_text("utf-8"))
    data["antennas"] = data["antennas"][2:4]
    path = tmp_path / "two.json"
    path.write_text(json.dumps(data), "utf-8")
    ticks = 0

    def tick() -> None:
        nonlocal ticks
        ticks += 1

    real = pane_module.raster

    def waits(*args: Any, **how: Any) -> Raster:
        """Compute no sooner than the event loop has gone round many times."""
        end = time.monotonic() + 20.0
        while ticks <= 20 and time.monotonic() < end:
            time.sleep(0.005)
        return real(*args, **how)

    monkeypatch.setattr(pane_module, "raster", waits)
    clock = QTimer(window, interval=10)
    clock.timeout.connect(tick)
    clock.start()
    begun = time.monotonic()
    assert window.open(path)
    shown = (window.maps.pane("plan").canvas, window.maps.pane("elevation").canvas)
    wait_for(lambda: all(canvas.raster is not None for canvas in shown))
    settle(window)
    assert ticks > 20
    assert time.monotonic() - begun < 20.0, "the maps were there because the loop went round"
