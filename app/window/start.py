"""Qt's side of the start: application, fonts, unexpected errors."""

from __future__ import annotations

import sys
import tempfile
import traceback
from pathlib import Path
from types import TracebackType

from PySide6.QtWidgets import QApplication

from app.window.main_window import MainWindow


def run_window(site: str | None) -> int:
    """Show the window and stay until it is closed."""
    app = QApplication.instance() or QApplication(["isofence"])
    assert isinstance(app, QApplication)
    app.setApplicationName("Isofence")
    app.setStyle("Fusion")
    window = MainWindow()
    _catch_unexpected(window)
    window.show()
    if site is not None:
        window.open(Path(site))
    return app.exec()


def _catch_unexpected(window: MainWindow) -> None:
    """A bug must not close the window: log it and say where."""

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        log = Path(tempfile.gettempdir()) / "isofence-error.log"
        with log.open("a", encoding="utf-8") as file:
            traceback.print_exception(kind, error, trace, file=file)
        window.complain(f"Unexpected error, nothing was changed. Please report it with {log}")

    sys.excepthook = hook
