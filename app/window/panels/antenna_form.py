"""The antenna that is chosen, as a form: every value can be changed, what is refused waits at its field."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QCoreApplication, QEvent, Qt, Signal
from PySide6.QtWidgets import (
    QFileDialog,
    QGridLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.window import tones
from app.window.document import Document
from app.window.forms.editing import Editing
from app.window.forms.fields import help_of, tell
from app.window.forms.form import Form
from app.window.forms.pattern_picture import PatternPicture
from app.window.jobs import Worker
from app.window.panels.panel import Panel
from app.window.scene import Scene
from core.antennas.cuts import Cuts, far_cuts
from core.reading.unsaid import Unsaid, open_facts, unsaid
from core.site.site import Antenna

NOTHING = "No antenna is chosen. Choose one in the list of emitters, or add one."
_PATTERNS = "Pattern files (*.adf *.nsm *.pat *.txt *.csv *.json);;All files (*)"
TOOLS = (
    ("add", "&Add…", "Add an antenna of a generic class (Ctrl+N)"),
    ("duplicate", "D&uplicate", "Copy the chosen antennas a metre to the east (Ctrl+Shift+V)"),
    ("remove", "Remo&ve", "Remove the chosen antennas; undo brings them back"),
    ("place", "Place by &click", "Put it where you click next: on the plan, or on the elevation"),
    ("structure", "At a &mast…", "Put it at a height, bearing and distance from a structure"),
    ("sectors", "&Sectors…", "The same at other bearings, about a centre"),
)
"""Name, words and tip of what can be done with the chosen antennas."""


class AntennaForm(QWidget, Panel):
    """``chosen`` carries an antenna's index, ``tool`` the name of one of :data:`TOOLS`."""

    refused = Signal(str)
    chosen = Signal(int)
    tool = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.setObjectName("antenna")
        self.setAccessibleName("Antenna")
        self.setMinimumWidth(330)
        self.editing = Editing(document)
        self._scene: Scene | None = None
        self._worth: tuple[Unsaid, ...] | None = None
        self._asked: tuple[object, ...] = ()
        self._known: tuple[object, ...] = ()
        self.picture = PatternPicture()
        self.title, self.doubted, self.waiting, self.help = (QLabel() for _ in range(4))
        for label, name in (
            (self.title, "antenna title"), (self.doubted, "antenna doubts"),
            (self.waiting, "antenna waits"), (self.help, "field help"),
        ):  # fmt: skip
            label.setObjectName(name)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        font = self.title.font()
        font.setBold(True)
        self.title.setFont(font)
        self.leave = QPushButton("&Leave it as it was")
        self.leave.setObjectName("leave draft")
        self.leave.clicked.connect(self._drop)
        self.form = Form()
        for signal, slot in (
            (self.form.answered, self._answered), (self.form.dropped, self._dropped),
            (self.form.entered, self._entered), (self.form.file_asked, self._ask_file),
            (self.form.added, self._add_part), (self.form.removed, self._remove_part),
        ):  # fmt: skip
            signal.connect(slot)
        self._build()
        self.worker = Worker()
        self.worker.done.connect(self._computed)
        self.worker.failed.connect(self.refused)
        document.opened.connect(self.editing.forget_all)
        for label in (self.doubted, self.waiting):
            tones.warn(label, self.palette())
        self._show()

    def _build(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 4, 4, 2)
        column.setSpacing(3)
        buttons = QGridLayout()
        self.tools = {}
        for i, (name, text, tip) in enumerate(TOOLS):
            button = QPushButton(text)
            button.setObjectName(f"tool {name}")
            button.setToolTip(tip)
            button.clicked.connect(lambda _=False, name=name: self.tool.emit(name))
            buttons.addWidget(button, i // 3, i % 3)
            self.tools[name] = button
        self.area = QScrollArea()
        self.area.setWidget(self.form)
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        column.addLayout(buttons)
        for part in (self.title, self.doubted, self.waiting, self.leave):
            column.addWidget(part)
        column.addWidget(self.area, 1)
        column.addWidget(self.help)

    # what is shown ---------------------------------------------------------------------------------

    @property
    def antenna(self) -> Antenna | None:
        """The antenna that is chosen."""
        return self.editing.antenna

    def show_scene(self, scene: Scene) -> None:
        """Follow the chosen antenna, the pin and the units."""
        self._scene = scene
        self.editing.units = replace(self.editing.units, feet=scene.look.feet)
        self.editing.choose(scene.selected)
        known = (self.antenna, self.editing.units, scene.doubts, scene.pin, scene.look, scene.task)
        if scene.carried is None and known != self._known:
            self._known = known
            self._show()
        elif self.antenna is not None:
            self._compute(self.antenna)

    def stop(self) -> None:
        """Stop any work."""
        self.worker.close()

    def _show(self) -> None:
        antenna = self.antenna
        for name, button in self.tools.items():
            button.setEnabled(antenna is not None or name == "add")
        self.area.setVisible(antenna is not None)
        self.title.setText(
            NOTHING if antenna is None else f"{(self.editing.index or 0) + 1}  {antenna.name}"
        )
        if antenna is None:
            for label in (self.doubted, self.waiting, self.help):
                tell(label, "")
            self.leave.hide()
            return
        draft = self.editing.draft
        if self.form.show_values(draft.over(antenna), self.editing.units, self._new_picture):
            QCoreApplication.sendEvent(self.area, QEvent(QEvent.Type.LayoutRequest))
        for path, text in draft.texts.items():
            self.form.fields[path].show_text(text)
        for path, field in self.form.fields.items():
            field.refuse(draft.errors.get(path, ""))
        needs = draft.needs(antenna)
        wanted = ", ".join(dict.fromkeys(entry.label.lower() for entry in needs))
        tell(self.waiting, f"Not taken yet. Needed: {wanted}" if needs else "")
        self.leave.setVisible(draft.waits)
        doubts = self._scene.doubts if self._scene is not None else ()
        lines = [d.line for d in doubts if d.thing == "antenna" and d.name == antenna.name]
        tell(
            self.doubted, "\n".join(f"⚠ {line.removeprefix(f'{antenna.name}: ')}" for line in lines)
        )
        self._compute(antenna)
        self._say_open(antenna)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            for label in (self.doubted, self.waiting):
                tones.warn(label, self.palette())

    def _new_picture(self) -> QWidget:
        self.picture = PatternPicture()
        self._asked = ()
        return self.picture

    def _entered(self, path: str) -> None:
        field = self.form.fields.get(path)
        tell(
            self.help,
            f"{field.entry.label}: {help_of(field.entry, self.editing.units)}" if field else "",
        )
        if field is not None:
            self.area.ensureWidgetVisible(field)

    # what is not said, and the picture -------------------------------------------------------------

    def _compute(self, antenna: Antenna) -> None:
        """Ask for the picture, and for what knowing what is not said would bring at the pin."""
        scene = self._scene
        if scene is None or scene.task != "site":
            return
        site, pin = scene.site, scene.pin
        asked = (site, antenna, pin, scene.look)
        if asked == self._asked:
            return
        if self._asked[:2] != asked[:2] or not self._asked:
            self._worth = None
        self._asked = asked
        kind, frequency = antenna.kind, antenna.carriers[0].frequency
        look = scene.look

        def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
            emit(far_cuts(kind, frequency))
            if pin is not None and not cancelled():
                body = look.plan_body if pin.pane == "plan" else look.climb_body
                emit(unsaid(site, pin.place, body, antenna.name))

        self._worth = None
        self.worker.submit(work)

    def _computed(self, found: Cuts | tuple[Unsaid, ...]) -> None:
        if isinstance(found, Cuts):
            self.picture.show_cuts(found)
            return
        self._worth = found
        if self.antenna is not None:
            self._say_open(self.antenna)

    def _say_open(self, antenna: Antenna) -> None:
        """Say at each field that is left open what is usual, and what knowing it would bring at the pin."""
        words: dict[str, str] = {}
        for fact in open_facts(antenna):
            said = f"{fact.words}. "
            worth = [one for one in self._worth or () if one.fact == fact.fact]
            if worth:
                said += worth[0].worth(self.document.site.limit_set)
            elif self._worth is not None:
                said += "At the pin it makes no difference"
            elif self._scene is not None and self._scene.pin is None:
                said += "Pin a place to see what knowing it brings there"
            words |= dict.fromkeys(fact.paths, said.rstrip(". "))
        for path, field in self.form.fields.items():
            tell(field.note, words.get(path, ""))
        frequency = antenna.carriers[0].frequency
        told = [*antenna.kind.assumptions()]
        narrower = antenna.kind.to_find_out(frequency)
        self.form.note(
            "model", "\n".join([*told, *([f"To find out: {narrower}"] if narrower else [])])
        )

    # what is changed -------------------------------------------------------------------------------

    def _answered(self, path: str, answer: object) -> None:
        field, antenna = self.form.fields.get(path), self.antenna
        if field is None or antenna is None:
            return
        self.editing.answer(field.entry, answer)
        self._show()
        if self.antenna is not None and self.antenna.name != antenna.name:
            # It is known by its new name from here on.
            self.chosen.emit(self.editing.index)

    def _dropped(self, path: str) -> None:
        self.editing.draft.forget(path)
        self._show()

    def _drop(self) -> None:
        self.editing.drop()
        self._show()

    def _ask_file(self, path: str) -> None:
        folder = str(self.document.folder or "")
        name, _ = QFileDialog.getOpenFileName(self, "Choose a pattern file", folder, _PATTERNS)
        if name:
            self.editing.bring(self.form.fields[path].entry, Path(name))
            self._show()

    def _add_part(self, base: str) -> None:
        group = self.editing.add_part(base)
        self._show()
        first = next(e for e in (f.entry for f in self.form.fields.values()) if e.group == group)
        self.form.fields[first.path].setFocus()

    def _remove_part(self, group: str) -> None:
        why = self.editing.remove_part(group)
        self._show()
        if why:
            self.refused.emit(why)
