"""What somebody sees who starts without a site: three sentences, the demo sites, what was open before."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QVBoxLayout, QWidget

import app
from app.window.help import INTRODUCTION

DEMOS = (
    ("A rooftop with sector panels (demo)", "harrow-lane-roof/harrow-lane-roof.json"),
    ("A broadcast tower with a ladder (demo)", "cold-ridge-tower/cold-ridge-tower.json"),
)
_RECENT = 3


def demo_sites() -> list[tuple[str, Path]]:
    """Return the demo sites that can be found: beside the program, or in the working folder."""
    folders = (Path(app.__file__).parent.parent / "demo_sites", Path.cwd() / "demo_sites")
    found = []
    for words, name in DEMOS:
        path = next((f / name for f in folders if (f / name).is_file()), None)
        if path is not None:
            found.append((words, path))
    return found


class Welcome(QFrame):
    """Lies over the middle of the window until a site is opened or begun.

    ``wanted`` carries the path of a site; ``asked`` asks for a file, ``new_wanted`` for a new site.
    """

    wanted = Signal(object)
    asked = Signal()
    new_wanted = Signal()

    def __init__(self, over: QWidget, recent: list[Path]) -> None:
        super().__init__(over)
        self.setObjectName("welcome")
        self.setAccessibleName("Welcome")
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 18, 24, 18)
        column.setSpacing(8)
        for sentence in INTRODUCTION:
            label = QLabel(sentence)
            label.setWordWrap(True)
            column.addWidget(label)
        known = {path for _, path in demo_sites()}
        sites = demo_sites()
        sites += [(f"{p.name}  in {p.parent}", p) for p in recent if p not in known][:_RECENT]
        self.buttons = [self._button(words, path) for words, path in sites]
        new = QPushButton("Begin a &new site…")
        new.clicked.connect(self.new_wanted)
        self.buttons.append(new)
        other = QPushButton("Open a site &file…")
        other.clicked.connect(self.asked)
        self.buttons.append(other)
        for button in self.buttons:
            column.addWidget(button)
        self.setFixedWidth(460)
        over.installEventFilter(self)
        self._place(over)
        self.show()
        self.raise_()

    def _button(self, words: str, path: Path) -> QPushButton:
        button = QPushButton(words.replace("&", "&&"))
        button.setToolTip(str(path))
        button.clicked.connect(lambda _=False: self.wanted.emit(path))
        return button

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and isinstance(watched, QWidget):
            self._place(watched)
        return super().eventFilter(watched, event)

    def _place(self, over: QWidget) -> None:
        self.adjustSize()
        self.move((over.width() - self.width()) // 2, max(0, (over.height() - self.height()) // 3))
