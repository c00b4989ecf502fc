"""Placing antennas by words: beside a structure, and the same at other bearings about a centre."""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QWidget,
)

from app.window import tones
from app.window.typed import length, number, numbers
from core.errors import InputError
from core.site.arranging import Place, from_structure
from core.site.moving import middle
from core.site.places import Structure
from core.site.site import Antenna, Site
from core.units import show_length

_MOST = 24
"""Copies at most that are made at once."""


class Asking(QDialog):
    """A dialog of typed fields with one error beneath; what was typed stays."""

    def __init__(self, title: str, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setMinimumWidth(420)
        self.rows = QFormLayout(self)
        self.message = QLabel()
        self.message.setObjectName("message")
        self.message.setWordWrap(True)
        self.message.setTextFormat(Qt.TextFormat.PlainText)

    def ask(self, *rows: tuple[str, QWidget]) -> None:
        """Lay out rows, the error and the buttons."""
        for label, field in rows:
            field.setAccessibleName(label.replace("&", ""))
            field.setObjectName(label.replace("&", ""))
            self.rows.addRow(label, field)
        self.rows.addRow(self.message)
        b = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(b.Ok | b.Cancel)
        buttons.accepted.connect(self.take)
        buttons.rejected.connect(self.reject)
        self.rows.addRow(buttons)

    def take(self) -> None:
        """Take what was typed, or say why not."""
        try:
            self.read()
        except InputError as error:
            tones.warn(self.message, self.palette())
            self.message.setText(error.line())
        else:
            self.accept()

    def read(self) -> None:
        """Read the fields.

        Raises
        ------
        InputError
            If one cannot be taken.
        """
        raise NotImplementedError


class AtStructure(Asking):
    """Asks for a structure, height, bearing and distance; ``place`` and ``azimuth`` hold the answer."""

    def __init__(
        self, site: Site, antenna: Antenna, parent: QWidget | None = None, *, feet: bool = False
    ) -> None:
        super().__init__(f"Where {antenna.name} hangs", parent)
        self.site, self._feet = site, feet
        self.place: Place | None = None
        self.azimuth = antenna.azimuth
        self.structure = structures_by_distance(site, antenna)
        nearest = site.structures[self.structure.itemData(0)]
        x, y = middle(nearest)
        east, north = antenna.position[0] - x, antenna.position[1] - y
        bearing = (math.degrees(math.atan2(east, north)) + site.grid_north) % 360.0
        unit = "ft" if feet else "m"
        self.level = QLineEdit(show_length(antenna.position[2] - nearest.base, feet=feet))
        self.bearing = QLineEdit(f"{bearing:.1f}")
        self.distance = QLineEdit(show_length(math.hypot(east, north), feet=feet))
        self.turns = QCheckBox("it looks that way too")
        self.ask(
            ("&Structure", self.structure),
            (f"&Height above its base, {unit}", self.level),
            ("&Bearing from its middle, °", self.bearing),
            (f"&Distance from its middle, {unit}", self.distance),
            ("", self.turns),
        )

    def read(self) -> None:
        structure = self.site.structures[self.structure.currentData()]
        height = _length(self.level, "Height", feet=self._feet)
        distance = _length(self.distance, "Distance", feet=self._feet)
        bearing = _read(self.bearing, "Bearing", lambda text: number(text.removesuffix("°")))
        if not 0.0 <= distance <= 10_000.0:
            raise InputError(f"{distance:g} m", field="Distance", fix="Use 0 to 10 000 m")
        if not -360.0 <= bearing <= 360.0:
            raise InputError(f"{bearing:g}°", field="Bearing", fix="Use -360 to 360°")
        self.place = from_structure(self.site, structure, height, bearing, distance)
        if self.turns.isChecked():
            self.azimuth = bearing % 360.0


class OtherSectors(Asking):
    """Asks for angles and a centre; ``angles`` and ``centre`` hold the answer."""

    def __init__(
        self, site: Site, antenna: Antenna, parent: QWidget | None = None, *, feet: bool = False
    ) -> None:
        super().__init__("The same at other bearings", parent)
        self.site, self._feet = site, feet
        self.angles: tuple[float, ...] = ()
        self.centre = (0.0, 0.0)
        self.turns = QLineEdit("120, 240")
        self.about = structures_by_distance(site, antenna)
        self.about.addItem("a typed place", None)
        self.place = QLineEdit()
        self.about.activated.connect(self._follow)
        self.place.textEdited.connect(lambda: self.about.setCurrentIndex(self.about.count() - 1))
        self._follow()
        self.ask(
            ("&Turned by, ° clockwise", self.turns),
            ("&About the middle of", self.about),
            (f"&Centre x, y, {'ft' if feet else 'm'}", self.place),
        )

    def _follow(self) -> None:
        index = self.about.currentData()
        if index is None:
            self.place.setText(self.place.text() or "0, 0")
            return
        x, y = middle(self.site.structures[index])
        self.centre = (x, y)
        self.place.setText(", ".join(show_length(c, feet=self._feet) for c in (x, y)))

    def read(self) -> None:
        text = self.turns.text()
        count = len([part for part in text.split(";" if ";" in text else ",") if part.strip()])
        if not 1 <= count <= _MOST:
            raise InputError(
                f"{text!r} is not degrees",
                field="Turned by",
                fix=f"Write 1 to {_MOST}, like 120, 240",
            )
        self.angles = numbers(text, count, "Turned by", lambda part: number(part.replace("°", "")))
        if self.about.currentData() is None:
            x, y = numbers(self.place.text(), 2, "Centre", lambda t: length(t, feet=self._feet))
            self.centre = (x, y)


def structures_by_distance(site: Site, antenna: Antenna) -> QComboBox:
    """Return a box of the structures of a site, the nearest first and lines after all that has a middle.

    Its data are their indices.
    """
    box = QComboBox()

    def away(structure: Structure) -> tuple[bool, float]:
        far = math.dist(middle(structure), antenna.position[:2])
        return structure.kind in Structure.LINES, far

    for structure in sorted(site.structures, key=away):
        box.addItem(f"{structure.name} ({structure.kind})", site.structures.index(structure))
    return box


def _length(field: QLineEdit, name: str, *, feet: bool) -> float:
    return _read(field, name, lambda text: length(text, feet=feet))


def _read(field: QLineEdit, name: str, read: Callable[[str], float]) -> float:
    try:
        return read(field.text().strip())
    except InputError as error:
        raise error.within(name) from None
