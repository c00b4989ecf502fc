"""The crew's sheet as it will be printed, in place of the maps: what is still missing first, then its sides."""

from __future__ import annotations

from itertools import zip_longest

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPixmap, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.draw.paper import PAPERS
from app.window import tones
from app.window.briefs import Brief
from app.window.panels.panel import Panel
from app.window.scene import Scene
from core.reading.cautions import SHORT

_CLOSER = 1.25
_MOST, _LEAST = 4.0, 0.5
"""How many times the width of the window a side is shown at most, and at least."""


class BriefingPage(QWidget, Panel):
    """``brief_exported`` and ``brief_printed`` ask for what the buttons say, ``paper_chosen`` a paper's name."""

    brief_exported = Signal()
    brief_printed = Signal()
    paper_chosen = Signal(str)
    job_chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("briefing")
        self.setAccessibleName("Sheet of the crew")
        self.brief = Brief()
        self.zoom = 1.0
        self._pictures: list[QPixmap] = []
        self._of: tuple[bytes, ...] = ()
        self.job, self.paper = QComboBox(), QComboBox()
        for box, name in ((self.job, "Job of the sheet"), (self.paper, "Paper of the sheet")):
            box.setAccessibleName(name)
        self.paper.addItems(list(PAPERS))
        self.job.activated.connect(lambda _: self.job_chosen.emit(self.job.currentText()))
        self.paper.activated.connect(lambda _: self.paper_chosen.emit(self.paper.currentText()))
        self.export, self.print = QPushButton("&Export PDF or PNG…"), QPushButton("&Print…")
        self.export.clicked.connect(self.brief_exported)
        self.print.clicked.connect(self.brief_printed)
        self.closer, self.away = QPushButton("+"), QPushButton("−")
        self.whole = QPushButton("Whole width")
        for button, name, does in (
            (self.closer, "Zoom in", lambda: self.zoom_by(_CLOSER)),
            (self.away, "Zoom out", lambda: self.zoom_by(1.0 / _CLOSER)),
            (self.whole, "Show the whole width", lambda: self.zoom_by(1.0 / self.zoom)),
        ):
            button.setAccessibleName(name)
            button.setToolTip(f"{name} (Ctrl with the wheel)")
            button.clicked.connect(does)
        self.verdict, self.missing = QLabel(), QLabel()
        self.verdict.setObjectName("sheet verdict")
        self.missing.setObjectName("still missing")
        font = self.verdict.font()
        font.setBold(True)
        self.verdict.setFont(font)
        for label in (self.verdict, self.missing):
            label.setWordWrap(True)
        self.missing.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.progress = QProgressBar()
        self.progress.setRange(0, 0)
        self.progress.setMaximumHeight(8)
        self.progress.setTextVisible(False)
        self.sides: list[QLabel] = []
        pages = QWidget()
        self._column = QVBoxLayout(pages)
        self._column.addStretch(1)
        self._make_room(2)
        self.area = _Area()
        self.area.setWidget(pages)
        self.area.setWidgetResizable(True)
        self.area.zoomed.connect(self.zoom_by)
        self.area.resized.connect(self._draw)
        head = QHBoxLayout()
        for part in (
            QLabel("Job"), self.job, QLabel("Paper"), self.paper, self.away, self.whole, self.closer,
        ):  # fmt: skip
            head.addWidget(part)
        head.addStretch(1)
        for part in (self.export, self.print):
            head.addWidget(part)
        for button in (self.closer, self.away):
            button.setMaximumWidth(36)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(2, 2, 2, 2)
        layout.addLayout(head)
        layout.addWidget(self.verdict)
        room = QScrollArea()
        room.setWidget(self.missing)
        room.setWidgetResizable(True)
        room.setFrameShape(QScrollArea.Shape.NoFrame)
        room.setMaximumHeight(96)
        layout.addWidget(room)
        layout.addWidget(self.progress)
        layout.addWidget(self.area, 1)
        self.show_brief(Brief())

    def show_scene(self, scene: Scene) -> None:
        """Follow the jobs of the site."""
        names = [j.name for j in scene.site.jobs]
        if names != [self.job.itemText(i) for i in range(self.job.count())]:
            self.job.clear()
            self.job.addItems(names)
        chosen = scene.chosen
        self.job.setCurrentIndex(self.job.findText(chosen.name) if chosen is not None else -1)

    def show_brief(self, brief: Brief) -> None:
        """Show a sheet, or how far it is."""
        self.brief = brief
        self.progress.setVisible(brief.busy)
        for button in (self.export, self.print):
            button.setEnabled(bool(brief.files))
        mark = f"  Fingerprint {brief.mark}." if brief.mark else ""
        said = brief.trouble or brief.verdict or "The entry is being computed…"
        self.verdict.setText(f"{said}{mark}{' The sheet is being made…' if brief.busy else ''}")
        # The verdict stands above it already.
        lines = [
            f"• {line}" for line in brief.missing if not line.startswith("The crew may not go")
        ]
        if lines:
            head = f"Still missing for a complete sheet ({len(lines)}):"
        else:
            known = "Nothing is missing that the program knows of." if brief.go else ""
            head = known if brief.files else ""
        self.missing.setText("\n".join([head, *lines, *([SHORT] if head else [])]).strip())
        if brief.sides != self._of:
            self._of = brief.sides
            self._pictures = []
            for side in brief.sides:
                picture = QPixmap()
                picture.loadFromData(side)
                self._pictures.append(picture)
            self._make_room(len(self._pictures))
        self._draw()

    def _make_room(self, count: int) -> None:
        """Have a label for so many sides at least."""
        for i in range(len(self.sides), count):
            side = QLabel()
            side.setAccessibleName(f"Side {i + 1} of the sheet")
            self._column.insertWidget(i, side, 0, Qt.AlignmentFlag.AlignHCenter)
            self.sides.append(side)

    def zoom_by(self, times: float) -> None:
        """Show the sides so many times larger."""
        self.zoom = min(max(self.zoom * times, _LEAST), _MOST)
        self._draw()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.missing.setStyleSheet("")

    def _draw(self) -> None:
        width = max(round(self.zoom * (self.area.viewport().width() - 24)), 50)
        for label, picture in zip_longest(self.sides, self._pictures):
            if picture is None or picture.isNull():
                label.clear()
                continue
            # As many pixels as the screen has, not as the desktop counts.
            ratio = self.devicePixelRatioF()
            scaled = picture.scaledToWidth(
                round(width * ratio), Qt.TransformationMode.SmoothTransformation
            )
            scaled.setDevicePixelRatio(ratio)
            label.setPixmap(scaled)
            label.setStyleSheet(f"border: 1px solid {tones.quiet(self.palette()).name()}")


class _Area(QScrollArea):
    """The room the sides are in; Ctrl with the wheel, plus and minus zoom."""

    zoomed = Signal(float)
    resized = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Sides of the sheet")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoomed.emit(_CLOSER ** (event.angleDelta().y() / 120.0))
            event.accept()
        else:
            super().wheelEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        by = {Qt.Key.Key_Plus: _CLOSER, Qt.Key.Key_Equal: _CLOSER, Qt.Key.Key_Minus: 1.0 / _CLOSER}
        if event.key() in by and event.modifiers() == Qt.KeyboardModifier.NoModifier:
            self.zoomed.emit(by[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.resized.emit()
