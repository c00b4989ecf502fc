"""Progress of long work, and how it is asked to stop."""

from __future__ import annotations

from collections.abc import Callable


class Cancelled(Exception):
    """The computation was asked to stop; nothing was kept."""


Progress = Callable[[float], None]


Asked = Callable[[], bool]


def stop_if(cancelled: Asked | None) -> None:
    """Stop the work here if it was asked to.

    Parameters
    ----------
    cancelled : Asked or None
        Who is asked; nobody, and the work goes on.

    Raises
    ------
    Cancelled
        If so.
    """
    if cancelled is not None and cancelled():
        raise Cancelled


def part_of(progress: Progress | None, i: int, count: int) -> Progress | None:
    """Return the progress of one of several equal pieces of work, told to ``progress`` as a whole.

    Parameters
    ----------
    i : int
        Which of the pieces, from 0.
    count : int
        How many pieces.
    """
    if progress is None:
        return None
    return lambda done: progress((i + done) / count)
