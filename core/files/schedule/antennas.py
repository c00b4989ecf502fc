"""Antennas of a schedule put together from their rows, and held against what the site has."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from pathlib import Path
from typing import Any

from core.antennas.kinds import KINDS
from core.errors import InputError
from core.exposure.sources import sources
from core.files.antenna_file import read_antenna
from core.files.schedule.carriers import put_carriers
from core.files.schedule.cells import POWER_WORDS
from core.files.schedule.columns import CARRIER, HEADINGS, OPEN, REFUSED, heading
from core.files.schedule.draft import Draft, Problem
from core.files.schedule.models import missing_parameters, put_kind, put_parameter
from core.files.schedule.numbers import Decimals
from core.files.schedule.places import ABOVE, put_place
from core.files.schedule.rows import AntennaRows, settled, text_of
from core.files.schedule.table import Row, Table
from core.files.schedule.writer import CLEAR, unguarded
from core.files.site_writer import antenna_to_json
from core.progress import Asked, Cancelled
from core.site.site import Site


def drafts(
    site: Site,
    table: Table,
    folder: Path | None,
    decimals: Decimals,
    cancelled: Asked | None = None,
) -> list[Draft]:
    """Return every antenna of a ``table``, in the order of its first row.

    Parameters
    ----------
    site : Site
        What is there.
    folder : Path or None
        Where pattern files are; None for a site that was never saved.
    decimals : Decimals
        The decimal signs of the table.
    cancelled : Asked or None
        Asked before each antenna whether to stop.

    Raises
    ------
    Cancelled
        If ``cancelled`` says so.
    """
    at = next(c.index for c in table.columns if c.key == "name")
    old = {antenna.name: antenna for antenna in site.antennas}
    alike = {_plain(name): name for name in old}
    groups: dict[str, list[Row]] = {}
    nameless: dict[str, list[Problem]] = {}
    lost: list[Draft] = []
    above = ""
    for row in table.rows:
        raw = unguarded(row.cells[at]) if at < len(row.cells) else ""
        name = raw if raw in old else raw.strip()
        if name:
            groups.setdefault(name, []).append(row)
            above = name
            continue
        # One more carrier of the antenna above, perhaps: that one is not taken without it.
        owner = above if _is_carrier(table, row) else ""
        problem = Problem(
            row.number,
            table.columns[at].header,
            "is empty",
            "Name the antenna in every row; merged cells leave it out",
            owner,
        )
        if owner:
            nameless.setdefault(owner, []).append(problem)
        else:
            lost.append(Draft("", (row.number,), problems=[problem]))
    made = []
    for name, rows in groups.items():
        if cancelled is not None and cancelled():
            raise Cancelled
        draft = Draft(name, tuple(row.number for row in rows), old.get(name))
        mine = AntennaRows(site, table.columns, rows, decimals, draft)
        twin = alike.get(_plain(name))
        if draft.old is None and twin is not None:
            mine.problem(
                rows[0], "name", f"the site has {twin!r}", "Write it the same way, or another name"
            )
        else:
            _build(mine, folder)
            _check_lengths(mine)
            _check_open(mine)
        draft.problems += nameless.get(name, ())
        made.append(draft)
    return sorted((*made, *lost), key=lambda draft: draft.rows)


def _plain(name: str) -> str:
    """Return what of a name people tell apart: not its case, and not which of many dashes and spaces it has."""
    said = unicodedata.normalize("NFKC", name).casefold()
    dashed = "".join("-" if unicodedata.category(c) == "Pd" else c for c in said)
    return " ".join(dashed.split())


def _is_carrier(table: Table, row: Row) -> bool:
    """Return whether a row says something of a carrier, and nothing of a place or a kind."""
    said = {c.key for c in table.columns if text_of(row, c).strip()}
    return bool(said & {*CARRIER, "power"}) and not said & {"kind", "x", "y", "z", *ABOVE}


def _check_open(here: AntennaRows) -> None:
    """Note cells of columns that mean something and leave open what."""
    for column in here.columns:
        if column.key not in OPEN:
            continue
        row = next((r for r in here.rows if _matters(text_of(r, column), column.key)), None)
        if row is not None:
            message, _, fix = REFUSED[column.key].partition(". ")
            here.refused(row, column, InputError(message, fix=fix))


def _matters(text: str, key: str) -> bool:
    """Return whether a cell brings a figure up: one of a thing is one, and words about a power are none."""
    text = text.strip()
    if key == "?count":
        return text not in ("", "1", "1.0", "1,0", "1x", "1x1")
    return bool(text) and (key != "?power" or any(c.isdigit() for c in text))


def _check_lengths(here: AntennaRows) -> None:
    """Note rows with more cells than there are headers: commas that are decimal signs part numbers."""
    for row in here.rows:
        more = [cell for cell in row.cells[len(here.columns) :] if cell.strip()]
        if more:
            here.problem(
                row, "name", f"has {len(more)} more cell{'s' if len(more) > 1 else ''} than there are headers",
                "Put semicolons or tabs between cells where commas are decimal signs",
            )  # fmt: skip


def _build(here: AntennaRows, folder: Path | None) -> None:
    """Fill the draft of some rows."""
    old = here.draft.old
    json: dict[str, Any] = {"name": here.draft.name, "model": {}, "carriers": []}
    if old is not None:
        json = antenna_to_json(old)
    before = None if old is None else antenna_to_json(old)
    put_kind(here, json)
    place = dict(zip("xyz", json.get("position", (None, None, None)), strict=True))
    for key in dict.fromkeys(c.key for c in here.columns):
        if key in CARRIER or key in ("", "name", "kind", "power") or key.startswith("?"):
            continue
        if key.startswith("model."):
            put_parameter(here, json, key)
            continue
        found = here.cell(key, here.rows)
        if found is None:
            continue
        if key in ("x", "y", "z", *ABOVE):
            place[key] = found[0]
        else:
            _set(json, key, found[0])
    carrier_rows = put_carriers(here, json)
    put_place(here, json, place)
    if old is None:
        _complete(here, json)
    missing_parameters(here, json)
    if here.draft.problems:
        return
    if json == before:
        here.draft.antenna = old
        return
    _read(here, json, folder, carrier_rows)


def _set(json: dict[str, Any], key: str, value: object) -> None:
    """Set or clear one value of an antenna's JSON, ``allows.steps`` in the object of that name."""
    outer, _, inner = key.rpartition(".")
    holder = json.setdefault(outer, {}) if outer else json
    if value is None:
        holder.pop(inner, None)
    else:
        holder[inner] = settled(holder.get(inner), value)
    if outer and not holder:
        del json[outer]


