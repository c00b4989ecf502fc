"""Nothing that was entered is lost: undo of everything, recovery after a kill, two windows, other programs."""

from __future__ import annotations

import os
import random
import signal
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMessageBox, QPushButton

from app.window.document import Document
from app.window.main_window import MainWindow
from core.errors import InputError
from core.files import beside as beside_file
from core.files.beside import claim
from core.files.site_file import load_site
from core.files.site_writer import save_site, site_text
from core.site.parts import Part
from core.site.site import Condition, Site, State
from support.editing import kept_after_kill
from support.edits import random_edit
from support.places import ROOT
from support.simple_sites import FREE, isotropic
from support.windows import settle, wait_for

TOWER = ROOT / "demo_sites" / "cold-ridge-tower" / "cold-ridge-tower.json"
EDITS = 500


def small(path: Path, name: str = "s") -> Path:
    site = Site(
        name=name, reflection=FREE, extent=(-9.0, -9.0, 9.0, 9.0),
        antennas=tuple(isotropic(f"a{i}", 98e6, 100.0, (float(i), 0.0, 3.0)) for i in range(4)),
    )  # fmt: skip
    save_site(site, path)
    return path


def others(folder: Path) -> list[str]:
    """Return what is kept beside the files of a folder."""
    return sorted(p.name for p in folder.iterdir() if ".isofence-" in p.name)


def test_every_edit_has_a_name_is_undone_and_done_again_to_the_byte(
    qt: QApplication, tmp_path: Path
) -> None:
    document, rng = Document(), random.Random(1)
    document.open(small(tmp_path / "s.json"))
    first = site_text(document.site)
    for _ in range(EDITS):
        random_edit(document, rng)
    stack = document.stack
    assert all(stack.text(i).strip() for i in range(stack.count()))
    last = site_text(document.site)
    while stack.canUndo():
        stack.undo()
    assert site_text(document.site) == first
    while stack.canRedo():
        stack.redo()
    assert site_text(document.site) == last


def test_undo_goes_through_the_same_states_backwards(qt: QApplication, tmp_path: Path) -> None:
    document, rng = Document(), random.Random(2)
    document.open(small(tmp_path / "s.json"))
    after = {0: site_text(document.site)}
    for _ in range(60):
        random_edit(document, rng)
        after[document.stack.index()] = site_text(document.site)
    for _ in range(200):
        (document.stack.undo if rng.random() < 0.55 else document.stack.redo)()
        assert site_text(document.site) == after[document.stack.index()]


# what is kept beside the file -----------------------------------------------------------------------


@pytest.mark.usefixtures("beside", "qt")
def test_an_edit_is_kept_at_once_and_nothing_after_saving_or_undoing(tmp_path: Path) -> None:
    path = small(tmp_path / "s.json")
    document = Document()
    document.open(path)
    assert others(tmp_path) == [".s.json.isofence-open"]
    document.set_state(0, State(Condition.OFF))
    assert others(tmp_path) == [".s.json.isofence-open", ".s.json.isofence-unsaved"]
    document.stack.undo()
    assert others(tmp_path) == [".s.json.isofence-open"]
    document.stack.redo()
    assert len(others(tmp_path)) == 2
    document.save(path)
    assert others(tmp_path) == [".s.json.isofence-open"]
    document.set_state(0, State(Condition.ON))
    document.save(tmp_path / "t.json")
    assert others(tmp_path) == [".t.json.isofence-open"]
    document.close()
    assert others(tmp_path) == []


@pytest.mark.usefixtures("beside")
def test_the_steps_of_a_movement_are_kept_when_it_pauses(qt: QApplication, tmp_path: Path) -> None:
    document = Document()
    document.open(small(tmp_path / "s.json"))
    unsaved = tmp_path / ".s.json.isofence-unsaved"
    document.move(0, (1.0, 0.0, 3.0))
    first = unsaved.read_text("utf-8")
    document.move(0, (2.0, 0.0, 3.0))
    assert unsaved.read_text("utf-8") == first
    wait_for(lambda: unsaved.read_text("utf-8") != first)
    document.move(0, (3.0, 0.0, 3.0))
    document.set_state(1, State(Condition.OFF))
    assert "3.0, 0.0, 3.0" in unsaved.read_text("utf-8")
    assert document.stack.count() == 2
    document.close()


