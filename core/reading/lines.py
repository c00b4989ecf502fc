"""Lines of a terminal: text wrapped under its own beginning, a bar with marks, a table of shares."""

from __future__ import annotations

import textwrap

from core.reading.bar import Bar
from core.reading.data import Reading, SourceLine
from core.units import show_percent

NARROWEST, WIDEST = 40, 120
"""Columns: text is wrapped within these, however narrow or wide the terminal."""
_NUMBERS = 25
"""Columns of both percents of the table."""


def wrapped(text: str, width: int, indent: int = 0, hang: int | None = None) -> list[str]:
    """Return a text as lines of at most ``width`` columns.

    Parameters
    ----------
    text : str
        What is written; line ends in it stay.
    width : int
        Columns.
    indent, hang : int
        Columns before its first line, and before the others; the same where not given.
    """
    first, rest = " " * indent, " " * (indent if hang is None else hang)
    lines: list[str] = []
    for part in text.split("\n"):
        lines += textwrap.wrap(
            part, width, initial_indent=first if not lines else rest, subsequent_indent=rest
        ) or [""]
    return lines


def bar_lines(bar: Bar, width: int, indent: int = 2) -> list[str]:
    """Return a bar in plain characters, with the names of its marks below.

    ``=`` up to the figure, ``o`` at the best estimate, ``|`` at the limits.

    Parameters
    ----------
    bar : Bar
        The bar.
    width : int
        Columns in all.
    indent : int
        Columns before it.
    """
    room = width - indent
    cells = ["-"] * room

    def cell(at: float) -> int:
        return min(room - 1, int(at * room))

    end = cell(bar.value) + 1 if bar.value > 0.0 else 0
    # A limit that is passed has something of the bar behind it.
    end = max([end, *(min(room, cell(at) + 2) for _, at in bar.marks if bar.value > at)])
    cells[:end] = "=" * end
    names: list[str] = []
    for name, at in bar.marks:
        column = cell(at)
        cells[column] = "|"
        start = min(column, room - len(name))
        for i, line in enumerate(names):
            if len(line) < start:
                names[i] = line.ljust(start) + name
                break
        else:
            names.append(" " * start + name)
    if bar.best is not None:
        place = cell(bar.best)
        beside = next((at for _, at in bar.marks if cell(at) == place), None)
        # On the same side of a limit as the estimate is.
        place += 0 if beside is None else 1 if bar.best > beside else -1
        cells[min(max(place, 0), room - 1)] = "o"
    before = " " * indent
    return [before + "".join(cells), *(before + line for line in names)]


def share_lines(reading: Reading, width: int, indent: int = 2) -> list[str]:
    """Return the table of shares, the largest first: name, both percents, a bar of the public total.

    Emitters that count nothing stand below it in one line.

    Parameters
    ----------
    reading : Reading
        The reading.
    width : int
        Columns in all.
    indent : int
        Columns before it.
    """
    ranked = by_share(reading)
    counting = [e for e in ranked if e.power > 0.0]
    silent = [e for e in ranked if e.power == 0.0]
    room = width - indent - _NUMBERS
    longest = max((len(e.name) for e in counting), default=0)
    bars = min(20, room - longest - 2)
    bars = bars if bars >= 5 else 0
    names = max(12, min(longest, room - (bars + 2 if bars else 0)))
    before = " " * indent
    lines = [f"{before}{'':{names}}{'public':>11}{'occupational':>14}"] if counting else []
    for e in counting:
        first, *more = textwrap.wrap(e.name, names) or [""]
        if e.reactive:
            figures = f"{'no figure: reactive region':>{_NUMBERS}}"
            drawn = ""
        else:
            figures = f"{show_percent(e.public):>11}{show_percent(e.occupational):>14}"
            drawn = "=" * round(bars * share(e, reading))
        lines.append(f"{before}{first:{names}}{figures}  {drawn}".rstrip())
        lines += [before + "  " + line for name in more for line in textwrap.wrap(name, names - 2)]
    if silent:
        said = ", ".join(f"{e.name} ({e.state})" for e in silent)
        lines += wrapped(f"Counting nothing: {said}", width, indent, indent + 2)
    return lines


def by_share(reading: Reading) -> list[SourceLine]:
    """Return the emitters of a reading, the largest share of the public total first.

    Parameters
    ----------
    reading : Reading
        The reading.
    """
    return sorted(reading.emitters, key=lambda e: -e.public)


def share(e: SourceLine, reading: Reading) -> float:
    """Return an emitter's part of the public total, 0 to 1.

    Parameters
    ----------
    e : SourceLine
        The emitter.
    reading : Reading
        Its reading.
    """
    return e.public / reading.public.total if reading.public.total > 0.0 else 0.0
