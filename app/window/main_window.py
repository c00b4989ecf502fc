"""The window: it makes the parts and connects them, no more."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSettings
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QFileDialog,
    QLabel,
    QMainWindow,
    QMessageBox,
    QProgressBar,
)

from app.draw.picture import picture_doubt
from app.draw.sheet import save_map
from app.window.actions import build_menus
from app.window.canvas import MapCanvas
from app.window.dialogs.add_antenna import AddAntenna
from app.window.document import Document
from app.window.fence_tools import FenceTools
from app.window.layout import lay_out
from app.window.look import Look
from app.window.maps import Maps
from app.window.panels.controls import Controls
from app.window.panels.emitters import EmitterTable
from app.window.panels.fence_note import FenceNote
from app.window.panels.legend import Legend
from app.window.panels.reading_page import ReadingPage
from core.errors import InputError
from core.limits.sets import get_set
from core.reading.reading import Reading
from core.site.site import Antenna
from core.units import show_length

_SITE_FILES = "Isofence sites (*.json);;All files (*)"
_PICTURES = "PNG (*.png);;SVG (*.svg);;PDF (*.pdf)"


class MainWindow(QMainWindow):
    """Maps in the middle, what is on the site to the left, the reading to the right."""

    def __init__(self) -> None:
        super().__init__()
        self.document = Document()
        self.plan, self.elevation = MapCanvas("plan"), MapCanvas("elevation")
        self.maps = Maps(self.document, self.plan, self.elevation)
        self.emitters, self.controls = EmitterTable(self.document), Controls(self.document)
        self.fences = FenceTools(self.document, self.plan, self.maps)
        self.reading, self.legend, self.fence_note = ReadingPage(), Legend(), FenceNote()
        self.message, self.progress = QLabel(), QProgressBar()
        lay_out(self)
        self._connect()
        self.move_tool = build_menus(self)
        self.setMinimumSize(1100, 700)
        self.resize(1500, 900)
        self._title()

    def _connect(self) -> None:
        self.document.path_changed.connect(self._title)
        self.document.stack.cleanChanged.connect(self._title)
        self.controls.look_changed.connect(self._look)
        self.controls.refused.connect(self.complain)
        self.emitters.refused.connect(self.complain)
        self.emitters.chosen.connect(self.maps.select)
        self.maps.reading_ready.connect(self._show_reading)
        self.maps.problem.connect(self.complain)
        self.maps.hover.connect(self.statusBar().showMessage)
        self.maps.proving.said.connect(self.statusBar().showMessage)
        self.maps.proving.failed.connect(self.complain)
        self.maps.proving.failed.connect(lambda _: self._show_checks())
        self.maps.working.connect(self.progress.setVisible)
        self.maps.views_changed.connect(self._titles)
        self.maps.views_changed.connect(self._show_checks)
        self.fences.refused.connect(self.complain)
        self.fences.accepted.connect(self._fences_said)
        self.document.site_changed.connect(lambda _: self.message.hide())
        self.controls.look_changed.connect(lambda _: self.message.hide())

    def set_movable(self, on: bool) -> None:
        """Let the mouse move antennas, or not."""
        self.plan.movable = self.elevation.movable = on

    def set_zones(self, on: bool) -> None:
        """Show proven zones instead of the shading, or not."""
        self.maps.proving.wanted = on
        self.legend.show_zones(on)
        self.maps.prove()

    def _show_checks(self) -> None:
        checks = self.plan.map.checks
        self.fence_note.show_checks(
            self.document.site, checks, feet=self.maps.look.feet, trouble=self.maps.proving.trouble
        )

    def _fences_said(self, text: str) -> None:
        self.message.hide()
        self.statusBar().showMessage(text)

    def _look(self, look: Look) -> None:
        self.maps.set_look(look)
        self.fences.set_feet(look.feet)
        self._titles()

    def _show_reading(self, reading: Reading) -> None:
        self.reading.show_reading(reading, feet=self.maps.look.feet)
        if not self.maps.pin_on_plan:
            self.controls.set_plan_height(reading.position[2])

    def _title(self, *_: object) -> None:
        star = "*" if self.document.dirty else ""
        self.setWindowTitle(f"{star}{self.document.site.name} - Isofence")
        self._titles()

    def _titles(self) -> None:
        look, limits = self.maps.look, self.document.site.limit_set
        what = f"percent of {limits} {look.tier}"
        x, y = self.maps.origin
        self.legend.show_words(limits, get_set(limits).name_of(look.tier))
        for name, text in (
            ("plan", f"Plan: {what}, {look.height.said(feet=look.feet)}"),
            (
                "elevation",
                f"Elevation through x {show_length(x, feet=look.feet)}, y {show_length(y, feet=look.feet)} "
                f"along {look.azimuth:g}°: {what}",
            ),
        ):
            label = self.findChild(QLabel, f"{name} title")
            if label is not None:
                label.setText(text)

    def complain(self, text: str) -> None:
        """Show one error line over the maps until the next success; nothing entered is lost."""
        self.message.setText(text)
        self.message.show()

    def open(self, path: Path) -> bool:
        """Open a site; on an error keep what there was and say why."""
        self.fences.stop()
        try:
            self.document.open(path)
        except InputError as error:
            self.complain(error.line())
            return False
        self.message.hide()
        self.reading.clear_reading()
        self._title()
        doubt = picture_doubt(self.document.site, self.document.folder)
        if doubt:
            self.complain(doubt[0].upper() + doubt[1:])
        return True

    def ask_open(self) -> None:
        """Ask for a site file and open it."""
        if not self._may_leave():
            return
        name, _ = QFileDialog.getOpenFileName(
            self, "Open site", str(self.document.folder or ""), _SITE_FILES
        )
        if name:
            self.open(Path(name))

    def save(self) -> bool:
        """Save to the present path, or ask for one."""
        return self._save(self.document.path) if self.document.path else self.ask_save()

    def ask_save(self) -> bool:
        """Ask for a path and save."""
        name, _ = QFileDialog.getSaveFileName(
            self, "Save site", str(self.document.path or "site.json"), _SITE_FILES
        )
        return self._save(Path(name)) if name else False

    def _save(self, path: Path) -> bool:
        try:
            self.document.save(path)
        except InputError as error:
            self.complain(error.line())
            return False
        self.message.hide()
        return True

    def ask_export(self, canvas: MapCanvas) -> None:
        """Ask for a path and write the map as a sheet."""
        name, _ = QFileDialog.getSaveFileName(self, "Export map", "map.png", _PICTURES)
        if name:
            self.export(canvas, Path(name))

    def export(self, canvas: MapCanvas, path: Path) -> bool:
        """Write a map as a sheet: the picture on screen is the one that prints."""
        if canvas.raster is None:
            self.complain("There is no map to export yet. Open a site first")
            return False
        look = self.maps.look
        try:
            save_map(
                path, self.document.site, canvas.raster, tier=look.tier, contours=look.contours, feet=look.feet,
                folder=self.document.folder,
            )  # fmt: skip
        except InputError as error:
            self.complain(error.line())
            return False
        self.statusBar().showMessage(f"Written: {path}")
        return True

    def ask_add(self) -> None:
        """Ask for an antenna of a catalogue class and add it."""
        dialog = AddAntenna(self)
        if dialog.exec() and dialog.antenna is not None:
            self.add(dialog.antenna)

    def add(self, antenna: Antenna) -> None:
        """Add an antenna; a clash of names is said and nothing is changed."""
        try:
            self.document.add(antenna)
        except InputError as error:
            self.complain(error.line())

    def remove_selected(self) -> None:
        """Remove the antenna of the selected row; undo brings it back."""
        index = self.emitters.selected_antenna()
        if index is not None:
            self.document.remove(index)

    def _may_leave(self) -> bool:
        if not self.document.dirty:
            return True
        b = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self, "Unsaved changes", "Save the changes to this site?", b.Save | b.Discard | b.Cancel
        )
        return answer == b.Discard or (answer == b.Save and self.save())

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self._may_leave():
            event.ignore()
            return
        self.maps.close()
        QSettings("Isofence", "Isofence").setValue("geometry", self.saveGeometry())
        event.accept()
