"""Adding an antenna of a catalogue class, when the schedule does not say more."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from app.window.typed import length, numbers, quantity
from core.antennas.catalogue import CATALOGUE
from core.antennas.generic import Generic
from core.errors import InputError
from core.site.site import Antenna, Carrier, Power, State
from core.site.site import Condition as SiteCondition
from core.units import show_frequency

POWERS = (("ERP", "erp"), ("EIRP", "eirp"), ("transmitter", "transmitter"))


class AddAntenna(QDialog):
    """Asks for class, place, frequency and power; ``antenna`` holds the answer. The form has all the rest.

    ``place`` is offered as its own, m.
    """

    def __init__(
        self, parent: QWidget | None = None, place: tuple[float, float, float] = (0.0, 0.0, 30.0)
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Add an antenna of a generic class")
        self.antenna: Antenna | None = None
        self.entry = QComboBox()
        for key, entry in CATALOGUE.items():
            self.entry.addItem(entry.title, key)
        self.name, self.position = QLineEdit(), QLineEdit(", ".join(f"{c:.12g}" for c in place))
        self.azimuth, self.tilt = QLineEdit("0"), QLineEdit("0")
        self.frequency, self.power, self.loss = QLineEdit(), QLineEdit(), QLineEdit("0 dB")
        self.form = QComboBox()
        for text, key in POWERS:
            self.form.addItem(text, key)
        self.assumed, self.message = QLabel(), QLabel()
        for label in (self.assumed, self.message):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.message.setStyleSheet("color:#8a1c1c")
        rows = QFormLayout()
        for title, widget in (
            ("Class", self.entry),
            ("Name", self.name),
            ("x, y, z in m, or with ft", self.position),
            ("Azimuth, °", self.azimuth),
            ("Tilt, ° down", self.tilt),
            ("Frequency", self.frequency),
            ("Power given as", self.form),
            ("Power", self.power),
            ("Line loss", self.loss),
        ):
            rows.addRow(title, widget)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self._try)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addLayout(rows)
        for part in (self.assumed, self.message, buttons):
            layout.addWidget(part)
        self.entry.currentIndexChanged.connect(self._show_entry)
        self._show_entry()
        self.setMinimumWidth(460)

    def _show_entry(self) -> None:
        entry = CATALOGUE[self.entry.currentData()]
        self.frequency.setPlaceholderText(
            f"{show_frequency(entry.low)} to {show_frequency(entry.high)}"
        )
        self.power.setPlaceholderText(f"usual: {entry.power}")
        self.assumed.setText(
            "Assumed: " + "; ".join(entry.assumed) + ". Check each against the antenna."
        )

    def _try(self) -> None:
        try:
            self.antenna = self._read()
        except InputError as error:
            self.message.setText(error.line())
        else:
            self.accept()

    def _read(self) -> Antenna:
        entry = CATALOGUE[self.entry.currentData()]
        frequency = _quantity(self.frequency.text(), "frequency", "Frequency")
        if not entry.low <= frequency <= entry.high:
            raise InputError(
                f"{show_frequency(frequency)} does not suit this class",
                field="Frequency",
                fix=f"Use {self.frequency.placeholderText()}",
            )
        power = _quantity(self.power.text(), "power", "Power")
        loss = _quantity(self.loss.text(), "loss", "Line loss")
        x, y, z = numbers(self.position.text(), 3, "x, y, z", length)
        (azimuth,), (tilt,) = (
            numbers(self.azimuth.text(), 1, "Azimuth"),
            numbers(self.tilt.text(), 1, "Tilt"),
        )
        values = {self.form.currentData(): power}
        if self.form.currentData() == "erp" and entry.key.startswith("fm-"):
            values["erp_vertical"] = power
        return Antenna(
            name=self.name.text().strip() or entry.title,
            kind=Generic(entry=entry.key),
            position=(x, y, z),
            azimuth=azimuth,
            tilt=tilt,
            state=State(SiteCondition.ON),
            carriers=(
                Carrier(
                    name=show_frequency(frequency),
                    frequency=frequency,
                    power=Power(**values, loss=loss),
                ),
            ),
        )


def _quantity(text: str, kind: str, field: str) -> float:
    try:
        return quantity(text, kind)
    except InputError as error:
        raise error.within(field) from None
