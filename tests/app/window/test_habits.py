"""The habits of a desktop: files opened, dropped, saved and copied; help; the window where it was."""

from __future__ import annotations

import os
import shutil
import stat
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, QRect, Qt, QUrl
from PySide6.QtGui import QAction, QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QFileDialog,
    QLabel,
    QMenu,
    QMessageBox,
    QPushButton,
    QSplitter,
)

from app.draw.furniture import Setup
from app.window.geometry import inside, keep_geometry, restore_geometry
from app.window.help import ON_MAPS, said
from app.window.main_window import MainWindow
from core.files.companions import companions
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.reading.cautions import FULL, SHORT
from support.places import DEMOS
from support.simple_sites import FREE, ground, isotropic
from support.windows import settle, wait_for

ROOF = DEMOS / "harrow-lane-roof" / "harrow-lane-roof.json"
TOWER = DEMOS / "cold-ridge-tower" / "cold-ridge-tower.json"
B = QMessageBox.StandardButton


def small(folder: Path, name: str = "small") -> Path:
    from core.site.site import Site

    path = folder / f"{name}.json"
    site = Site(
        name=name,
        antennas=(isotropic("a", 98e6, 100.0, (2.0, 0.0, 3.0)),),
        reflection=FREE,
        surfaces=(ground(),),
    )
    save_site(site, path)
    return path


def answers(monkeypatch: pytest.MonkeyPatch, *names: str) -> list[str]:
    """Let file dialogs answer with names, one after the other."""
    left = list(names)
    for kind in ("getSaveFileName", "getOpenFileName"):
        monkeypatch.setattr(QFileDialog, kind, lambda *_: (left.pop(0), "SVG (*.svg)"))
    return left


def recent_menu(window: MainWindow) -> QMenu:
    menu = next(m for m in window.findChildren(QMenu) if m.title() == "Open a &recent site")
    menu.aboutToShow.emit()
    return menu


def test_the_menus_are_those_of_a_desktop(window: MainWindow) -> None:
    titles = [a.text().replace("&", "") for a in window.menuBar().actions()]
    assert titles[:2] == ["File", "Edit"]
    assert titles[-2:] == ["View", "Help"]


def test_no_two_actions_have_one_key(window: MainWindow) -> None:
    keys = [a.shortcut().toString() for a in window.findChildren(QAction)]
    keys = [k for k in keys if k]
    assert len(keys) == len(set(keys))


def test_recent_sites_are_opened_from_the_menu(window: MainWindow, tmp_path: Path) -> None:
    assert not recent_menu(window).actions()[0].isEnabled()
    paths = [small(tmp_path, f"s & {i}") for i in range(3)]
    for path in paths:
        assert window.open(path)
    assert window.files.recent() == paths[::-1]
    first = recent_menu(window).actions()[1]
    assert "s && 1" in first.text()
    first.trigger()
    assert window.document.path == paths[1]
    assert window.files.recent()[0] == paths[1]
    # A file that is gone is said, and no longer offered.
    paths[0].unlink()
    recent_menu(window).actions()[2].trigger()
    assert paths[0].name in window.message.text()
    assert paths[0] not in window.files.recent()
    recent_menu(window).actions()[-1].trigger()
    assert window.files.recent() == []


