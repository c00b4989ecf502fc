"""What is on screen as sheets of paper, to a file or to a printer. Sheets are made off the window's thread."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QFileDialog, QWidget

from app.draw.book import FORMATS, as_pixels, check_format, numbered, save_sheets
from app.draw.furniture import Setup, Sheet
from app.draw.ladder_sheet import ladder_sheets
from app.draw.lines import refined_lines
from app.draw.paper import PAPERS, Paper
from app.draw.sheet import fence_sheets, map_sheets, reading_sheets, sign_sheets, zone_sheets
from app.window.dialogs.sheet_setup import SheetSetup
from app.window.document import Document
from app.window.files import Files
from app.window.maps import Maps
from app.window.one_at_a_time import OneAtATime
from app.window.proving import CEILING
from app.window.scene import Scene, for_paper
from core.errors import InputError
from core.fences.held import check_with_zones
from core.reading.data import Reading
from core.reading.signs import sign_schedule
from core.zones.site_zones import ladder_zones

_FILES = "PDF (*.pdf);;PNG (*.png);;SVG (*.svg)"
_DPI = 300
_MM = QPageSize.Unit.Millimeter
Make = Callable[[Setup, Callable[[], bool]], list[Sheet]]
"""Makes sheets of what was on screen when it was asked for; called with how, and whether it is cancelled."""


class Printing(OneAtATime):
    """Makes sheets of a kind: plan, elevation, fences, ladders, signs, reading."""

    def __init__(self, document: Document, maps: Maps, files: Files, window: QWidget) -> None:
        super().__init__(window)
        self.document, self.maps, self.files = document, maps, files
        self._reading: Reading | None = None
        maps.reading_ready.connect(self._keep)
        # What was read before a change is not what is there.
        for changed in (document.opened, document.site_changed):
            changed.connect(lambda *_: self._keep(None))

    def _keep(self, reading: Reading | None) -> None:
        self._reading = reading

    # to a file -------------------------------------------------------------------------------------

    def ask_export(self, kind: str) -> None:
        """Ask for paper and a path and write what is on screen as sheets."""
        setup = self._ask_setup()
        if setup is None:
            return
        name, _ = QFileDialog.getSaveFileName(self.window, f"Export {kind}", f"{kind}.pdf", _FILES)
        path = self.files.ended(name, ".pdf")
        if path is not None:
            self.export(kind, path, setup)

    def export(self, kind: str, path: Path, setup: Setup | None = None) -> bool:
        """Begin to write what is on screen as sheets; False if it cannot be."""
        try:
            check_format(path, FORMATS)
            make = self._maker(kind)
        except InputError as error:
            self.refused.emit(error.line())
            return False
        chosen = setup or Setup(feet=self.maps.scene.look.feet)

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            emit(save_sheets(path, make(chosen, cancelled)))

        def written(left_out: object) -> None:
            more = f". {left_out}" if left_out else ""
            self.accepted.emit(f"Written: {path}{more}")

        return self.begin("sheets", work, written)

    # to a printer ----------------------------------------------------------------------------------

    def ask_print(self, kind: str) -> None:
        """Ask for a printer, then for the scale, and print what is on screen."""
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageOrientation(QPageLayout.Orientation.Landscape)
        dialog = QPrintDialog(printer, self.window)
        if dialog.exec() != QDialog.DialogCode.Accepted:
            return
        try:
            paper = paper_in(printer)
        except InputError as error:
            self.refused.emit(error.line())
            return
        setup = self._ask_setup(paper.name)
        if setup is not None:
            self.print_on(kind, printer, setup)

    def print_on(self, kind: str, printer: QPrinter, setup: Setup) -> bool:
        """Begin to print what is on screen; False if it cannot be."""
        try:
            make = self._maker(kind)
        except InputError as error:
            self.refused.emit(error.line())
            return False

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            emit([as_pixels(s, _DPI) for s in numbered(make(setup, cancelled))])

        def drawn(pages: Any) -> None:
            if paint(printer, setup.paper, pages):
                count = len(pages)
                self.accepted.emit(f"Printed: {count} sheet{'' if count == 1 else 's'}")
            else:
                self.refused.emit("The printer took nothing. Check that it is there and ready")

        return self.begin("sheets", work, drawn)

    def _ask_setup(self, paper: str = "") -> Setup | None:
        dialog = SheetSetup(self.window, feet=self.maps.scene.look.feet, paper=paper)
        return dialog.setup if dialog.exec() else None

    # what is on screen -----------------------------------------------------------------------------

    def _maker(self, kind: str) -> Make:
        """Return what makes the sheets of a kind, of the scene as it is now.

        Raises
        ------
        InputError
            If there is nothing of it on screen.
        """
        scene = self.maps.scene
        site = scene.stated
        match kind:
            case "fences":
                return lambda setup, cancelled: _fences(scene, setup, cancelled)
            case "ladders":
                return lambda setup, _: ladder_sheets(
                    site, ladder_zones(site, feet=setup.feet, ceiling=CEILING), setup=setup
                )
            case "signs":
                return lambda setup, _: sign_sheets(site, sign_schedule(site), setup=setup)
            case "reading":
                reading = self._reading
                if reading is None:
                    raise InputError("There is no reading yet", fix="Click a place on a map first")
                return lambda setup, _: reading_sheets(site, reading, setup=setup)
            case _:
                return self._map(kind, scene)

    def _map(self, name: str, scene: Scene) -> Make:
        pane = self.maps.pane(name)
        pin = pane.plane.marks(scene, pane.view(scene)).pin
        checks = dict(scene.checks)
        if scene.zones:
            shown = self.maps.proving.shown.get(name)
            if shown is None:
                raise InputError(
                    "The zones are not proven yet",
                    fix="Wait for them, or show the shading (Ctrl+B)",
                )
            zones = shown.zones
            zoned, folder = for_paper(scene, scene.zoned)
            return lambda setup, _: zone_sheets(
                zoned, zones, setup=setup, folder=folder, checks=checks, pin=pin
            )
        raster, look = pane.canvas.raster, scene.look
        if raster is None:
            raise InputError("There is no map to export yet", fix="Open a site first")

        site, folder = for_paper(scene, scene.stated)

        def make(setup: Setup, _: Callable[[], bool]) -> list[Sheet]:
            lines = refined_lines(scene.stated, raster, look.tier, look.contours)
            return map_sheets(
                site, raster, tier=look.tier, contours=look.contours, lines=lines,
                setup=setup, folder=folder, checks=checks, pin=pin,
            )  # fmt: skip

        return make


def _fences(scene: Scene, setup: Setup, cancelled: Callable[[], bool]) -> list[Sheet]:
    checks, zones = check_with_zones(scene.stated, cancelled=cancelled, ceiling=CEILING)
    site, folder = for_paper(scene, scene.stated)
    return fence_sheets(site, zones, checks, setup=setup, folder=folder)


def paper_in(printer: QPrinter) -> Paper:
    """Return the paper of a printer.

    Raises
    ------
    InputError
        If it is none that sheets are made for.
    """
    size = printer.pageLayout().pageSize().size(_MM)
    sides = sorted((size.width(), size.height()), reverse=True)
    for paper in PAPERS.values():
        if abs(sides[0] - paper.width) < 1.0 and abs(sides[1] - paper.height) < 1.0:
            return paper
    raise InputError(
        f"The printer's paper is {sides[0]:.0f} × {sides[1]:.0f} mm",
        fix=f"Choose one of {', '.join(PAPERS)} in its settings",
    )


def paint(printer: QPrinter, paper: Paper, pages: list[Any]) -> bool:
    """Print pages, arrays (rows, columns, 4) of bytes, each as large as the paper; False if nothing could be."""
    printer.setPageOrientation(QPageLayout.Orientation.Landscape)
    printer.setFullPage(True)
    painter = QPainter()
    if not painter.begin(printer):
        return False
    # The whole sheet, not what the printer can reach: only so is the scale true.
    dots = printer.resolution() / 25.4
    whole = QRectF(0.0, 0.0, paper.width * dots, paper.height * dots)
    for number, pixels in enumerate(pages):
        if number:
            printer.newPage()
        rows, columns = pixels.shape[:2]
        image = QImage(pixels.data, columns, rows, 4 * columns, QImage.Format.Format_RGBA8888)
        painter.drawImage(whole, image)
    return bool(painter.end())
