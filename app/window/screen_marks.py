"""What is painted over a finished map: words beside the pointer, the cross that keys move, the focus."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QRegion

from app.draw.style import Palette

_AWAY, _PAD = 13.0, 5.0
"""Pixels between the pointer and its words, and around the words."""

_ARM, _GAP = 13.0, 4.0
_SLACK = 2
"""Pixels by which rounding may leave the border of a picture out."""


def paint_words(
    painter: QPainter, frame: QRect, at: QPointF, words: str, palette: Palette
) -> QRectF:
    """Write words beside a pixel, wholly inside the map; returns where."""
    font = painter.font()
    font.setPointSizeF(9.0)
    painter.setFont(font)
    box = QRectF(painter.fontMetrics().boundingRect(QRect(0, 0, 1000, 200), 0, words))
    box = box.adjusted(-_PAD, -_PAD / 2.0, _PAD, _PAD / 2.0)
    x = at.x() + _AWAY if at.x() < frame.center().x() else at.x() - _AWAY - box.width()
    y = at.y() + _AWAY if at.y() < frame.center().y() else at.y() - _AWAY - box.height()
    x = min(max(x, 2.0), frame.width() - box.width() - 2.0)
    y = min(max(y, 2.0), frame.height() - box.height() - 2.0)
    box.moveTo(x, y)
    painter.fillRect(box, QColor(palette.ink))
    painter.setPen(QColor(palette.paper))
    painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), words)
    return box


def paint_unknown(painter: QPainter, frame: QRect, known: QRect, palette: Palette) -> None:
    """Cover what was not computed yet, so that it does not look like a place without exposure."""
    blank = QRegion(frame).subtracted(QRegion(known.adjusted(-_SLACK, -_SLACK, _SLACK, _SLACK)))
    if blank.isEmpty():
        return
    ink = QColor(palette.ink)
    ink.setAlpha(110)
    painter.save()
    painter.setClipRegion(blank)
    painter.fillRect(frame, QBrush(ink, Qt.BrushStyle.Dense6Pattern))
    painter.restore()
    if known.isNull():
        at = QPointF(frame.center().x(), 0.15 * frame.height())
        paint_words(painter, frame, at, "not computed yet", palette)


def paint_cross(painter: QPainter, at: QPointF, palette: Palette) -> None:
    """Draw the cross that keys move, dark on a pale seam."""
    for width, colour in ((4.0, palette.paper), (1.6, palette.ink)):
        painter.setPen(QPen(QColor(colour), width))
        for right, up in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            painter.drawLine(
                at + QPointF(_GAP * right, _GAP * up), at + QPointF(_ARM * right, _ARM * up)
            )


def paint_focus(painter: QPainter, frame: QRect, colour: QColor, palette: Palette) -> None:
    """Draw a frame around the map that the keys go to."""
    for width, ink in ((6.0, QColor(palette.paper)), (3.0, colour)):
        painter.setPen(QPen(ink, width))
        painter.drawRect(QRectF(frame).adjusted(1.5, 1.5, -1.5, -1.5))