def _complete(here: AntennaRows, json: dict[str, Any]) -> None:
    """Note what a new antenna cannot be without."""
    first = here.rows[0]
    for key, value in zip("xyz", json["position"], strict=True):
        if value is None and not (key == "z" and here.said(*ABOVE)):
            _missing(
                here, first, key, "Give its place in m or ft" + (", or AGL" if key == "z" else "")
            )
    if "kind" not in json:
        _missing(here, first, "kind", f"Use one of {', '.join(KINDS)}, or a class like sector-700")
    if not json["carriers"]:
        _missing(here, first, "frequency", 'Write it with its unit, like "98.1 MHz"')


def _missing(here: AntennaRows, row: Row, key: str, fix: str) -> None:
    said = next((c.header for c in here.columns if c.key == key), heading(key))
    if not any(p.column == said for p in here.draft.problems):
        here.problem(row, key, "is missing", fix)


def _read(
    here: AntennaRows, json: dict[str, Any], folder: Path | None, carrier_rows: dict[int, Row]
) -> None:
    if folder is None and json["model"].get("file"):
        here.problem(
            here.rows[0],
            "model.file",
            "cannot be looked for",
            "Save the site first, the file beside it",
        )
        return
    try:
        antenna = read_antenna("", json, folder or Path())
        if "azimuth" not in json and antenna.kind.has_boresight:
            raise InputError(
                "is missing",
                field="azimuth",
                fix=f"A {antenna.kind.KEY} has a direction: give it",
            )
        if antenna != here.draft.old:
            sources(replace(here.site, antennas=(antenna,)))
    except InputError as error:
        _located(here, error, carrier_rows)
    else:
        here.draft.antenna = here.draft.old if antenna == here.draft.old else antenna


def _located(here: AntennaRows, error: InputError, carrier_rows: dict[int, Row]) -> None:
    """Note an error of the site file's own checks in the row and the column it comes from."""
    row = here.rows[0]
    carrier = re.search(r"carriers\[(\d+)\]", error.field)
    if carrier is not None:
        row = carrier_rows.get(int(carrier[1]), row)
    _, inside, model = error.field.rpartition("model.")
    key = error.field.replace(":", " ").replace(".", " ").split()[-1] if error.field else "name"
    if error.source:
        key, inside = "model.file", ""
    elif carrier is not None and (key == "name" or key.startswith("carriers[")):
        key = "carrier"
    elif carrier is not None and key not in HEADINGS:
        # A frequency that does not suit the kind's own lengths or bands.
        key = "frequency"
    elif inside:
        key = "model." + re.sub(r"\[(\d+)\]", lambda m: f".{int(m[1]) + 1}", model)
        keys = [c.key for c in here.columns]
        plain = f"model.{key.rpartition('.')[2]}"
        key = plain if key not in keys and plain in keys else key
    elif f"allows.{key}" in HEADINGS:
        key = f"allows.{key}"
    elif key == "position":
        key = "z"
    message = error.message if not error.source else error.within().line()
    fix = error.fix if not error.source else ""
    there = [c.key for c in here.columns]
    old = here.draft.old.carriers if here.draft.old is not None else ()
    if key not in there and any(getattr(c.power, key, None) is not None for c in old):
        # What the antenna had before is in no column: what the table says of it is.
        shown = next((k for k in there if k in POWER_WORDS.values()), key)
        if shown != key:
            fix, key = (
                f"{fix}: a column {heading(key)} with the word {CLEAR} takes that away",
                shown,
            )
    here.problem(row, key, message, fix)
