"""The panels of the window, one row each: a new panel is a module and a row here."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from app.window.changes.change_maps import ChangeMaps
from app.window.changes.page import ChangePage
from app.window.document import Document
from app.window.layout import Placed
from app.window.panels.controls import Controls
from app.window.panels.emitters import EmitterTable
from app.window.panels.fence_list import FenceList
from app.window.panels.fence_note import FenceNote
from app.window.panels.go_to import GoTo
from app.window.panels.ladder_pane import LadderPane
from app.window.panels.legend import Legend
from app.window.panels.reading_page import ReadingPage
from app.window.tasks import EVERY, Task

THE_SITE: tuple[Task, ...] = tuple(task for task in EVERY if task != "changes")
"""Tasks about the site as it is: what is said of that stands nowhere beside another state."""

Row = tuple[str, str, tuple[Task, ...], Callable[[Document], QWidget]]

PANELS: tuple[Row, ...] = (
    ("controls", "left", EVERY, Controls),
    ("go to", "over the maps", THE_SITE, lambda _: GoTo()),
    ("ladder strip", "beside the maps", EVERY, lambda _: LadderPane()),
    ("legend", "under the maps", THE_SITE, lambda _: Legend()),
    ("fence note", "under the maps", EVERY, lambda _: FenceNote()),
    ("emitters", "below", EVERY, EmitterTable),
    ("fences", "below", ("field",), lambda _: FenceList()),
    ("reading", "right", THE_SITE, lambda _: ReadingPage()),
    ("change maps", "instead of the maps", ("changes",), lambda _: ChangeMaps()),
    ("change page", "right", ("changes",), lambda _: ChangePage()),
)
"""Name, place (:data:`app.window.layout.PLACES`), the tasks it is shown in, and how it is made."""


def make_panels(document: Document) -> dict[str, Placed]:
    """Return every panel with its place, by name."""
    return {name: Placed(place, make(document), tasks) for name, place, tasks, make in PANELS}
