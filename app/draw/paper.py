"""Paper and scale: sizes in mm, and the 1:N at which lengths of a site lie on it."""

from __future__ import annotations

from dataclasses import dataclass

from core.errors import InputError

MM = 1.0 / 25.4
"""Inches in a mm."""
POINT = 25.4 / 72.0
"""mm in a point."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on a page, mm from the page's lower left corner."""

    left: float
    low: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Right edge, mm."""
        return self.left + self.width

    @property
    def top(self) -> float:
        """Upper edge, mm."""
        return self.low + self.height

    def holds(self, other: Box) -> bool:
        """Return whether another rectangle lies in this one, to a thousandth of a mm."""
        return (
            other.left >= self.left - 1e-3
            and other.low >= self.low - 1e-3
            and other.right <= self.right + 1e-3
            and other.top <= self.top + 1e-3
        )


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper, lying across, mm."""

    name: str
    width: float
    height: float


A4 = Paper("A4", 297.0, 210.0)
PAPERS = {p.name: p for p in (A4, Paper("Letter", 279.4, 215.9), Paper("A3", 420.0, 297.0))}
"""ISO 216 A4 and A3; Letter is 8.5 × 11 inches (ANSI/ASME Y14.1 size A). From memory."""

_STEPS = (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 7.5)
SCALES = tuple(
    int(step * 10**power)
    for power in range(7)
    for step in _STEPS
    if float(step * 10**power).is_integer()
)
"""Every N of a scale 1:N that is chosen where nobody has."""


def paper_of(name: str) -> Paper:
    """Return the paper of a name, however it is capitalised.

    Raises
    ------
    InputError
        If there is none.
    """
    for known, paper in PAPERS.items():
        if known.lower() == name.strip().lower():
            return paper
    raise InputError(
        f"{name!r} is no size of paper that is known", field="paper", fix=f"Use {_list(PAPERS)}"
    )


def scale_of(text: str) -> int:
    """Return the N of text like ``1:200`` or ``200``.

    Raises
    ------
    InputError
        If it is no scale from 1:1 to 1:1000000.
    """
    one, colon, number = text.strip().rpartition(":")
    if (one.strip() == "1" or not colon) and number.strip().isascii() and number.strip().isdigit():
        value = int(number[:9])
        if 1 <= value <= 1_000_000:
            return value
    raise InputError(f"{text!r} is not a scale", field="scale", fix="Write it like 1:200")


def best_scale(width: float, height: float, room: Box) -> int:
    """Return the largest usual scale at which metres fit on paper.

    Parameters
    ----------
    width, height : float
        What is drawn, m.
    room : Box
        Where it is drawn, mm.
    """
    for n in SCALES:
        if fits(width, height, room, n):
            return n
    return SCALES[-1]


def fits(width: float, height: float, room: Box, scale: int) -> bool:
    """Return whether so many metres at 1:``scale`` fit into a rectangle."""
    return (
        1000.0 * width / scale <= room.width + 1e-6
        and 1000.0 * height / scale <= room.height + 1e-6
    )


def chosen_scale(width: float, height: float, room: Box, asked: int | None, what: str) -> int:
    """Return the scale that was asked for if it fits, or the best one where none was.

    Parameters
    ----------
    width, height : float
        What is drawn, m.
    room : Box
        Where it is drawn, mm.
    asked : int or None
        N of the scale asked for.
    what : str
        What is drawn, for the error.

    Raises
    ------
    InputError
        If the scale asked for does not fit.
    """
    best = best_scale(width, height, room)
    if asked is None or fits(width, height, room, asked):
        return asked or best
    raise InputError(
        f"1:{asked} is too large: {what} is {width:.4g} × {height:.4g} m and the page has room for "
        f"{room.width * asked / 1000.0:.4g} × {room.height * asked / 1000.0:.4g} m",
        field="scale",
        fix=f"Use 1:{best}, a larger paper, or show a piece only",
    )


def _list(names: dict[str, Paper]) -> str:
    *most, last = names
    return f"{', '.join(most)} or {last}"
