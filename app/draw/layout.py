"""Where a map, its insets and the words about it lie on a sheet, mm."""

from __future__ import annotations

from dataclasses import dataclass

from app.draw.furniture import GAP, Setup, room_of
from app.draw.paper import Box, best_scale, chosen_scale
from app.draw.text_sheets import columns_of

TICKS = 14.0, 11.0
"""mm to the left of a map and below it for the numbers of its axes."""
COLUMN = 66.0
"""mm: width of a column of words beside a map."""
INSET = 36.0
"""mm: least side of an inset."""
HEAD = 5.0
"""mm over an inset for its letter and its scale."""
_HIGH = 20.0
"""mm below the top of a sheet within which columns count as beginning there."""
_WORDS = 50.0
"""mm: least height of the words below a map as wide as the sheet."""
_WIDE = 350.0
"""mm of room from which on there are two columns of words."""
_LEAST = 52.0, 30.0
"""mm: least width and height of free paper that words are written on."""

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Layout:
    """Places on a sheet: the map with the N of its scale, insets with their heads, columns of words."""

    map: Box
    scale: int
    insets: tuple[Box, ...]
    columns: tuple[Box, ...]


def laid(setup: Setup, bounds: Bounds, what: str, insets: int = 0) -> Layout:
    """Return the layout of a sheet with one map, and with as many insets as there is room for.

    Parameters
    ----------
    setup : Setup
        Paper and scale.
    bounds : tuple
        What the map shows: least u and v, greatest u and v, m.
    what : str
        What is drawn, for errors.
    insets : int
        How many insets are wanted.

    Raises
    ------
    InputError
        If the scale that was asked for does not fit.
    """
    room = room_of(setup.paper)
    count = 2 if room.width > _WIDE else 1
    words = count * COLUMN + (count - 1) * GAP
    area = Box(
        room.left + TICKS[0],
        room.low + TICKS[1],
        room.width - words - GAP - TICKS[0],
        room.height - TICKS[1] - 2.0,
    )
    width, height = bounds[2] - bounds[0], bounds[3] - bounds[1]
    across = Box(area.left, area.low + _WORDS, room.right - area.left, area.height - _WORDS)
    if not insets and best_scale(width, height, across) < best_scale(width, height, area):
        # A wide map: all words below it.
        scale = chosen_scale(width, height, across, setup.scale, what)
        whole = Box(area.left, area.low, across.width, area.height)
        placed, free = _placed(whole, width, height, scale)
        return Layout(placed, scale, (), tuple(c for f in free for c in _columns(f)))
    scale = chosen_scale(width, height, area, setup.scale, what)
    placed, free = _placed(area, width, height, scale)
    cells = grid(free[0], insets, INSET)
    if insets and not cells and setup.scale is None:
        # No paper is free for them: the map gives way on the side that costs it less.
        side, low = INSET + GAP, INSET + HEAD + GAP + TICKS[1]
        narrow = Box(area.left, area.low, area.width - side, area.height)
        short = Box(area.left, area.low + low, area.width, area.height - low)
        scale = min(best_scale(width, height, a) for a in (narrow, short))
        placed, free = _placed(area, width, height, scale)
        cells = grid(free[0], insets, INSET)
    columns = columns_of(Box(area.right + GAP, room.low, words, room.height), COLUMN)
    spare = [*_left_of(free[0], cells), *free[1:]] if cells else free
    columns += [c for f in spare for c in _columns(f)]
    # What begins at the top of the sheet is read first.
    columns.sort(key=lambda c: (c.top < room.top - _HIGH, c.left))
    return Layout(placed, scale, tuple(cells), tuple(columns))


def _placed(area: Box, width: float, height: float, scale: int) -> tuple[Box, list[Box]]:
    """Return a map in the upper left corner of an area, and the paper that is free beside it and below.

    The larger piece of free paper comes first and has the corner that both reach.
    """
    w, h = 1000.0 * width / scale, 1000.0 * height / scale
    placed = Box(area.left, area.top - h, w, h)
    left, floor = area.left - TICKS[0], area.low - TICKS[1]
    under, right = placed.low - TICKS[1] - GAP, placed.right + GAP
    beside = Box(right, floor, area.right - right, area.top - floor)
    below = Box(left, floor, area.right - left, under - floor)
    if beside.width * beside.height < below.width * below.height:
        return placed, [below, Box(right, under, beside.width, area.top - under)]
    return placed, [beside, Box(left, floor, placed.right - left, below.height)]


def _left_of(free: Box, cells: list[Box]) -> list[Box]:
    """Return what insets leave of a rectangle: to their right, and below them."""
    right, low = max(c.right for c in cells) + GAP, min(c.low for c in cells) - GAP
    return [
        Box(right, free.low, free.right - right, free.height),
        Box(free.left, free.low, right - GAP - free.left, low - free.low),
    ]


def _columns(free: Box) -> list[Box]:
    if free.width < _LEAST[0] or free.height < _LEAST[1]:
        return []
    return columns_of(free, COLUMN)


def grid(box: Box, wanted: int, least: float, most: float = 90.0) -> list[Box]:
    """Return up to ``wanted`` places of at least a side in mm, and heads over them, that fill a rectangle."""
    columns = int((box.width + GAP) / (least + GAP))
    rows = int((box.height + GAP) / (least + HEAD + GAP))
    if wanted <= 0 or columns < 1 or rows < 1:
        return []
    while columns > 1 and (columns - 1) * rows >= wanted:
        columns -= 1
    while rows > 1 and columns * (rows - 1) >= wanted:
        rows -= 1
    width = min((box.width - GAP * (columns - 1)) / columns, most)
    height = min((box.height - GAP * (rows - 1)) / rows, most + HEAD)
    cells = [
        Box(
            box.left + c * (width + GAP),
            box.top - (r + 1) * height - r * GAP,
            width,
            height,
        )
        for r in range(rows)
        for c in range(columns)
    ]
    return cells[:wanted]
