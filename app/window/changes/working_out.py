"""What a change does, worked out off the window's thread: first what the states differ in, then the proofs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, Signal

from app.window.changes.compared import Compared
from app.window.jobs import Work, Worker
from core.changes.comparison import Comparison, compare
from core.changes.effects import Effect, effects, listed
from core.changes.report import verdict
from core.proof.tolerance import Ceiling
from core.site.site import Site

CEILING = Ceiling(seconds=180.0)
"""As long as ``isofence compare`` waits for one zone unless it is told otherwise: the page has the same bytes."""


@dataclass(frozen=True)
class _Progressed:
    done: float


@dataclass(frozen=True)
class WorkedOut:
    """A comparison, its verdict in words, and its list."""

    comparison: Comparison
    verdict: str
    effects: tuple[Effect, ...]


class WorkingOut(QObject):
    """Compares two states, newest request wins. ``progressed`` carries the part done, or None when nothing is at work.

    ``differing`` carries what the states differ in, ``found`` a :class:`WorkedOut`.
    """

    progressed = Signal(object)
    differing = Signal(object)
    found = Signal(object)
    failed = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.worker = Worker()
        self.at_work = False
        self._next: Work | None = None
        self.worker.done.connect(self._done)
        self.worker.failed.connect(self._failed)

    def begin(self, compared: Compared) -> None:
        """Say what two states differ in; what is being worked out for others is given up. :meth:`prove` goes on."""
        self.cancel()
        before, after = (e.site for e in compared.ends)
        self.differing.emit(listed(before, after))
        self._next = _work(before, after, feet=compared.look.feet)
        self.at_work = True
        self.progressed.emit(0.0)

    def prove(self) -> None:
        """Work out what the change does, if that has not begun."""
        if self._next is not None:
            self.worker.submit(self._next)
            self._next = None

    def cancel(self) -> None:
        """Give up."""
        self._next = None
        self.worker.submit(lambda cancelled, emit: None)
        self._rest()

    def _rest(self) -> None:
        self.at_work = False
        self.progressed.emit(None)

    def _done(self, answer: Any) -> None:
        match answer:
            case _Progressed(done):
                self.progressed.emit(done)
            case WorkedOut():
                self._rest()
                self.found.emit(answer)

    def _failed(self, text: str) -> None:
        self._rest()
        self.failed.emit(text)

    def close(self) -> None:
        """Stop."""
        self.worker.close()


def _work(before: Site, after: Site, *, feet: bool) -> Work:
    def work(cancelled: Callable[[], bool], emit: Callable[[Any], None]) -> None:
        made = compare(
            before, after, ceiling=CEILING, feet=feet, cancelled=cancelled,
            progress=lambda done: emit(_Progressed(done)),
        )  # fmt: skip
        emit(WorkedOut(made, verdict(made), effects(made, feet=feet)))

    return work
