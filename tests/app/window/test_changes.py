"""Two states of a site in the real window, by mouse and keys: what is on screen, and what it says it is."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, QRect, QSize, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QFileDialog, QPushButton, QWidget

from app.cli.main import main as isofence
from app.window.changes import change_canvas, working_out, writing
from app.window.changes.change_pane import ChangePane
from app.window.changes.changes import ELSEWHERE
from app.window.changes.compared import AS_FILED, Source
from app.window.changes.page import NO_PIN, SAME, WORSE
from app.window.changes.working_out import WorkingOut
from app.window.main_window import MainWindow
from core.changes.comparison import Comparison
from core.files.site_writer import save_site
from core.site.site import Site
from core.site.state import Condition, NamedState, State
from support.changed import raised, with_antenna, yard
from support.on_maps import CTRL, LEFT, SHIFT, drag, wheel
from support.simple_sites import isotropic
from support.windows import wait_for

K = Qt.Key


def here() -> Site:
    """Return a yard with two antennas and a state in which one of them is reduced."""
    south = isotropic("south", 460e6, 200.0, (5.0, -4.0, 3.5))
    site = yard(antennas=(*yard().antennas, south))
    low = State(Condition.REDUCED, 10.0)
    return replace(site, states=(NamedState(name="north low", states=(("north", low),)),))


def settled(window: MainWindow) -> None:
    quiet = [0]

    def done() -> bool:
        quiet[0] = 0 if window.maps.busy or window.changes.busy else quiet[0] + 1
        return quiet[0] > 8

    wait_for(done)


def worked_out(window: MainWindow) -> None:
    settled(window)
    wait_for(lambda: not window.changes.work.at_work)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("sites")
    save_site(here(), made / "yard.json")
    save_site(raised(here(), "north", 2.0), made / "more.json")
    return made


@pytest.fixture(scope="module")
def shared(qt: QApplication) -> Iterator[MainWindow]:
    """One window for all tests here: it opens its file anew for each."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(change_canvas, "_SPARE", 40)
        patch.setattr(working_out, "compare", cache_of(working_out.compare))
        window = MainWindow()
        window.resize(900, 600)
        window.show()
        yield window
        window.document.stack.setClean()
        window.close()
        window.deleteLater()
        qt.processEvents()


def cache_of(compare: Callable[..., Comparison]) -> Callable[..., Comparison]:
    """Return a comparison that proves each pair of states once."""
    made: dict[tuple[Site, Site], Comparison] = {}

    def known(before: Site, after: Site, **how: object) -> Comparison:
        if (before, after) not in made:
            made[before, after] = compare(before, after, **how)
        return made[before, after]

    return known


@pytest.fixture
def idle(monkeypatch: pytest.MonkeyPatch) -> None:
    """Prove nothing: what is looked at does not hang on it."""
    monkeypatch.setattr(WorkingOut, "prove", lambda self: None)


@pytest.fixture
def proving(shared: MainWindow, folder: Path) -> MainWindow:
    return _opened(shared, folder)


@pytest.fixture
def opened(shared: MainWindow, folder: Path, idle: None) -> MainWindow:
    return _opened(shared, folder)


def _opened(window: MainWindow, folder: Path) -> MainWindow:
    """Turn to the task as if the file was just opened; what is there already is not drawn anew."""
    changes = window.changes
    changes.work.cancel()
    window.show_task("field")
    changes._forget()
    if window.document.path != folder / "yard.json" or window.document.stack.count():
        window.document.stack.setClean()
        assert window.open(folder / "yard.json")
    changes.scene = replace(
        changes.scene, way="after", quantity="decibels", edge=0.5, planes="plan", pin=None
    )
    tier = child(window, QComboBox, "tier")
    tier.setCurrentIndex(0)
    tier.activated.emit(0)
    window.activateWindow()
    QTest.qWaitForWindowActive(window)
    key(window, K.Key_F5)
    return window


NONE = Qt.KeyboardModifier.NoModifier


def key(window: MainWindow, which: Qt.Key, held: Qt.KeyboardModifier = NONE) -> None:
    QTest.keyClick(window, which, held)


def pane(window: MainWindow, name: str = "plan") -> ChangePane:
    return next(p for p in window.changes.panes if p.name == name)


def child(window: MainWindow, kind: type[QWidget], name: str) -> QWidget:
    found = window.findChild(kind, name)
    assert found is not None
    return found


