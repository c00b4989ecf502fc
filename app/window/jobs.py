"""Work off the window's thread: newest request wins, older ones are cancelled, answers come by signal."""

from __future__ import annotations

from collections.abc import Callable
from threading import Condition
from typing import Any

from PySide6.QtCore import Qt, QThread, Signal

from core.errors import InputError
from core.progress import Cancelled

Work = Callable[[Callable[[], bool], Callable[[Any], None]], None]
"""A job: called with (cancelled, emit); it may emit several results, better ones later."""


class Worker(QThread):
    """One thread that does the newest job it was given.

    ``done`` carries each result of the newest job, ``failed`` why it could not be done, both in the thread the
    worker lives in; those of overtaken jobs are dropped here and nowhere else. ``busy`` is True from the first
    request until nothing is left to do.
    """

    done = Signal(object)
    failed = Signal(str)
    busy = Signal(bool)
    _answered = Signal(int, object)
    _refused = Signal(int, str)

    def __init__(self) -> None:
        super().__init__()
        # Answers cross to the window's thread first; only there is it known which request is the newest.
        queued = Qt.ConnectionType.QueuedConnection
        self._answered.connect(self._deliver, queued)
        self._refused.connect(self._refuse, queued)
        self._lock = Condition()
        self._next: tuple[int, Work] | None = None
        self._newest = 0
        self._closing = False

    def submit(self, work: Work) -> int:
        """Ask for a job; any older one is cancelled. Returns the job's number. A closed worker takes none up."""
        with self._lock:
            if self._closing:
                return self._newest
            self._newest += 1
            self._next = (self._newest, work)
            self._lock.notify()
            number = self._newest
        if not self.isRunning():
            self.start()
        return number

    @property
    def newest(self) -> int:
        """Number of the newest job."""
        return self._newest

    def _deliver(self, number: int, result: object) -> None:
        if number == self._newest:
            self.done.emit(result)

    def _refuse(self, number: int, text: str) -> None:
        if number == self._newest:
            self.failed.emit(text)

    def close(self) -> None:
        """Stop and wait."""
        with self._lock:
            self._closing = True
            self._newest += 1
            self._next = None
            self._lock.notify()
        self.wait()

    def run(self) -> None:
        while True:
            with self._lock:
                while self._next is None and not self._closing:
                    self.busy.emit(False)
                    self._lock.wait()
                if self._closing or self._next is None:
                    return
                number, work = self._next
                self._next = None
            self.busy.emit(True)
            self._do(number, work)

    def _do(self, number: int, work: Work) -> None:
        def cancelled() -> bool:
            return self._closing or number != self._newest

        def emit(result: Any) -> None:
            if not cancelled():
                self._answered.emit(number, result)

        try:
            work(cancelled, emit)
        except Cancelled:
            pass
        except InputError as error:
            self._refused.emit(number, error.line())
        except MemoryError:
            self._refused.emit(number, "Not enough memory for this picture. Choose a smaller view")
        except Exception as error:  # a bug: say so and keep the window alive
            self._refused.emit(
                number, f"Unexpected error ({type(error).__name__}: {error}). Please report it"
            )
