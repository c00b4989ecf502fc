"""Qt's side of the start: application, fonts, unexpected errors."""

from __future__ import annotations

import os
import sys
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
        text = "".join(traceback.format_exception(kind, error, trace))
        log = keep_report(text)
        where = f" with {log}" if log is not None else f": {kind.__name__}: {error}"
        window.complain(f"Unexpected error, nothing was changed. Please report it{where}")

    sys.excepthook = hook


def state_folder() -> Path:
    """Return the user's own folder for what a program notes down (XDG base directories; LOCALAPPDATA)."""
    base = (
        os.environ.get("LOCALAPPDATA")
        if sys.platform == "win32"
        else os.environ.get("XDG_STATE_HOME")
    )
    return (
        Path(base) if base and Path(base).is_absolute() else Path.home() / ".local" / "state"
    ) / "isofence"


def keep_report(text: str) -> Path | None:
    """Add the report of an unexpected error to the user's own log; None where that cannot be written.

    Nobody else can read it, and a link that was put in its place is not followed.
    """
    try:
        folder = state_folder()
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        log = folder / "errors.log"
        flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND | getattr(os, "O_NOFOLLOW", 0)
        with os.fdopen(os.open(log, flags, 0o600), "a", encoding="utf-8", errors="replace") as file:
            file.write(text)
    except (OSError, RuntimeError):
        return None
    return log
