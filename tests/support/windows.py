"""Waiting for the window without sleeping blindly."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QApplication

from app.window.main_window import MainWindow


def wait_for(condition: Callable[[], bool], seconds: float = 60.0) -> None:
    """Let Qt work until a condition holds."""
    app = QApplication.instance()
    assert app is not None
    end = time.monotonic() + seconds
    while not condition():
        app.processEvents()
        if time.monotonic() > end:
            pytest.fail("the window did not get there in time")
        time.sleep(0.002)


def settle(window: MainWindow) -> None:
    """Wait until nothing is being computed or waiting to be shown."""
    quiet = [0]

    def done() -> bool:
        idle = not window.maps.busy
        quiet[0] = quiet[0] + 1 if idle else 0
        return quiet[0] > 25

    wait_for(done)
