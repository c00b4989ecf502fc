"""What the maps show: limits, tier, height, body, reflection, contours, units."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from app.draw import style
from app.window.document import Document
from app.window.panels.number_field import NumberField, mark
from app.window.panels.panel import Panel
from app.window.scene import Look, Scene
from app.window.tasks import PLANNED
from app.window.typed import length, number
from core.errors import InputError
from core.limits.sets import SETS
from core.limits.tier import Tier
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Site
from core.units import FOOT
from core.views.views import Height

_HEIGHTS = ("on the surface", "above the surface", "above the datum")


class Controls(QWidget, Panel):
    """The controls; ``look_changed`` carries the new look, limits go into the site."""

    look_changed = Signal(object)
    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.setAccessibleName("What is shown")
        self.document = document
        self.look = Look()
        self._held: tuple[str, Tier] | None = None
        self._free: Tier = self.look.tier
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        self.limits = _box("limit set", [(key, key) for key in SETS])
        self.tier = _box("tier", [("public", "public"), ("occupational", "occupational")])
        self.where = _box("plan height", [(text, i) for i, text in enumerate(_HEIGHTS)])
        self.metres = NumberField("height", -500.0, 2000.0, 0.5)
        self.metres.setUnit(" m", length)
        self.metres.setEnabled(False)
        self.body = _box(
            "body",
            [
                ("column, peak", 0),
                ("column, average", 1),
                ("single height", 2),
            ],
        )
        self.azimuth = NumberField("azimuth", 0.0, 360.0, 15.0, decimals=1, wraps=True)
        self.azimuth.setUnit("°", number)
        self.azimuth.setValue(90.0)
        self.reflection = _box("reflection", [(k.value, k.value) for k in ReflectionKind])
        self.estimate = _box("estimate", [("conservative", True), ("best (can be low)", False)])
        self.contours = QLineEdit(", ".join(f"{c:g}" for c in style.CONTOURS))
        self.contours.setObjectName("contours")
        self.contours.setToolTip(
            "Percents of the limit at which lines are drawn, with commas between"
        )
        self.feet = QCheckBox("feet")
        for label, widget in (
            ("Limits", self.limits),
            ("Tier shown", self.tier),
            ("Plan", self.where),
            ("Height", self.metres),
            ("Body", self.body),
            ("Elevation along", self.azimuth),
            ("Reflection", self.reflection),
            ("Estimate", self.estimate),
            ("Lines at, %", self.contours),
            ("Units", self.feet),
        ):
            form.addRow(label, widget)
        self.where.setToolTip(
            "Where the plan's body column stands: on whatever surface is under each point, or at a height"
        )
        self.body.setToolTip(
            "A standing body, 0 to 2 m; on the elevation a climber, 1 m below to 1 m above"
        )
        self.note = QLabel()
        self.note.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        layout.addWidget(self.note)
        layout.addStretch(1)
        document.site_changed.connect(self.show_site)
        self.show_site(document.site)
        for box in (self.tier, self.where, self.body):
            box.activated.connect(self._look)
        for field in (self.metres, self.azimuth):
            field.valueChanged.connect(self._look)
            field.refused.connect(self.refused)
        self.contours.editingFinished.connect(self._look)
        self.feet.toggled.connect(self._look)
        self.limits.activated.connect(
            lambda: self._site("limit set", limit_set=self.limits.currentData())
        )
        self.reflection.activated.connect(
            lambda: self._site(
                "reflection", reflection=Reflection(ReflectionKind(self.reflection.currentData()))
            )
        )
        self.estimate.activated.connect(
            lambda: self._site("estimate", conservative=self.estimate.currentData())
        )

    def show_site(self, site: Site) -> None:
        """Show the settings that are part of the site."""
        self.limits.setCurrentIndex(self.limits.findData(site.limit_set))
        self.reflection.setCurrentIndex(self.reflection.findData(site.reflection.kind.value))
        self.estimate.setCurrentIndex(self.estimate.findData(site.conservative))
        limit_set = SETS[site.limit_set]
        self.note.setText(f"{limit_set.title}: {limit_set.document}. {limit_set.status}")

    def show_scene(self, scene: Scene) -> None:
        """Follow a height that was set on a map, and the tier that a planned crew is held against."""
        self._follow_job(scene)
        height = scene.look.height
        if height == self.look.height or height.above_surface != self.look.height.above_surface:
            return
        self.look = scene.look
        self.metres.blockSignals(True)
        self.metres.setValue(height.metres / (FOOT if scene.look.feet else 1.0))
        self.metres.blockSignals(False)

    def _follow_job(self, scene: Scene) -> None:
        """Show the tier of the job while it is planned, and the one from before after it."""
        job = scene.chosen if scene.task in PLANNED else None
        held = None if job is None else (job.name, job.tier)
        if held == self._held:
            return
        if self._held is None:
            self._free = self.look.tier
        self._held = held
        self.tier.setCurrentIndex(self.tier.findData(self._free if job is None else job.tier))
        # Afterwards: this scene is still being shown to others.
        QTimer.singleShot(0, self, self._look)

    def _site(self, label: str, **change: object) -> None:
        try:
            self.document.edit(label, lambda site: replace(site, **change))  # type: ignore[arg-type]
        except InputError as error:
            self.refused.emit(error.line())

    def _look(self, *_: object) -> None:
        where = int(self.where.currentData())
        self.metres.setEnabled(where > 0)
        feet = self.feet.isChecked()
        if feet != self.look.feet:
            self._to_unit(feet=feet)
        metres = 0.0 if where == 0 else self.metres.value() * (FOOT if feet else 1.0)
        try:
            contours = _percents(self.contours.text())
            mark(self.contours, "")
        except InputError as error:
            # What was typed stays, to be mended; the lines stay as they are.
            mark(self.contours, error.line())
            self.refused.emit(error.line())
            contours = self.look.contours
        look = Look(
            tier=self.tier.currentData(),
            height=Height(metres, where != 2),
            standing=self.body.currentData() != 2,
            average=self.body.currentData() == 1,
            azimuth=self.azimuth.value(),
            contours=contours,
            feet=feet,
        )
        if look != self.look:
            self.look = look
            self.look_changed.emit(look)

    def _to_unit(self, *, feet: bool) -> None:
        self.metres.blockSignals(True)
        value = self.metres.value() / FOOT if feet else self.metres.value() * FOOT
        self.metres.setUnit(" ft" if feet else " m", _feet if feet else length)
        self.metres.setValue(value)
        self.metres.blockSignals(False)


def _feet(text: str) -> float:
    return length(text, feet=True) / FOOT


def _box(name: str, items: list[tuple[str, object]]) -> QComboBox:
    box = QComboBox()
    box.setObjectName(name)
    box.setAccessibleName(name)
    box.setMinimumContentsLength(9)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    for text, data in items:
        box.addItem(text, data)
    return box


def _percents(text: str) -> tuple[float, ...]:
    try:
        # With semicolons between, commas are decimal ones.
        parts = text.split(";" if ";" in text else ",")
        values = tuple(number(part) for part in parts if part.strip())
    except InputError:
        values = ()
    if not values or len(values) > 20 or not all(0.0 < v <= 1e9 for v in values):
        raise InputError(
            f"{text!r} is not percents",
            field="Lines at",
            fix="Write up to 20 numbers over 0 with commas between, or semicolons",
        )
    return values
