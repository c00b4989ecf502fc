"""What the shading of a difference means, and the outlines of what zones gained and lost."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from app.draw import change_style, style
from app.draw.change_style import STEPS, UNITS, signed
from app.window.changes.compared import Compared, tier_words
from app.window.panels.legend import Legend
from core.changes.difference_map import LEAST
from core.units import show_percent

_BAR, _MOST = 15, 54


class ChangeLegend(QWidget):
    """The scale of what is on screen, and under it the marks of gained and lost zones where there are any."""

    def __init__(self) -> None:
        super().__init__()
        self.percent, self.difference, self.marks = Legend(), DifferenceLegend(), MarkLegend()
        self.percent.setObjectName("change percent legend")
        self.stack = QStackedWidget()
        self.stack.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        for one in (self.percent, self.difference):
            self.stack.addWidget(one)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        column.addWidget(self.marks)
        column.addWidget(self.stack)

    def show_compared(self, compared: Compared) -> None:
        """Explain what is on screen."""
        self.percent.show_scene(compared.of(0 if compared.way == "before" else 1))
        self.difference.show_compared(compared)
        self.marks.show_compared(compared)
        differs = compared.way == "difference"
        self.stack.setCurrentWidget(self.difference if differs else self.percent)


class DifferenceLegend(QWidget):
    """The steps of rise and fall with their signs; paper where nothing changed."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("difference legend")
        self.setAccessibleName("Legend of the difference")
        self._compared: Compared | None = None

    def sizeHint(self) -> QSize:
        return QSize(520, 52)

    def show_compared(self, compared: Compared) -> None:
        """Say in which unit, and of which limit."""
        self._compared = compared
        self.setToolTip(self.words())
        self.update()

    def words(self) -> str:
        """Return the heading."""
        if self._compared is None:
            return ""
        unit = UNITS[self._compared.quantity]
        return f"Rise in {unit}, {tier_words(self._compared)}; paper: no change to speak of"

    def paintEvent(self, _: QPaintEvent) -> None:
        if self._compared is None:
            return
        quantity = self._compared.quantity
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        font = painter.font()
        font.setPointSizeF(8.0)
        painter.setFont(font)
        palette = style.palette_on(self.palette().base().color().name())
        ink = self.palette().windowText().color()
        painter.setPen(ink)
        painter.drawText(4, 12, self.words())
        rises, falls = change_style.shades(palette)
        boxes = [*reversed(falls), palette.paper, *rises]
        width = min(_MOST, max(34, (self.width() - 250) // len(boxes)))
        for i, colour in enumerate(boxes):
            box = QRectF(4 + i * width, 18, width, _BAR)
            painter.fillRect(box, QColor(colour))
            if i < len(falls):
                painter.fillRect(
                    box, QBrush(QColor(palette.quiet), Qt.BrushStyle.FDiagPattern)
                )  # fmt: skip
        painter.setPen(QPen(ink, 0.8))
        painter.drawRect(QRectF(4, 18, width * len(boxes), _BAR))
        edges = [*(-s for s in reversed(STEPS[quantity])), *STEPS[quantity]]
        for i, edge in enumerate(edges, 1):
            text = QRectF(4 + (i - 0.5) * width, 19 + _BAR, width, 16)
            painter.drawText(
                text, int(Qt.AlignmentFlag.AlignHCenter), signed(edge, quantity).removesuffix(" dB")
            )
        x = 4 + len(boxes) * width + 12
        painter.drawText(x, 24, "hatched, dashed: a fall; crosses: no figure;")
        if quantity == "decibels":
            painter.drawText(x, 38, f"paper too: under {show_percent(LEAST)} in both")
        painter.end()


class MarkLegend(QWidget):
    """The outlines of gained and lost zones; not there where none are drawn."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("gained and lost legend")
        self.setAccessibleName("Legend of gained and lost zones")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._tier = ""
        self.hide()

    def sizeHint(self) -> QSize:
        return QSize(520, 19)

    def show_compared(self, compared: Compared) -> None:
        """Be there while zones are marked."""
        zones = compared.comparison.zones if compared.comparison is not None else ()
        of_tier = [z for z in zones if z.step.key == compared.look.tier]
        self._tier = compared.look.tier
        self.setVisible(bool(of_tier) and compared.marked and compared.planes != "elevation")
        self.update()

    def paintEvent(self, _: QPaintEvent) -> None:
        painter = QPainter(self)
        font = painter.font()
        font.setPointSizeF(8.0)
        painter.setFont(font)
        ink = self.palette().windowText().color()
        x = 4.0
        for brush, pen, words in (
            (Qt.BrushStyle.VerPattern, QPen(ink, 2.4), f"the {self._tier} zone newly reaches here"),
            (
                Qt.BrushStyle.Dense6Pattern,
                QPen(ink, 1.4, Qt.PenStyle.DashLine),
                "it no longer reaches here (proven, on the walking surfaces)",
            ),
        ):
            box = QRectF(x, 3, 26, 12)
            painter.fillRect(box, QBrush(ink, brush))
            painter.setPen(pen)
            painter.drawRect(box)
            painter.setPen(ink)
            painter.drawText(QRectF(x + 33, 0, 400, 18), int(Qt.AlignmentFlag.AlignVCenter), words)
            x += 33 + painter.fontMetrics().horizontalAdvance(words) + 18
        painter.end()
