"""The report as sections of text and tables, and as markdown. Pages are drawn from the same sections."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table of text. ``numeric`` holds the columns that are set to the right."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numeric: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A heading, paragraphs, and then tables."""

    title: str
    paragraphs: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    level: int = 2


def markdown(sections: tuple[Section, ...]) -> str:
    """Return the sections as markdown text."""
    lines: list[str] = []
    for section in sections:
        lines += [f"{'#' * section.level} {section.title}", ""]
        for paragraph in section.paragraphs:
            lines += [paragraph, ""]
        for table in section.tables:
            lines += [*_table(table), ""]
    return "\n".join(lines)


def _table(table: Table) -> list[str]:
    rule = ["---:" if i in table.numeric else "---" for i in range(len(table.head))]
    return [_line(table.head), f"|{'|'.join(rule)}|", *(_line(row) for row in table.rows)]


def _line(cells: tuple[str, ...]) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"
