"""A fleet from end to end: which files are still to do, who does them, and the table."""

from __future__ import annotations

import contextlib
import csv
import io
from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass
from pathlib import Path

from core.errors import InputError, printable
from core.files.atomic import write_file
from core.files.folder import json_files, stamp
from core.files.journal import Journal
from core.fleet.assess import columns
from core.fleet.plan import Answer, Plan, answer_of
from core.text import cell

Engine = Callable[[Plan, Sequence[str]], Generator[Answer, None, None]]
"""Answers for files, in any order."""
Told = Callable[[int, int, Answer], None]
"""Told how many are done, of how many, and the last answer."""


@dataclass(frozen=True, slots=True)
class Fleet:
    """The answers by name, how many of them were in the journal already, and sites that are only there before."""

    answers: tuple[Answer, ...]
    resumed: int
    gone: tuple[str, ...]

    @property
    def sites(self) -> tuple[Answer, ...]:
        """The answers of files that are sites."""
        return tuple(a for a in self.answers if a.row is not None)

    @property
    def broken(self) -> tuple[Answer, ...]:
        """The answers that are errors."""
        return tuple(a for a in self.sites if a.row and a.row["result"] == "error")

    @property
    def finding(self) -> bool:
        """True where any site has a finding, got worse, or is gone."""
        rows = [a.row or {} for a in self.sites]
        return bool(self.gone) or any(
            row.get("finding") == "yes" or row.get("worse") == "yes" for row in rows
        )


def run(plan: Plan, table: Path, engine: Engine, told: Told | None = None) -> Fleet:
    """Ask every site of a folder and write the table. Return what was found.

    A journal lies beside the table until the table is written: what a stopped run has done is not done again, unless
    a file of it changed since.

    Parameters
    ----------
    plan : Plan
        What is asked.
    table : Path
        The table, .csv.
    engine : callable
        Does the work.
    told : callable or None
        Told of each answer.

    Raises
    ------
    InputError
        If a folder is none, has no .json file, or table or journal cannot be written.
    """
    folder = Path(plan.folder)
    names = json_files(folder)
    if not names:
        raise InputError(
            "has no .json file", source=plan.folder, fix="Name the folder that the sites are in"
        )
    before = json_files(Path(plan.against)) if plan.against else ()
    journal = Journal(table.with_name(f"{table.name}.journal"))
    known = {a.name: a for a in map(answer_of, journal.begin(plan.head)) if _still(plan, a)}
    done = {name: known[name] for name in names if name in known}
    resumed = len(done)
    try:
        with contextlib.closing(engine(plan, [n for n in names if n not in done])) as working:
            for answer in working:
                journal.add(answer.data)
                done[answer.name] = answer
                if told is not None:
                    told(len(done), len(names), answer)
        there = set(names)
        gone = tuple(n for n in before if n not in there)
        fleet = Fleet(tuple(done[n] for n in names), resumed, gone)
        write_file(table, _table(plan, fleet))
    except BaseException:
        journal.close()
        raise
    journal.remove()
    return fleet


def _still(plan: Plan, answer: Answer) -> bool:
    """Return whether the files an answer came from are as they were."""
    for folder, marks in zip((plan.folder, plan.against), answer.stamps, strict=True):
        names = tuple(str(mark[0]) for mark in marks)
        if stamp(Path(folder), names) != marks:
            return False
    return bool(answer.stamps[0])


def _table(plan: Plan, fleet: Fleet) -> str:
    """Return the table, a line a site in the order of the names."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    heads = columns(plan)
    writer.writerow(heads)
    rows = {a.name: {"site_file": a.name, **(a.row or {})} for a in fleet.sites}
    rows |= {n: {"site_file": n, "result": "gone", "finding": "yes"} for n in fleet.gone}
    for name in sorted(rows):
        writer.writerow([cell(printable(rows[name].get(h, ""))) for h in heads])
    return out.getvalue()
