"""Maps moved with wheel, mouse and keys in the real window."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.draw import style
from app.modes.camera import STEP
from app.window import pane as panes
from app.window.main_window import MainWindow
from core.files.site_writer import save_site
from support.on_maps import CTRL, LEFT, MIDDLE, SHIFT, canvas, drag, quick_site, wheel
from support.windows import settle, wait_for

K = Qt.Key


@pytest.fixture
def opened(window: MainWindow, tmp_path: Path) -> MainWindow:
    save_site(quick_site(), tmp_path / "quick.json")
    assert window.open(tmp_path / "quick.json")
    settle(window)
    return window


def test_a_site_of_many_carriers_is_seen_roughly_before_its_first_look() -> None:
    site = quick_site()
    a = site.antennas[0]
    few, many = (
        replace(site, antennas=tuple(replace(a, name=str(i)) for i in range(count)))
        for count in (panes.MANY // len(a.carriers), panes.MANY // len(a.carriers) + 1)
    )
    assert panes.looks(few) == (panes.COARSE, panes.FINE)
    assert panes.looks(many) == (panes.ROUGH, panes.COARSE, panes.FINE)


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
    save_site(replace(quick_site(6.28), surfaces=()), tmp_path / "small.json")
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


def test_strong_contrast_is_a_menu_away_and_kept(window: MainWindow) -> None:
    action = window.actions_by_name["strong contrast"]
    assert canvas(window).map.palette is style.LIGHT
    try:
        action.trigger()
        for name in ("plan", "elevation"):
            assert canvas(window, name).map.palette is style.STRONG_LIGHT
        again = MainWindow()
        assert again.actions_by_name["strong contrast"].isChecked()
        again.close()
        again.deleteLater()
    finally:
        action.setChecked(False)
    assert canvas(window).map.palette is style.LIGHT


def test_a_click_moves_no_map_and_the_cut_follows_only_when_asked(opened: MainWindow) -> None:
    before = opened.maps.scene
    views = [pane.view(before) for pane in opened.panes]
    plan, elevation = canvas(opened), canvas(opened, "elevation")
    QTest.keyClick(opened, K.Key_K, CTRL)
    assert "no pin" in opened.message.text()
    QTest.mouseClick(plan, LEFT, pos=plan.pixel_of((-6.0, 9.0)).toPoint())
    settle(opened)
    assert opened.maps.scene.pin is not None
    assert [pane.view(opened.maps.scene) for pane in opened.panes] == views
    left, _, right, _ = views[1].bounds
    QTest.keyClick(opened, K.Key_K, CTRL)
    settle(opened)
    assert opened.maps.scene.origin == pytest.approx((-6.0, 9.0), abs=0.3)
    cut = opened.maps.pane("elevation").view(opened.maps.scene)
    # What is seen along the cut stays where it was: x from the datum, at 90 degrees.
    assert (cut.bounds[0] + cut.datum_along, cut.bounds[2] + cut.datum_along) == pytest.approx(
        (left + views[1].datum_along, right + views[1].datum_along)
    )
    box = opened.panel("controls").where
    box.setCurrentIndex(2)
    box.activated.emit(2)
    settle(opened)
    QTest.mouseClick(elevation, LEFT, pos=elevation.pixel_of((1.0, 21.0)).toPoint())
    settle(opened)
    assert opened.maps.scene.look.height.metres == 0.0
    QTest.keyClick(opened, K.Key_K, CTRL)
    settle(opened)
    assert opened.maps.scene.look.height.metres == pytest.approx(21.0, abs=0.3)
    assert opened.panel("controls").metres.value() == pytest.approx(21.0, abs=0.3)
