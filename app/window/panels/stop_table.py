"""The stops of the chosen job's way as a table: names, places and stays typed; what is met there beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QAction, QBrush, QColor, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QSizePolicy,
    QTableWidget,
    QTableWidgetItem,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.window import tones, typed_job
from app.window.document import Document
from app.window.panels.form import TextField
from app.window.panels.panel import Panel
from app.window.planned import Planned
from app.window.scene import Scene
from core.entry.entry import StopLine
from core.entry.report import stay_words
from core.entry.way import place_of
from core.errors import InputError
from core.site.job import Job, Route, Stop
from core.site.jobs import with_job
from core.site.routes import (
    before_stops,
    climbed,
    goal_on,
    same_way_back,
    stops_of,
    with_stops,
)
from core.units import show_percent

COLUMNS = (
    "", "Stop", "Where", "Stay", "% public", "% occupational", "% of rating", "In the garment", "Longest stay",
    "Most of it",
)  # fmt: skip
_NAME, _WHERE, _STAY = 1, 2, 3
_WRONG, _WRONG_INK = QColor("#ffd9ec"), QColor("#1d2430")


class StopTable(QWidget, Panel):
    """Every cell that is typed is one edit; a text that is refused stays. ``way_chosen``: if it is the way back."""

    refused = Signal(str)
    way_chosen = Signal(bool)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self.setObjectName("stops")
        self.setAccessibleName("Stops")
        self._scene: Scene | None = None
        self.planned = Planned()
        self._filling = False
        self._refused: dict[tuple[int, int], tuple[str, str]] = {}
        self._of = ""
        self.table = _Table()
        self.table.itemChanged.connect(self._edited)
        self.table.removed.connect(self._remove)
        self.way = QComboBox()
        self.way.setObjectName("way shown")
        self.way.setAccessibleName("Way shown")
        self.way.addItems(("Way there", "Way back"))
        self.way.currentIndexChanged.connect(self._turn_to)
        self.same = QCheckBox("The sa&me way")
        self.same.setToolTip(
            "Back the same way, without a stop; without the tick by one of its own"
        )
        self.same.setObjectName("same way back")
        self.same.clicked.connect(self._set_same)
        self.draw = QToolButton()
        self.draw.setObjectName("draw the way")
        self.draw.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        self.ladder = QComboBox()
        self.ladder.setAccessibleName("Ladder to climb")
        self.ladder.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.ladder.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.climb = _button(
            "Climb i&t", "Climb this ladder next: its foot and its top become stops"
        )
        self.up, self.down = _button("U&p", "One earlier"), _button("&Down", "One later")
        self.remove = _button("Take &out", "Take the selected stop out (Delete)")
        for button, does in (
            (self.climb, self._climb), (self.up, lambda: self._move(-1)),
            (self.down, lambda: self._move(1)), (self.remove, self._remove),
        ):  # fmt: skip
            button.clicked.connect(does)
        say = self.refused.emit
        self.climbing = TextField(
            "climbing, m a minute", lambda t: self._speed("climb_speed", t), say
        )
        self.walking = TextField("walking, m a minute", lambda t: self._speed("walk_speed", t), say)
        row = QHBoxLayout()
        row.setContentsMargins(2, 0, 2, 0)
        for part in (self.way, self.draw, self.ladder, self.climb):
            row.addWidget(part)
        row.setSpacing(3)
        row.addStretch(1)
        self.ladder.setMinimumContentsLength(8)
        self._speeds: list[QWidget] = []
        for text, field in (("Climbs", self.climbing), ("walks", self.walking)):
            field.setFixedWidth(field.fontMetrics().horizontalAdvance("30.5 m/min") + 14)
            self._speeds += [QLabel(text), field]
        for one in (*self._speeds, self.same):
            row.addWidget(one)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 0)
        column.setSpacing(2)
        column.addLayout(row)
        # Beside the rows that they move, where they cost no height.
        beside = QVBoxLayout()
        for part in (self.up, self.down, self.remove):
            beside.addWidget(part)
        beside.addStretch(1)
        below = QHBoxLayout()
        below.addWidget(self.table, 1)
        below.addLayout(beside)
        column.addLayout(below, 1)

    def set_draw_action(self, action: QAction) -> None:
        """Let the button be the action of the menu that draws the way."""
        self.draw.setDefaultAction(action)
        action.setIconText("Draw the way")
        self.draw.setMinimumWidth(self.draw.sizeHint().width())

    @property
    def job(self) -> Job | None:
        """The chosen job."""
        return self._scene.chosen if self._scene is not None else None

    @property
    def back(self) -> bool:
        """Whether the way back is shown."""
        return self.way.currentIndex() == 1

    @property
    def stops(self) -> tuple[Stop, ...]:
        """The stops that are shown."""
        return stops_of(self.job, back=self.back) if self.job is not None else ()

    def show_scene(self, scene: Scene) -> None:
        """Follow the way of the chosen job."""
        self._scene = scene
        name = scene.chosen.name if scene.chosen is not None else ""
        if name != self._of:
            self._of, self._refused = name, {}
        names = [x.name for x in scene.site.ladders]
        if names != [self.ladder.itemText(i) for i in range(self.ladder.count())]:
            self.ladder.clear()
            self.ladder.addItems(names)
        for part in (self.ladder, self.climb):
            part.setVisible(bool(names))
        self._fill()

    def show_planned(self, planned: Planned) -> None:
        """Follow what was found."""
        self.planned = planned
        self._fill()

    def unfinished(self) -> list[str]:
        """Return the job of which the text of a cell was refused and waits to be mended."""
        return [f"the stops of {self._of}"] if self._refused else []

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._fill()

    def _fill(self) -> None:
        scene, job = self._scene, self.job
        if scene is None:
            return
        stops = self.stops
        route = job.route if job is not None else None
        for part in self._speeds:
            part.setVisible(not self.back)
        self.same.setVisible(self.back)
        self.same.setEnabled(route is not None)
        self.same.setChecked(route is None or route.way_down is None)
        for field, speed in (
            (self.climbing, route and route.climb_speed), (self.walking, route and route.walk_speed),
        ):  # fmt: skip
            field.setEnabled(route is not None)
            field.show_text(f"{60.0 * speed:.3g} m/min" if speed else "")
        self._filling = True
        kept = self.table.currentRow()
        self.table.setRowCount(len(stops))
        entry = self.planned.entry
        lines: Sequence[StopLine] = ()
        if entry is not None:
            there = len(stops_of(entry.job))
            lines = entry.stops[there:] if self.back else entry.stops[:there]
        found = {line.place.stop.name: line for line in lines}
        sure = not self.planned.stale
        for r, stop in enumerate(stops):
            self._fill_row(r, stop, found.get(stop.name), sure=sure, feet=scene.look.feet)
        if 0 <= kept < len(stops):
            self.table.setCurrentCell(kept, max(self.table.currentColumn(), 0))
        self._filling = False
        for button in (self.up, self.down, self.remove):
            button.setEnabled(bool(stops))

    def _fill_row(
        self, r: int, stop: Stop, line: StopLine | None, *, sure: bool, feet: bool
    ) -> None:
        texts = [
            str(self._number(r)), stop.name, typed_job.show_place(stop, feet=feet), typed_job.show_seconds(stop.dwell),
            *_found(line),
        ]  # fmt: skip
        quiet = QBrush(tones.quiet(self.palette()))
        for c, text in enumerate(texts):
            item = self.table.item(r, c)
            if item is None:
                item = QTableWidgetItem()
                self.table.setItem(r, c, item)
            typed = c in (_NAME, _WHERE, _STAY)
            flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
            item.setFlags(flags | Qt.ItemFlag.ItemIsEditable if typed else flags)
            wrong = self._refused.get((r, c))
            item.setText(wrong[0] if wrong else text)
            item.setToolTip(
                wrong[1] if wrong else "; ".join(line.reasons) if line and c > _STAY else ""
            )
            dim = c > _STAY and not sure
            item.setData(Qt.ItemDataRole.BackgroundRole, QBrush(_WRONG) if wrong else None)
            ink = QBrush(_WRONG_INK) if wrong else quiet if dim else None
            item.setData(Qt.ItemDataRole.ForegroundRole, ink)
            font = item.font()
            font.setItalic(dim)
            font.setBold(c > _STAY and text in ("no stay", "NO FIGURE"))
            item.setFont(font)

    # edits -----------------------------------------------------------------------------------------

    def _set(self, stops: Sequence[Stop], what: str) -> None:
        job = self.job
        if job is None:
            return
        made = with_stops(job, stops, back=self.back)
        what = f"{what} on the way back" if self.back else what
        self.document.edit(f"{job.name}: {what}", lambda site: with_job(site, made, job.name))

    def _number(self, row: int) -> int:
        """Return the number of a row: those of the way back go on from those of the way there, as on the maps."""
        return row + 1 + (len(stops_of(self.job)) if self.back and self.job is not None else 0)

    def _turn_to(self) -> None:
        """Show the other way."""
        self._refused = {}
        self.table.setCurrentCell(-1, -1)
        self._fill()
        self.way_chosen.emit(self.back)

    def _set_same(self, same: bool) -> None:
        """Go back the same way, or by one of its own, which is the same to begin with."""
        job = self.job
        if job is None:
            return
        stops = () if same else same_way_back(job)
        if not same and not stops:
            self.refused.emit("The way there has one stop only. Add where the way back goes")
        else:
            self._refused = {}
            self._set(stops, "the same way" if same else "its own stops")
        self._fill()

    def _edited(self, item: QTableWidgetItem) -> None:
        job, scene = self.job, self._scene
        if self._filling or job is None or scene is None:
            return
        r, c = item.row(), item.column()
        stops = list(self.stops)
        self._refused.pop((r, c), None)
        try:
            stops[r] = self._typed(stops[r], c, item.text().strip(), feet=scene.look.feet)
            place_of(scene.site, stops[r])
            self._set(stops, f"stop {self._number(r)}")
        except InputError as error:
            line = error.within(f"stop {self._number(r)}, {COLUMNS[c]}").line()
            self._refused[r, c] = item.text(), line
            self.refused.emit(line)
        self._fill()

    def _typed(self, stop: Stop, column: int, text: str, *, feet: bool) -> Stop:
        if column == _NAME:
            return replace(stop, name=text)
        if column == _STAY:
            return replace(stop, dwell=typed_job.seconds(text))
        return typed_job.placed(stop, text, feet=feet)

    def _speed(self, which: str, text: str) -> None:
        job = self.job
        if job is None or job.route is None:
            return
        metres = typed_job.number(text.lower().replace("m/min", "").strip())
        route: Route = replace(job.route, **{which: metres / 60.0})  # type: ignore[arg-type]
        made = replace(job, route=route)
        self.document.edit(f"{job.name}: speed", lambda site: with_job(site, made, job.name))

    def _climb(self) -> None:
        job, scene = self.job, self._scene
        if job is None or scene is None:
            self.refused.emit("There is no job yet. Make one first")
            return
        stops = self.stops
        before = stops[-1] if stops else before_stops(job, back=self.back)
        taken = [s.name for s in (*stops_of(job), *stops_of(job, back=True))]
        try:
            ladder = scene.site.ladder(self.ladder.currentText())
            new = climbed(ladder, before, goal_on(ladder, before, back=self.back), taken)
            self._set((*stops, *new), f"climb {ladder.name}")
        except InputError as error:
            self.refused.emit(error.line())

    def _move(self, by: int) -> None:
        r, stops = self.table.currentRow(), list(self.stops)
        if not (0 <= r < len(stops) and 0 <= r + by < len(stops)):
            return
        stops[r], stops[r + by] = stops[r + by], stops[r]
        self._refused = {}
        self._set(stops, "order of stops")
        self.table.setCurrentCell(r + by, _NAME)

    def _remove(self) -> None:
        r, stops = self.table.currentRow(), self.stops
        if 0 <= r < len(stops):
            self._refused = {}
            self._set((*stops[:r], *stops[r + 1 :]), f"take out {stops[r].name}")


def _found(line: StopLine | None) -> list[str]:
    if line is None:
        return [""] * 6
    if line.no_figure:
        return ["NO FIGURE", "NO FIGURE", "", str(line.verdict), "no stay", line.governed_by]
    use = "" if line.use is None else show_percent(line.use)
    word = str(line.verdict) if line.use is not None else ""
    stay = stay_words(line.longest_stay).removeprefix("stay at most ").removesuffix(" to the stay")
    return [
        show_percent(line.public),
        show_percent(line.occupational),
        use,
        word,
        stay,
        line.governed_by,
    ]


class _Table(QTableWidget):
    """The table; ``removed`` is the Delete key."""

    removed = Signal()

    def __init__(self) -> None:
        super().__init__(0, len(COLUMNS))
        self.setObjectName("stop table")
        self.setAccessibleName("Stops of the way")
        self.setHorizontalHeaderLabels(COLUMNS)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(22)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setAlternatingRowColors(True)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Delete:
            self.removed.emit()
        else:
            super().keyPressEvent(event)


def _button(text: str, tip: str) -> QPushButton:
    button = QPushButton(text)
    button.setToolTip(tip)
    button.setMinimumWidth(button.fontMetrics().horizontalAdvance(text.replace("&", "")) + 16)
    return button
