"""The panels of the window, one row each: a new panel is a module and a row here."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from app.window.document import Document
from app.window.layout import Placed
from app.window.panels.antenna_form import AntennaForm
from app.window.panels.controls import Controls
from app.window.panels.doubt_list import DoubtList
from app.window.panels.emitters import EmitterTable
from app.window.panels.fence_list import FenceList
from app.window.panels.fence_note import FenceNote
from app.window.panels.go_to import GoTo
from app.window.panels.ladder_pane import LadderPane
from app.window.panels.legend import Legend
from app.window.panels.reading_page import ReadingPage
from app.window.panels.what_is_there import WhatIsThere
from app.window.tasks import EVERY, Task

Row = tuple[str, str, tuple[Task, ...], Callable[[Document], QWidget]]

PANELS: tuple[Row, ...] = (
    ("what is there", "left", ("site",), lambda _: WhatIsThere()),
    ("controls", "left", EVERY, Controls),
    ("go to", "over the maps", EVERY, lambda _: GoTo()),
    ("ladder strip", "beside the maps", EVERY, lambda _: LadderPane()),
    ("legend", "under the maps", EVERY, lambda _: Legend()),
    ("fence note", "under the maps", EVERY, lambda _: FenceNote()),
    ("emitters", "below", EVERY, EmitterTable),
    ("fences", "below", ("field",), lambda _: FenceList()),
    ("doubts", "below", ("site",), lambda _: DoubtList()),
    ("antenna", "right", ("site",), AntennaForm),
    ("reading", "right", EVERY, lambda _: ReadingPage()),
)
"""Name, place (:data:`app.window.layout.PLACES`), the tasks it is shown in, and how it is made."""


def make_panels(document: Document) -> dict[str, Placed]:
    """Return every panel with its place, by name."""
    return {name: Placed(place, make(document), tasks) for name, place, tasks, make in PANELS}
