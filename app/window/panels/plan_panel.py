"""The power plan: what it is for, what was found beside the next best ones, and one click that applies it."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.window import typed_job
from app.window.document import Document
from app.window.panels.form import Choice, TextField
from app.window.panels.panel import Panel
from app.window.plans import Found, Wanted
from app.window.scene import Scene
from app.window.scrolled import scrolled
from app.window.typed import number, quantity
from core.entry.lock_list import BLANK, lock_list, notes, reason
from core.entry.plans import Plan
from core.entry.power_plan import PowerPlan
from core.errors import InputError
from core.reading.cautions import SHORT
from core.site.jobs import fresh_name
from core.site.site import Site
from core.units import show_percent, show_power

_HEAD = ("Emitter", "From", "To", "Owner", "Contact", "Number", "When")
_WHERE = (
    ("the job's way and work", "job"), ("the job's way", "route"),
    ("the work volume", "work"), ("a span of a ladder", "ladder"), ("a piece of a surface", "surface"),
    ("the pinned place", "pin"),
)  # fmt: skip
_AIMS = (
    ("the job may go", "job"), ("percent of a limit", "tier"), ("the garment's rating", "garment"),
)  # fmt: skip
_REACTIVE = 1e5
_ROWS = 4
"""Rows of the lock list that are seen at least."""


class PlanPanel(QWidget, Panel):
    """``plan_wanted`` carries a :class:`~app.window.plans.Wanted`, ``plan_applied`` a plan and the state's name."""

    plan_wanted = Signal(object)
    plan_cancelled = Signal()
    plan_applied = Signal(object, str)
    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.setObjectName("power plan")
        self.setAccessibleName("Power plan")
        self._scene: Scene | None = None
        self.found = Found()
        self._plans: list[Plan] = []
        say = self.refused.emit
        self.where = Choice("plan for", _WHERE, lambda _: self._offer(), say)
        self.aim = Choice("so that", _AIMS, lambda _: self._offer(), say)
        self.tier = Choice(
            "tier of the plan", [("occupational", "occupational"), ("public", "public")], lambda _: None, say
        )  # fmt: skip
        self.percent = TextField("percent", lambda t: self._check_percent(t), say)
        self.margin = TextField("margin of the plan", lambda t: self._check_margin(t), say)
        self.ladder = Choice("ladder of the plan", [], lambda _: None, say)
        self.span = TextField(
            "span", lambda t: self._check_span(t), say, "all of it, or 120 to 131 m"
        )
        self.surface = Choice("surface of the plan", [], lambda _: None, say)
        self.region = TextField(
            "piece", lambda t: self._check_region(t), say, "all of it, or W; S; E; N in m"
        )
        self.percent.setText("100")
        self.margin.setText("0 dB")
        self.look, self.cancel = QPushButton("&Find the least"), QPushButton("Cancel")
        self.look.clicked.connect(self._find)
        self.cancel.clicked.connect(self.plan_cancelled)
        self.progress = QProgressBar()
        self.progress.setRange(0, 0)
        self.progress.setMaximumHeight(8)
        self.progress.setTextVisible(False)
        self.said = QLabel()
        self.said.setObjectName("plan words")
        self.said.setWordWrap(True)
        self.list = QListWidget()
        self.list.setObjectName("plans")
        self.list.setAccessibleName("Plans found, the best first")
        self.list.setWordWrap(True)
        self.list.currentRowChanged.connect(self._show_plan)
        self.table = QTableWidget(0, len(_HEAD))
        self.table.setObjectName("lock list")
        self.table.setAccessibleName("What is turned down, by whom")
        self.table.setHorizontalHeaderLabels(_HEAD)
        self.table.verticalHeader().hide()
        self.table.verticalHeader().setDefaultSectionSize(20)
        self.table.setMinimumHeight(_ROWS * 20 + 44)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.notes = QLabel()
        self.notes.setObjectName("plan notes")
        self.notes.setWordWrap(True)
        self.name = QLineEdit()
        self.name.setAccessibleName("Name of the state")
        self.name.setPlaceholderText("name of the state")
        self.apply = QPushButton("&Apply as a state of the site")
        self.apply.setToolTip("Keeps the plan as a named state and shows it; undo takes it back")
        self.apply.clicked.connect(self._apply)
        self._lay_out()
        self._offer()
        self.show_plan(Found())

    def _lay_out(self) -> None:
        ask = QGridLayout()
        ask.setVerticalSpacing(3)
        for row, (title, field) in enumerate(
            (
                ("For", self.where), ("Ladder", self.ladder), ("Span", self.span), ("Surface", self.surface),
                ("Piece", self.region), ("So that", self.aim),
                ("Limit", self.tier), ("Percent", self.percent), ("Margin", self.margin),
            )
        ):  # fmt: skip
            if isinstance(field, Choice):
                field.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
            text = QLabel(title)
            field.setProperty("label", text)
            ask.addWidget(text, row, 0)
            ask.addWidget(field, row, 1)
        buttons = QHBoxLayout()
        for button in (self.look, self.cancel):
            buttons.addWidget(button)
        left = QVBoxLayout()
        left.addLayout(ask)
        left.addLayout(buttons)
        left.addWidget(self.progress)
        left.addStretch(1)
        middle = QVBoxLayout()
        middle.setSpacing(2)
        for part in (self.list, self.name, self.apply):
            middle.addWidget(part, int(part is self.list))
        words = scrolled(self.said, self.notes)
        words.setFixedHeight(2 * self.said.fontMetrics().lineSpacing() + 6)
        right = QVBoxLayout()
        right.setSpacing(2)
        right.addWidget(words)
        right.addWidget(self.table, 1)
        across = QHBoxLayout(self)
        across.setContentsMargins(4, 2, 4, 2)
        across.addLayout(left)
        across.addLayout(middle, 2)
        across.addLayout(right, 5)

    # what is asked for -----------------------------------------------------------------------------

    def show_scene(self, scene: Scene) -> None:
        """Follow the ladders of the site."""
        self._scene = scene
        names = [(x.name, x.name) for x in scene.site.ladders]
        self.ladder.offer(names or [("no ladder", "")])
        self.surface.offer([(x.name, x.name) for x in scene.site.surfaces] or [("no surface", "")])

    def _offer(self) -> None:
        where, aim = self.where.currentData(), self.aim.currentData()
        for field, on in (
            (self.ladder, where == "ladder"), (self.span, where == "ladder"),
            (self.surface, where == "surface"), (self.region, where == "surface"),
            (self.tier, aim == "tier"), (self.percent, aim == "tier"), (self.margin, aim == "tier"),
        ):  # fmt: skip
            field.setVisible(on)
            field.property("label").setVisible(on)

    def _check_percent(self, text: str) -> float:
        return number(text.replace("%", "").strip())

    def _check_margin(self, text: str) -> float:
        return quantity(text if text.lower().endswith("db") else f"{text} dB", "loss")

    def _check_span(self, text: str) -> tuple[float, float] | None:
        if not text:
            return None
        feet = self._scene is not None and self._scene.look.feet
        low, high = typed_job.lengths(text, 2, feet=feet)
        return low, high

    def _check_region(self, text: str) -> tuple[float, float, float, float] | None:
        if not text:
            return None
        feet = self._scene is not None and self._scene.look.feet
        west, south, east, north = typed_job.lengths(text, 4, feet=feet)
        return west, south, east, north

    def wanted(self) -> Wanted:
        """Return what is asked for.

        Raises
        ------
        InputError
            If a field cannot be read.
        """
        by_tier = self.aim.currentData() == "tier"
        percent = margin = None
        try:
            field = "percent"
            percent = self._check_percent(self.percent.text()) if by_tier else 100.0
            field = "margin"
            margin = self._check_margin(self.margin.text()) if by_tier else 0.0
            field = "span"
            span = self._check_span(self.span.text().strip())
            field = "piece"
            region = self._check_region(self.region.text().strip())
        except InputError as error:
            raise error.within(field) from None
        return Wanted(
            self.where.currentData(), self.aim.currentData(), self.tier.currentData(), percent, margin,
            self.ladder.currentData() or "", span, self.surface.currentData() or "", region,
        )  # fmt: skip

    def _find(self) -> None:
        try:
            wanted = self.wanted()
        except InputError as error:
            self.refused.emit(error.line())
            return
        self.plan_wanted.emit(wanted)

    # what was found --------------------------------------------------------------------------------

    def show_plan(self, found: Found) -> None:
        """Follow the search: how far it is, what it has found, or why nothing."""
        self.found = found
        self.progress.setVisible(found.busy)
        self.look.setEnabled(not found.busy)
        self.cancel.setEnabled(found.busy)
        plan = found.plan
        self._plans = []
        if plan is not None and plan.best is not None:
            self._plans = [plan.best, *plan.others]
        self.list.clear()
        for i, one in enumerate(self._plans):
            item = QListWidgetItem(f"{'Best' if not i else f'Next best {i}'}: {counted(one)}")
            item.setToolTip(item.text())
            self.list.addItem(item)
        for part in (self.list, self.name, self.apply, self.table):
            part.setEnabled(bool(self._plans))
        self.said.setText(self._words(found))
        if self._plans:
            taken = [s.name for s in self.document.site.states]
            self.name.setText(fresh_name(taken, "power plan"))
            self.list.setCurrentRow(0)
        else:
            self.table.setRowCount(0)
            self.notes.setText("")

    def _words(self, found: Found) -> str:
        if found.busy:
            return f"Looking for the least that has to be turned down: {found.said}…"
        if found.trouble:
            return found.trouble
        plan = found.plan
        if plan is None or found.site is None:
            return "The least that has to be turned down: fewest emitters, then fewest owners, then least power."
        aim = " and ".join(c.said(found.site.limit_set) for c in plan.criteria)
        before = "no figure" if plan.before >= _REACTIVE else show_percent(plan.before)
        best = plan.best
        then = f", after the best plan {show_percent(best.highest)}" if best and best.steps else ""
        lines = [
            f"Before {before}{then} of what is allowed.",
            f"For {plan.area.words}: at most {aim}.",
        ]
        if plan.best is None:
            return " ".join([*lines, reason(plan)])
        if not plan.best.steps:
            lines.append("Nothing more has to be turned down.")
        return " ".join(lines)

    def _show_plan(self, row: int) -> None:
        plan, site = self.found.plan, self.found.site
        if not (0 <= row < len(self._plans)) or plan is None or site is None:
            return
        one = self._plans[row]
        when = self._scene.chosen.when if self._scene is not None and self._scene.chosen else ""
        lines = lock_list(site, one, when)
        self.table.setRowCount(len(lines))
        for r, line in enumerate(lines):
            cells = (
                line.emitter, line.before, line.after, line.owner, line.contact, line.number, line.when,
            )  # fmt: skip
            for c, text in enumerate(cells):
                item = QTableWidgetItem(text or BLANK)
                item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
                item.setToolTip(item.text())
                self.table.setItem(r, c, item)
        self.notes.setText("\n".join(_notes(site, plan, one, best=row == 0)))

    def _apply(self) -> None:
        row = self.list.currentRow()
        if 0 <= row < len(self._plans):
            self.plan_applied.emit(self._plans[row], self.name.text().strip())


def counted(plan: Plan) -> str:
    """Return what a plan touches in a few words."""
    n, m = len(plan.steps), len(plan.owners)
    lost = show_power(plan.lost) if plan.lost else "0 W"
    return f"{n} emitter{'' if n == 1 else 's'}, {m} owner{'' if m == 1 else 's'}, {lost} less"


def _notes(site: Site, plan: PowerPlan, one: Plan, *, best: bool) -> list[str]:
    x, y, z = one.where
    lines = [
        f"After: at most {show_percent(one.highest)} of what is allowed was seen, at {x:.2f}, {y:.2f}, {z:.2f} m. "
        + (f"{reason(plan)}." if plan.raised else "Proven for all of it, by a bound.")
    ]
    if best and plan.least is not None and one.steps:
        exact = "Proven to be the least." if plan.least.exact else "NOT PROVEN to be the least."
        lines.append(exact)
    return [*lines, *notes(site, one), SHORT]
