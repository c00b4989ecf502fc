"""What a change does, to the right of its maps: the verdict, the pinned place in both states, the list."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.window.changes.compared import Compared, tier_words
from app.window.panels.panel import Panel
from app.window.tones import NOTE_GROUND, NOTE_INK
from core.changes.effects import Effect
from core.changes.place import PlaceChange
from core.units import show_length

SAME = (
    "Both are the same state: nothing changed. Choose another state or another file over the maps."
)
NO_PIN = "Click a place on a map to read it before and after."
WORSE = "▲ "
_ROLE = Qt.ItemDataRole.UserRole


class ChangePage(QWidget, Panel):
    """``place_chosen`` carries an effect, ``cancelled`` and ``asked`` stop the work and begin it again; ``marked`` says
    whether gained and lost zones are drawn."""

    place_chosen = Signal(object)
    cancelled = Signal()
    asked = Signal()
    marked = Signal(bool)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("change page")
        self.setAccessibleName("What the change does")
        self.setMinimumWidth(250)
        self.heading, self.verdict, self.place = (
            _label(n) for n in ("heading", "verdict", "place")
        )
        self.bar = QProgressBar()
        self.bar.setRange(0, 100)
        self.bar.setTextVisible(True)
        self.stop_it = QPushButton("Cance&l")
        self.again = QPushButton("Work it o&ut")
        self.marks = QCheckBox("Gained and lost zones on the plan")
        self.marks.setChecked(True)
        self.list = _List()
        self.stop_it.clicked.connect(self.cancelled)
        self.again.clicked.connect(self.asked)
        self.marks.toggled.connect(self.marked)
        self.list.chosen.connect(self.place_chosen)
        work = QHBoxLayout()
        for widget in (self.bar, self.stop_it, self.again):
            work.addWidget(widget)
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 2, 2, 2)
        column.setSpacing(4)
        column.addWidget(self.heading)
        column.addWidget(self.verdict)
        column.addLayout(work)
        column.addWidget(self.list, 1)
        column.addWidget(self.marks)
        column.addWidget(self.place)
        self.show_work(None)

    def show_compared(self, compared: Compared) -> None:
        """Say which states are compared."""
        before, after = compared.ends
        self.heading.setText(
            f"{before.title('BEFORE')}\n{after.title('AFTER')}\n"
            "The emitters in the list are those of this site as filed"
        )

    def show_work(self, done: float | None, *, wanted: bool = False) -> None:
        """Show how much is worked out, 0 to 1; None while nothing is, and whether something could be."""
        self.bar.setVisible(done is not None)
        self.stop_it.setVisible(done is not None)
        self.again.setVisible(done is None and wanted)
        self.bar.setFormat("working it out: %p %")
        self.bar.setValue(round(100.0 * (done or 0.0)))

    def show_verdict(self, words: str, *, worse: bool) -> None:
        """Say in a sentence what the change means for people."""
        self.verdict.setText(f"{WORSE}{words}" if worse else words)
        paint = f"background:{NOTE_GROUND}; color:{NOTE_INK}; padding:4px; font-weight:bold"
        self.verdict.setStyleSheet(paint if worse else "")

    def show_effects(self, effects: tuple[Effect, ...], *, finished: bool) -> None:
        """List effects, those that are worse first; not finished is said at the end."""
        self.list.fill(effects, finished=finished)

    def show_place(self, found: PlaceChange | None, compared: Compared) -> None:
        """Say what the pinned place reads in both states, for the tier shown."""
        pin = compared.pin
        if pin is None or found is None:
            self.place.setText(NO_PIN if pin is None else "reading …")
            return
        feet = compared.look.feet
        at = ", ".join(
            f"{name} {show_length(c, feet=feet)}" for name, c in zip("xyz", pin.place, strict=True)
        )
        was, now, change = found.words(compared.look.tier)
        who = "climbing" if pin.pane == "elevation" else "standing"
        raised = ""
        if compared.spots is not None and compared.spots[0][2] != compared.spots[1][2]:
            a, b = (show_length(p[2], feet=feet) for p in compared.spots)
            raised = f"\nfeet at {a} before, {b} after"
        self.place.setText(
            f"{at}, {who}, % of {tier_words(compared)}{raised}\n"
            f"before {was}\nafter {now}\nchange {change}"
        )


class _List(QListWidget):
    """Effects under their headings, wrapped; ``chosen`` carries the effect of a row that is somewhere."""

    chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("change list")
        self.setAccessibleName("What the change does, worse things first")
        self.setWordWrap(True)
        self.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.setSpacing(1)
        self.itemClicked.connect(self._choose)

    def fill(self, effects: tuple[Effect, ...], *, finished: bool) -> None:
        """List effects anew."""
        self.blockSignals(True)
        self.clear()
        heading = ""
        for effect in effects:
            under = "Worse for people" if effect.worse else effect.section
            if under != heading:
                heading = under
                self._add(heading, None, bold=True)
            section = f"{effect.section}: " if effect.worse else ""
            mark = WORSE if effect.worse else ""
            self._add(f"{mark}{section}{effect.words}", effect, bold=False)
        if not finished:
            self._add("What it does is not worked out yet", None, bold=True)
        self.blockSignals(False)

    def _add(self, words: str, effect: Effect | None, *, bold: bool) -> None:
        item = QListWidgetItem(words)
        font = QFont(self.font())
        font.setBold(bold)
        item.setFont(font)
        item.setData(_ROLE, effect)
        goes = effect is not None and effect.place is not None
        item.setToolTip("Enter or a click goes there" if goes else "")
        flags = Qt.ItemFlag.ItemIsEnabled
        item.setFlags(flags | Qt.ItemFlag.ItemIsSelectable if effect is not None else flags)
        self.addItem(item)

    def effects(self) -> tuple[Effect, ...]:
        """Return what is listed."""
        rows = (self.item(i).data(_ROLE) for i in range(self.count()))
        return tuple(e for e in rows if e is not None)

    def _choose(self, item: QListWidgetItem) -> None:
        effect = item.data(_ROLE)
        if effect is not None and effect.place is not None:
            self.chosen.emit(effect)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        before = self.currentRow()
        entered = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if not entered:
            super().keyPressEvent(event)
        if self.currentItem() is not None and (entered or self.currentRow() != before):
            self._choose(self.currentItem())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        # Rows are as high as their words need at the new width.
        self.scheduleDelayedItemsLayout()


def _label(name: str) -> QLabel:
    label = QLabel()
    label.setObjectName(f"change {name}")
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
    return label
