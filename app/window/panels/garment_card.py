"""The cards of the site's garments, typed in, and what the chosen job says of its garment; the verdict follows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.window.document import Document
from app.window.panels.band_table import BandTable
from app.window.panels.form import Choice, TextField
from app.window.panels.panel import Panel
from app.window.panels.tick_list import TickList
from app.window.planned import Planned
from app.window.scene import Scene
from app.window.typed import quantity
from core.entry.checks import IN_THE_FIELD, NOT_FOR
from core.entry.report import verdict_sentence
from core.errors import InputError
from core.site.garment import COMPLETE_SET, Band, Garment, Soundness
from core.site.job import HIGHER_CONTROLS, Job
from core.site.jobs import fresh_name, with_garment, with_job, without_garment
from core.site.site import Site

_WRONG, _WRONG_INK = QColor("#ffd9ec"), QColor("#1d2430")
_WHY = {
    "eliminate": "off and locked",
    "reduce": "less power",
    "engineering": "distance, screens",
    "administrative": "time, procedures",
}


class GarmentCard(QWidget, Panel):
    """One garment at a time. Every field is one edit; a text that is refused stays."""

    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.setObjectName("garment card")
        self.setAccessibleName("Garment")
        self._scene: Scene | None = None
        self._name = ""
        self._filling = False
        self._refused: dict[tuple[int, int], tuple[str, str]] = {}
        say = self.refused.emit
        self.which = Choice("garment shown", [], self._choose, say)
        self.new, self.delete = QPushButton("New card"), QPushButton("Delete card")
        self.new.clicked.connect(self._new)
        self.delete.clicked.connect(self._delete)
        self.called = TextField("name of the garment", lambda t: self._card(name=t), say)
        self.source = TextField(
            "card", lambda t: self._card(source=t), say, "whose figures: maker, number, date"
        )
        self.condition = Choice(
            "condition", [(str(s), s) for s in Soundness], lambda s: self._card(condition=s), say
        )
        self.inspected = TextField(
            "last inspection", lambda t: self._card(inspected=t), say, "2026-11-24"
        )
        self.by = TextField("inspected by", lambda t: self._card(inspected_by=t), say)
        self.wear = TextField("rules of wear", lambda t: self._card(wear=t), say)
        self.parts = {part: QCheckBox(part) for part in COMPLETE_SET}
        for part, box in self.parts.items():
            box.clicked.connect(lambda _, p=part: self._part(p))
        self.bands = BandTable()
        self.bands.itemChanged.connect(self._band_typed)
        self.training = TextField(
            "training", lambda t: self._job(garment_training=t), say, "when and by whom the wearers were trained"
        )  # fmt: skip
        self.margin = TextField("margin", self._margin, say, "3 dB")
        self.why = {
            control: TextField(f"why not {control}", self._reason(control), say)
            for control in HIGHER_CONTROLS
        }
        self.verdict = QLabel()
        self.verdict.setObjectName("garment verdict")
        self.verdict.setWordWrap(True)
        self.ticks = TickList(lambda ticks: self._job(garment_checks=ticks), say)
        self.checks = QLabel(_check_list())
        self.checks.setWordWrap(True)
        self.card, self.worn = QWidget(), QWidget()
        self._lay_out()

    def _lay_out(self) -> None:
        def form(box: QWidget, rows: tuple[tuple[str, QWidget], ...]) -> None:
            lines = QFormLayout(box)
            lines.setContentsMargins(0, 0, 0, 0)
            lines.setVerticalSpacing(3)
            lines.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
            for label, field in rows:
                if label:
                    lines.addRow(label, field)
                else:
                    lines.addRow(field)

        parts = QWidget()
        row = QHBoxLayout(parts)
        row.setContentsMargins(0, 0, 0, 0)
        for box in self.parts.values():
            row.addWidget(box)
        row.addStretch(1)
        form(
            self.card,
            (
                ("Name", self.called), ("Card", self.source), ("Set", parts),
                ("Condition", self.condition), ("Inspected", self.inspected), ("by", self.by),
                ("Wear", self.wear),
            ),
        )  # fmt: skip
        form(
            self.worn,
            (
                ("Training", self.training), ("Margin kept", self.margin),
                ("", QLabel("Why each before it was not enough:")),
                *((_WHY[c], field) for c, field in self.why.items()),
            ),
        )  # fmt: skip
        head = QHBoxLayout()
        for part in (QLabel("Card of"), self.which, self.new, self.delete):
            head.addWidget(part, int(part is self.which))
        left = QVBoxLayout()
        left.addLayout(head)
        left.addWidget(self.card)
        left.addStretch(1)
        right = QVBoxLayout()
        right.addWidget(self.verdict)
        right.addWidget(self.worn)
        right.addStretch(1)
        columns = QWidget()
        across = QHBoxLayout(columns)
        across.setContentsMargins(4, 2, 4, 2)
        across.setSpacing(14)
        across.addLayout(left, 4)
        across.addLayout(right, 4)
        left.insertWidget(2, self.bands)
        whole = QWidget()
        lines = QVBoxLayout(whole)
        lines.setContentsMargins(0, 0, 0, 0)
        lines.addWidget(columns)
        lines.addWidget(self.ticks)
        lines.addWidget(self.checks)
        area = QScrollArea()
        area.setWidget(whole)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(area)

    # what is shown ---------------------------------------------------------------------------------

    @property
    def garment(self) -> Garment | None:
        """The garment that is shown."""
        return next((g for g in self.document.site.garments if g.name == self._name), None)

    def show_scene(self, scene: Scene) -> None:
        """Follow the garments of the site and the job."""
        before = self._scene.chosen if self._scene is not None else None
        self._scene, job = scene, scene.chosen
        names = [g.name for g in scene.site.garments]
        worn = job.garment if job is not None else ""
        if worn in names and (before is None or before.garment != worn or before.name != job.name):  # type: ignore[union-attr]
            self._show_name(worn)
        if self._name not in names:
            self._show_name(names[0] if names else "")
        self.which.offer([(n, n) for n in names] or [("no card yet", "")])
        self.which.show_data(self._name)
        self._show(job)

    def unfinished(self) -> list[str]:
        """Return the garment of which the text of a band was refused and waits to be mended."""
        return [f"the bands of {self._name}"] if self._refused else []

    def _show_name(self, name: str) -> None:
        if name != self._name:
            self._name, self._refused = name, {}

    def _show(self, job: Job | None) -> None:
        one = self.garment
        self._filling = True
        for part in (self.card, self.bands):
            part.setEnabled(one is not None)
        self.delete.setEnabled(one is not None)
        if one is not None:
            for field, text in (
                (self.called, one.name), (self.source, one.source), (self.inspected, one.inspected),
                (self.by, one.inspected_by), (self.wear, one.wear),
            ):  # fmt: skip
                field.show_text(text)
            self.condition.show_data(one.condition)
            for name, box in self.parts.items():
                box.setChecked(name in one.parts)
            self.bands.show_bands(one.bands, self._refused)
        else:
            self.bands.setRowCount(0)
        self.worn.setVisible(job is not None)
        self.ticks.show_job(job)
        if job is not None:
            self.training.show_text(job.garment_training)
            self.margin.show_text(f"{job.garment_margin:g} dB")
            told = dict(job.higher_controls)
            for control, field in self.why.items():
                field.show_text(told.get(control, ""))
        self._filling = False

    def show_planned(self, planned: Planned) -> None:
        """Say what the garment is worth to the chosen job."""
        entry, job = planned.entry, planned.job
        if job is None or not job.garment:
            text = "No garment is worn in this job: choose one on the left."
        elif entry is None or entry.job != job:
            text = "Being computed…"
        else:
            text = verdict_sentence(entry)
            if entry.rated is not None and entry.rated.reasons:
                text += " No credit: " + "; ".join(entry.rated.reasons) + "."
        about = "About. " if planned.stale and entry is not None else ""
        self.verdict.setText(f"{about}{text}")

    # edits -----------------------------------------------------------------------------------------

    def _choose(self, name: object) -> None:
        self._show_name(str(name or ""))
        if self._scene is not None:
            self._show(self._scene.chosen)

    def _card(self, **change: object) -> None:
        one = self.garment
        if one is None:
            return
        made = replace(one, **change)  # type: ignore[arg-type]
        old = one.name
        self._name = made.name
        try:
            self.document.edit(f"garment {old}", lambda site: with_garment(site, made, old))
        except InputError:
            self._name = old
            raise

    def _do(self, does: Callable[[], None]) -> bool:
        try:
            does()
        except InputError as error:
            self.refused.emit(error.line())
            return False
        return True

    def _part(self, part: str) -> None:
        one = self.garment
        if one is None:
            return
        at_hand = tuple(p for p, box in self.parts.items() if box.isChecked())
        if not self._do(lambda: self._card(parts=at_hand)):
            self._show(self._scene.chosen if self._scene else None)

    def _band_typed(self, item: QTableWidgetItem) -> None:
        one = self.garment
        if self._filling or one is None:
            return
        row = item.row()
        texts = [self.bands.text(row, c) for c in range(3)]
        for c in range(3):
            self._refused.pop((row, c), None)
        kept = list(one.bands)
        if not any(texts):
            bands = kept[:row] + kept[row + 1 :]
        elif all(texts):
            column = item.column()
            try:
                band, column = _band(texts)
            except InputError as error:
                self._refuse(row, column, texts, error)
                return
            bands = [*kept[:row], band, *kept[row + 1 :]]
        else:
            # The rest of the row is still to be typed.
            self._refused |= {
                (row, c): (t, "type the rest of the band") for c, t in enumerate(texts) if t
            }
            return
        try:
            self._card(bands=tuple(bands))
        except InputError as error:
            self._refuse(row, item.column(), texts, error)

    def _refuse(self, row: int, column: int, texts: list[str], error: InputError) -> None:
        line = error.within(f"band {row + 1}").line()
        self._refused |= {(row, c): (t, line) for c, t in enumerate(texts)}
        self.refused.emit(line)
        self._show(self._scene.chosen if self._scene else None)

    def _job(self, **change: object) -> None:
        job = self._scene.chosen if self._scene is not None else None
        if job is None:
            return
        made = replace(job, **change)  # type: ignore[arg-type]
        self.document.edit(f"{job.name}: garment", lambda site: with_job(site, made, job.name))

    def _margin(self, text: str) -> None:
        self._job(
            garment_margin=quantity(text if text.lower().endswith("db") else f"{text} dB", "loss")
        )

    def _reason(self, control: str) -> Callable[[str], None]:
        def take(text: str) -> None:
            job = self._scene.chosen if self._scene is not None else None
            if job is None:
                return
            told = dict(job.higher_controls)
            told[control] = text
            kept = tuple((c, told[c]) for c in HIGHER_CONTROLS if told.get(c, "").strip())
            self._job(higher_controls=kept)

        return take

    def _new(self) -> None:
        name = fresh_name([g.name for g in self.document.site.garments], "New set")
        # A card has at least one band and a source; neither gives credit before the set is inspected.
        card = Garment(
            name=name, source="card to be typed in", bands=(Band(low=100e6, high=300e6, percent=101.0),), parts=()
        )  # fmt: skip
        job = self._scene.chosen if self._scene is not None else None

        def added(site: Site) -> Site:
            made = with_garment(site, card)
            # Somebody who types a card beside a job without a garment means that one to be worn.
            if job is None or job.garment:
                return made
            return with_job(made, replace(job, garment=name), job.name)

        if self._do(lambda: self.document.edit(f"add {name}", added)):
            self._choose(name)
            if self._scene is not None:
                self.show_scene(self._scene)
            self.called.setFocus()
            self.called.selectAll()

    def _delete(self) -> None:
        name = self._name
        self._do(
            lambda: self.document.edit(f"delete {name}", lambda site: without_garment(site, name))
        )


def _band(texts: list[str]) -> tuple[Band, int]:
    low, high = (quantity(t, "frequency") for t in texts[:2])
    rating = texts[2]
    if rating.lower().endswith("db"):
        return Band(low=low, high=high, decibels=quantity(rating, "loss")), 2
    return Band(low=low, high=high, percent=quantity(rating, "percent")), 2


def _check_list() -> str:
    def part(head: str, lines: tuple[str, ...]) -> str:
        return "\n".join([head, *(f"• {line}" for line in lines)])

    return "\n\n".join(
        (
            part("While it is worn", IN_THE_FIELD),
            part("It is not for", NOT_FOR),
        )
    )
