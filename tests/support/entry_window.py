"""The window in its Entry task, for tests with the real widgets."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QTableWidget, QTableWidgetItem

from app.window.main_window import MainWindow
from app.window.panels.form import TextField
from app.window.panels.verdict_line import VerdictLine
from core.files.site_writer import save_site
from core.site.site import Site
from support.windows import settle, wait_for

K = Qt.Key


def opened(window: MainWindow, path: Path, site: Site) -> MainWindow:
    """Open a site in the Entry task and wait for its first job."""
    save_site(site, path)
    assert window.open(path)
    settle(window)
    QTest.keyClick(window, K.Key_F4)
    if site.jobs:
        planned(window)
    return window


def planned(window: MainWindow) -> str:
    """Wait until the chosen job is planned and return the sentence over the maps."""

    def there() -> bool:
        one = window.entries.planned
        return not one.stale and (one.entry is not None or bool(one.trouble))

    wait_for(there)
    line = window.panel("entry verdict")
    assert isinstance(line, VerdictLine)
    return line.sentence.text()


def write(field: TextField, text: str) -> None:
    """Type a text into a field and press Enter."""
    field.setFocus()
    field.selectAll()
    QTest.keyClick(field, K.Key_Delete)
    QTest.keyClicks(field, text)
    QTest.keyClick(field, K.Key_Return)


def cell(table: QTableWidget, row: int, column: int) -> QTableWidgetItem:
    """Return a cell that is there."""
    item = table.item(row, column)
    assert item is not None
    return item
