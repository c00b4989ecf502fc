"""What the shading means, under the maps."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.draw import style

_BAR, _SWATCH = 15, 40


class Legend(QWidget):
    """The steps of the scale with their percents, the heavy line and the hatch, in words."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("legend")
        self.setAccessibleName("Legend of the shading")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._title = ""

    def sizeHint(self) -> QSize:
        return QSize(520, 52)

    def show_words(self, limit_set: str, tier: str) -> None:
        """Say which limit the percents are of."""
        self._title = f"Percent of {limit_set} {tier}"
        self.setToolTip(f"{self._title}. Heavy line: 100 %.")
        self.update()

    def paintEvent(self, _: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        font = painter.font()
        font.setPointSizeF(8.0)
        painter.setFont(font)
        ink = QColor(style.INK)
        painter.setPen(ink)
        painter.drawText(4, 12, f"{self._title}; heavy line 100 %")
        edges = [0.0, *style.LEVELS]
        norm, colours = style.norm(), style.colormap()
        width = min(_SWATCH + 8, max(24, (self.width() - 250) // len(edges)))
        for i, low in enumerate(edges):
            colour = QColor.fromRgbF(*[float(c) for c in colours(norm(low * 1.0001 + 1e-9))[:3]])
            painter.fillRect(QRectF(4 + i * width, 18, width, _BAR), colour)
            if i:
                text = QRectF(4 + (i - 0.5) * width, 18 + _BAR, width, 16)
                painter.drawText(text, int(Qt.AlignmentFlag.AlignHCenter), short(low))
        x = 4 + len(edges) * width + 14
        painter.setPen(QPen(ink, 0.8))
        painter.setBrush(QBrush(ink, Qt.BrushStyle.DiagCrossPattern))
        painter.drawRect(QRectF(x, 18, 26, _BAR))
        painter.drawText(int(x) + 32, 30, "reactive region: no figure,")
        painter.drawText(int(x) + 32, 44, "treat as over every limit")
        painter.end()


def short(percent: float) -> str:
    """Return a percent for a narrow legend: thousands with k."""
    return f"{percent / 1000:g}k" if percent >= 1000 else f"{percent:g}"
