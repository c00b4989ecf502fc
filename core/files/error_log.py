"""Reports of unexpected errors, in the user's own folder."""

from __future__ import annotations

import os
import sys
from pathlib import Path


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
