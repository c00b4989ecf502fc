"""Qt's side of the start: application, fonts, unexpected errors."""

from __future__ import annotations

import sys
import traceback
from pathlib import Path
from types import TracebackType

from PySide6.QtWidgets import QApplication

from app.window.contrast import follow_desktop
from app.window.main_window import MainWindow
from core.files.error_log import keep_report

_TURN = 2e-4
"""s after which a thread that computes lets another one on. The window's own asks for its turn some hundred times
while it draws, and with Python's 5 ms each a drawing beside three threads at work takes five times as long."""


def application() -> QApplication:
    """Return Qt's application, made ready for the window."""
    app = QApplication.instance() or QApplication(["isofence"])
    assert isinstance(app, QApplication)
    app.setApplicationName("Isofence")
    app.setStyle("Fusion")
    follow_desktop()
    sys.setswitchinterval(_TURN)
    return app


def run_window(site: str | None) -> int:
    """Show the window and stay until it is closed."""
    app = application()
    window = MainWindow()
    _catch_unexpected(window)
    window.show()
    if site is not None:
        window.open(Path(site))
    elif not window.keeping.look():
        window.guide.welcome().new_wanted.connect(window.desk.beginning.ask)
    return app.exec()


def _catch_unexpected(window: MainWindow) -> None:
    """A bug must not close the window: log it and say where."""

    def hook(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        text = "".join(traceback.format_exception(kind, error, trace))
        log = keep_report(text)
        where = f" with {log}" if log is not None else f": {kind.__name__}: {error}"
        window.complain(f"Unexpected error, nothing was changed. Please report it{where}")

    sys.excepthook = hook
