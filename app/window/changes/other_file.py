"""Which other file a site is compared with."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

_KINDS = "Isofence sites (*.json);;All files (*)"


def ask_path(parent: QWidget, folder: Path | None) -> Path | None:
    """Ask for a site file that is only read; None where nobody chose one."""
    name, _ = QFileDialog.getOpenFileName(parent, "Compare with", str(folder or ""), _KINDS)
    return Path(name) if name else None
