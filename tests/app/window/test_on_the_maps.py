"""What is done and said on the maps of the window: pins by keys, hover, typed places, distances, a carried antenna."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.window.main_window import MainWindow
from app.window.pointing import PointedCanvas
from core.exposure.totals import exposure
from core.files.site_writer import save_site
from core.site.site import Condition, State
from support.on_maps import CTRL, LEFT, SHIFT, canvas, drag, quick_site
from support.windows import settle, wait_for

K = Qt.Key


@pytest.fixture
def opened(window: MainWindow, tmp_path: Path) -> MainWindow:
    save_site(quick_site(), tmp_path / "quick.json")
    assert window.open(tmp_path / "quick.json")
    settle(window)
    return window


# pins by keys, focus -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["plan", "elevation"])
def test_a_reading_is_pinned_with_keys_alone(opened: MainWindow, name: str) -> None:
    on = canvas(opened, name)
    on.setFocus()
    QTest.keyClick(on, K.Key_Up)
    start = on.cross
    assert start is not None, "the first arrow brings the cross up"
    QTest.keyClick(on, K.Key_Right)
    QTest.keyClick(on, K.Key_Up, SHIFT)
    assert on.cross[0] > start[0]
    assert 0.0 < on.cross[1] - start[1] < 2.0 * on.scale
    QTest.keyClick(on, K.Key_Return)
    pin = opened.maps.scene.pin
    assert pin is not None
    assert pin.pane == name
    seen = opened.maps.pane(name).view(opened.maps.scene).to_view(np.array([pin.place]))[0]
    assert tuple(seen) == pytest.approx(on.cross, abs=1e-6)
    wait_for(lambda: opened.panel("reading").reading is not None)


def test_the_cross_takes_the_map_along_at_its_edge(opened: MainWindow) -> None:
    on = canvas(opened)
    on.setFocus()
    middle = opened.maps.scene.camera.middle("plan")
    for _ in range(40):
        QTest.keyClick(on, K.Key_Left)
    at = on.pixel_of(on.cross)
    assert 0.0 < at.x() < on.width()
    assert opened.maps.scene.camera.middle("plan")[0] < middle[0]
    assert opened.maps.scene.camera.middle("plan")[1] == middle[1]


def test_the_map_that_has_the_keys_shows_it(opened: MainWindow) -> None:
    on, colour = canvas(opened), opened.palette().highlight().color().rgb()

    def edge() -> int:
        return on.grab().toImage().pixel(1, on.height() // 2)

    canvas(opened, "elevation").setFocus()
    assert edge() != colour
    on.setFocus()
    assert edge() == colour


# the words at the pointer --------------------------------------------------------------------------


def hover(on: PointedCanvas, place: tuple[float, float]) -> tuple[float, float]:
    at = on.pixel_of(place).toPoint()
    # A pointer that is there already does not move.
    QTest.mouseMove(on, at + QPoint(30, 30))
    QTest.mouseMove(on, at)
    return on.place_of(QPointF(at))


def test_the_value_is_about_until_it_is_computed_for_the_place(opened: MainWindow) -> None:
    on = canvas(opened)
    x, y = hover(on, (6.0, 3.0))
    assert on.told.words.startswith("about ")
    wait_for(lambda: on.told is not None and not on.told.words.startswith("about"))
    body = opened.maps.scene.look.plan_body
    exact = exposure(opened.document.site, np.array([(x, y, 0.0)]), body).public.total[0]
    assert float(on.told.words.split(" %")[0]) == pytest.approx(100.0 * exact, rel=0.006)
    assert "about" not in opened.statusBar().currentMessage()
    hover(on, (9.0, 3.0))
    assert on.told.words.startswith("about ")


@pytest.mark.parametrize("what", ["pointer", "site", "tier", "state"])
def test_the_words_go_with_what_they_were_said_of(
    opened: MainWindow, what: str, tmp_path: Path
) -> None:
    on = canvas(opened)
    hover(on, (6.0, 3.0))
    wait_for(lambda: on.told is not None and not on.told.words.startswith("about"))
    if what == "pointer":
        QApplication.sendEvent(on, QEvent(QEvent.Type.Leave))
    elif what == "site":
        save_site(quick_site(10.0), tmp_path / "other.json")
        opened.open(tmp_path / "other.json")
    elif what == "tier":
        opened.maps.set_look(replace(opened.maps.scene.look, tier="occupational"))
    else:
        opened.document.set_state(0, State(Condition.LOCKED_OUT))
    assert on.told is None


# typed places, distances ---------------------------------------------------------------------------


def test_a_place_is_typed_from_something_at_a_height(opened: MainWindow) -> None:
    QTest.keyClick(opened, K.Key_G, CTRL)
    line = opened.panel("go to")
    assert line.offset.hasFocus()
    line.start.setCurrentText("source")
    QTest.keyClicks(line.offset, "2 m wst")
    QTest.keyClick(line.offset, K.Key_Return)
    assert "2 m west" in opened.message.text()
    assert line.offset.text() == "2 m wst", "a refused text stays to be mended"
    line.offset.setText("2,5 m west")
    QTest.keyClicks(line.up, "12 m")
    QTest.keyClick(line.up, K.Key_Return)
    settle(opened)
    assert not opened.message.isVisible()
    assert opened.maps.scene.pin.place == pytest.approx((-0.5, 1.0, 12.0))
    assert opened.maps.scene.camera.middle("plan") == pytest.approx((-0.5, 1.0))
    assert opened.maps.scene.camera.middle("elevation") == pytest.approx((0.0, 12.0))
    wait_for(lambda: opened.panel("reading").reading is not None)
    assert opened.panel("reading").reading.position == pytest.approx((-0.5, 1.0, 12.0))


@pytest.mark.parametrize("name", ["plan", "elevation"])
def test_distances_are_measured_with_the_mouse_on_any_map(opened: MainWindow, name: str) -> None:
    on = canvas(opened, name)
    QTest.keyClick(opened, K.Key_R, CTRL)
    for place in ((-9.0, 10.0), (-6.0, 14.0)):
        QTest.mouseClick(on, LEFT, SHIFT, on.pixel_of(place).toPoint())
    words = on._sketch.sketch.state
    length = float(words.splitlines()[-1].split(" m")[0])
    assert length == pytest.approx(5.0, abs=3.0 * on.scale)
    assert ("north" in words) == (name == "plan")
    assert ("up" in words.split("(")[-1]) == (name == "elevation")
    assert opened.maps.scene.pin is None
    QTest.keyClick(on, K.Key_Escape)
    assert on.hand is None
    held = {name for name, action in opened.actions_by_name.items() if action.isChecked()}
    assert held <= {"ladder strip"}


def test_one_tool_takes_the_mouse_from_another(opened: MainWindow) -> None:
    on = canvas(opened)
    QTest.keyClick(opened, K.Key_D, CTRL)
    fences = on.hand
    QTest.keyClick(opened, K.Key_R, CTRL)
    assert on.hand is not None
    assert on.hand is not fences
    QTest.keyClick(opened, K.Key_D, CTRL)
    assert on.hand is fences
    assert canvas(opened, "elevation").hand is None


# an antenna in the hand ----------------------------------------------------------------------------


def test_a_carried_antenna_is_put_down_as_one_edit_or_back_with_escape(opened: MainWindow) -> None:
    on = canvas(opened)
    opened.actions_by_name["move"].setChecked(True)
    start, end = on.pixel_of((2.0, 1.0)).toPoint(), on.pixel_of((8.0, 5.0)).toPoint()
    QTest.mousePress(on, LEFT, pos=start)
    for part in (0.3, 0.6, 1.0):
        QTest.mouseMove(on, start + (end - start) * part)
        QTest.qWait(20)
    assert opened.document.stack.count() == 0
    assert opened.maps.scene.shown.antennas[0].position[0] == pytest.approx(8.0, abs=0.2)
    draws = on.full_draws
    wait_for(lambda: not opened.maps.busy)
    assert on.full_draws == draws

    # The shading follows: the hottest cell of the coarse picture is beside the antenna.
    def beside() -> bool:
        hottest = np.unravel_index(np.argmax(on.raster.public), on.raster.public.shape)
        u0, v0, u1, v1 = on.raster.bounds
        rows, columns = on.raster.public.shape
        place = (
            u0 + (hottest[1] + 0.5) * (u1 - u0) / columns,
            v0 + (hottest[0] + 0.5) * (v1 - v0) / rows,
        )
        return bool(place == pytest.approx((8.0, 5.0), abs=1.5 * (u1 - u0) / columns + 0.2))

    wait_for(beside)
    QTest.keyClick(on, K.Key_Escape)
    QTest.mouseRelease(on, LEFT, pos=end)
    settle(opened)
    assert opened.document.stack.count() == 0
    assert opened.maps.scene.shown == opened.document.site
    drag(on, start, end)
    settle(opened)
    assert opened.document.stack.count() == 1
    assert opened.document.site.antennas[0].position == pytest.approx((8.0, 5.0, 4.0), abs=0.2)