def compare_with(window: MainWindow, name: str) -> None:
    assert window.document.folder is not None
    assert window.changes.open(1, window.document.folder / name)


# what is compared ----------------------------------------------------------------------------------


def test_it_opens_with_the_first_named_state_and_says_which_is_on_screen(
    opened: MainWindow,
) -> None:
    opened.changes.show_planes("both")
    before, after = opened.changes.scene.ends
    assert (before.source, after.source.state) == (Source(), "north low")
    assert after.site.antennas[0].state.percent == 10.0
    title = pane(opened).titles[0].text()
    assert title.startswith('AFTER, not this site as filed: state "north low"')
    assert pane(opened).canvas.tag == "AFTER"
    key(opened, K.Key_F8)
    assert pane(opened).titles[0].text().startswith(f"BEFORE: {AS_FILED} |")
    assert pane(opened).canvas is pane(opened).before
    key(opened, K.Key_F8)
    assert pane(opened).canvas is pane(opened).after
    for plane in ("plan", "elevation"):
        assert pane(opened, plane).titles[0].isVisible()


def test_nothing_of_the_site_as_it_is_stands_beside_another_state(opened: MainWindow) -> None:
    for name in ("legend", "fence note", "reading", "go to"):
        assert not opened.panel(name).isVisible(), name
    key(opened, K.Key_F3)
    for name in ("legend", "fence note", "reading", "go to"):
        assert opened.panel(name).isVisible(), name
    assert not opened.panel("change page").isVisible()


def test_a_site_against_itself_shows_no_difference_and_an_empty_list(opened: MainWindow) -> None:
    opened.changes.show_planes("both")
    box = child(opened, QComboBox, "change after")
    assert isinstance(box, QComboBox)
    box.setCurrentIndex(0)
    box.activated.emit(0)
    settled(opened)
    assert opened.changes.scene.same
    assert opened.changes.page.verdict.text() == SAME
    assert opened.changes.page.list.effects() == ()
    for one in opened.changes.panes:
        for _ in range(2):
            key(opened, K.Key_F7, SHIFT)
            assert one.bands is not None
            assert not one.bands.rises
            assert not one.bands.falls
            assert not one.bands.lines
    assert not opened.changes.work.at_work


def test_swapped_the_difference_is_mirrored_and_so_are_the_ends(opened: MainWindow) -> None:
    compare_with(opened, "more.json")
    settled(opened)
    ends, change = opened.changes.scene.ends, pane(opened).change
    assert change is not None
    rise = change.decibels("public")
    key(opened, K.Key_X, CTRL | SHIFT)
    settled(opened)
    assert [e.source for e in opened.changes.scene.ends] == [e.source for e in ends[::-1]]
    back = pane(opened).change
    assert back is not None
    assert np.allclose(back.decibels("public"), -rise, atol=1e-6)
    assert pane(opened).bands is not None
    assert pane(opened).bands.falls
    assert not pane(opened).bands.rises
    QTest.mouseClick(opened.changes.shown.strip.swap, LEFT)
    assert [e.source for e in opened.changes.scene.ends] == [e.source for e in ends]


def test_three_decibels_on_one_antenna_alone_are_that_everywhere(
    opened: MainWindow, tmp_path: Path
) -> None:
    opened.changes.show_planes("both")
    window = opened
    window.document.edit("one", lambda _: yard())
    save_site(raised(yard(), "north", 2.0), tmp_path / "double.json")
    assert window.changes.open(1, tmp_path / "double.json")
    settled(window)
    for one in window.changes.panes:
        assert one.change is not None
        assert one.change.decibels("public") == pytest.approx(10.0 * np.log10(2.0), abs=1e-4)
    QTest.mouseClick(pane(window).canvas, LEFT, pos=QPoint(90, 90))
    wait_for(lambda: "+3.01 dB" in window.changes.page.place.text())