def after_a_crash(path: Path, change: Callable[[Document], object]) -> None:
    """Change a file in a process that is killed."""
    child = os.fork()
    if child == 0:
        document = Document()
        document.open(path)
        change(document)
        os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(child, 0)


posix = pytest.mark.skipif(sys.platform == "win32", reason="kills of POSIX")


def press(name: str, said: list[str]) -> None:
    """Press a button of the question that comes."""

    def now() -> None:
        box = QApplication.activeModalWidget()
        if not isinstance(box, QMessageBox):
            QTimer.singleShot(20, now)
            return
        said.append(box.text())
        button = next(b for b in box.findChildren(QPushButton) if b.text() == name)
        button.click()

    QTimer.singleShot(20, now)


@posix
@pytest.mark.usefixtures("beside")
@pytest.mark.parametrize("answer", ["Recover", "Discard"])
def test_what_a_killed_window_left_is_offered(
    window: MainWindow, tmp_path: Path, answer: str
) -> None:
    path = small(tmp_path / "s.json")
    before = path.read_bytes()
    after_a_crash(path, lambda d: d.set_state(0, State(Condition.OFF)))
    assert others(tmp_path) == [".s.json.isofence-open", ".s.json.isofence-unsaved"]
    said: list[str] = []
    press(answer, said)
    window.open(path)
    wait_for(lambda: bool(said))
    settle(window)
    assert "never saved" in said[0]
    assert "somebody" not in said[0]
    assert path.read_bytes() == before
    off = window.document.site.antennas[0].state.condition is Condition.OFF
    assert off == (answer == "Recover")
    assert window.document.dirty == (answer == "Recover")
    if answer == "Recover":
        assert window.document.stack.undoText() == "recover unsaved changes"
        window.document.stack.undo()
        assert site_text(window.document.site).encode() == before
    assert others(tmp_path) == [".s.json.isofence-open"]


@posix
@pytest.mark.usefixtures("beside")
def test_what_is_put_off_is_named_kept_and_offered_again(
    window: MainWindow, tmp_path: Path
) -> None:
    path = small(tmp_path / "s.json")
    after_a_crash(path, lambda d: d.set_state(0, State(Condition.OFF)))
    said: list[str] = []
    press("Later", said)
    window.open(path)
    wait_for(lambda: bool(said))
    settle(window)
    assert str(path) in said[0]
    assert "1 thing different from the file" in said[0]
    assert "state" in said[0]
    assert not window.document.dirty
    # What is edited and saved meanwhile does not touch it.
    window.document.set_state(1, State(Condition.OFF))
    window.document.save(path)
    window.document.close()
    press("Recover", said)
    window.open(path)
    wait_for(lambda: len(said) == 2)
    settle(window)
    assert window.document.site.antennas[0].state.condition is Condition.OFF
    window.document.stack.undo()
    window.document.close()
    assert others(tmp_path) == []


@posix
@pytest.mark.usefixtures("beside")
def test_a_file_that_was_saved_since_is_said(window: MainWindow, tmp_path: Path) -> None:
    path = small(tmp_path / "s.json")
    after_a_crash(path, lambda d: d.set_state(0, State(Condition.OFF)))
    small(path, "theirs")
    said: list[str] = []
    press("Recover", said)
    window.open(path)
    wait_for(lambda: bool(said))
    settle(window)
    assert "saved by somebody since" in said[0]
    assert window.document.site.name == "s"
    assert load_site(path).name == "theirs"


@posix
@pytest.mark.usefixtures("beside")
def test_an_untitled_site_is_recovered_too(window: MainWindow, tmp_path: Path) -> None:
    child = os.fork()
    if child == 0:
        document = Document()
        document.add(isotropic("first", 98e6, 10.0))
        os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(child, 0)
    said: list[str] = []
    press("Recover", said)
    window.keeping.look()
    assert said
    assert window.document.site.antennas[0].name == "first"
    assert window.document.path is None
    window.document.close()
    assert others(tmp_path / "state" / "isofence") == []


