"""Readings of a meter as CSV: every row that can be used is, every other is named with its column and its cure."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from core.errors import InputError
from core.files.paths import is_file
from core.files.schedule.numbers import POINT, Decimals, decimals_of, number_of, unit_named
from core.files.states import WORDS
from core.files.surveys import parse_unit
from core.site.site import Site
from core.site.state import Condition, State
from core.site.surfaces import floors_at, surface_height
from core.site.surveys import MOST_READINGS, USUAL_UNCERTAINTY, Measured
from core.units import parse_quantity

LARGEST_FILE = 20_000_000
COLUMNS = (
    "name", "x", "y", "z", "height", "value", "unit", "uncertainty", "instrument", "calibrated", "time", "states",
    "explained",
)  # fmt: skip
"""Columns by name, in any order; ``z`` is above the site datum, ``height`` above the only surface there."""
_LENGTHS = ("x", "y", "z", "height")
_ALIASES = {
    "e": "value", "h": "value", "s": "value", "reading": "value", "field": "value", "field strength": "value",
    "power density": "value", "east": "x", "north": "y",
}  # fmt: skip
_IN_BRACKETS = re.compile(r"(.+?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]")


@dataclass(frozen=True, slots=True)
class Rejected:
    """A row that cannot be used: its number as a spreadsheet shows it, the column, what is wrong and the cure."""

    row: int
    column: str
    reason: str
    cure: str

    @property
    def words(self) -> str:
        """All of it in one line."""
        return f"row {self.row}, column {self.column}: {self.reason}. {self.cure}"


@dataclass(frozen=True, slots=True)
class SurveyTable:
    """The readings of a table with their rows, and the rows that are none."""

    readings: tuple[tuple[int, Measured], ...]
    rejected: tuple[Rejected, ...]


def read_survey(path: Path, site: Site, *, as_filed: bool = False) -> SurveyTable:
    """Return the readings of a CSV file.

    Parameters
    ----------
    path : Path
        The file.
    site : Site
        Whose emitters its states name.
    as_filed : bool
        Where a row says nothing of an emitter, its state in the site file was that of then; otherwise nobody knows.

    Raises
    ------
    InputError
        If the file is no such table, or no row of it can be used.
    """
    source = str(path)
    try:
        if path.exists() and not is_file(path):
            raise InputError("is no ordinary file", source=source, fix="Give a CSV file")
        if is_file(path) and path.stat().st_size > LARGEST_FILE:
            raise InputError("is too large", source=source, fix="Split it")
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise InputError("does not exist", source=source, fix="Check the path") from None
    except InputError:
        raise
    except (OSError, ValueError):
        raise InputError(
            "cannot be read as text", source=source, fix="Give a CSV file in UTF-8"
        ) from None
    try:
        return parse_survey(text, site, as_filed=as_filed)
    except InputError as error:
        raise error.within(source=source) from None


def parse_survey(text: str, site: Site, *, as_filed: bool = False) -> SurveyTable:
    """Return the readings of a table as text: of a file, or pasted from a spreadsheet (tabs between the cells).

    Parameters
    ----------
    text : str
        The first line names the columns.
    site, as_filed
        As :func:`read_survey`.

    Raises
    ------
    InputError
        If it is no such table, or no row of it can be used.
    """
    lines = text.splitlines()
    head = lines[0] if lines else ""
    between = max(("\t", ";", ","), key=head.count)
    # Where a comma parts the cells it is no decimal sign; else a reading of 1.500 may be one of 1500.
    decimals = (
        POINT
        if between == ","
        else decimals_of((c for line in lines[1:] for c in line.split(between)), ";")
    )
    table = csv.reader(lines, delimiter=between)
    try:
        header, units = _header(next(table, []))
        _check_header(header, units)
        readings: list[tuple[int, Measured]] = []
        rejected: list[Rejected] = []
        names: set[str] = set()
        for cells in table:
            row = table.line_num
            if not any(cell.strip() for cell in cells):
                continue
            if len(readings) + len(rejected) >= MOST_READINGS:
                raise InputError(
                    f"has more than {MOST_READINGS} readings",
                    fix="Split the survey, or thin it out",
                )
            said = dict(zip(header, (c.strip() for c in cells), strict=False))
            given = _Row(said, row, decimals, units)
            try:
                one = given.reading(site, as_filed=as_filed)
                if one.name in names:
                    raise given.wrong(
                        "name", f"{one.name!r} is the name of another row", "Change it"
                    )
            except InputError as error:
                column = error.field.split(".")[0] or "value"
                rejected.append(Rejected(row, column, error.message, error.fix))
                continue
            names.add(one.name)
            readings.append((row, one))
    except csv.Error as error:
        raise InputError(
            f"is no CSV ({error})", fix="Save it as CSV from the spreadsheet"
        ) from None
    if not readings and rejected:
        raise InputError(
            f"no row can be used; the first: {rejected[0].reason}",
            field=f"row {rejected[0].row}, column {rejected[0].column}",
            fix=rejected[0].cure,
        )
    if not readings:
        raise InputError("has no readings", fix="Add rows under the line of names")
    return SurveyTable(tuple(readings), tuple(rejected))


def _header(cells: Sequence[str]) -> tuple[list[str], dict[str, str]]:
    """Return the names of the columns, and by name the units that they have in brackets, like ``x (ft)``."""
    names, units = [], {}
    for cell in cells:
        match = _IN_BRACKETS.fullmatch(cell.strip())
        name = (match[1] if match else cell).strip().lower()
        name = _ALIASES.get(name, name)
        if match and (name in (*_LENGTHS, "value") or (name, match[2]) == ("uncertainty", "dB")):
            units[name] = match[2]
            if name in _LENGTHS and not unit_named(match[2], "length"):
                raise InputError(
                    f"{match[2]!r} is not a unit of length",
                    field=f"row 1, column {name}",
                    fix="Write m or ft",
                )
        elif match:
            name = cell.strip().lower()
        names.append(name)
    return names, units


def _check_header(header: Sequence[str], units: Mapping[str, str]) -> None:
    for name in ("x", "y", "value", "unit"):
        if name not in header and not (name == "unit" and "value" in units):
            raise InputError(
                f"has no column {name}",
                field="row 1",
                fix="Begin with: x,y,z,value,unit, or with units in brackets: x (m),y (m),z (m),E (V/m)",
            )
    if "z" not in header and "height" not in header:
        raise InputError(
            "needs a column z (above the datum) or height (above the surface there)",
            field="row 1",
            fix="Begin with: x,y,z,value,unit",
        )
    for name in header:
        if name and name not in COLUMNS:
            raise InputError(
                f"column {name!r} is not known", field="row 1", fix=f"Known: {', '.join(COLUMNS)}"
            )
        if name and header.count(name) > 1:
            raise InputError(f"has two columns {name}", field="row 1", fix="Keep one of them")


@dataclass(frozen=True, slots=True)
class _Row:
    """The cells of one row by their column."""

    cells: dict[str, str]
    row: int
    decimals: Decimals
    units: Mapping[str, str]

    def wrong(self, column: str, message: str, fix: str) -> InputError:
        return InputError(message, field=column, fix=fix)

    def text(self, column: str) -> str:
        return self.cells.get(column, "")

    def number(self, column: str) -> float:
        text = self.text(column)
        if not text:
            raise self.wrong(column, "is empty", "Give a number")
        try:
            value, unit = number_of(text, self.decimals)
        except InputError as error:
            raise error.within(column) from None
        if unit:
            raise self.wrong(
                column, f"{text!r} is not a number alone", "Units have a column of theirs"
            )
        if column in _LENGTHS and column in self.units:
            named = unit_named(self.units[column], "length")
            return parse_quantity(f"{value!r} {named}", "length")
        return value

    def _over(self, site: Site, x: float, y: float) -> float:
        """Return the height above the datum of a reading that says how high above the surface it is."""
        height = self.number("height")
        floors = floors_at(site, x, y)
        if len(floors) > 1:
            names = " or ".join(f"{s.name} at {s.height:g} m" for s in floors)
            raise self.wrong(
                "height",
                f"{height:g} m could be above {names}",
                "Give z, above the site datum, in a column z; height may stay empty",
            )
        return float(surface_height(site, np.array([[x, y]]))[0]) + height

    def reading(self, site: Site, *, as_filed: bool) -> Measured:
        """Return the reading of this row; an error's field is the column."""
        x, y = self.number("x"), self.number("y")
        over = bool(self.text("height"))
        if over and self.text("z"):
            raise self.wrong("height", "is given beside z", "Leave one of the two empty")
        z = self._over(site, x, y) if over else self.number("z" if "z" in self.cells else "height")
        value = self.number("value")
        try:
            unit, limit_set, tier = parse_unit(self.text("unit") or self.units.get("value", ""))
        except InputError as error:
            raise error.within("unit") from None
        uncertainty = USUAL_UNCERTAINTY
        if self.text("uncertainty"):
            try:
                uncertainty = parse_quantity(_with_unit(self.text("uncertainty")), "loss")
            except InputError as error:
                raise error.within("uncertainty") from None
        try:
            return Measured(
                name=self.text("name") or f"row {self.row}",
                position=(x, y, z),
                value=value,
                unit=unit,
                limit_set=limit_set,
                tier=tier,
                states=tuple(self.states(site, as_filed=as_filed)),
                uncertainty=uncertainty,
                instrument=self.text("instrument"),
                calibrated=self.text("calibrated"),
                time=self.text("time"),
                explained=self.text("explained"),
            )
        except InputError as error:
            if error.field == "position":
                raise self.wrong("x, y, z", error.message, error.fix) from None
            raise

    def states(self, site: Site, *, as_filed: bool) -> Iterator[tuple[str, State]]:
        """Yield what every emitter of the site was doing: as the row says, else as filed, else unknown."""
        said = dict(self._said(self.text("states").split(";"), {a.name for a in site.antennas}))
        for antenna in site.antennas:
            other = antenna.state if as_filed else _UNKNOWN
            yield antenna.name, said.get(antenna.name, other)

    def _said(self, parts: Iterable[str], known: set[str]) -> Iterator[tuple[str, State]]:
        for part in parts:
            if not part.strip():
                continue
            name, _, word = (p.strip() for p in part.rpartition(":"))
            if name not in known:
                raise self.wrong(
                    "states",
                    f"{name or part.strip()!r} is no antenna of the site",
                    "Write them like: North FM: off; Paging: 10 %",
                )
            yield name, self._state(word)

    def _state(self, word: str) -> State:
        if word in WORDS:
            return State(Condition(word))
        try:
            percent = float(word.removesuffix("%"))
        except ValueError:
            percent = -1.0
        if not 0.0 <= percent <= 100.0:
            raise self.wrong(
                "states",
                f"{word!r} is not what a transmitter does",
                f"Use one of {', '.join(WORDS)}, or the power left like 10 %",
            )
        return State(Condition.REDUCED, percent) if percent else State(Condition.OFF)


_UNKNOWN = State(Condition.UNKNOWN)


def _with_unit(text: str) -> str:
    return text if text.endswith("dB") else f"{text} dB"
