"""Texts that move nothing: titles of two rows, and the banner that lies over the maps."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.draw import style


class Title(QLabel):
    """Two rows, always, cut short with dots where there is no room; the whole of it is its tool tip."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def setText(self, text: str) -> None:
        super().setText(text)
        self.setToolTip(text)

    def sizeHint(self) -> QSize:
        return QSize(60, 2 * self.fontMetrics().height() + 4)

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, _: QPaintEvent) -> None:
        painter = QPainter(self)
        room = self.rect().adjusted(3, 0, -3, 0)
        painter.setPen(self.palette().windowText().color())
        # A single row stands at the map that it is of.
        painter.drawText(
            room, int(Qt.AlignmentFlag.AlignBottom), "\n".join(self.rows(room.width()))
        )
        painter.end()

    def rows(self, width: int) -> tuple[str, ...]:
        """Return the rows, one or two, that are written in a width in pixels."""
        metrics, words, first = self.fontMetrics(), self.text().split(" "), ""
        while words and metrics.horizontalAdvance(f"{first} {words[0]}".strip()) <= width:
            first = f"{first} {words.pop(0)}".strip()
        rest = metrics.elidedText(" ".join(words), Qt.TextElideMode.ElideRight, width)
        return tuple(row for row in (first, rest) if row)


class Banner(QLabel):
    """What a person has to be told, over the upper edge of a widget; a click puts it away.

    ``times`` is how often something was told.
    """

    def __init__(self) -> None:
        super().__init__()
        self.times = 0
        self.setObjectName("message")
        self.setAccessibleName("Message")
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)
        self.setToolTip("Click to put this away")
        self.hide()

    def lie_over(self, widget: QWidget) -> None:
        """Lie over a widget from now on, as wide as it is."""
        self.setParent(widget)
        widget.installEventFilter(self)
        self.hide()

    def say(self, text: str) -> None:
        """Show a text until it is put away; no text puts it away."""
        if not text:
            self.hide()
            return
        self.times += 1
        self.note(text)

    def note(self, text: str) -> None:
        """Show a text that is no complaint, until it is put away."""
        palette = style.palette_on(self.palette().base().color().name())
        ground, ink = ("#f6e8d8", "#1d2430") if palette is style.LIGHT else ("#4a3a1c", "#ffffff")
        self.setStyleSheet(
            f"background:{ground}; color:{ink}; padding:5px; border-bottom:1px solid {ink}"
        )
        self.setText(text)
        self.show()
        self._fit()
        self.raise_()

    def _fit(self) -> None:
        over = self.parentWidget()
        if over is not None:
            width = over.width()
            self.setGeometry(0, 0, width, max(self.heightForWidth(width), 24))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._fit()
        return super().eventFilter(watched, event)

    def mousePressEvent(self, _: QMouseEvent) -> None:
        self.hide()
