"""The bands of a garment's card as they are printed on it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem

from core.site.garment import Band
from core.units import format_quantity

_WRONG, _WRONG_INK = QColor("#ffd9ec"), QColor("#1d2430")


class BandTable(QTableWidget):
    """The bands of a card as they are printed on it; the last row is for one more, an emptied row goes."""

    def __init__(self) -> None:
        super().__init__(0, 3)
        self.setObjectName("bands")
        self.setAccessibleName("Bands of the card with their ratings")
        self.setHorizontalHeaderLabels(["From", "To", "Rating"])
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(22)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.setFixedHeight(104)
        self.setToolTip(
            "As on the card: 80 MHz, 300 MHz, 800 % or 9 dB. Empty a row to take a band away"
        )

    def text(self, row: int, column: int) -> str:
        """Return what stands in a cell."""
        item = self.item(row, column)
        return item.text().strip() if item is not None else ""

    def show_bands(
        self, bands: tuple[Band, ...], refused: dict[tuple[int, int], tuple[str, str]]
    ) -> None:
        """Fill the table; what was refused stays."""
        self.setRowCount(len(bands) + 1)
        for r in range(len(bands) + 1):
            texts = ["", "", ""]
            if r < len(bands):
                band = bands[r]
                rating = (
                    format_quantity(band.percent, "percent")
                    if band.percent is not None
                    else format_quantity(band.decibels or 0.0, "loss")
                )
                texts = [
                    format_quantity(band.low, "frequency"), format_quantity(band.high, "frequency"), rating,
                ]  # fmt: skip
            for c, text in enumerate(texts):
                item = self.item(r, c)
                if item is None:
                    item = QTableWidgetItem()
                    self.setItem(r, c, item)
                wrong = refused.get((r, c))
                item.setText(wrong[0] if wrong else text)
                item.setToolTip(wrong[1] if wrong else "")
                item.setData(Qt.ItemDataRole.BackgroundRole, QBrush(_WRONG) if wrong else None)
                ink = QBrush(_WRONG_INK) if wrong else None
                item.setData(Qt.ItemDataRole.ForegroundRole, ink)
