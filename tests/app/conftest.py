"""A window on an offscreen screen, closed with its threads."""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator
from itertools import repeat
from pathlib import Path
from types import TracebackType

import pytest
from PySide6.QtCore import QEvent, QSettings
from PySide6.QtWidgets import QApplication

from app.window import document, pane
from app.window.main_window import MainWindow
from app.window.panels import ladder_pane
from core.exposure import raster

FIRST, FULL = pane.COARSE, pane.FINE


@pytest.fixture(scope="session")
def qt() -> QApplication:
    """The one application of a test run. What is loaded by now stays: nobody looks for garbage in it."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
    app = QApplication.instance() or QApplication(["isofence"])
    assert isinstance(app, QApplication)
    return app


@pytest.fixture(autouse=True)
def _own_settings(tmp_path, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    QSettings.setPath(QSettings.Format.NativeFormat, QSettings.Scope.UserScope, str(tmp_path))


@pytest.fixture(autouse=True)
def _nothing_beside(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Windows of several runs open the demo files at once: only tests about that keep anything beside them."""
    if "beside" not in request.fixturenames:
        monkeypatch.setattr(document, "claim", lambda path: None)
        monkeypatch.setattr(document.Document, "_keep", lambda self: None)


@pytest.fixture
def beside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let windows keep what they keep beside their files, and of untitled sites in a folder of the test."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


@pytest.fixture(autouse=True)
def _no_error_in_a_slot(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    caught: list[BaseException] = []

    def hook(_: type[BaseException], error: BaseException, __: TracebackType | None) -> None:
        caught.append(error)

    monkeypatch.setattr(sys, "excepthook", hook)
    yield
    assert not caught, caught


@pytest.fixture(autouse=True)
def _small_pictures(monkeypatch: pytest.MonkeyPatch) -> None:
    """A thirtieth of the cells: what a test of the window holds does not hang on how fine its pictures are."""
    monkeypatch.setattr(pane, "COARSE", 16)
    # Windows of one run share their layers: a layer is the same whichever window computed it.
    monkeypatch.setattr(raster, "_numbers", repeat(0))
    monkeypatch.setattr(pane, "FINE", 28)


@pytest.fixture(autouse=True)
def _quiet_ladders(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The strip of a ladder is proven where tests are about it; elsewhere it would take half of their time."""
    if "ladder" not in request.module.__name__:
        monkeypatch.setattr(ladder_pane, "QUIET", 3_600_000)


@pytest.fixture
def full_pictures(monkeypatch: pytest.MonkeyPatch, _small_pictures: None) -> None:
    """Pictures as fine as people see them."""
    monkeypatch.setattr(pane, "COARSE", FIRST)
    monkeypatch.setattr(pane, "FINE", FULL)


@pytest.fixture
def window(qt: QApplication) -> Iterator[MainWindow]:
    """A shown window, closed with its threads at the end."""
    win = MainWindow()
    win.resize(1300, 820)
    win.show()
    yield win
    win.document.stack.setClean()
    # What a test leaves typed, and refused or waiting, would be asked about, and nobody answers.
    win.files.waiting = list
    win.files.finish_typing = lambda: True  # type: ignore[method-assign]
    win.close()
    assert not any(w.isRunning() for w in win.maps.workers)
    win.deleteLater()
    # Without an event loop nothing deletes it: hundreds of hidden windows would follow every change of the desktop.
    qt.sendPostedEvents(win, QEvent.Type.DeferredDelete)
