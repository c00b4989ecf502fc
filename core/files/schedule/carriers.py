"""The carriers of an antenna in a schedule: one row each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from core.errors import InputError
from core.files.schedule.cells import power_of
from core.files.schedule.columns import CARRIER, Column
from core.files.schedule.rows import AntennaRows, settled, text_of
from core.files.schedule.table import Row
from core.units import parse_quantity, show_frequency


def put_carriers(mine: AntennaRows, json: dict[str, Any]) -> dict[int, Row]:
    """Set the carriers in the JSON of an antenna as its rows (``mine``) say. Returns the row of each, by its place."""
    found: dict[int, Row] = {}
    carriers: list[dict[str, Any]] = json["carriers"]
    here = [c for c in mine.columns if c.key in CARRIER or c.key == "power"]
    rows = [row for row in mine.rows if any(text_of(row, c).strip() for c in here)]
    known = len(carriers)
    for row in rows:
        values = _values(mine, row, here)
        at = _which(mine, carriers, known, values, row, alone=len(rows) == 1)
        if at is None:
            continue
        if at in found:
            mine.problem(row, "carrier", f"row {found[at].number} has the same carrier",
                         "Give every carrier of the antenna its own name")  # fmt: skip
            continue
        found[at] = row
        if at == len(carriers):
            carriers.append({})
        for key, value in values.items():
            if value is None:
                carriers[at].pop(key, None)
            else:
                carriers[at][key] = settled(carriers[at].get(key), value)
    return found


def _values(mine: AntennaRows, row: Row, here: Sequence[Column]) -> dict[str, Any]:
    values: dict[str, Any] = {}
    for key in dict.fromkeys(c.key for c in here):
        if key != "power":
            found = mine.cell(key, (row,))
            if found is not None:
                values["name" if key == "carrier" else key] = found[0]
    for column in here:
        text = text_of(row, column)
        if column.key == "power" and text.strip():
            try:
                key, value = power_of(text, column, mine.decimals)
                values.setdefault(key, value)
            except InputError as error:
                mine.refused(row, column, error)
    return values


def _which(
    mine: AntennaRows,
    carriers: list[dict[str, Any]],
    known: int,
    values: dict[str, Any],
    row: Row,
    *,
    alone: bool,
) -> int | None:
    """Return which carrier a row means; one more than there are is a new one. Names it if the table does not."""
    names = [carrier["name"] for carrier in carriers]
    if "name" in values:
        said = values["name"] if values["name"] in names else values["name"].strip()
        values["name"] = said
        return names.index(said) if said in names else len(carriers)
    there = [
        i
        for i, carrier in enumerate(carriers[:known])
        if carrier["frequency"] == values.get("frequency")
    ]
    if len(there) == 1:
        return there[0]
    if known == 1 and alone:
        return 0
    if known or "frequency" not in values:
        if known:
            mine.problem(row, "carrier", "does not say which carrier of the antenna is meant",
                         f"Write its name, one of {', '.join(names[:known])}, or a new one")  # fmt: skip
        elif not mine.draft.problems:
            mine.problem(row, "frequency", "is missing", 'Write it with its unit, like "98.1 MHz"')
        return None
    values["name"] = show_frequency(parse_quantity(values["frequency"], "frequency"))
    if values["name"] in names:
        mine.problem(row, "carrier", f"is empty, and the antenna has {values['name']} twice",
                     "Name the carriers")  # fmt: skip
        return None
    return len(carriers)