def test_layers_are_shared_with_the_other_maps_and_between_the_states(
    opened: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    settled(opened)
    assert opened.changes.cache is opened.maps.pane("plan").cache
    computed = opened.changes.cache.computed
    opened.changes.choose(1, Source())
    settled(opened)
    assert opened.changes.cache.computed == computed, "a state rescales"


# another file --------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ['{"format": 1}', "\x00", None])
def test_a_broken_other_file_is_one_clear_line_and_nothing_is_lost(
    opened: MainWindow,
    folder: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    text: str | None,
) -> None:
    path = tmp_path / "broken.json"
    if text is not None:
        path.write_text(text, "utf-8")
    ends, site = opened.changes.scene.ends, opened.document.site
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(path), ""))
    key(opened, K.Key_O, CTRL | SHIFT)
    assert "broken.json" in opened.message.text()
    assert "\n" not in opened.message.text()
    assert opened.changes.scene.ends == ends
    assert opened.document.site is site
    assert opened.document.path == folder / "yard.json"
    box = child(opened, QComboBox, "change after")
    assert isinstance(box, QComboBox)
    assert box.currentText() == 'state "north low"'
    compare_with(opened, "more.json")
    assert opened.message.isHidden(), "an old error leaves when something succeeds"


def test_the_other_file_is_only_read_and_its_states_are_offered(
    opened: MainWindow, folder: Path
) -> None:
    bytes_ = (folder / "more.json").read_bytes()
    compare_with(opened, "more.json")
    box = child(opened, QComboBox, "change before")
    assert isinstance(box, QComboBox)
    offered = [box.itemText(i) for i in range(box.count())]
    name = f"file {folder.name}/more.json"
    assert offered == [AS_FILED, 'state "north low"', name, f'{name}, state "north low"', "another file…"]  # fmt: skip
    assert opened.document.path == folder / "yard.json"
    assert not opened.document.dirty
    assert (folder / "more.json").read_bytes() == bytes_


def test_edits_are_followed_and_undo_is_what_it_was(opened: MainWindow) -> None:
    compare_with(opened, "more.json")
    assert not opened.document.stack.canUndo()
    moved = with_antenna(here(), "south", lambda a: replace(a, position=(6.0, -4.0, 3.5)))
    opened.document.edit("move", lambda _: moved)
    assert opened.changes.scene.ends[0].site is opened.document.site
    assert any("moved" in e.words for e in opened.changes.page.list.effects())
    box = child(opened, QComboBox, "change before")
    assert isinstance(box, QComboBox)
    assert "not saved" in box.currentText()
    for act in (K.Key_F8, K.Key_F9, K.Key_F7):
        key(opened, act)
    assert opened.document.stack.count() == 1
    key(opened, K.Key_Z, CTRL)
    assert not opened.document.dirty
    assert opened.changes.scene.ends[0].site == here()


def test_a_state_that_goes_is_one_line_and_the_comparison_stays_usable(opened: MainWindow) -> None:
    opened.document.edit("no states", lambda s: replace(s, states=()))
    assert "no state is called 'north low'" in opened.message.text()
    assert opened.changes.scene.same


def test_the_maps_of_one_site_never_stand_under_the_names_of_another(
    opened: MainWindow, tmp_path: Path
) -> None:
    settled(opened)
    panes = [pane for pane in opened.changes.panes if not pane.is_away]
    assert all(pane.change is not None for pane in panes)
    assert panes
    save_site(replace(yard(), name="another yard"), tmp_path / "other.json")
    assert opened.open(tmp_path / "other.json")
    assert opened.changes.scene.ends[0].site.name == "another yard"
    for pane in opened.changes.panes:
        assert pane.change is None
        assert [canvas.shaded for canvas in pane.canvases] == [None] * 3
    # And those of the new one follow.
    worked_out(opened)
    assert all(pane.change is not None for pane in panes)
    assert opened.changes.scene.same


# ways of looking -----------------------------------------------------------------------------------


def test_switching_draws_and_computes_nothing(opened: MainWindow) -> None:
    settled(opened)
    for one in pane(opened).canvases:
        one.grab()  # what still has to be painted is not the switch's
    settled(opened)
    draws = [c.full_draws for c in pane(opened).canvases]
    computed = opened.changes.cache.computed
    for act in (K.Key_F8, K.Key_F8, K.Key_F7, K.Key_F8):
        key(opened, act)
        QApplication.processEvents()
        pane(opened).canvas.grab()
    assert [c.full_draws for c in pane(opened).canvases] == draws
    assert opened.changes.cache.computed == computed