@pytest.mark.parametrize("act", ["key", "save", "leave", "copy"])
def test_what_is_typed_and_not_entered_yet_is_saved(
    window: MainWindow, tmp_path: Path, act: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = small(tmp_path / "s.json")
    window.open(path)
    window.show_task("site")
    window.activateWindow()
    settle(window)
    table, form = window.panel("emitters"), window.panel("antenna")
    table.select([0])  # type: ignore[attr-defined]
    settle(window)
    b = QMessageBox.StandardButton
    asked: list[str] = []

    def question(_: object, __: str, text: str, ___: object) -> QMessageBox.StandardButton:
        asked.append(text)
        return b.Cancel if "cannot be used" in text else b.Save

    monkeypatch.setattr(QMessageBox, "question", question)

    def typed(text: str) -> bool:
        field = form.form.fields["x"].editor  # type: ignore[attr-defined]
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, text)
        if act == "key":
            QTest.keyClick(field, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
            return not window.message.isVisible()
        if act == "save":
            return window.files.save()
        return (
            window.files.save_copy(tmp_path / "c.json")
            if act == "copy"
            else window.files.may_leave()
        )

    assert typed("7.5 m")
    written = tmp_path / ("c.json" if act == "copy" else "s.json")
    assert load_site(written).antennas[0].position[0] == 7.5
    # What is refused is said, stays, and is not passed over.
    assert not typed("lots")
    assert form.form.fields["x"].editor.text() == "lots"  # type: ignore[attr-defined]
    assert "lots" in (asked[-1] if act == "leave" else window.message.text())
    assert load_site(written).antennas[0].position[0] == 7.5
    QTest.keyClick(form.form.fields["x"].editor, Qt.Key.Key_Escape)  # type: ignore[attr-defined]
    assert window.files.finish_typing()


def test_what_waits_in_the_form_is_asked_about_before_the_site_goes(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another kind that needs more before it can be taken is in no file: saving says so, leaving asks."""
    path = small(tmp_path / "s.json")
    window.open(path)
    window.show_task("site")
    form = window.panel("antenna")
    window.panel("emitters").select([0])  # type: ignore[attr-defined]
    settle(window)
    kind = form.form.fields["kind"].editor  # type: ignore[attr-defined]
    kind.setCurrentIndex(kind.findData("pattern"))
    kind.activated.emit(kind.currentIndex())
    assert form.editing.draft.waits  # type: ignore[attr-defined]
    asked: list[str] = []
    answers = [QMessageBox.StandardButton.Cancel, QMessageBox.StandardButton.Discard]

    def question(_: object, __: str, text: str, ___: object) -> QMessageBox.StandardButton:
        asked.append(text)
        return answers[len(asked) - 1]

    monkeypatch.setattr(QMessageBox, "question", question)
    assert window.files.save()
    name = window.document.site.antennas[0].name
    assert f"NOT in it: what is typed or drawn of {name} and waits" in window.message.text()
    assert not window.files.may_leave()
    assert window.files.may_leave()
    assert (
        asked
        == [f"What is typed or drawn of {name} waits to be mended or for more. Leave without it?"]
        * 2
    )
    form.editing.drop()  # type: ignore[attr-defined]
    assert window.files.may_leave()
    assert len(asked) == 2
    assert window.files.save()
    assert not window.message.isVisible()


def test_a_refused_cell_of_the_list_is_asked_about_before_the_site_goes(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.open(small(tmp_path / "s.json"))
    window.show_task("site")
    table = window.panel("emitters")
    asked: list[str] = []

    def question(_: object, __: str, text: str, ___: object) -> QMessageBox.StandardButton:
        asked.append(text)
        return QMessageBox.StandardButton.Cancel

    monkeypatch.setattr(QMessageBox, "question", question)
    column = next(
        c for c in range(table.columnCount()) if "Power" in table.horizontalHeaderItem(c).text()
    )  # type: ignore[attr-defined]
    table.item(0, column).setText("lots")  # type: ignore[attr-defined]
    name = window.document.site.antennas[0].name
    assert window.antennas.waiting() == [name]
    assert not window.files.may_leave()
    assert f"What is typed or drawn of {name} waits to be mended" in asked[0]
    table.item(0, column).setText("50 W")  # type: ignore[attr-defined]
    assert window.antennas.waiting() == []


def test_a_copy_onto_the_file_by_another_name_is_a_save(window: MainWindow, tmp_path: Path) -> None:
    path = small(tmp_path / "s.json")
    (tmp_path / "link.json").symlink_to(path)
    window.open(path)
    save_site(Site(name="of somebody else", antennas=()), path)
    window.document.set_state(0, State(Condition.OFF))
    assert not window.files.save_copy(tmp_path / "link.json")
    assert load_site(path).name == "of somebody else"
    assert (tmp_path / "link.json").is_symlink()


@pytest.mark.usefixtures("beside")
def test_two_windows_of_one_file_are_told_apart(window: MainWindow, tmp_path: Path) -> None:
    path = small(tmp_path / "s.json")
    link = tmp_path / "link.json"
    link.symlink_to("s.json")
    first = Document()
    first.open(link)
    assert first.others() == ()
    window.open(path)
    wait_for(lambda: window.message.isVisible())
    assert "open in another window too" in window.message.text()
    assert f"process {os.getpid()}" in window.message.text()
    # Each keeps its own, and neither offers that of the other.
    first.set_state(0, State(Condition.OFF))
    window.document.set_state(1, State(Condition.OFF))
    assert len([n for n in others(tmp_path) if "unsaved" in n]) == 2
    assert first.left() == ()
    assert window.document.left() == ()
    first.save(path)
    assert not window.files.save()
    assert "changed by another program" in window.message.text()
    first.close()
    window.document.close()
    assert others(tmp_path) == []


@pytest.mark.usefixtures("beside", "qt")
def test_a_folder_for_reading_only_is_read_and_says_so_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = small(tmp_path / "s.json")

    def refuse(*_: object) -> int:
        raise PermissionError(13, "no")

    monkeypatch.setattr(beside_file.os, "open", refuse)
    document, said = Document(), []
    document.unkept.connect(said.append)
    document.open(path)
    document.set_state(0, State(Condition.OFF))
    document.set_state(1, State(Condition.OFF))
    assert len(said) == 1
    assert "cannot be kept" in said[0]
    assert document.others() == ()


def test_what_cannot_be_read_is_not_offered(tmp_path: Path) -> None:
    path = small(tmp_path / "s.json")
    for junk in ("", "{", "[]", '{"format": "isofence-unsaved"}', "[" * 100_000, "\x00"):
        (tmp_path / ".s.json.isofence-unsaved").write_text(junk, "utf-8")
        held = claim(path)
        assert held is not None
        assert held.left() == ()
        held.release()
        assert others(tmp_path) == []


@pytest.mark.usefixtures("beside", "qt")
def test_a_file_named_through_a_link_is_still_the_one_that_was_opened(tmp_path: Path) -> None:
    path = small(tmp_path / "s.json")
    link = tmp_path / "link.json"
    link.symlink_to("s.json")
    document = Document()
    document.open(path)
    small(path, "theirs")
    document.set_state(0, State(Condition.OFF))
    with pytest.raises(InputError, match="changed by another program"):
        document.save(link)
    assert load_site(path).name == "theirs"
    document.close()


@posix
@pytest.mark.usefixtures("beside")
def test_kills_while_editing_and_saving_lose_at_most_the_last_edit(tmp_path: Path) -> None:
    rng = random.Random(3)
    for i in range(4):
        assert list(kept_after_kill(tmp_path / str(i), rng)) == []


def test_whatever_is_typed_and_refused_or_waits_for_enter_is_asked_about(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The stay of a stop, the state of a job, a move that was not entered."""
    window.open(TOWER)
    window.show_task("entry")
    settle(window)
    asked: list[str] = []

    def question(_: object, __: str, text: str, ___: object) -> QMessageBox.StandardButton:
        asked.append(text)
        return QMessageBox.StandardButton.Cancel

    monkeypatch.setattr(QMessageBox, "question", question)
    assert window.files.may_leave()
    stops = window.panel("stops")
    stops.table.item(0, 3).setText("40")  # type: ignore[attr-defined]
    assert not window.files.may_leave()
    job = window.maps.scene.chosen
    assert job is not None
    assert f"the stops of {job.name}" in asked[-1]
    stops.table.item(0, 3).setText("5 min")  # type: ignore[attr-defined]
    window.document.stack.undo()
    assert window.files.may_leave()
    window.show_task("site")
    window.desk.shapes.choose(Part("structures", "Transmitter building"))
    form = window.panel("what is there").form  # type: ignore[attr-defined]
    form.by.setText("5 m E")
    assert not window.files.may_leave()
    assert "typed or drawn of Transmitter building" in asked[-1]
    form.by.clear()
    assert window.files.may_leave()
    assert len(asked) == 2
