"""Taking an antenna schedule: every problem named by row, column and cure, everything else taken.

Antennas are known by their name: one that the site has is changed, any other is new. An empty cell leaves what is
there, ``clear`` takes it away. An antenna with a problem in one of its rows stays as it was, in all of them: half of
an antenna's carriers would give a figure that is too low.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from core.files.schedule.antennas import drafts
from core.files.schedule.columns import OPEN, REFUSED
from core.files.schedule.draft import Draft, Problem
from core.files.schedule.numbers import Decimals, decimals_of, settled_by_table
from core.files.schedule.table import Table, table_of
from core.progress import Asked
from core.site.site import Antenna, Site
from core.text import some


@dataclass(frozen=True, slots=True)
class Change:
    """What happens to one antenna: ``lines`` say it, each a figure before and after; ``rows`` of the table say so."""

    antenna: str
    new: bool
    lines: tuple[str, ...]
    rows: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Taken:
    """A schedule taken.

    Attributes
    ----------
    site : Site
        The site with everything that could be taken.
    table : Table
        The table.
    changes : tuple of Change
        What is new or different, an antenna each.
    problems : tuple of Problem
        What could not be taken.
    notes : tuple of str
        What was left out, or taken as usual because nothing is said.
    rows : dict of str to tuple of int
        The rows of each antenna that the table names.
    settled : dict of int to tuple of str
        By row, numbers like "1,250" that other cells of the table settled, and as what they are read.
    """

    site: Site
    table: Table
    changes: tuple[Change, ...]
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]
    rows: dict[str, tuple[int, ...]]
    settled: dict[int, tuple[str, ...]]

    @property
    def held(self) -> tuple[int, ...]:
        """Rows that are not taken because another row of their antenna has a problem."""
        bad = {p.row for p in self.problems}
        names = {p.antenna for p in self.problems if p.antenna}
        rows = {
            number for name, numbers in self.rows.items() if name in names for number in numbers
        }
        return tuple(sorted(rows - bad))

    def words_of(self, row: int) -> str:
        """Return what taking it does with a ``row`` of the table, by its number."""
        return "; ".join((self._does(row), *self.settled.get(row, ())))

    def _does(self, row: int) -> str:
        problems = [p for p in self.problems if p.row == row]
        if problems:
            return "; ".join(f"NOT TAKEN, {p.column}: {p.says}" for p in problems)
        if row in self.held:
            return "NOT TAKEN: another row of the same antenna has a problem"
        change = next((c for c in self.changes if row in c.rows), None)
        if change is None:
            return "no change"
        if row != change.rows[0]:
            return f"as row {change.rows[0]}"
        return f"{'new: ' if change.new else ''}{'; '.join(change.lines)}"

    def words(self) -> str:
        """Return one line on what taking it does."""
        new = sum(c.new for c in self.changes)
        parts = [f"{new} new", f"{len(self.changes) - new} changed"]
        if self.problems:
            count = len(self.problems)
            parts.append(f"{count} problem{'s' if count > 1 else ''}, whose antennas are not taken")
        return ", ".join(parts)


def take(
    site: Site,
    text: str,
    folder: Path | None,
    decimals: Decimals | None = None,
    cancelled: Asked | None = None,
) -> Taken:
    """Return a site with the antennas of a schedule; nothing is written.

    Parameters
    ----------
    site : Site
        The site.
    text : str
        The table: a file's text or a paste, with tabs, semicolons or commas between the cells.
    folder : Path or None
        Where pattern files that it names are; None for a site that was never saved.
    decimals : Decimals or None
        The decimal sign, where it is known; else the table's own numbers show it.
    cancelled : Asked or None
        Asked before each antenna whether to stop.

    Raises
    ------
    Cancelled
        If ``cancelled`` says so.
    InputError
        If there is no such table in the text, or the site would be too large.
    """
    table = table_of(text)
    settled: dict[int, tuple[str, ...]] = {}
    if decimals is None:
        numeric = [c.index for c in table.columns if c.has_numbers]
        cells = (row.cells[i] for row in table.rows for i in numeric if i < len(row.cells))
        decimals = decimals_of(cells, table.between)
        settled = _settled(table, decimals)
    made = drafts(site, table, folder, decimals, cancelled)
    problems = [*_of_columns(table), *(p for draft in made for p in draft.problems)]
    taken = [draft for draft in made if not draft.problems]
    by_name = {draft.name: draft.antenna for draft in taken if draft.antenna is not None}
    old = {antenna.name for antenna in site.antennas}
    antennas = (
        *(by_name.get(antenna.name, antenna) for antenna in site.antennas),
        *(antenna for name, antenna in by_name.items() if name not in old),
    )
    changes = tuple(
        Change(draft.name, draft.name not in old, draft.differences(), draft.rows)
        for draft in taken
        if draft.name not in old or draft.differences()
    )
    return Taken(
        replace(site, antennas=antennas),
        table,
        changes,
        tuple(sorted(problems, key=lambda p: p.row)),
        (*_notes(site, table, made), *_unsaid(site, antennas, {c.antenna for c in changes})),
        {draft.name: draft.rows for draft in made if draft.name},
        settled,
    )


def _settled(table: Table, decimals: Decimals) -> dict[int, tuple[str, ...]]:
    """Return by row the numbers that the decimal sign of the other cells settles."""
    found: dict[int, tuple[str, ...]] = {}
    for row in table.rows:
        for column in table.columns:
            text = row.cells[column.index] if column.index < len(row.cells) else ""
            number = settled_by_table(text, decimals) if column.has_numbers else ""
            if number:
                said = f"{column.header}: {text.strip()!r} is read as {number}"
                found[row.number] = (*found.get(row.number, ()), said)
    return found


def _of_columns(table: Table) -> list[Problem]:
    return [
        Problem(table.header, column.header, REFUSED[column.key], "", "")
        for column in table.columns
        if column.key in REFUSED and column.key not in OPEN
    ]


def _notes(site: Site, table: Table, made: Sequence[Draft]) -> list[str]:
    notes = []
    unknown = [c.header for c in table.columns if not c.key and c.header]
    if unknown:
        notes.append(f"columns that say nothing of an antenna are left out: {', '.join(unknown)}")
    names = [c.header for c in table.columns if c.key == "name"]
    if len(names) > 1:
        notes.append(
            f"antennas are named by the column {names[0]!r}; not by {', '.join(names[1:])}"
        )
    notes += dict.fromkeys(note for draft in made for note in draft.notes)
    named = {draft.name for draft in made}
    kept = [antenna.name for antenna in site.antennas if antenna.name not in named]
    if kept:
        notes.append(f"not in the table, kept as they are: {', '.join(kept)}")
    return notes


def _unsaid(site: Site, antennas: Sequence[Antenna], changed: set[str]) -> list[str]:
    """Return what the new and changed antennas leave open, and how it is counted."""
    here = [antenna for antenna in antennas if antenna.name in changed]
    lossless = [
        a.name
        for a in here
        if any(c.power.transmitter is not None and not c.power.loss for c in a.carriers)
    ]
    nobody = [a.name for a in here if not a.contact.strip()]
    notes = []
    for names, what in (
        (lossless, "no line loss is said: none is counted, which is high"),
        (nobody, "no contact is said: nobody can be called"),
    ):
        if names:
            notes.append(f"{what}: {some(names, 5)}")
    return notes
