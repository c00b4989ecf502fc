"""What can be done with the chosen antennas: added, copied, pasted, put elsewhere, turned to other sectors, removed."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QMimeData, QObject, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from app.modes.picking import next_chosen
from app.window.dialogs.add_antenna import AddAntenna
from app.window.dialogs.place_antennas import AtStructure, OtherSectors
from app.window.document import Document
from app.window.maps import Maps
from app.window.panels.antenna_form import AntennaForm
from app.window.panels.emitters import EmitterTable
from app.window.putting_tool import PuttingTool
from core.errors import InputError
from core.files.paths import same_file
from core.files.schedule.writer import schedule_text
from core.files.site_writer import antenna_to_json
from core.site.arranging import added, beside, turned, with_antenna, without
from core.site.site import Antenna, Site

FORMAT = "application/x-isofence-antennas"


class AntennaTools(QObject):
    """Works on the antennas that are chosen in the list, or on the maps in the task of what is there.

    ``put_wanted`` asks for the action that takes the mouse: it ends whatever else has it.
    """

    refused = Signal(str)
    accepted = Signal(str)
    task_wanted = Signal(str)
    put_wanted = Signal()

    def __init__(
        self, document: Document, maps: Maps, table: QWidget, form: QWidget, parent: QWidget
    ) -> None:
        super().__init__(parent)
        assert isinstance(table, EmitterTable)
        assert isinstance(form, AntennaForm)
        self.document, self.maps, self.table, self._parent = document, maps, table, parent
        self._form = form
        self.putting = PuttingTool(document, maps.panes, lambda: maps.scene)
        self.putting.refused.connect(self.refused)
        for pane in maps.panes:
            pane.picked.connect(self._picked)
        does: dict[str, Callable[[], object]] = {
            "add": self.ask_add, "duplicate": self.duplicate, "remove": self.remove, "place": self.put_wanted.emit,
            "structure": self.ask_structure, "sectors": self.ask_sectors, "copy": self.copy, "paste": self.paste,
        }  # fmt: skip
        for source in (form.tool, table.tool):
            source.connect(lambda name: does[name]())

    def waiting(self) -> list[str]:
        """Return the antennas of which something that is typed waits: for more, or to be mended."""
        return list(dict.fromkeys((*self._form.editing.waiting(), *self.table.waiting())))

    def chosen(self) -> list[int]:
        """Return the indices of the chosen antennas; says so where there are none."""
        found = self.table.selected_antennas()
        if not found:
            self.refused.emit("No antenna is chosen. Choose one or more in the list of emitters")
        return found

    def _picked(self, here: list[int], adds: bool) -> None:
        """Choose antennas that were clicked on a map, in the task of what is there."""
        if self.maps.scene.task == "site":
            chosen = self.table.selected_antennas()
            now = self.table.current_antenna()
            chosen.sort(key=lambda i: i != now)
            self.table.select(next_chosen(here, chosen, adds=adds))

    # adding ----------------------------------------------------------------------------------------

    def ask_add(self) -> None:
        """Ask for an antenna of a catalogue class and add it; the form has all the rest."""
        pin = self.maps.scene.pin
        dialog = AddAntenna(self._parent, pin.place if pin is not None else (0.0, 0.0, 30.0))
        if dialog.exec() and dialog.antenna is not None:
            self.add(dialog.antenna)

    def add(self, antenna: Antenna) -> None:
        """Add an antenna and turn to its form; a clash of names is said and nothing is changed."""
        count = len(self.document.site.antennas)
        if self._edit(f"add {antenna.name}", lambda s: replace(s, antennas=(*s.antennas, antenna))):
            self.task_wanted.emit("site")
            self.table.select([count])

    def duplicate(self) -> None:
        """Copy the chosen antennas a metre to the east."""
        indices = self.chosen()
        if indices:
            copies = [beside(self.document.site.antennas[i]) for i in indices]
            self._add_all("copy", copies)

    def copy(self) -> None:
        """Put the chosen antennas into the clipboard: for this program, and as a schedule for a spreadsheet."""
        indices = self.chosen()
        if not indices:
            return
        antennas = tuple(self.document.site.antennas[i] for i in indices)
        files = {
            a.kind.file: str(self.document.path_of(a.kind.file))
            for a in antennas
            if hasattr(a.kind, "file")
        }
        data = QMimeData()
        value = {"files": files, "antennas": [antenna_to_json(a) for a in antennas]}
        data.setData(FORMAT, json.dumps(value).encode())
        data.setText(schedule_text(Site(name="copied", antennas=antennas)))
        QGuiApplication.clipboard().setMimeData(data)
        self.accepted.emit(f"Copied: {_names(antennas)}")

    def paste(self) -> None:
        """Add the antennas in the clipboard, each with a name that nobody has; pattern files come along."""
        data = QGuiApplication.clipboard().mimeData()
        if data is None or not data.hasFormat(FORMAT):
            self.refused.emit(
                "The clipboard has no antennas of this program. A table is taken in with Ctrl+T"
            )
            return
        try:
            value = json.loads(bytes(data.data(FORMAT).data()))
            antennas = [self._pasted(one, value["files"]) for one in value["antennas"]]
        except InputError as error:
            self.refused.emit(error.line())
        except (ValueError, KeyError, TypeError):
            self.refused.emit("The antennas in the clipboard cannot be read. Copy them again")
        else:
            self._add_all("paste", antennas)

    def _pasted(self, json_: dict[str, Any], files: dict[str, str]) -> Antenna:
        name = json_.get("model", {}).get("file")
        if name in files and not same_file(files[name], self.document.path_of(name)):
            json_["model"]["file"] = self.document.bring_pattern(Path(files[name]))
        antenna = self.document.read_antenna(json_)
        taken = {a.position for a in self.document.site.antennas}
        while antenna.position in taken:
            antenna = beside(antenna)
        return antenna

    def _add_all(self, verb: str, antennas: list[Antenna]) -> None:
        count = len(self.document.site.antennas)
        if self._edit(f"{verb} {_names(antennas)}", lambda site: added(site, antennas)):
            self.table.select(list(range(count, count + len(antennas))))

    # placing ---------------------------------------------------------------------------------------

    def put_by_click(self, on: bool) -> None:
        """Put the chosen antenna where somebody clicks next, or let go of it."""
        if not on:
            self.putting.let_go()
        elif self.chosen():
            self.putting.begin(self.table.current_antenna() or 0)
        else:
            self.putting.stop()

    def ask_structure(self) -> None:
        """Ask for height, bearing and distance from a structure, and put the chosen antenna there."""
        site, indices = self.document.site, self.chosen()
        if not indices:
            return
        if not site.structures:
            self.refused.emit("The site has no structure yet. Draw one, or type the place")
            return
        index = self.table.current_antenna() or 0
        antenna = site.antennas[index]
        dialog = AtStructure(site, antenna, self._parent, feet=self.maps.scene.look.feet)
        if dialog.exec() and dialog.place is not None:
            new = replace(antenna, position=dialog.place, azimuth=dialog.azimuth)
            self._edit(f"move {antenna.name}", lambda s: with_antenna(s, index, new))

    def ask_sectors(self) -> None:
        """Ask for other bearings and a centre, and add the chosen antennas there."""
        site, indices = self.document.site, self.chosen()
        if not indices:
            return
        feet = self.maps.scene.look.feet
        first = site.antennas[self.table.current_antenna() or 0]
        dialog = OtherSectors(site, first, self._parent, feet=feet)
        if dialog.exec():
            self.turn(indices, dialog.angles, dialog.centre)

    def turn(
        self, indices: list[int], angles: tuple[float, ...], centre: tuple[float, float]
    ) -> None:
        """Add antennas turned about a centre."""
        count = len(self.document.site.antennas)
        names = _names([self.document.site.antennas[i] for i in indices])
        said = ", ".join(f"{angle:g}°" for angle in angles)
        if self._edit(f"{names} also at {said}", lambda s: turned(s, indices, angles, centre)):
            self.table.select(list(range(count, len(self.document.site.antennas))))

    # taking away -----------------------------------------------------------------------------------

    def remove(self) -> None:
        """Remove the chosen antennas; undo brings them back."""
        indices = self.chosen()
        if indices:
            gone = [self.document.site.antennas[i] for i in indices]
            self._edit(f"remove {_names(gone)}", lambda site: without(site, indices))

    def _edit(self, label: str, change: Callable[[Site], Site]) -> bool:
        try:
            self.document.edit(label, change)
        except InputError as error:
            self.refused.emit(error.line())
            return False
        return True


def _names(antennas: list[Antenna] | tuple[Antenna, ...]) -> str:
    """Return what some antennas are called in the list of undo."""
    return antennas[0].name if len(antennas) == 1 else f"{len(antennas)} antennas"