def drop(window: MainWindow, *paths: Path) -> bool:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(p)) for p in paths])
    how, left, none = (
        Qt.DropAction.CopyAction,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    enter = QDragEnterEvent(QPoint(50, 50), how, data, left, none)
    QApplication.sendEvent(window, enter)
    QApplication.sendEvent(window, QDropEvent(QPointF(50, 50), how, data, left, none))
    return enter.isAccepted()


def test_a_dropped_site_file_is_opened(window: MainWindow, tmp_path: Path) -> None:
    path = small(tmp_path)
    assert drop(window, path)
    assert window.document.path == path
    drop(window, path, path)
    assert "Drop one site file" in window.message.text()
    other = tmp_path / "note.txt"
    other.write_text("no site", "utf-8")
    drop(window, other)
    assert "note.txt" in window.message.text()
    assert window.document.path == path


def test_a_drop_asks_about_what_is_unsaved(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, other = small(tmp_path), small(tmp_path, "other")
    window.open(path)
    window.document.move(0, (1.0, 0.0, 3.0))
    monkeypatch.setattr(QMessageBox, "question", lambda *_: B.Cancel)
    drop(window, other)
    assert window.document.path == path
    monkeypatch.setattr(QMessageBox, "question", lambda *_: B.Discard)
    drop(window, other)
    assert window.document.path == other


def test_names_without_an_ending_get_theirs(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.open(small(tmp_path))
    settle(window)
    left = answers(
        monkeypatch, str(tmp_path / "copy"), str(tmp_path / "map"), str(tmp_path / "copy")
    )
    QTest.keyClick(
        window,
        Qt.Key.Key_S,
        Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    )
    assert window.document.path == tmp_path / "copy.json"
    monkeypatch.setattr(window.printing, "_ask_setup", Setup)
    window.printing.ask_export("plan")
    wait_for(lambda: not window.printing.busy)
    assert (tmp_path / "map.pdf").read_bytes().startswith(b"%PDF")
    # The dialog did not ask about the name that got its ending here: the window does.
    asked = []
    monkeypatch.setattr(QMessageBox, "question", lambda *a: asked.append(a[2]) or B.No)
    assert not window.files.ask_save()
    assert "copy.json is there already" in asked[0]
    assert not left


def exported(window: MainWindow, path: Path) -> bool:
    begun = window.printing.export("plan", path)
    wait_for(lambda: not window.printing.busy)
    return begun and path.exists()


def test_an_old_error_leaves_when_something_succeeds(window: MainWindow, tmp_path: Path) -> None:
    path = small(tmp_path)
    window.open(path)
    settle(window)
    for succeeds in (
        lambda: exported(window, tmp_path / "a.png"),
        window.files.save,
        lambda: window.files.save_copy(tmp_path / "b.json"),
        lambda: window.open(path),
    ):
        assert not window.printing.export("plan", tmp_path / "a.bmp")
        assert window.message.isVisible()
        assert succeeds()
        assert window.message.isHidden()


def test_a_copy_takes_its_files_along_and_the_window_stays(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "home"
    shutil.copytree(TOWER.parent, home)
    path = home / TOWER.name
    window.open(path)
    names = companions(window.document.site)
    assert names
    away = tmp_path / "away"
    away.mkdir()
    answers(monkeypatch, str(away / "copy"), "")
    assert window.files.ask_copy()
    assert load_site(away / "copy.json").name == window.document.site.name
    for name in names:
        assert (away / name).read_bytes() == (home / name).read_bytes()
    assert window.document.path == path
    assert not window.files.ask_copy()
    # Another file of that name is never overwritten.
    (away / names[0]).write_text("another", "utf-8")
    assert not window.files.save_copy(away / "again.json")
    assert "is there already" in window.message.text()
    assert (away / names[0]).read_text("utf-8") == "another"


@pytest.mark.parametrize(("mask", "mode"), [(0o022, 0o644), (0o027, 0o640), (0o077, 0o600)])
def test_files_have_the_rights_of_the_users_own_mask(
    window: MainWindow, tmp_path: Path, mask: int, mode: int
) -> None:
    window.open(small(tmp_path))
    settle(window)
    before = os.umask(mask)
    try:
        assert window.files.save_to(tmp_path / "new.json")
        assert exported(window, tmp_path / "new.png")
    finally:
        os.umask(before)
    for name in ("new.json", "new.png"):
        assert stat.S_IMODE((tmp_path / name).stat().st_mode) == mode


def test_help_has_method_words_cautions_and_every_key(window: MainWindow) -> None:
    settle(window)
    QTest.keyClick(window, Qt.Key.Key_F1)
    page = window.guide.help
    assert page is not None
    assert page.isVisible()
    assert not page.isModal()
    text = page.page.toPlainText()
    for words in ("Method", "Words", "Cautions", "Keys", "reactive region", *FULL, ON_MAPS[0][1]):
        assert words in text
    for action in window.findChildren(QAction):
        if not action.shortcut().isEmpty():
            assert action.shortcut().toString() in text
            assert said(action) in text
    page.close()


def test_about_names_version_licence_and_caution(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = []
    monkeypatch.setattr(QMessageBox, "about", lambda *a: seen.append(a[2]))
    next(a for a in window.findChildren(QAction) if said(a) == "About Isofence").trigger()
    for words in ("Isofence 0", "MIT", SHORT, "invented"):
        assert words in seen[0]


def test_a_first_start_offers_the_demo_sites(window: MainWindow) -> None:
    shown = window.guide.welcome()
    assert shown.isVisible()
    labels = [label.text() for label in shown.findChildren(QLabel)]
    assert len(labels) == 3
    assert all(text.count(". ") == 0 and text.endswith(".") for text in labels)
    assert window.rect().contains(QRect(shown.mapTo(window, QPoint(0, 0)), shown.size()))
    demos = [b for b in shown.findChildren(QPushButton) if "demo" in b.text()]
    assert [b.toolTip() for b in demos] == [str(ROOF), str(TOWER)]
    QTest.mouseClick(demos[1], Qt.MouseButton.LeftButton)
    assert window.document.path == TOWER
    assert not shown.isVisible()
    settle(window)


def test_welcome_goes_when_a_site_is_begun(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown = window.guide.welcome()
    answers(monkeypatch, "")
    QTest.mouseClick(shown.buttons[-1], Qt.MouseButton.LeftButton)
    assert shown.isVisible()
    window.document.add(isotropic("a", 98e6, 10.0))
    assert not shown.isVisible()


@pytest.mark.parametrize(
    "wanted", [QRect(-300, -200, 800, 600), QRect(5000, 5000, 800, 600), QRect(0, 0, 9000, 9000)]
)
def test_a_window_opens_inside_the_screen(wanted: QRect) -> None:
    screen = QRect(0, 28, 1280, 692)
    assert screen.contains(inside(wanted, screen))


def test_the_window_comes_back_where_and_as_it_was(window: MainWindow, qt: QApplication) -> None:
    screen = window.screen().availableGeometry()
    # No higher than the screen: a window that has to shrink cannot come back as it was.
    window.resize(900, 600)
    qt.processEvents()
    body = window.findChild(QSplitter, "middle splitter")
    body.setSizes([400, 300])
    shares = body.sizes()
    keep_geometry(window)
    body.setSizes([600, 100])
    assert body.sizes() != shares
    restore_geometry(window)
    qt.processEvents()
    assert body.sizes() == pytest.approx(shares, abs=30)
    assert screen.left() <= window.geometry().left()
    assert window.geometry().top() > screen.top()
