"""The antennas of a site as a table for a spreadsheet: one row a carrier, every parameter that is given."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator

from core.files.schedule.columns import CARRIER, HEADINGS, heading
from core.files.site_writer import antenna_to_json
from core.site.site import Antenna, Site

CLEAR = "clear"
"""What a cell says that takes away what the site has."""
_QUANTITY = re.compile(r"[+-]\d+(?:\.\d+)?(?:e[+-]?\d+)? [A-Za-z]{1,3}")
_GUARDED = ("=", "+", "-", "@", "'", "\t", "\r")


def schedule_text(site: Site) -> str:
    """Return the antennas of a site as CSV that :func:`core.files.schedule.taking.take` takes back unchanged.

    An antenna's own columns are filled in its first row; its name is in every row.
    """
    antennas = [flat(antenna_to_json(antenna)) for antenna in site.antennas]
    keys = list(HEADINGS)
    models = dict.fromkeys(key for one in antennas for key in one if key.startswith("model."))
    at = keys.index("azimuth")
    keys[at:at] = models
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\n")
    table.writerow([heading(key) for key in keys])
    for antenna, cells in zip(site.antennas, antennas, strict=True):
        for row in _rows(antenna, cells, keys):
            table.writerow(row)
    return out.getvalue()


def _rows(antenna: Antenna, cells: dict[str, object], keys: list[str]) -> Iterator[list[str]]:
    for j in range(len(antenna.carriers)):
        row = []
        for key in keys:
            if key in CARRIER:
                value = cells.get(f"carriers.{j + 1}.{'name' if key == 'carrier' else key}")
            else:
                value = cells.get(key) if j == 0 or key == "name" else None
            row.append(shown(value))
        yield row


def flat(antenna: dict[str, object]) -> dict[str, object]:
    """Return the JSON object of an antenna as key → value, one for each cell; parts and carriers count from 1."""
    out: dict[str, object] = {}
    for key, value in antenna.items():
        if key == "position":
            assert isinstance(value, list)
            out |= dict(zip("xyz", value, strict=True))
        elif key == "state" and isinstance(value, dict):
            out[key] = f"reduced to {value['reduced_percent']!r} %"
        elif key == "reflection" and isinstance(value, dict):
            plane = f" plane {value['plane']!r}" if "plane" in value else ""
            out[key] = f"two-ray {value['permittivity']!r} {value['conductivity']!r}{plane}"
        elif key in ("model", "carriers", "allows"):
            out |= _nested(value, key)
        else:
            out[key] = value
    return out


def _nested(value: object, path: str) -> dict[str, object]:
    if isinstance(value, dict):
        return {
            k: v for name, one in value.items() for k, v in _nested(one, f"{path}.{name}").items()
        }
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return {
            k: v for i, one in enumerate(value, 1) for k, v in _nested(one, f"{path}.{i}").items()
        }
    return {path: value}


def shown(value: object) -> str:
    """Return the text of a cell for a value of :func:`flat`; text that could be taken for more is guarded by '."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " ".join(repr(one) for one in value)
    if isinstance(value, int | float):
        return repr(value)
    text = str(value)
    if text.strip().lower() == CLEAR or (
        text.startswith(_GUARDED) and not _QUANTITY.fullmatch(text)
    ):
        return f"'{text}"
    return text


def unguarded(text: str) -> str:
    """Return the text that :func:`shown` made a cell of."""
    bare = text[1:]
    if text.startswith("'") and (bare.startswith(_GUARDED) or bare.strip().lower() == CLEAR):
        return bare
    return text
