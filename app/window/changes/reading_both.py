"""The pinned place read in both states, and what is said of the place under the pointer."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal

from app.modes.camera import Place
from app.window.canvas import Told
from app.window.changes.change_pane import ChangePane
from app.window.changes.compared import Compared
from app.window.jobs import Worker
from core.changes.place import PlaceChange, read_both
from core.units import show_percent


class ReadingBoth(QObject):
    """Reads off the window's thread; ``found`` carries what was read, None while nothing is."""

    found = Signal(object)
    failed = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.worker = Worker()
        self.worker.done.connect(self.found)
        self.worker.failed.connect(self.failed)

    def read(self, compared: Compared) -> None:
        """Read the pinned place in both states."""
        self.found.emit(None)
        pin, spots = compared.pin, compared.spots
        before, after = (e.site for e in compared.ends)
        if pin is None or spots is None or not (before.antennas or after.antennas):
            self.worker.submit(lambda cancelled, emit: None)
            return
        look = compared.look
        body = look.plan_body if pin.pane == "plan" else look.climb_body

        def work(_: Callable[[], bool], emit: Callable[[PlaceChange], None]) -> None:
            emit(read_both(before, after, spots, body))

        self.worker.submit(work)

    def close(self) -> None:
        """Stop."""
        self.worker.close()


def hover(pane: ChangePane, at: Place | None) -> None:
    """Say beside the pointer what the pictures show there before and after: about."""
    for canvas in pane.canvases:
        canvas.tell(None)
    values: list[Any] = [c.value_at(*at) for c in (pane.before, pane.after)] if at else []
    if at is None or None in values:
        return
    said = " → ".join("no figure" if none else show_percent(one) for one, none in values)
    for canvas in pane.in_front:
        canvas.tell(Told(at, f"about {said}"))
