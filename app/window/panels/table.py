"""The panels of the window, one row each: a new panel is a module and a row here."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

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

PANELS: tuple[tuple[str, str, Callable[[Document], QWidget]], ...] = (
    ("controls", "left", Controls),
    ("go to", "over the maps", lambda _: GoTo()),
    ("ladder strip", "beside the maps", lambda _: LadderPane()),
    ("legend", "under the maps", lambda _: Legend()),
    ("fence note", "under the maps", lambda _: FenceNote()),
    ("emitters", "below", EmitterTable),
    ("fences", "below", lambda _: FenceList()),
    ("reading", "right", lambda _: ReadingPage()),
)
"""Name, place (:data:`app.window.layout.PLACES`), and how it is made."""


def make_panels(document: Document) -> dict[str, Placed]:
    """Return every panel with its place, by name."""
    return {name: Placed(place, make(document)) for name, place, make in PANELS}
