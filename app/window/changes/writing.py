"""The page of a change and the areas of its zones, from the window: what ``isofence compare -o`` writes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtGui import QPageLayout
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QFileDialog, QWidget

from app import __version__
from app.draw.book import FORMATS, check_format
from app.draw.change_sheet import change_pages, on_paper, save_changes
from app.window.changes.changes import Changes
from app.window.changes.compared import Compared
from app.window.files import Files
from app.window.one_at_a_time import OneAtATime
from app.window.printing import paint, paper_in
from app.window.scene import for_paper
from core.changes.comparison import Comparison
from core.changes.difference_map import ChangeMap, change_map
from core.errors import InputError
from core.files.atomic import write_file
from core.files.change_features import about_changes, change_features
from core.files.geojson import feature_collection
from core.files.paths import same_file

_CELLS = (200, 200)
"""Cells of the maps on the page, as on the command line."""
_DPI = 300
_SOFTWARE = f"Isofence {__version__}"
_PAGES = "PDF (*.pdf);;PNG (*.png);;SVG (*.svg)"


class ChangeWriting(OneAtATime):
    """Writes and prints what is compared, off the window's thread."""

    def __init__(self, changes: Changes, files: Files, window: QWidget) -> None:
        super().__init__(window)
        self.changes, self.files = changes, files

    def ask_page(self) -> None:
        """Ask for a path and write the page of the change."""
        self._ask("Export the change page", "change.pdf", _PAGES, ".pdf", self.export_page)

    def ask_areas(self) -> None:
        """Ask for a path and write what zones gained and lost."""
        kinds = "GeoJSON (*.geojson)"
        self._ask("Export gained and lost zones", "change.geojson", kinds, ".geojson", self.export_areas)  # fmt: skip

    def _ask(self, title: str, name: str, kinds: str, ending: str, then: Callable[[Path], bool]) -> None:  # fmt: skip
        if self._ready() is None:
            return
        chosen, _ = QFileDialog.getSaveFileName(self.window, title, name, kinds)
        path = self.files.ended(chosen, ending)
        if path is not None:
            then(path)

    def _ready(self) -> tuple[Compared, Comparison] | None:
        compared = self.changes.scene
        if not self.changes.on or compared.comparison is None:
            self.refused.emit(
                "What the change does is not worked out. Turn to the Changes task (F5), compare two states, "
                "and wait for the list"
            )
            return None
        return compared, compared.comparison

    def export_page(self, path: Path) -> bool:
        """Begin to write the page, of the elevation where it is shown alone; False if it cannot be."""
        ready = self._ready()
        if ready is None or not self._may_write(path, FORMATS):
            return False
        compared, found = ready
        picture, look = self._picture(compared), compared.look
        found, folder = _papered(compared, found)

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            change = picture(cancelled)
            save_changes(path, found, change, tier=look.tier, feet=look.feet, folder=folder)
            emit(None)

        return self.begin("pages", work, lambda _: self.accepted.emit(f"Written: {path}"))

    def export_areas(self, path: Path) -> bool:
        """Begin to write what zones gained and lost; False if it cannot be."""
        ready = self._ready()
        if ready is None or not self._may_write(path, (".geojson",)):
            return False
        _, found = ready

        def work(_: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            areas = change_features(found, _SOFTWARE)
            about = about_changes(found, _SOFTWARE)
            write_file(path, feature_collection(found.after, areas, about))
            emit(None)

        return self.begin("areas", work, lambda _: self.accepted.emit(f"Written: {path}"))

    def ask_print(self) -> None:
        """Ask for a printer and print the page, and the whole list after it."""
        if self._ready() is None:
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageOrientation(QPageLayout.Orientation.Landscape)
        if QPrintDialog(printer, self.window).exec() == QDialog.DialogCode.Accepted:
            self.print_on(printer)

    def print_on(self, printer: QPrinter) -> bool:
        """Begin to print; False if it cannot be."""
        ready = self._ready()
        if ready is None:
            return False
        compared, found = ready
        try:
            paper = paper_in(printer)
        except InputError as error:
            self.refused.emit(error.line())
            return False
        picture, look = self._picture(compared), compared.look
        found, folder = _papered(compared, found)

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            change = picture(cancelled)
            pages = change_pages(found, change, tier=look.tier, feet=look.feet, folder=folder)
            emit([on_paper(page, paper, _DPI) for page in pages])

        def drawn(pages: Any) -> None:
            if paint(printer, paper, pages):
                self.accepted.emit(f"Printed: {len(pages)} sheets")
            else:
                self.refused.emit("The printer took nothing. Check that it is there and ready")

        return self.begin("pages", work, drawn)

    def _picture(self, compared: Compared) -> Callable[[Callable[[], bool]], ChangeMap]:
        """Return what computes the maps of the page: of the whole state after."""
        name = "elevation" if compared.planes == "elevation" else "plan"
        pane = next(p for p in self.changes.panes if p.name == name)
        view = pane.own.whole(compared.of(1))
        before, after = (e.site for e in compared.ends)
        cache = self.changes.cache
        return lambda cancelled: change_map(before, after, view, _CELLS, cache, cancelled=cancelled)

    def _may_write(self, path: Path, endings: tuple[str, ...]) -> bool:
        read = (self.changes.document.path, *self.changes.files)
        try:
            check_format(path, endings)
            if any(p is not None and same_file(path, p) for p in read):
                raise InputError(
                    "would overwrite what is compared", source=str(path), fix="Name another file"
                )
        except InputError as error:
            self.refused.emit(error.line())
            return False
        return True


def _papered(compared: Compared, found: Comparison) -> tuple[Comparison, Path | None]:
    """Return a comparison as its page takes it, and the folder of the picture after."""
    before, _ = for_paper(compared.of(0), found.before)
    after, folder = for_paper(compared.of(1), found.after)
    return replace(found, before=before, after=after), folder
