"""A new site: asked for, kept like any other, asked about before it goes."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialogButtonBox, QLineEdit, QMessageBox, QPushButton

from app.window.dialogs.new_site import NewSite
from app.window.document import Document
from app.window.main_window import MainWindow
from core.files.site_file import load_site
from core.site.places import Anchor
from core.site.reflection import ReflectionKind
from core.site.site import Site
from support.simple_sites import isotropic
from support.windows import settle, wait_for


def filled(dialog: NewSite, **texts: str) -> None:
    for name, text in texts.items():
        widget = dialog.editors[name].widget
        assert isinstance(widget, QLineEdit)
        widget.setText(text)


def ok(dialog: NewSite) -> None:
    (buttons,) = dialog.findChildren(QDialogButtonBox)
    buttons.button(QDialogButtonBox.StandardButton.Ok).click()


def answer(name: str, said: list[str]) -> None:
    """Press a button of the question that comes."""

    def now() -> None:
        box = QApplication.activeModalWidget()
        if not isinstance(box, QMessageBox):
            QTimer.singleShot(20, now)
            return
        said.append(box.text())
        plain = {b.text().replace("&", ""): b for b in box.findChildren(QPushButton)}
        plain[name].click()

    QTimer.singleShot(20, now)


@pytest.mark.usefixtures("qt")
def test_the_dialog_makes_the_site_that_was_typed() -> None:
    dialog = NewSite()
    filled(dialog, name="Mill Lane", revision="A", anchor="41,25; -96.1", grid_north="12.5")
    box = dialog.editors["limit_set"].widget
    box.setCurrentText("ICNIRP2020")  # type: ignore[attr-defined]
    dialog.editors["reflection"].widget.setCurrentText("none")  # type: ignore[attr-defined]
    dialog.feet.setChecked(True)
    ok(dialog)
    site = dialog.site
    assert site is not None
    assert dialog.in_feet
    assert (site.name, site.revision, site.limit_set) == ("Mill Lane", "A", "ICNIRP2020")
    assert site.reflection.kind is ReflectionKind.NONE
    assert site.anchor == Anchor(latitude=41.25, longitude=-96.1, grid_north=12.5)


@pytest.mark.parametrize(
    ("texts", "part"),
    [
        ({"name": " "}, "name: is empty"),
        ({"anchor": "41.2"}, "Lat.; long.: '41.2' is no place on the earth"),
        ({"anchor": "91; 0"}, "latitude: 91"),
        ({"grid_north": "5"}, "Grid north: goes with a place on the earth"),
        ({"anchor": "1; 2", "grid_north": "north"}, "'north' is not a number"),
    ],
)
@pytest.mark.usefixtures("qt")
def test_bad_input_is_one_error_and_what_was_typed_stays(texts: dict[str, str], part: str) -> None:
    dialog = NewSite()
    filled(dialog, **texts)
    ok(dialog)
    assert dialog.site is None
    assert part in dialog.message.text()
    assert "\n" not in dialog.message.text()
    for name, text in texts.items():
        widget = dialog.editors[name].widget
        assert isinstance(widget, QLineEdit)
        assert widget.text() == text
    assert sum(e.is_refused for e in dialog.editors.values()) == 1
    filled(dialog, name="x", anchor="1; 2", grid_north="0")
    ok(dialog)
    assert dialog.site is not None


def test_a_key_begins_a_site_in_its_task_and_units(window: MainWindow) -> None:
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window)

    def now() -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, NewSite):
            QTimer.singleShot(20, now)
            return
        dialog.feet.setChecked(True)
        QTest.keyClicks(dialog.editors["name"].widget, "Mill Lane")
        ok(dialog)

    QTimer.singleShot(20, now)
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    window.panel("emitters").setFocus()
    QTest.keyClick(window, Qt.Key.Key_N, both)
    settle(window)
    assert window.document.site.name == "Mill Lane"
    assert window.document.dirty
    assert window.document.path is None
    assert window.maps.scene.task == "site"
    assert window.maps.scene.look.feet
    assert window.document.stack.undoText().startswith("new site '")


def test_a_new_site_is_asked_about_before_it_goes(window: MainWindow, tmp_path: Path) -> None:
    window.desk.beginning.begin(Site(name="Mill Lane", antennas=()))
    said: list[str] = []
    answer("Cancel", said)
    window.files.open_instead(tmp_path / "other.json")
    assert said
    assert window.document.site.name == "Mill Lane"
    answer("Cancel", said)
    window.desk.beginning.ask()
    assert len(said) == 2
    assert window.document.site.name == "Mill Lane"
    path = tmp_path / "mill.json"
    assert window.files.save_to(path)
    assert load_site(path) == window.document.site
    assert not window.document.dirty


@pytest.mark.skipif(sys.platform == "win32", reason="kills of POSIX")
@pytest.mark.usefixtures("beside")
def test_a_new_site_is_kept_and_one_that_was_left_is_not_written_over(
    window: MainWindow, tmp_path: Path
) -> None:
    child = os.fork()
    if child == 0:
        document = Document()
        document.begin()
        document.edit("new site", lambda _: Site(name="Left behind", antennas=()))
        document.add(isotropic("first", 98e6, 10.0))
        os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(child, 0)
    said: list[str] = []
    answer("Recover", said)
    window.desk.beginning.begin(Site(name="Mill Lane", antennas=()))
    wait_for(lambda: bool(said))
    # Under a new site it would be gone with the next crash: it comes first.
    assert window.document.site.name == "Left behind"
    assert "Save it, then begin Mill Lane once more" in window.message.text()
    assert window.document.dirty
    kept = list((tmp_path / "state" / "isofence").glob(".untitled.json.isofence-unsaved*"))
    assert len(kept) == 1
    assert "Left behind" in kept[0].read_text("utf-8")
    window.document.save(tmp_path / "left.json")
    window.desk.beginning.begin(Site(name="Mill Lane", antennas=()))
    assert window.document.site.name == "Mill Lane"
    kept = list((tmp_path / "state" / "isofence").glob(".untitled.json.isofence-unsaved*"))
    assert len(kept) == 1
    assert "Mill Lane" in kept[0].read_text("utf-8")
    window.document.save(tmp_path / "mill.json")
    assert not list((tmp_path / "state" / "isofence").glob(".untitled*"))
    window.document.close()
