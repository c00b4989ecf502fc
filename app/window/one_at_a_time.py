"""Work for paper or a file that is done off the window's thread, one piece at a time."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.window.jobs import Worker


class OneAtATime(QObject):
    """Does a piece of work, says what came of it, and refuses another one until then."""

    refused = Signal(str)
    accepted = Signal(str)

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self.window = window
        self.worker = Worker()
        self.busy = False
        self._then: Callable[[Any], None] = lambda _: None
        self.worker.done.connect(self._finished)
        self.worker.failed.connect(self._failed)

    def begin(self, what: str, work: Callable[..., None], then: Callable[[Any], None]) -> bool:
        """Begin ``work`` and let ``then`` have its result in the window's thread; False while other work is done.

        ``what`` is made, in words of more than one.
        """
        if self.busy:
            self.refused.emit(
                f"There are {what} being made. Wait until they are there, then ask again"
            )
            return False
        self.busy, self._then = True, then
        self.accepted.emit(f"Making {what} …")
        self.worker.submit(work)
        return True

    def _finished(self, result: Any) -> None:
        self.busy = False
        self._then(result)

    def _failed(self, text: str) -> None:
        self.busy = False
        self.refused.emit(text)

    def close(self) -> None:
        """Stop."""
        self.worker.close()
