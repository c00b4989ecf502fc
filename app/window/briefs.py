"""The crew's sheet of the chosen job: made as the command makes it, shown, exported, printed."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image
from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QPageLayout
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QFileDialog

from app import __version__
from app.draw.book import as_picture, check_format
from app.draw.brief_sheet import FORMATS, brief_bytes, brief_sheets
from app.draw.furniture import Setup
from app.draw.paper import paper_of
from app.window.files import Files
from app.window.jobs import Worker
from app.window.maps import Maps
from app.window.planned import Planned
from app.window.printing import paint, paper_in
from app.window.scene import Scene, for_paper
from core.entry.entry import Entry
from core.entry.missing import missing
from core.entry.planned import planned_site
from core.entry.report import verdict_sentence
from core.errors import InputError
from core.files.atomic import write_file
from core.files.fingerprint import fingerprint
from core.progress import stop_if

_SHOWN_PX = 3000
"""Pixels across a side, for the screen and for a printer."""
_FILES = "PDF (*.pdf);;PNG for a phone (*.png)"
QUIET = 300


@dataclass(frozen=True)
class Brief:
    """A crew's sheet as it is made: what is still missing, its sides as PNG pictures, and the files it can become.

    ``busy`` while it is being made; ``trouble`` why it cannot be.
    """

    job: str = ""
    verdict: str = ""
    go: bool = False
    missing: tuple[str, ...] = ()
    mark: str = ""
    sides: tuple[bytes, ...] = ()
    files: tuple[tuple[str, bytes], ...] = ()
    setup: Setup = field(default_factory=Setup)
    busy: bool = False
    trouble: str = ""


class Briefs(QObject):
    """Makes the sheet while the Briefing task is on; ``made`` carries a :class:`Brief`."""

    made = Signal(object)
    refused = Signal(str)
    accepted = Signal(str)

    def __init__(self, maps: Maps, files: Files) -> None:
        super().__init__()
        self.maps, self.files = maps, files
        self.worker = Worker()
        self.brief = Brief()
        self.paper = "A4"
        self._planned = Planned()
        self._asked: tuple[object, ...] = ()
        self._later = QTimer(self, singleShot=True, interval=QUIET)
        self._later.timeout.connect(self._make)
        self.worker.done.connect(self._say)
        self.worker.failed.connect(self._failed)
        maps.scene_changed.connect(lambda _: self._follow())

    def show_planned(self, planned: Planned) -> None:
        """Follow what was found for the job."""
        self._planned = planned
        self._follow()

    def set_paper(self, paper: str) -> None:
        """Make the sheet on another paper."""
        self.paper = paper
        self._follow()

    def _follow(self) -> None:
        scene, planned = self.maps.scene, self._planned
        if scene.task != "briefing":
            self._later.stop()
            return
        if planned.entry is None or planned.stale:
            said = planned.trouble or ("" if planned.job is not None else "The site has no job yet")
            if planned.job is not None and planned.job.route is None and planned.job.work is None:
                said = "The job has neither a route nor a work volume yet (Entry)"
            name = planned.job.name if planned.job is not None else ""
            new = Brief(name, busy=not said, trouble=said)
            if self._asked or new != self.brief:
                self._asked = ()
                self.worker.submit(lambda cancelled, emit: None)
                self._say(new)
            return
        asked = (
            scene.site, scene.state, scene.folder, scene.pictured, scene.look.feet, self.paper, id(planned.entry),
        )  # fmt: skip
        if asked != self._asked:
            self._asked = asked
            self._later.start()

    def _make(self) -> None:
        scene, entry = self.maps.scene, self._planned.entry
        if entry is None or not self._asked:
            return
        entry = rebased(entry, scene)
        setup = Setup(paper=paper_of(self.paper), feet=scene.look.feet)
        folder = scene.folder
        name = entry.job.name
        said = Brief(name, verdict_sentence(entry), entry.verdict.is_go, missing(entry), busy=True)
        self._say(said)

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            mark = fingerprint(scene.stated, folder or Path(), name, __version__)
            site, beside = for_paper(scene, entry.site)
            sheets = brief_sheets(replace(entry, site=site), setup, mark, folder=beside)
            sides = tuple(as_picture(s.figure, ".png", _SHOWN_PX) for s in sheets)
            # It can be looked at before it can be exported.
            seen = replace(said, mark=mark, sides=sides, setup=setup)
            emit(seen)
            files: list[tuple[str, bytes]] = []
            for ending in FORMATS:
                stop_if(cancelled)
                files.append((ending, brief_bytes(sheets, ending)))
            emit(replace(seen, files=tuple(files), busy=False))

        self.worker.submit(work)

    def _failed(self, text: str) -> None:
        self._say(replace(self.brief, busy=False, trouble=text))

    def _say(self, brief: Brief | None) -> None:
        if brief is not None:
            self.brief = brief
            self.made.emit(brief)

    # to paper and files ----------------------------------------------------------------------------

    def _is_there(self) -> bool:
        if self.brief.files:
            return True
        self.refused.emit(
            "The sheet is not there yet. Turn to the Briefing task (F6) and wait for it"
        )
        return False

    def ask_export(self) -> None:
        """Ask for a path and write the sheet that is shown."""
        if not self._is_there():
            return
        name, _ = QFileDialog.getSaveFileName(
            self.files.window, "Export the crew's sheet", f"{self.brief.job}.pdf", _FILES
        )
        path = self.files.ended(name, ".pdf")
        if path is not None:
            self.export(path)

    def export(self, path: Path) -> bool:
        """Write the sheet that is shown, the same bytes as the command's; False if it cannot be."""
        if not self._is_there():
            return False
        try:
            ending = check_format(path, FORMATS)
            write_file(path, dict(self.brief.files)[ending])
        except InputError as error:
            self.refused.emit(error.line())
            return False
        go = "" if self.brief.go else ". It says NO GO"
        self.accepted.emit(f"Written: {path}, fingerprint {self.brief.mark}{go}")
        return True

    def ask_print(self) -> None:
        """Ask for a printer and print the sheet that is shown."""
        if not self._is_there():
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setPageOrientation(QPageLayout.Orientation.Landscape)
        if QPrintDialog(printer, self.files.window).exec() == QDialog.DialogCode.Accepted:
            self.print_on(printer)

    def print_on(self, printer: QPrinter) -> bool:
        """Print the sheet on a printer's paper; False if it cannot be."""
        try:
            paper = paper_in(printer)
        except InputError as error:
            self.refused.emit(error.line())
            return False
        if paper.name != self.brief.setup.paper.name:
            self.refused.emit(
                f"The sheet is made for {self.brief.setup.paper.name}, the printer has {paper.name}. "
                "Choose the same paper"
            )
            return False
        if not paint(printer, paper, pages_of(self.brief)):
            self.refused.emit("The printer took nothing. Check that it is there and ready")
            return False
        self.accepted.emit(f"Printed: {len(self.brief.sides)} sides")
        return True


def pages_of(brief: Brief) -> list[Any]:
    """Return the sides as pixels (rows, columns, 4)."""
    return [np.array(Image.open(io.BytesIO(side)).convert("RGBA")) for side in brief.sides]


def rebased(entry: Entry, scene: Scene) -> Entry:
    """Return an entry on the site as it is now: what it was found from is the same, fences and words may not be."""
    return replace(entry, before=scene.site, site=planned_site(scene.stated, entry.job))
