"""Sections of text and tables, and what did not fit beside a map, on sheets with a title block."""

from __future__ import annotations

from collections.abc import Sequence

from app.draw.flow import Block, flow
from app.draw.furniture import GAP, Sheet, Title
from app.draw.pages import Room, laid_out
from app.draw.paper import POINT, Box, Paper
from core.validation.document import Section

_COLUMN = 82.0
"""mm: about how wide a column of words is."""


def text_sheets(title: Title, paper: Paper, sections: Sequence[Section]) -> list[Sheet]:
    """Return sections on as many sheets as they take."""
    box = Sheet(paper, title).room
    room = Room(box.left / POINT, box.low / POINT, box.width / POINT, box.top / POINT)
    sheets = []
    for page in laid_out(sections, room):
        sheet = Sheet(paper, title)
        for word in page.words:
            sheet.write(
                word.text,
                word.x * POINT,
                word.y * POINT,
                size=word.size,
                heavy=word.heavy,
                ha="right" if word.right else "left",
            )
        for y, start, stop in page.rules:
            sheet.line(start * POINT, y * POINT, stop * POINT, y * POINT, width=0.4)
        sheets.append(sheet)
    return sheets


def rest_sheets(title: Title, paper: Paper, blocks: Sequence[Block]) -> list[Sheet]:
    """Return blocks on as many sheets as they take, none where there are none."""
    sheets = []
    left = tuple(blocks)
    while left:
        sheet = Sheet(paper, title)
        left = flow(sheet, columns_of(sheet.room), left)
        sheets.append(sheet)
    return sheets


def columns_of(box: Box, wide: float = _COLUMN) -> list[Box]:
    """Return a rectangle divided into columns of about a width in mm."""
    count = max(1, round(box.width / wide))
    width = (box.width - GAP * (count - 1)) / count
    return [Box(box.left + i * (width + GAP), box.low, width, box.height) for i in range(count)]
