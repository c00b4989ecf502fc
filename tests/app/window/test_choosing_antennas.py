"""Antennas chosen by clicks on the maps in the task Site, several with Ctrl or Shift, and dragged from there."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.modes.picking import next_chosen
from app.window.main_window import MainWindow
from app.window.pointing import PointedCanvas
from core.site.places import Structure
from core.site.site import Site
from support.forms import take
from support.on_maps import CTRL, LEFT, SHIFT, canvas, drag
from support.simple_sites import FREE, ground, isotropic
from support.windows import settle

K = Qt.Key
SQUARE = ((19.0, 3.0), (21.0, 3.0), (21.0, 5.0), (19.0, 5.0))
MAST = Structure(name="mast", kind="mast", outline=SQUARE, base=0.0, top=30.0)
PLACES = {
    "West": (-20.0, 4.0, 9.0),
    "North": (0.0, 18.0, 6.0),
    "Upper": (20.0, 4.0, 24.0),
    "Lower": (20.0, 4.0, 12.0),
}
SITE = Site(
    name="four (invented)", reflection=FREE, surfaces=(ground(60.0),), structures=(MAST,),
    antennas=tuple(isotropic(name, 98e6, 10.0, at) for name, at in PLACES.items()),
)  # fmt: skip


@pytest.fixture
def opened(window: MainWindow) -> MainWindow:
    take(window, SITE)
    window.show_task("site")
    settle(window)
    return window


def pixel(window: MainWindow, name: str, on: PointedCanvas) -> QPoint:
    """Return the pixel an antenna is drawn at."""
    assert on.view is not None
    antenna = next(a for a in window.document.site.antennas if a.name == name)
    u, v = on.view.to_view(np.array([antenna.position]))[0]
    return on.pixel_of((float(u), float(v))).toPoint()


def click(
    window: MainWindow, name: str, pane: str = "plan", held: Qt.KeyboardModifier | None = None
) -> None:
    """Click on the mark of an antenna."""
    on = canvas(window, pane)
    QTest.mouseClick(on, LEFT, held or Qt.KeyboardModifier.NoModifier, pixel(window, name, on))


def chosen(window: MainWindow) -> list[str]:
    """Return the names of the chosen antennas, the current one first."""
    table = window.panel("emitters")
    now = table.current_antenna()
    found = sorted(table.selected_antennas(), key=lambda i: i != now)
    return [window.document.site.antennas[i].name for i in found]


@pytest.mark.parametrize("pane", ["plan", "elevation"])
def test_a_click_chooses_the_row_the_form_and_the_mark(opened: MainWindow, pane: str) -> None:
    for name in ("North", "West"):
        click(opened, name, pane)
        assert chosen(opened) == [name]
        assert opened.panel("antenna").title.text().endswith(name)
        assert opened.maps.scene.selected == name
        assert opened.maps.scene.also == ()
        for one in opened.panes:
            assert one.canvas.map.selected == name


def test_ctrl_and_shift_choose_several_and_all_are_marked(opened: MainWindow) -> None:
    click(opened, "West")
    click(opened, "North", held=CTRL)
    click(opened, "Upper", "elevation", SHIFT)
    assert chosen(opened)[0] == "Upper"
    assert sorted(chosen(opened)) == ["North", "Upper", "West"]
    assert opened.panel("antenna").title.text().endswith("Upper")
    assert opened.maps.scene.selected == "Upper"
    assert sorted(opened.maps.scene.also) == ["North", "West"]
    click(opened, "North", held=CTRL)
    assert sorted(chosen(opened)) == ["Upper", "West"]
    opened.antennas.remove()
    assert [a.name for a in opened.document.site.antennas] == ["North", "Lower"]
    opened.document.stack.undo()
    assert opened.document.site == SITE


def test_of_several_in_one_place_every_click_chooses_the_next(opened: MainWindow) -> None:
    seen = []
    for _ in range(3):
        click(opened, "Upper")
        seen += chosen(opened)
    assert seen == ["Upper", "Lower", "Upper"]
    click(opened, "Upper", held=CTRL)
    assert sorted(chosen(opened)) == ["Lower", "Upper"]


def test_an_antenna_comes_before_the_mast_it_hangs_on(opened: MainWindow) -> None:
    click(opened, "Upper")
    assert opened.maps.scene.part is None
    elevation = canvas(opened, "elevation")
    assert elevation.view is not None
    u, v = elevation.view.to_view(np.array([(20.0, 4.0, 18.0)]))[0]
    QTest.mouseClick(elevation, LEFT, pos=elevation.pixel_of((float(u), float(v))).toPoint())
    assert opened.maps.scene.part is not None
    assert opened.maps.scene.part.name == "mast"
    assert chosen(opened) == ["Upper"]


def test_keys_choose_as_the_mouse_does(opened: MainWindow) -> None:
    on = canvas(opened)
    on.setFocus()
    QTest.keyClick(on, K.Key_Up)
    for name, held in (("West", Qt.KeyboardModifier.NoModifier), ("North", SHIFT)):
        on.cross = on.place_of(pixel(opened, name, on).toPointF())
        QTest.keyClick(on, K.Key_Return, held)
    assert chosen(opened) == ["North", "West"]


def test_in_other_tasks_a_click_reads_and_chooses_nothing(opened: MainWindow) -> None:
    opened.show_task("field")
    before = chosen(opened)
    click(opened, "North")
    assert chosen(opened) == before
    assert opened.maps.scene.selected != "North"
    assert opened.maps.scene.pin is not None


def test_the_chosen_one_of_several_in_one_place_is_dragged_in_height_too(
    opened: MainWindow,
) -> None:
    click(opened, "Lower", "elevation")
    opened.actions_by_name["move"].setChecked(True)
    on = canvas(opened)
    start, scale = pixel(opened, "Lower", on), on.scale
    drag(on, start, start + QPoint(40, 0))
    settle(opened)
    moved = {a.name: a.position for a in opened.document.site.antennas}
    assert moved["Upper"] == PLACES["Upper"]
    assert moved["Lower"][0] == pytest.approx(20.0 + 40 * scale, abs=0.1)
    on = canvas(opened, "elevation")
    start, scale = pixel(opened, "Lower", on), on.scale
    drag(on, start, start - QPoint(0, 30))
    settle(opened)
    assert opened.document.site.antennas[3].position[2] == pytest.approx(12.0 + 30 * scale, abs=0.1)
    click(opened, "West")
    assert chosen(opened) == ["West"], "a press without a movement chooses"


def test_what_a_click_makes_of_what_is_chosen() -> None:
    assert next_chosen([4], [], adds=False) == [4]
    assert next_chosen([4, 2], [4, 2], adds=False) == [4]
    assert next_chosen([4, 2], [2], adds=False) == [4]
    assert next_chosen([4, 2], [4], adds=True) == [2, 4]
    assert next_chosen([4], [4], adds=True) == [4], "one stays chosen"