def test_side_by_side_one_camera_moves_both(opened: MainWindow) -> None:
    opened.changes.show_planes("both")
    settled(opened)
    key(opened, K.Key_F9)
    settled(opened)
    one = pane(opened)
    before, after = one.in_front
    assert before.size() == after.size()
    assert not before.geometry().intersects(after.geometry())
    assert [t.text().split(",")[0].split(":")[0] for t in one.titles] == ["BEFORE", "AFTER"]
    at = QPointF(60.0, 70.0)
    place = after.place_of(at)
    wheel(after, at, 3)
    for canvas in (before, after):
        assert canvas.place_of(at) == pytest.approx(place, abs=1e-6)
        assert canvas.scale == pytest.approx(pane(opened, "elevation").before.scale)
    drag(before, QPoint(60, 60), QPoint(90, 40))
    assert before.place_of(at) == pytest.approx(after.place_of(at))
    settled(opened)
    # The other maps of the window stayed where they were.
    assert opened.maps.scene.fitted
    key(opened, K.Key_0, CTRL)
    settled(opened)
    assert opened.changes.scene.fitted


def shade(canvas: QWidget, at: QPoint) -> QColor:
    return canvas.grab(QRect(at, QSize(1, 1))).toImage().pixelColor(0, 0)


def test_the_edge_of_a_wipe_is_dragged_and_moved_by_keys(opened: MainWindow) -> None:
    compare_with(opened, "more.json")
    key(opened, K.Key_F9, SHIFT)
    settled(opened)
    one, canvas = pane(opened), pane(opened).after
    width = canvas.width()
    middle = QPoint(width // 2, canvas.height() // 3)
    drag(canvas, middle, QPoint(round(0.8 * width), middle.y()))
    assert opened.changes.scene.edge == pytest.approx(0.8, abs=0.01)
    assert opened.changes.scene.pin is None, "no place was pinned"
    for other in opened.changes.panes:
        assert other.after.edge == opened.changes.scene.edge
    key(opened, K.Key_Comma, CTRL)
    key(opened, K.Key_Comma, CTRL)
    key(opened, K.Key_Period, CTRL)
    assert opened.changes.scene.edge == pytest.approx(0.78, abs=0.01)
    draws = canvas.full_draws
    # At its ends the wipe shows one of them alone, seen where no badge and no edge is.
    places = [QPoint(x, canvas.height() - 60) for x in range(40, width - 40, 11)]
    canvas.wipe(None, 0.5)
    alone = [[shade(c, at) for at in places] for c in (one.before, canvas)]
    canvas.wipe(one.before, 0.5)
    assert alone[0] != alone[1]
    for edge, i in ((0.0, 1), (1.0, 0)):
        opened.changes.set_edge(edge)
        assert [shade(canvas, at) for at in places] == alone[i]
    assert canvas.full_draws == draws, "nothing was drawn anew"
    # A key over the end stays at it.
    for _ in range(3):
        opened.changes.move_edge(40)
    assert opened.changes.scene.edge == 1.0


def test_buttons_and_boxes_do_what_keys_do(opened: MainWindow) -> None:
    for way in ("before", "side by side", "wipe", "difference", "after"):
        button = child(opened, QPushButton, f"show {way}")
        assert isinstance(button, QPushButton)
        QTest.mouseClick(button, LEFT)
        assert opened.changes.scene.way == way
        assert button.isChecked()
    key(opened, K.Key_F7)
    key(opened, K.Key_F7, SHIFT)
    assert "RISE in percent points" in pane(opened).titles[0].text()
    box = child(opened, QComboBox, "change quantity")
    assert isinstance(box, QComboBox)
    assert box.currentData() == "points"
    assert "percent points" in opened.changes.shown.legend.difference.words()
    planes = child(opened, QComboBox, "change planes")
    assert isinstance(planes, QComboBox)
    planes.setCurrentIndex(2)
    planes.activated.emit(2)
    assert not pane(opened).isVisible()
    assert pane(opened, "elevation").isVisible()


def test_keys_of_the_task_say_where_they_belong_elsewhere(opened: MainWindow) -> None:
    key(opened, K.Key_F3)
    for act in (K.Key_F7, K.Key_F8, K.Key_F9):
        opened.message.hide()
        key(opened, act)
        assert opened.message.text() == ELSEWHERE
        assert opened.message.isVisible()


# places, and what it does --------------------------------------------------------------------------


def test_a_pinned_place_is_read_before_and_after_for_the_tier_shown(opened: MainWindow) -> None:
    page = opened.changes.page
    assert page.place.text() == NO_PIN
    compare_with(opened, "more.json")
    settled(opened)
    canvas = pane(opened).canvas
    QTest.mouseClick(canvas, LEFT, pos=canvas.pixel_of((3.0, 0.0)).toPoint())
    wait_for(lambda: "change" in page.place.text())
    public = page.place.text()
    assert "before " in public
    assert "after " in public
    assert " dB, +" in public
    assert "percent points" in public
    tier = child(opened, QComboBox, "tier")
    assert isinstance(tier, QComboBox)
    tier.setCurrentIndex(1)
    tier.activated.emit(1)
    wait_for(lambda: "change" in page.place.text() and "occupational" in page.place.text())
    assert page.place.text() != public
    assert "occupational" in pane(opened).titles[0].text()


def test_worse_comes_first_and_a_row_goes_to_its_place(proving: MainWindow) -> None:
    compare_with(proving, "more.json")
    worked_out(proving)
    page = proving.changes.page
    assert page.verdict.text().startswith(WORSE)
    effects = page.list.effects()
    assert effects[0].worse
    assert page.list.item(0).text() == "Worse for people"
    assert page.list.item(1).text().startswith(f"{WORSE}Zones: over the public limit")
    assert pane(proving).after._marks, "gained zones are on the plan"
    page.list.setFocus()
    page.list.setCurrentRow(0)
    QTest.keyClick(page.list, K.Key_Down)
    settled(proving)
    place = effects[0].place
    assert place is not None
    assert proving.changes.scene.pin is not None
    assert proving.changes.scene.pin.place == place
    middle = proving.changes.scene.camera.middle("plan")
    assert middle == pytest.approx(place[:2])
    ladder = next(e for e in effects if not e.stands)
    texts = [page.list.item(i).text() for i in range(page.list.count())]
    rows = [i for i, text in enumerate(texts) if text.endswith(ladder.words)]
    item = page.list.item(rows[0])
    page.list.scrollToItem(item)
    QTest.mouseClick(page.list.viewport(), LEFT, pos=page.list.visualItemRect(item).center())
    assert proving.changes.scene.pin.pane == "elevation"
    QTest.mouseClick(page.marks, LEFT, pos=QPoint(8, page.marks.height() // 2))
    assert not pane(proving).after._marks


def test_the_work_is_cancelled_and_begun_again(proving: MainWindow) -> None:
    compare_with(proving, "more.json")
    changes = proving.changes
    changes.work.cancel()
    changes.work_out()
    assert changes.work.at_work
    assert changes.page.stop_it.isVisible()
    assert any(e.section == "What changed" for e in changes.page.list.effects())
    QTest.mouseClick(changes.page.stop_it, LEFT)
    assert not changes.work.at_work
    assert changes.page.again.isVisible()
    assert changes.scene.comparison is None
    QTest.mouseClick(changes.page.again, LEFT)
    worked_out(proving)
    assert changes.scene.comparison is not None
    assert not changes.page.again.isVisible()


# on paper ------------------------------------------------------------------------------------------


def test_the_page_has_the_bytes_of_the_command(
    proving: MainWindow, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    compare_with(proving, "more.json")
    worked_out(proving)
    monkeypatch.setattr(writing, "_CELLS", (20, 20))
    write = proving.change_writing
    assert write.export_page(tmp_path / "window.pdf")
    wait_for(lambda: not write.busy)
    files = [str(folder / name) for name in ("yard.json", "more.json")]
    isofence(["compare", *files, "--cells", "20x20", "-o", str(tmp_path / "page.pdf")])
    assert (tmp_path / "window.pdf").read_bytes() == (tmp_path / "page.pdf").read_bytes()
    assert write.export_areas(tmp_path / "areas.geojson")
    wait_for(lambda: not write.busy)
    areas = json.loads((tmp_path / "areas.geojson").read_text("utf-8"))["features"]
    found = proving.changes.scene.comparison
    assert found is not None
    pieces = [p for z in found.zones for region in (z.gained, z.lost) for p in region.geoms]
    assert len(areas) == len(pieces) > 0
    assert not write.export_page(folder / "more.json")
    assert not write.export_areas(tmp_path / "page.pdf")
    assert proving.message.isVisible()


def test_nothing_is_written_before_it_is_worked_out(opened: MainWindow, tmp_path: Path) -> None:
    key(opened, K.Key_F3)
    assert not opened.change_writing.export_page(tmp_path / "page.pdf")
    assert "Changes task (F5)" in opened.message.text()
    assert not (tmp_path / "page.pdf").exists()
