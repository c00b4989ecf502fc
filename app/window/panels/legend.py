"""What the shading means, under the maps."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.draw import style
from app.draw.style import Palette
from app.window.contrast import map_palette
from app.window.panels.panel import Panel
from app.window.scene import Scene, Standing
from core.limits.sets import get_set
from core.zones.steps import STEPS, Step

_BAR, _SWATCH = 15, 40

_HEADLINES = {
    Standing.PROVEN: "Proven zones: outside the outermost line nothing exceeds the public limit",
    Standing.ROUGH: "Proven zones, still larger than they need be: their edges are being tightened",
    Standing.BEFORE: "Dimmed: zones of before the change. What is shown now is being proven anew",
}
_AS_SET = ". Transmitters are as the job sets them"
_NOT_YET = ". Where the garment is enough is not known yet"

_HATCHES = {
    "public": Qt.BrushStyle.BDiagPattern,
    "occupational": Qt.BrushStyle.DiagCrossPattern,
    "garment": Qt.BrushStyle.CrossPattern,
    "ten times": Qt.BrushStyle.Dense4Pattern,
}


class Legend(QWidget, Panel):
    """The steps of the scale with their percents, the heavy line and the hatch, in words."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("legend")
        self.setAccessibleName("Legend of the shading")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._title, self._set = "", ""
        self._zones = False
        self._steps: tuple[Step, ...] = STEPS
        self._headline = _HEADLINES[Standing.PROVEN]

    def sizeHint(self) -> QSize:
        return QSize(520, 52)

    def show_scene(self, scene: Scene) -> None:
        """Say which limit the percents are of, or explain zones instead of shading."""
        key = scene.site.limit_set
        tier = get_set(key).name_of(scene.look.tier)
        self._title, self._set = f"Percent of {key} {tier}", key
        # A map whose zones are not proven yet shows the shading, and that needs its scale.
        self._zones = {"plan", "elevation"} <= set(scene.standing)
        worst = [how for how in reversed(Standing) if how in scene.standing.values()]
        self._headline = _HEADLINES[worst[0] if worst else Standing.PROVEN]
        self._steps = scene.steps
        if scene.worn is not None:
            self._headline += _AS_SET if Standing.ROUGH not in worst else _NOT_YET
        self.setToolTip(f"{self._title}. Heavy line: 100 %.")
        self.update()

    def paintEvent(self, _: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        font = painter.font()
        font.setPointSizeF(8.0)
        painter.setFont(font)
        palette = map_palette(self)
        painter.setPen(self.palette().windowText().color())
        if self._zones:
            self._paint_zones(painter, palette)
        else:
            self._paint_scale(painter, palette)
        painter.end()

    def _paint_zones(self, painter: QPainter, palette: Palette) -> None:
        width = max(190, self.width() // len(self._steps))
        painter.drawText(4, 12, self._headline)
        for i, step in enumerate(self._steps):
            box = QRectF(4 + i * width, 18, 26, _BAR)
            painter.fillRect(box, QColor(palette.zone_fill(step.key)))
            painter.fillRect(box, QBrush(QColor(palette.ink), _HATCHES[step.key]))
            painter.drawRect(box)
            text = QRectF(box.right() + 5, 15, width - 38, 36)
            painter.drawText(text, int(Qt.TextFlag.TextWordWrap), self._words(step))

    def _words(self, step: Step) -> str:
        """Return what a zone means: between the occupational limit and the end of a garment that is enough."""
        worn = next((s.garment for s in self._steps if s.garment is not None), None)
        if step.garment is not None:
            return f"{step.words}: not enough, or no credit (used > {step.allowed})"
        if worn is not None and step.key == "ten times":
            return f"{step.words} (> {100 * step.threshold:g} %)"
        only = worn is not None and step.key == "occupational"
        words = f"in {worn.name} only" if worn is not None and only else step.words
        return f"{words} (> {100 * step.threshold:g} % {self._set} {step.tier})"

    def _paint_scale(self, painter: QPainter, palette: Palette) -> None:
        painter.drawText(4, 12, f"{self._title}; the heavy line is 100 %, the limit")
        edges = [0.0, *style.LEVELS]
        width = min(_SWATCH + 8, max(24, (self.width() - 250) // len(edges)))
        for i, low in enumerate(edges):
            colour = QColor.fromRgbF(*style.shade(low * 1.0001 + 1e-9, palette))
            painter.fillRect(QRectF(4 + i * width, 18, width, _BAR), colour)
        ink = self.palette().windowText().color()
        for i, low in enumerate(edges[1:], 1):
            x = 4.0 + i * width
            if low == 100.0:
                # The limit: the line of the map, across the bar and beyond it.
                for across, tone in ((7.0, palette.paper), (3.6, palette.ink)):
                    painter.setPen(QPen(QColor(tone), across))
                    painter.drawLine(QPointF(x, 16.0), QPointF(x, 20.0 + _BAR))
                painter.setPen(ink)
            font = painter.font()
            font.setBold(low == 100.0)
            painter.setFont(font)
            text = QRectF(x - 0.5 * width, 19 + _BAR, width, 16)
            painter.drawText(text, int(Qt.AlignmentFlag.AlignHCenter), short(low))
        font = painter.font()
        font.setBold(False)
        painter.setFont(font)
        x = 4 + len(edges) * width + 14
        painter.setPen(QPen(ink, 0.8))
        painter.setBrush(QBrush(ink, Qt.BrushStyle.DiagCrossPattern))
        painter.drawRect(QRectF(x, 18, 26, _BAR))
        painter.drawText(int(x) + 32, 30, "reactive region: no figure,")
        painter.drawText(int(x) + 32, 44, "treat as over every limit")


def short(percent: float) -> str:
    """Return a percent for a narrow legend: thousands with k."""
    return f"{percent / 1000:g}k" if percent >= 1000 else f"{percent:g}"
