"""The tasks of a lead, in the order of the job: each shows its own panels and no others."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTabBar

Task = Literal["site", "field", "entry", "changes", "briefing"]

EVERY: tuple[Task, ...] = get_args(Task)


@dataclass(frozen=True)
class Named:
    """A task: its name on the bar, its key, and what it is for."""

    task: Task
    text: str
    key: str
    purpose: str


TASKS = (
    Named("site", "Site", "F2", "what is there: surfaces, structures, ladders, antennas"),
    Named("field", "Field", "F3", "how strong it is: map, proven zones, fences, ladders"),
    Named("entry", "Entry", "F4", "who may go where, in what, how long, with what turned down"),
    Named("changes", "Changes", "F5", "what another state or another file changes for people"),
    Named("briefing", "Briefing", "F6", "the sheet the crew signs"),
)

PLANNED: tuple[Task, ...] = ("entry", "briefing")
"""In these the chosen job is planned; elsewhere nobody waits for it."""


class TaskBar(QTabBar):
    """The tasks as tabs over everything they show."""

    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("tasks")
        self.setAccessibleName("Tasks")
        self.setExpanding(False)
        self.setDrawBase(False)
        for i, named in enumerate(TASKS):
            self.addTab(named.text)
            self.setTabToolTip(i, f"{named.text} ({named.key}): {named.purpose}")
        self.show_task("field")
        self.currentChanged.connect(lambda i: self.chosen.emit(TASKS[i].task))

    def show_task(self, task: Task) -> None:
        """Let the tab of a task be the one in front."""
        self.setCurrentIndex(EVERY.index(task))
