"""The jobs of the site, and what is typed of the chosen one: who, when, in what, where, with which states."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QFormLayout,
    QGridLayout,
    QHeaderView,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.window import typed_job
from app.window.document import Document
from app.window.panels.form import Choice, TextField
from app.window.panels.panel import Panel
from app.window.scene import Scene
from core.entry.way import on_ladder
from core.errors import InputError
from core.site.job import Job, Work
from core.site.jobs import fresh_name, with_job, without_job

_BOX = "between two corners"
_GIVEN = Qt.ItemDataRole.UserRole


class JobList(QWidget, Panel):
    """``job_chosen`` carries a name. Every field is one edit of the site."""

    job_chosen = Signal(str)
    refused = Signal(str)

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.setAccessibleName("Job")
        self.document = document
        self.setObjectName("jobs")
        self._scene: Scene | None = None
        self.list = _List()
        self.list.removed.connect(self._delete)
        self.list.currentRowChanged.connect(self._chosen)
        self.list.itemChanged.connect(self._renamed)
        buttons = QGridLayout()
        for i, (text, does) in enumerate(
            (("Ne&w", self._new), ("Cop&y", self._copy), ("Rena&me", self._rename), ("De&lete", self._delete))
        ):  # fmt: skip
            button = QPushButton(text)
            button.setObjectName(f"job {text.replace('&', '').lower()}")
            button.clicked.connect(does)
            button.setMinimumWidth(40)
            buttons.addWidget(button, i // 2, i % 2)
        say = self.refused.emit
        self.tier = Choice(
            "crew held against",
            [("occupational", "occupational"), ("public", "public")],
            lambda tier: self._edit("tier", tier=tier),
            say,
        )
        self.crew = TextField("crew", lambda t: self._edit("crew", crew=t), say, "who goes")
        self.when = TextField(
            "window of time",
            lambda t: self._edit("time", when=t),
            say,
            "2026-12-01, 08:00 to 12:00",
        )
        self.garment = Choice(
            "garment",
            [("none", "")],
            lambda name: self._edit("garment", garment=name, garment_checks=()),
            say,
        )
        self.place = Choice("work at", [("nowhere yet", "")], self._work_at, say)
        self.first = TextField("work from", lambda t: self._work(0, t), say)
        self.last = TextField("work to", lambda t: self._work(1, t), say)
        self.ceiling = TextField(
            "ceiling of short stays", self._ceiling, say, "300 % of the occupational limit"
        )
        self.remark = TextField("remark", lambda t: self._edit("remark", remark=t), say)
        self.form = QWidget()
        form = QFormLayout(self.form)
        form.setContentsMargins(0, 0, 0, 0)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        for label, field in (
            ("Held against", self.tier), ("Crew", self.crew), ("When", self.when),
            ("Garment", self.garment), ("Work at", self.place), ("from", self.first),
            ("to", self.last), ("Stays up to", self.ceiling), ("Remark", self.remark),
        ):  # fmt: skip
            form.addRow(label, field)
        self.states = _States()
        self.states.itemChanged.connect(self._state_typed)
        column = QVBoxLayout(self)
        column.setContentsMargins(9, 4, 9, 4)
        column.setSpacing(4)
        column.addWidget(QLabel("Jobs"))
        column.addWidget(self.list)
        column.addLayout(buttons)
        column.addWidget(self.form)
        column.addWidget(self.states)
        column.addStretch(1)
        self._refused_states: dict[str, tuple[str, str]] = {}
        self._filling = False

    # what is shown ---------------------------------------------------------------------------------

    @property
    def job(self) -> Job | None:
        """The chosen job."""
        return self._scene.chosen if self._scene is not None else None

    def unfinished(self) -> list[str]:
        """Return the job of which the text of a state was refused and waits to be mended."""
        return [f"the states of {self.job.name}"] if self.job and self._refused_states else []

    def show_scene(self, scene: Scene) -> None:
        """Follow the jobs of the site and the one that is chosen."""
        before = self.job
        if (before.name if before else "") != (scene.chosen.name if scene.chosen else ""):
            self._refused_states = {}
        self._scene, job, site = scene, scene.chosen, scene.site
        self._filling = True
        names = [j.name for j in site.jobs]
        if names != [self.list.item(i).text() for i in range(self.list.count())]:
            self.list.clear()
            for name in names:
                item = QListWidgetItem(name)
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
                self.list.addItem(item)
        self.list.setCurrentRow(names.index(job.name) if job is not None else -1)
        self.form.setVisible(job is not None)
        self.states.setVisible(job is not None)
        if job is not None:
            self._show(job, scene)
        self._filling = False

    def _show(self, job: Job, scene: Scene) -> None:
        feet, site = scene.look.feet, scene.site
        self.tier.show_data(job.tier)
        self.garment.offer([("none", ""), *((g.name, g.name) for g in site.garments)])
        self.garment.show_data(job.garment)
        for field, text in (
            (self.crew, job.crew), (self.when, job.when), (self.remark, job.remark),
            (self.ceiling, f"{job.dwell_ceiling:g} %"),
        ):  # fmt: skip
            field.show_text(text)
        self.place.offer(
            [("nowhere yet", ""), *((x.name, x.name) for x in site.ladders), (_BOX, _BOX)]
        )
        work = job.work
        self.place.show_data("" if work is None else work.ladder or _BOX)
        ends = ("", "")
        if work is not None and work.heights is not None:
            ends = tuple(typed_job.show_lengths((h,), feet=feet) for h in work.heights)  # type: ignore[assignment]
        elif work is not None:
            ends = tuple(typed_job.show_lengths(c or (), feet=feet) for c in (work.low, work.high))  # type: ignore[assignment]
        for field, text in zip((self.first, self.last), ends, strict=True):
            field.setEnabled(work is not None)
            field.show_text(text)
        lowered = {
            a.name: typed_job.show_state(a.state)
            for a, filed in zip(scene.stated.antennas, site.antennas, strict=True)
            if a.state != filed.state
        }
        names = [a.name for a in site.antennas]
        self.states.show_states(job, names, self._refused_states, lowered, scene.state)

    # edits -----------------------------------------------------------------------------------------

    def _edit(self, what: str, **change: object) -> None:
        job = self.job
        if job is None:
            return
        made = replace(job, **change)  # type: ignore[arg-type]
        self.document.edit(f"{job.name}: {what}", lambda site: with_job(site, made, job.name))

    def _ceiling(self, text: str) -> None:
        percent = typed_job.number(text.replace("%", "").strip())
        self._edit("ceiling of short stays", dwell_ceiling=percent)

    def _work_at(self, where: object) -> None:
        assert self._scene is not None
        if not where:
            self._edit("work", work=None)
        elif where == _BOX:
            x, y = self._scene.origin
            self._edit("work", work=Work(low=(x - 1.0, y - 1.0, 0.0), high=(x + 1.0, y + 1.0, 2.0)))
        else:
            ladder = self._scene.site.ladder(str(where))
            top = max(p[2] for p in ladder.points)
            low = max(top - 2.0, min(p[2] for p in ladder.points))
            self._edit("work", work=Work(ladder=ladder.name, heights=(low, top)))

    def _work(self, end: int, text: str) -> None:
        job, scene = self.job, self._scene
        if job is None or scene is None or job.work is None:
            return
        feet, work = scene.look.feet, job.work
        if work.heights is not None:
            heights = list(work.heights)
            (heights[end],) = typed_job.lengths(text, 1, feet=feet)
            on_ladder(scene.site.ladder(work.ladder), heights[end])
            made = replace(work, heights=(heights[0], heights[1]))
        else:
            x, y, z = typed_job.lengths(text, 3, feet=feet)
            made = replace(work, **{"high" if end else "low": (x, y, z)})  # type: ignore[arg-type]
        self._edit("work", work=made)

    def _state_typed(self, item: QTableWidgetItem) -> None:
        job = self.job
        if self._filling or job is None or item.column() != 1:
            return
        name = self.states.emitter(item.row())
        self._refused_states.pop(name, None)
        try:
            state = typed_job.state(item.text())
            kept = {n: s for n, s in job.states if n != name}
            if state is not None:
                kept[name] = state
            known = [a.name for a in self.document.site.antennas]
            order = sorted(kept, key=lambda n: known.index(n) if n in known else len(known))
            self._edit(f"state of {name}", states=tuple((n, kept[n]) for n in order))
        except InputError as error:
            line = error.within(name).line()
            self._refused_states[name] = item.text(), line
            self.refused.emit(line)
        if self._scene is not None:
            self.show_scene(self._scene)

    def _do(self, does: Callable[[], None]) -> None:
        try:
            does()
        except InputError as error:
            self.refused.emit(error.line())

    def _names(self) -> list[str]:
        return [j.name for j in self.document.site.jobs]

    def _add(self, job: Job) -> None:
        self.document.edit(f"add {job.name}", lambda site: with_job(site, job))
        self.job_chosen.emit(job.name)

    def _new(self) -> None:
        self._do(lambda: self._add(Job(name=fresh_name(self._names(), "New job"))))

    def _copy(self) -> None:
        job = self.job
        if job is not None:
            name = fresh_name(self._names(), job.name)
            self._do(lambda: self._add(replace(job, name=name, garment_checks=())))

    def _rename(self) -> None:
        item = self.list.currentItem()
        if item is not None:
            self.list.setFocus()
            self.list.editItem(item)

    def _renamed(self, item: QListWidgetItem) -> None:
        job, name = self.job, item.text().strip()
        if self._filling or job is None or name == job.name:
            return
        try:
            made = replace(job, name=name)
            self.document.edit(f"rename {job.name}", lambda site: with_job(site, made, job.name))
        except InputError as error:
            self.refused.emit(error.within("name of the job").line())
            return
        self.job_chosen.emit(name)

    def _delete(self) -> None:
        job = self.job
        if job is not None:
            self._do(
                lambda: self.document.edit(
                    f"delete {job.name}", lambda site: without_job(site, job.name)
                )
            )

    def _chosen(self, row: int) -> None:
        if not self._filling and row >= 0:
            self.job_chosen.emit(self.list.item(row).text())


class _List(QListWidget):
    """The names; ``removed`` is the Delete key."""

    removed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("job list")
        self.setAccessibleName("Jobs of the site")
        self.setMaximumHeight(72)
        self.setMinimumWidth(60)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Delete:
            self.removed.emit()
        else:
            super().keyPressEvent(event)


class _Given(QStyledItemDelegate):
    """Shows in an empty cell what holds there anyway; it is no text of the cell and does not get into its editor."""

    def initStyleOption(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        super().initStyleOption(option, index)
        given = index.data(_GIVEN)
        if given and not index.data():
            option.features |= QStyleOptionViewItem.ViewItemFeature.HasDisplay
            option.text = given
            option.font.setItalic(True)


class _States(QTableWidget):
    """What each emitter is set to for the job; an empty cell leaves it as the site has it."""

    def __init__(self) -> None:
        super().__init__(0, 2)
        self.setObjectName("planned states")
        self.setAccessibleName("States planned for the job")
        self.setHorizontalHeaderLabels(["Emitter", "Set for the job"])
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(22)
        self.setMinimumWidth(60)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        self.setToolTip("Type: locked out, off, 25 %, or nothing to leave it as the site has it")
        self.setMinimumHeight(120)
        self.setItemDelegate(_Given(self))

    def emitter(self, row: int) -> str:
        """Return the name in a row."""
        item = self.item(row, 0)
        return item.text() if item is not None else ""

    def show_states(
        self,
        job: Job,
        antennas: list[str],
        refused: dict[str, tuple[str, str]],
        given: dict[str, str],
        state: str,
    ) -> None:
        """Fill the table; emitters that are not on the site (any more) stand at its end.

        What the ``state`` that is shown has ``given`` emitters stands in brackets where the job says nothing.
        """
        planned = dict(job.states)
        names = [*antennas, *(n for n in planned if n not in antennas)]
        self.setRowCount(len(names))
        for row, name in enumerate(names):
            for column, text in enumerate((name, typed_job.show_state(planned.get(name)))):
                item = self.item(row, column)
                if item is None:
                    item = QTableWidgetItem()
                    self.setItem(row, column, item)
                tip = "" if name in antennas else "not on the site: empty the cell beside it"
                by_state = (
                    f"({given[name]})" if column and name in given and name not in planned else ""
                )
                if by_state:
                    tip = f"not typed here: the state {state!r} that is shown says so"
                item.setData(_GIVEN, by_state)
                if column and name in refused:
                    text, tip = refused[name]
                flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
                item.setFlags(flags | Qt.ItemFlag.ItemIsEditable if column else flags)
                if item.text() != text:
                    item.setText(text)
                item.setToolTip(tip)
                font = item.font()
                wrong = bool(tip) and not by_state
                font.setBold(wrong or (bool(column) and name in planned))
                item.setFont(font)
