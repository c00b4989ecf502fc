"""Maps moved with wheel, mouse and keys in the real window; what is said on them comes and goes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QPalette, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.draw import style
from app.modes.camera import STEP
from app.window.main_window import MainWindow
from app.window.pointing import PointedCanvas
from core.exposure.totals import exposure
from core.files.site_writer import save_site
from core.site.places import Ladder, Surface
from core.site.site import Condition, Site, State
from support.simple_sites import FREE, isotropic
from support.windows import settle, wait_for

LEFT, MIDDLE = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
K = Qt.Key


def site(eirp: float = 2000.0) -> Site:
    square = ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0))
    return Site(
        name="quick (invented)",
        antennas=(isotropic("source", 98e6, eirp, (2.0, 1.0, 4.0)),),
        reflection=FREE,
        surfaces=(Surface(name="yard", kind="ground", height=0.0, outline=square),),
        ladders=(Ladder(name="mast", points=((0.0, 0.0, 0.0), (0.0, 0.0, 30.0))),),
        extent=(-25.0, -25.0, 25.0, 25.0),
    )


@pytest.fixture
def opened(window: MainWindow, tmp_path: Path) -> MainWindow:
    save_site(site(), tmp_path / "quick.json")
    assert window.open(tmp_path / "quick.json")
    settle(window)
    return window


def canvas(window: MainWindow, name: str = "plan") -> PointedCanvas:
    return window.maps.pane(name).canvas


def wheel(on: PointedCanvas, at: QPointF, notches: int) -> None:
    event = QWheelEvent(
        at, QPointF(on.mapToGlobal(at.toPoint())), QPoint(), QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(on, event)


def drag(on: PointedCanvas, start: QPoint, end: QPoint, button: Qt.MouseButton = LEFT) -> None:
    QTest.mousePress(on, button, pos=start)
    for part in (0.2, 0.6, 1.0):
        QTest.mouseMove(on, start + (end - start) * part)
    QTest.mouseRelease(on, button, pos=end)


# the camera ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["plan", "elevation"])
@pytest.mark.parametrize("notches", [3, -3])
def test_the_wheel_zooms_about_the_pointer_and_both_maps_share_the_scale(
    opened: MainWindow, name: str, notches: int
) -> None:
    on = canvas(opened, name)
    at = QPointF(0.3 * on.width(), 0.6 * on.height())
    place, scale = on.place_of(at), on.scale
    other = canvas(opened, "elevation" if name == "plan" else "plan")
    middle = other.place_of(QPointF(other.width() / 2.0, other.height() / 2.0))
    wheel(on, at, notches)
    assert on.place_of(at) == pytest.approx(place, abs=1e-6)
    assert on.scale == pytest.approx(scale / STEP**notches)
    assert other.scale == pytest.approx(on.scale)
    assert other.place_of(QPointF(other.width() / 2.0, other.height() / 2.0)) == pytest.approx(
        middle, abs=1e-6
    )
    settle(opened)
    assert on.place_of(at) == pytest.approx(place, abs=1e-6)
    x, y = on.map.axes.transData.transform(place) / on.device_pixel_ratio
    assert (x, on.height() - y) == pytest.approx((at.x(), at.y()), abs=0.5), "drawn where it is"


def test_while_it_moves_the_picture_at_hand_is_scaled_and_then_refined(opened: MainWindow) -> None:
    on = canvas(opened)
    draws, cells = on.full_draws, on.raster.public.shape
    before = on.raster.bounds
    for _ in range(6):
        wheel(on, QPointF(on.width() / 2.0, on.height() / 2.0), 2)
        on.grab()
    assert on.full_draws == draws, "nothing was drawn anew"
    settle(opened)
    assert on.full_draws > draws
    assert on.raster.public.shape == cells
    seen = opened.maps.pane("plan").view(opened.maps.scene).bounds
    assert on.raster.bounds == pytest.approx(seen)
    assert seen[2] - seen[0] < 0.1 * (before[2] - before[0])


def test_a_drag_on_empty_ground_moves_one_map_and_pins_nothing(opened: MainWindow) -> None:
    on, other = canvas(opened), canvas(opened, "elevation")
    start, end = QPoint(150, 150), QPoint(190, 120)
    place, still = on.place_of(QPointF(start)), other.place_of(QPointF(start))
    drag(on, start, end)
    assert on.place_of(QPointF(end)) == pytest.approx(place, abs=1e-6)
    assert other.place_of(QPointF(start)) == pytest.approx(still, abs=1e-6)
    assert opened.maps.scene.pin is None
    settle(opened)
    QTest.mouseClick(on, LEFT, pos=end)
    assert opened.maps.scene.pin is not None
    assert opened.maps.scene.pin.place[:2] == pytest.approx(place, abs=1e-6)


def test_keys_go_in_out_to_all_and_back(opened: MainWindow) -> None:
    on = canvas(opened)
    on.setFocus()
    whole = opened.maps.scene.camera
    scales = [whole.scale]
    for key in (K.Key_Plus, K.Key_Plus, K.Key_Minus):
        QTest.keyClick(on, key)
        settle(opened)
        scales.append(opened.maps.scene.camera.scale)
    assert scales[1:] == pytest.approx(
        [whole.scale / STEP, whole.scale / STEP**2, whole.scale / STEP]
    )
    QTest.keyClick(on, K.Key_Right, CTRL)
    settle(opened)
    moved = opened.maps.scene.camera
    assert moved.middle("plan")[0] > whole.middle("plan")[0]
    QTest.keyClick(on, K.Key_0)
    settle(opened)
    assert opened.maps.scene.camera.scale == pytest.approx(whole.scale)
    QTest.keyClick(on, K.Key_Backspace)
    settle(opened)
    assert opened.maps.scene.camera == moved
    for _ in range(5):
        QTest.keyClick(on, K.Key_Backspace)
        settle(opened)
    assert opened.maps.scene.camera == whole
    # The same from the menus, wherever the keys go.
    for key, scale in ((K.Key_Plus, whole.scale / STEP), (K.Key_0, whole.scale)):
        QTest.keyClick(opened, key, CTRL)
        settle(opened)
        assert opened.maps.scene.camera.scale == pytest.approx(scale)


def test_all_is_seen_whatever_the_size_until_somebody_moves_the_map(opened: MainWindow) -> None:
    for size in ((1500, 700), (960, 860)):
        opened.resize(*size)
        settle(opened)
        for pane in opened.panes:
            u0, v0, u1, v1 = pane.plane.whole(opened.maps.scene).bounds
            a0, b0, a1, b1 = pane.view(opened.maps.scene).bounds
            assert a0 <= u0
            assert b0 <= v0
            assert a1 >= u1
            assert b1 >= v1
    QTest.keyClick(canvas(opened), K.Key_Plus)
    settle(opened)
    scale = opened.maps.scene.camera.scale
    opened.resize(1300, 820)
    settle(opened)
    assert opened.maps.scene.camera.scale == scale


def test_a_two_metre_zone_fills_the_screen(window: MainWindow, tmp_path: Path) -> None:
    # 4 EIRP/(4π r²) = 2 W/m² (47 CFR 1.1310 Table 1, public at 98 MHz) at r = 1 m: EIRP 6.3 W.
    save_site(replace(site(6.28), surfaces=()), tmp_path / "small.json")
    assert window.open(tmp_path / "small.json")
    settle(window)
    QTest.keyClick(window, K.Key_B, CTRL)
    wait_for(lambda: len(window.maps.proving.shown) == 2)
    window.maps.select(0)
    QTest.keyClick(window, K.Key_1, CTRL)
    settle(window)
    zone = window.maps.proving.shown["elevation"].zones.zones[0][1].region
    left, low, right, high = zone.bounds
    assert right - left < 3.0
    seen = window.maps.pane("elevation").view(window.maps.scene).bounds
    assert max((right - left) / (seen[2] - seen[0]), (high - low) / (seen[3] - seen[1])) > 0.6
    assert seen[0] < left < right < seen[2]
    assert seen[1] < low < high < seen[3]


def test_no_proof_starts_again_for_a_camera_a_banner_or_a_size(opened: MainWindow) -> None:
    QTest.keyClick(opened, K.Key_B, CTRL)
    wait_for(lambda: len(opened.maps.proving.shown) == 2)
    shown, jobs = dict(opened.maps.proving.shown), opened.maps.proving.worker.newest
    size = canvas(opened).size()
    wheel(canvas(opened), QPointF(40.0, 40.0), 5)
    drag(canvas(opened, "elevation"), QPoint(100, 100), QPoint(150, 100))
    opened.complain("something is wrong")
    settle(opened)
    assert canvas(opened).size() == size, "the banner takes no room"
    opened.resize(1200, 780)
    settle(opened)
    assert opened.maps.proving.worker.newest == jobs
    assert opened.maps.proving.shown == shown
    assert canvas(opened).map.zones is shown["plan"].zones


def test_fences_are_drawn_on_a_map_that_is_moved_meanwhile(opened: MainWindow) -> None:
    on = canvas(opened)
    QTest.keyClick(opened, K.Key_D, CTRL)
    for place in ((-20.0, -20.0), (20.0, -20.0)):
        QTest.mouseClick(on, LEFT, SHIFT, on.pixel_of(place).toPoint())
    wheel(on, on.pixel_of((10.0, 10.0)), 2)
    drag(on, QPoint(100, 100), QPoint(60, 120), MIDDLE)
    settle(opened)
    QTest.mouseClick(on, LEFT, SHIFT, on.pixel_of((12.0, 18.0)).toPoint())
    QTest.keyClick(on, K.Key_Return)
    ((_, _, third),) = (f.outline for f in opened.document.site.fences)
    assert third == pytest.approx((12.0, 18.0), abs=2.0 * on.scale)
    QTest.keyClick(opened, K.Key_E, CTRL)
    middle = opened.maps.scene.camera.middle("plan")
    drag(on, on.pixel_of((12.0, 1.0)).toPoint(), on.pixel_of((8.0, 1.0)).toPoint())
    assert opened.maps.scene.camera.middle("plan")[0] == pytest.approx(middle[0] + 4.0, abs=0.3)


def test_an_edit_moves_no_map_unless_it_goes_out_of_sight(opened: MainWindow) -> None:
    camera = opened.maps.scene.camera
    opened.document.move(0, (5.0, 5.0, 3.0))
    settle(opened)
    assert opened.maps.scene.camera == camera
    opened.document.move(0, (5.0, 5.0, 90.0))
    settle(opened)
    seen = opened.maps.pane("elevation").view(opened.maps.scene).bounds
    assert seen[3] > 90.0
    QTest.keyClick(canvas(opened), K.Key_Plus)
    settle(opened)
    camera = opened.maps.scene.camera
    opened.document.move(0, (5.0, 5.0, 300.0))
    settle(opened)
    assert opened.maps.scene.camera == camera, "somebody has chosen what is seen"


def test_the_maps_have_the_colours_of_the_desktop(opened: MainWindow) -> None:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    bright = app.palette()
    dark = QPalette(QColor("#353535"))
    dark.setColor(QPalette.ColorRole.Base, QColor("#1e1e1e"))
    dark.setColor(QPalette.ColorRole.Text, QColor("#f0f0f0"))
    dark.setColor(QPalette.ColorRole.WindowText, QColor("#f0f0f0"))
    try:
        app.setPalette(dark)
        settle(opened)
        for name in ("plan", "elevation"):
            assert canvas(opened, name).map.palette is style.DARK
            pixels = np.asarray(canvas(opened, name).buffer_rgba())[..., :3]
            assert np.median(pixels) < 100, "no white map on a dark desktop"
        legend = opened.panel("legend").grab().toImage()
        words = [legend.pixelColor(x, y).lightness() for x in range(4, 300) for y in range(2, 14)]
        assert max(words) - min(words) > 120, "the words of the legend can be seen"
    finally:
        app.setPalette(bright)
    settle(opened)
    assert canvas(opened).map.palette is style.LIGHT


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
        save_site(site(10.0), tmp_path / "other.json")
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
    words = on._sketch._words.get_text()
    length = float(words.splitlines()[-1].split(" m")[0])
    assert length == pytest.approx(5.0, abs=3.0 * on.scale)
    assert ("north" in words) == (name == "plan")
    assert ("up" in words.split("(")[-1]) == (name == "elevation")
    assert opened.maps.scene.pin is None
    QTest.keyClick(on, K.Key_Escape)
    assert on.hand is None
    assert not any(a.isChecked() for a in opened.findChildren(type(opened.actions_by_name["move"])))


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
    hottest = np.unravel_index(np.argmax(on.raster.public), on.raster.public.shape)
    u0, v0, u1, v1 = on.raster.bounds
    rows, columns = on.raster.public.shape
    place = (
        u0 + (hottest[1] + 0.5) * (u1 - u0) / columns,
        v0 + (hottest[0] + 0.5) * (v1 - v0) / rows,
    )
    assert place == pytest.approx((8.0, 5.0), abs=1.5 * (u1 - u0) / columns + 0.2)
    QTest.keyClick(on, K.Key_Escape)
    QTest.mouseRelease(on, LEFT, pos=end)
    settle(opened)
    assert opened.document.stack.count() == 0
    assert opened.maps.scene.shown == opened.document.site
    drag(on, start, end)
    settle(opened)
    assert opened.document.stack.count() == 1
    assert opened.document.site.antennas[0].position == pytest.approx((8.0, 5.0, 4.0), abs=0.2)
