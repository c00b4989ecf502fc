"""Fences drawn and changed by hand on the plan, with the real widgets, mouse and keys."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest

from app.modes.drawing import Drawing
from app.modes.reshaping import Reshaping
from app.window import proving
from app.window.main_window import MainWindow
from app.window.panels.fence_note import check_lines
from core.errors import InputError
from core.fences.fence import Check, Leak
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.site.places import Fence, Structure, Surface
from core.site.site import Site
from support.simple_sites import FREE, isotropic
from support.windows import settle, wait_for

K, M = Qt.Key, Qt.KeyboardModifier
LEFT, CTRL, SHIFT = Qt.MouseButton.LeftButton, M.ControlModifier, M.ShiftModifier
Place = tuple[float, float]

SQUARE: tuple[Place, ...] = ((-20.0, -20.0), (22.0, -20.0), (22.0, 21.0), (-20.0, 21.0))
HUT: tuple[Place, ...] = ((-24.0, -24.0), (-22.5, -24.0), (-22.5, -22.5), (-24.0, -22.5))


def quick_site(*fences: Fence) -> Site:
    yard = ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0))
    return Site(
        name="quick (invented)",
        antennas=(isotropic("source", 98e6, 2000.0, (2.0, 1.0, 4.0)),),
        reflection=FREE,
        surfaces=(Surface(name="yard", kind="ground", height=0.0, outline=yard),),
        structures=(Structure(name="hut", kind="penthouse", outline=HUT, base=0.0, top=2.5),),
        extent=(-25.0, -25.0, 25.0, 25.0),
        fences=fences,
    )


def fence(outline: tuple[Place, ...] = SQUARE) -> Fence:
    return Fence(name="ring", tier="public", threshold=1.0, outline=outline)


def opened(window: MainWindow, path: Path, *fences: Fence) -> MainWindow:
    save_site(quick_site(*fences), path)
    assert window.open(path)
    settle(window)
    return window


@pytest.fixture
def bare(window: MainWindow, tmp_path: Path) -> MainWindow:
    """A site without a fence."""
    return opened(window, tmp_path / "quick.json")


@pytest.fixture
def drawing(bare: MainWindow) -> MainWindow:
    """A site without a fence, the drawing mode on."""
    QTest.keyClick(bare, K.Key_D, CTRL)
    assert isinstance(bare.fences.mode, Drawing)
    return bare


@pytest.fixture
def reshaping(window: MainWindow, tmp_path: Path) -> MainWindow:
    """A site with one square fence that holds, the changing mode on."""
    opened(window, tmp_path / "quick.json", fence())
    QTest.keyClick(window, K.Key_E, CTRL)
    assert isinstance(window.fences.mode, Reshaping)
    return window


def pixel(window: MainWindow, place: Place) -> QPoint:
    return window.maps.pane("plan").canvas.pixel_of(place).toPoint()


def click(window: MainWindow, *places: Place, modifier: M = M.NoModifier) -> None:
    for place in places:
        QTest.mouseClick(window.maps.pane("plan").canvas, LEFT, modifier, pixel(window, place))


def double_click(window: MainWindow, place: Place) -> None:
    """What a hand does: press, release, the double press, release."""
    click(window, place)
    QTest.mouseDClick(window.maps.pane("plan").canvas, LEFT, pos=pixel(window, place))
    QTest.mouseRelease(window.maps.pane("plan").canvas, LEFT, pos=pixel(window, place))


def drag(window: MainWindow, start: Place, end: Place, drop: bool = True) -> None:
    a, b = pixel(window, start), pixel(window, end)
    QTest.mousePress(window.maps.pane("plan").canvas, LEFT, pos=a)
    for part in (0.3, 0.7, 1.0):
        QTest.mouseMove(window.maps.pane("plan").canvas, a + (b - a) * part)
    if drop:
        QTest.mouseRelease(window.maps.pane("plan").canvas, LEFT, pos=b)


def key(window: MainWindow, which: K, modifier: M = M.NoModifier) -> None:
    QTest.keyClick(window.maps.pane("plan").canvas, which, modifier)


def near(found: tuple[Place, ...], wanted: tuple[Place, ...]) -> bool:
    """Whether outlines agree to what a pixel is worth."""
    return len(found) == len(wanted) and all(
        abs(a - b) < 0.2
        for one, other in zip(found, wanted, strict=True)
        for a, b in zip(one, other, strict=True)
    )


def outlines(window: MainWindow) -> list[tuple[Place, ...]]:
    return [f.outline for f in window.document.site.fences]


def corners(window: MainWindow) -> tuple[Place, ...]:
    assert isinstance(window.fences.mode, Drawing)
    return window.fences.mode.corners


def checked(window: MainWindow) -> Check:
    (name,) = (f.name for f in window.document.site.fences)
    wait_for(lambda: name in window.maps.scene.checks)
    return window.maps.scene.checks[name]


def action(window: MainWindow, shortcut: str) -> QAction:
    return next(a for a in window.findChildren(QAction) if a.shortcut().toString() == shortcut)


# drawing -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("how", ["enter", "first corner", "double-click"])
def test_a_drawn_line_is_closed_and_becomes_one_fence(drawing: MainWindow, how: str) -> None:
    click(drawing, *SQUARE[:3])
    if how == "double-click":
        double_click(drawing, SQUARE[3])
    else:
        click(drawing, SQUARE[3])
        if how == "enter":
            key(drawing, K.Key_Return)
        else:
            click(drawing, (SQUARE[0][0] + 0.3, SQUARE[0][1] + 0.3))
    (outline,) = outlines(drawing)
    assert near(outline, SQUARE)
    made = drawing.document.site.fences[0]
    assert (made.tier, made.threshold) == (drawing.maps.scene.look.tier, 1.0)
    assert drawing.fences.mode is None
    assert not action(drawing, "Ctrl+D").isChecked()
    assert drawing.maps.scene.pin is None
    assert checked(drawing).holds
    assert drawing.document.stack.count() == 1
    drawing.document.stack.undo()
    assert not outlines(drawing)


def test_a_double_click_on_the_first_corner_closes_and_pins_nothing(drawing: MainWindow) -> None:
    click(drawing, *SQUARE)
    double_click(drawing, SQUARE[0])
    assert near(outlines(drawing)[0], SQUARE)
    assert drawing.maps.scene.pin is None


@pytest.mark.parametrize(
    ("which", "modifier"), [(K.Key_Backspace, M.NoModifier), (K.Key_Z, CTRL)], ids=["back", "undo"]
)
def test_the_last_corner_is_taken_back(drawing: MainWindow, which: K, modifier: M) -> None:
    drawing.document.set_fences((fence(),), "an edit before")
    click(drawing, (5.0, 5.0), (10.0, 5.0), (10.0, 12.0))
    key(drawing, which, modifier)
    assert near(corners(drawing), ((5.0, 5.0), (10.0, 5.0)))
    assert len(outlines(drawing)) == 1, "the edit before the drawing stands"


def test_undo_with_no_corner_put_undoes_the_last_edit(drawing: MainWindow) -> None:
    drawing.document.set_fences((fence(),), "an edit before")
    key(drawing, K.Key_Z, CTRL)
    assert not outlines(drawing)


def test_escape_leaves_nothing(drawing: MainWindow) -> None:
    click(drawing, *SQUARE)
    key(drawing, K.Key_Escape)
    assert drawing.fences.mode is None
    assert drawing.maps.pane("plan").canvas._sketch.artists == ()
    assert not action(drawing, "Ctrl+D").isChecked()
    assert not outlines(drawing)
    assert drawing.document.stack.count() == 0
    click(drawing, (5.0, 5.0))
    assert drawing.maps.scene.pin is not None, "the mouse pins readings again"


def test_a_corner_snaps_to_what_stands_there_and_shift_leaves_it_free(drawing: MainWindow) -> None:
    drawing.maps.steering.centre((*HUT[2], 0.0))
    while drawing.maps.scene.camera.scale > 0.03:
        drawing.maps.steering.zoom(1)
    settle(drawing)
    beside = (HUT[2][0] + 0.1, HUT[2][1] + 0.1)
    QTest.mouseMove(drawing.maps.pane("plan").canvas, pixel(drawing, beside))
    wait_for(lambda: "corner of hut" in drawing.maps.pane("plan").canvas._sketch._words.get_text())
    click(drawing, beside)
    assert corners(drawing) == (HUT[2],)
    click(drawing, (HUT[1][0] + 0.1, -23.2))
    assert corners(drawing)[1][0] == HUT[1][0], "on the edge of the hut"
    click(drawing, beside, modifier=SHIFT)
    free = corners(drawing)[2]
    assert free != HUT[2]
    assert near((free,), (beside,))


def test_a_fence_is_drawn_with_keys_alone(drawing: MainWindow) -> None:
    for arrow, steps in (("Right", 4), ("Up", 6), ("Left", 4)):
        key(drawing, K.Key_Space)
        for _ in range(steps):
            key(drawing, K[f"Key_{arrow}"])
    key(drawing, K.Key_Space)
    key(drawing, K.Key_Down, SHIFT)
    key(drawing, K.Key_Return)
    (outline,) = outlines(drawing)
    x, y = outline[0]
    # Half a metre a step.
    wanted = ((x, y), (x + 2.0, y), (x + 2.0, y + 3.0), (x, y + 3.0))
    assert [pytest.approx(w, abs=1e-3) for w in wanted] == list(outline)


def test_arrow_steps_are_small_with_shift(drawing: MainWindow) -> None:
    key(drawing, K.Key_Space)
    key(drawing, K.Key_Right, SHIFT)
    key(drawing, K.Key_Space)
    first, second = corners(drawing)
    assert second == pytest.approx((first[0] + 0.1, first[1]))


@pytest.mark.parametrize(
    ("places", "part"),
    [
        (((-5.0, 5.0), (10.0, 5.0)), "at least 3 corners"),
        (((-5.0, -5.0), (10.0, 10.0), (10.0, -5.0), (-5.0, 10.0)), "cross or touch itself"),
    ],
    ids=["two corners", "crossing"],
)
def test_a_line_that_is_no_fence_is_refused_and_stays(
    drawing: MainWindow, places: tuple[Place, ...], part: str
) -> None:
    click(drawing, *places)
    key(drawing, K.Key_Return)
    assert part in drawing.message.text()
    assert "\n" not in drawing.message.text()
    assert drawing.message.isVisible()
    assert not outlines(drawing)
    assert drawing.document.stack.count() == 0
    assert near(corners(drawing), places), "nothing that was drawn is lost"


# changing ------------------------------------------------------------------------------------------


def test_a_dragged_corner_is_one_undo_step_and_the_leak_is_said(reshaping: MainWindow) -> None:
    assert checked(reshaping).holds
    drag(reshaping, SQUARE[2], (8.0, 8.0))
    assert near(outlines(reshaping)[0], (*SQUARE[:2], (8.0, 8.0), SQUARE[3]))
    assert reshaping.document.stack.count() == 1
    check = checked(reshaping)
    assert not check.holds
    size = f"{check.leaks[0].distance:.2f} m"
    # The zone's edge is 17.4 m from the mast; the corner is 9.2 m from it.
    assert 5.0 < check.leaks[0].distance < 17.4
    assert f"ring: LEAKS by {size}" in reshaping.panel("fence note").text()
    assert reshaping.panel("fence note").isVisible()
    assert any(
        f"leaks here by {size}" in t.get_text()
        for t in reshaping.maps.pane("plan").canvas.map.axes.texts
    )
    key(reshaping, K.Key_Z, CTRL)
    assert outlines(reshaping) == [SQUARE]
    assert checked(reshaping).holds


def test_escape_in_a_drag_puts_the_corner_back(reshaping: MainWindow) -> None:
    drag(reshaping, SQUARE[2], (8.0, 8.0), drop=False)
    key(reshaping, K.Key_Escape)
    QTest.mouseRelease(reshaping.maps.pane("plan").canvas, LEFT, pos=pixel(reshaping, (8.0, 8.0)))
    assert outlines(reshaping) == [SQUARE]
    assert reshaping.document.stack.count() == 0
    assert isinstance(reshaping.fences.mode, Reshaping)


@pytest.mark.parametrize("side", range(4))
@pytest.mark.parametrize("how", ["drag", "double-click"])
def test_a_corner_is_put_in_on_any_side(reshaping: MainWindow, side: int, how: str) -> None:
    (x0, y0), (x1, y1) = SQUARE[side], SQUARE[(side + 1) % 4]
    new = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    if how == "drag":
        start, new = new, (0.85 * new[0], 0.85 * new[1])
        drag(reshaping, start, new)
    else:
        double_click(reshaping, new)
    assert near(outlines(reshaping)[0], (*SQUARE[: side + 1], new, *SQUARE[side + 1 :]))
    assert reshaping.document.stack.count() == 1


def test_delete_removes_a_corner_then_refuses_the_last_three(reshaping: MainWindow) -> None:
    click(reshaping, SQUARE[3])
    key(reshaping, K.Key_Delete)
    assert outlines(reshaping) == [SQUARE[:3]]
    click(reshaping, SQUARE[0])
    key(reshaping, K.Key_Delete)
    assert outlines(reshaping) == [SQUARE[:3]]
    assert "at least 3 corners" in reshaping.message.text()
    assert reshaping.document.stack.count() == 1


def test_shift_delete_removes_the_fence(reshaping: MainWindow) -> None:
    click(reshaping, SQUARE[1])
    key(reshaping, K.Key_Delete, SHIFT)
    assert not outlines(reshaping)
    assert not reshaping.panel("fence note").isVisible()
    key(reshaping, K.Key_Z, CTRL)
    assert outlines(reshaping) == [SQUARE]


def test_keys_select_and_move_a_corner(reshaping: MainWindow) -> None:
    key(reshaping, K.Key_Delete)
    assert "No corner is selected" in reshaping.message.text()
    key(reshaping, K.Key_Space)
    key(reshaping, K.Key_Space)
    key(reshaping, K.Key_Right)
    key(reshaping, K.Key_Up, SHIFT)
    assert outlines(reshaping) == [(SQUARE[0], (22.5, -19.9), *SQUARE[2:])]
    assert not reshaping.message.isVisible()
    key(reshaping, K.Key_Space, SHIFT)
    key(reshaping, K.Key_Left)
    assert outlines(reshaping) == [((-20.5, -20.0), (22.5, -19.9), *SQUARE[2:])]


def test_steps_of_a_corner_in_a_row_undo_as_one(reshaping: MainWindow) -> None:
    stack = reshaping.document.stack
    key(reshaping, K.Key_Space)
    for _ in range(4):
        key(reshaping, K.Key_Left)
    assert stack.count() == 1
    key(reshaping, K.Key_Space)
    key(reshaping, K.Key_Right)
    assert stack.count() == 2, "another corner is another edit"
    key(reshaping, K.Key_Z, CTRL)
    assert outlines(reshaping) == [((-22.0, -20.0), *SQUARE[1:])]
    key(reshaping, K.Key_Z, CTRL)
    assert outlines(reshaping) == [SQUARE]


def test_lengths_follow_the_unit_while_a_fence_is_drawn(drawing: MainWindow) -> None:
    click(drawing, (-5.0, 5.0))
    key(drawing, K.Key_Right)
    words = drawing.maps.pane("plan").canvas._sketch._words

    def said() -> str:
        return " ".join(words.get_text().split())

    wait_for(lambda: "m from the last corner" in said())
    drawing.panel("controls").feet.click()
    wait_for(lambda: "ft from the last corner" in said())
    assert near(corners(drawing), ((-5.0, 5.0),)), "nothing drawn is lost"


def test_a_check_that_fails_is_said_not_waited_for(
    reshaping: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise InputError("the zone cannot be proven", fix="Describe the antenna as another kind")

    monkeypatch.setattr(proving, "check_site", fails)
    key(reshaping, K.Key_Space)
    key(reshaping, K.Key_Left)
    wait_for(lambda: "not checked" in reshaping.panel("fence note").text())
    assert "the zone cannot be proven" in reshaping.panel("fence note").text()
    assert reshaping.message.isVisible()
    monkeypatch.undo()
    key(reshaping, K.Key_Left)
    wait_for(lambda: "ring:" in reshaping.panel("fence note").text())


def test_undo_with_nothing_to_undo_removes_no_corner(reshaping: MainWindow) -> None:
    click(reshaping, SQUARE[1])
    key(reshaping, K.Key_Z, CTRL)
    assert outlines(reshaping) == [SQUARE]


@pytest.mark.parametrize("start", [SQUARE[2], (-20.0, 0.0)], ids=["corner", "last side"])
def test_a_drag_that_crosses_the_fence_is_refused(reshaping: MainWindow, start: Place) -> None:
    end = (5.0, -24.0) if start in SQUARE else (24.0, 0.0)
    drag(reshaping, start, end)
    assert "cross or touch itself" in reshaping.message.text()
    assert "\n" not in reshaping.message.text()
    assert outlines(reshaping) == [SQUARE]
    assert reshaping.document.stack.count() == 0
    # The mode goes on.
    drag(reshaping, SQUARE[1], (24.0, -18.0))
    assert near(outlines(reshaping)[0], (SQUARE[0], (24.0, -18.0), *SQUARE[2:]))
    assert not reshaping.message.isVisible()


def test_one_mode_takes_the_place_of_the_other(bare: MainWindow) -> None:
    for shortcut, which, mode in (
        ("Ctrl+D", K.Key_D, Drawing),
        ("Ctrl+E", K.Key_E, Reshaping),
        ("Ctrl+D", K.Key_D, Drawing),
    ):
        QTest.keyClick(bare, which, CTRL)
        assert isinstance(bare.fences.mode, mode)
        on = [a for a in ("Ctrl+D", "Ctrl+E", "Ctrl+M") if action(bare, a).isChecked()]
        assert on == [shortcut]
    QTest.keyClick(bare, K.Key_M, CTRL)
    assert bare.fences.mode is None
    assert bare.maps.pane("plan").canvas.movable
    QTest.keyClick(bare, K.Key_E, CTRL)
    assert not bare.maps.pane("plan").canvas.movable


# files and words -----------------------------------------------------------------------------------


def test_saved_fences_come_back_and_saving_leaves_the_maps(drawing: MainWindow) -> None:
    click(drawing, *SQUARE)
    key(drawing, K.Key_Return)
    click(drawing, (5.0, 5.0))
    checked(drawing)
    settle(drawing)
    raster, pin = drawing.maps.pane("plan").canvas.raster, drawing.maps.scene.pin
    assert drawing.files.save()
    settle(drawing)
    assert raster is not None
    assert drawing.maps.pane("plan").canvas.raster is raster
    assert drawing.maps.pane("plan").canvas.map.shading.visible
    assert pin is not None
    assert drawing.maps.scene.pin == pin
    path, fences = drawing.document.path, drawing.document.site.fences
    assert path is not None
    assert load_site(path).fences == fences
    drawing.document.set_fences((), "remove fences")
    assert drawing.open(path)
    assert drawing.document.site.fences == fences
    assert drawing.maps.scene.pin is None
    assert checked(drawing).holds


def test_opening_a_site_ends_the_mode(drawing: MainWindow) -> None:
    path = drawing.document.path
    assert path is not None
    click(drawing, *SQUARE[:3])
    drawing.open(path)
    assert drawing.fences.mode is None
    assert drawing.maps.pane("plan").canvas.hand is None


def test_the_note_counts_what_it_does_not_name() -> None:
    fences = tuple(replace(fence(), name=f"f{i}") for i in range(5))
    site = quick_site(*fences)
    holding = {f.name: Check(0.5, ()) for f in fences}
    lines = check_lines(site, holding)
    assert len(lines) == 3
    assert lines[0] == "f0: holds with a margin of 0.50 m"
    assert lines[2] == "and 3 more that hold"
    leaking = holding | {f"f{i}": Check(0.0, (Leak((1.0, 2.0), 3.0),)) for i in range(3)}
    lines = check_lines(site, leaking)
    assert lines[0] == "f0: LEAKS by 3.00 m at 1.00, 2.00"
    assert lines[2] == "and 1 more that leak and 2 more that hold"
