"""The bar of a reading: one number and where it lies between the limits."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.window import tones
from core.reading.bar import Bar

_THICK, _GAP = 14.0, 3.0


class LimitBar(QWidget):
    """Paints a :class:`~core.reading.bar.Bar`; not there when there is none."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("limit bar")
        self.setAccessibleName("The figure between the limits")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._bar: Bar | None = None
        self.hide()

    def show_bar(self, bar: Bar | None, words: str) -> None:
        """Show a bar; ``words`` say the same to who cannot see it."""
        self._bar = bar
        self.setVisible(bar is not None)
        self.setAccessibleDescription(words)
        self.setToolTip(
            "Filled: the figure. Hollow: the best estimate. Lines: the limits for the public and for workers, and "
            "ten times the latter, if all emitters rose or fell together. The scale is logarithmic"
        )
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(280, round(_THICK + 2 * _GAP + 2 * QFontMetricsF(self.font()).height()))

    def minimumSizeHint(self) -> QSize:
        return QSize(200, self.sizeHint().height())

    def paintEvent(self, _: QPaintEvent) -> None:
        if self._bar is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink, faint = tones.ink(self.palette()), tones.faint(self.palette())
        left, wide = 1.0, self.width() - 2.0
        whole = QRectF(left, _GAP, wide, _THICK)
        painter.fillRect(whole, faint)
        painter.fillRect(QRectF(left, _GAP, wide * self._bar.value, _THICK), ink)
        if self._bar.best is not None:
            x = left + wide * self._bar.best
            painter.setPen(QPen(ink, 1.6))
            painter.setBrush(tones.ground(self.palette()))
            painter.drawEllipse(QPointF(x, _GAP + _THICK / 2.0), 4.2, 4.2)
        self._paint_marks(painter, left, wide)
        painter.end()

    def _paint_marks(self, painter: QPainter, left: float, wide: float) -> None:
        assert self._bar is not None
        ink, ground = tones.ink(self.palette()), tones.ground(self.palette())
        high = QFontMetricsF(self.font()).height()
        ends = [-1e9, -1e9]
        for name, at in self._bar.marks:
            x = left + wide * at
            # Seen on the filled part and beside it: a line with its counterpart on both sides.
            painter.setPen(QPen(ground, 4.0))
            painter.drawLine(QPointF(x, _GAP - 2.0), QPointF(x, _GAP + _THICK + 2.0))
            painter.setPen(QPen(ink, 2.0))
            painter.drawLine(QPointF(x, _GAP - 2.0), QPointF(x, _GAP + _THICK + 2.0))
            room = QFontMetricsF(self.font()).horizontalAdvance(name) + 6.0
            start = min(max(x - room / 2.0, 0.0), self.width() - room)
            row = next((i for i, end in enumerate(ends) if start >= end), len(ends) - 1)
            ends[row] = start + room
            box = QRectF(start, _GAP + _THICK + 3.0 + row * high, room, high)
            painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), name)
