"""Plain comma-separated tables with a header line that states quantity, unit and sign.

The convention is our own. Lines that start with ``#`` are comments; some carry facts::

    # name: Invented panel
    # gain_dbi: 6.2
    # frequency_mhz: 98.1
    # tilt_deg: 1.5
    # envelope: yes
    azimuth_deg,loss_db

Column names, in this order:

``azimuth_deg`` or ``azimuth_deg_true``, or ``elevation_deg``, then one of ``relative_field`` (1 at
the maximum, the tabulation of 47 CFR 73.316), ``relative_power``, ``loss_db`` (positive below the
peak); or ``azimuth_deg,elevation_deg,gain_dbi`` for a 3-D pattern. Azimuth clockwise, elevation up.
"""

from __future__ import annotations

import math
import re

import numpy as np
from numpy.typing import NDArray

from core.patterns.model import PatternData
from core.patterns.readers.checks import Stated, check
from core.patterns.readers.cuts import RawCut, checked_levels, finished, flipped, peak_check, tidy
from core.patterns.readers.nodes import grid_from_nodes
from core.patterns.readers.nsma_units import linear_levels
from core.patterns.readers.report import MOST_NODES, MOST_POINTS, Choices, Report, shown
from core.patterns.readers.text import Text
from core.units import DIPOLE_DB

Array = NDArray[np.float64]

KINDS = {
    "azimuth_deg": "azimuth",
    "azimuth_deg_true": "azimuth",
    "elevation_deg": "elevation",
}
VALUES = ("relative_field", "relative_power", "loss_db")
_FACT = re.compile(r"#\s*(\w+)\s*[:=]\s*(.*?)\s*")
_NUMERIC_FACTS = {
    "gain_dbi": (-60.0, 80.0),
    "gain_dbd": (-60.0, 80.0),
    "frequency_mhz": (1e-3, 1e7),
    "tilt_deg": (-90.0, 90.0),
}


def looks_like(text: Text) -> bool:
    """True if the first line that is no comment speaks of azimuth or elevation.

    Parameters
    ----------
    text : Text
        The text of the file or the record.

    Returns
    -------
    bool
    """
    head = next((line for line in text.lines if line.strip() and not line.startswith("#")), "")
    return re.search(r"azimuth|elevation", head, re.IGNORECASE) is not None


def read(text: Text, choices: Choices, report: Report, stem: str) -> PatternData:
    """Return the pattern of a table.

    Parameters
    ----------
    text : Text
        The text of the file or the record.
    choices : Choices
        Answers to what the file leaves open.
    report : Report
        Where warnings are kept and refusals worded.
    stem : str
        How names begin.
    """
    text.check_lines(report)
    facts: dict[str, tuple[int, str]] = {}
    rows: list[tuple[int, str]] = []
    for number, line in enumerate(text.lines, 1):
        if line.startswith("#"):
            match = _FACT.fullmatch(line)
            if match is not None:
                facts[match[1].lower()] = (number, match[2])
        elif line.strip():
            rows.append((number, line))
    top, head = rows[0]
    columns = tuple(name.strip().lower() for name in head.split(","))
    gain = _gain(facts, choices, report)
    tilt = _fact(facts, "tilt_deg", report, 0.0)
    frequency = _fact(facts, "frequency_mhz", report, math.nan) * 1e6
    envelope = facts.get("envelope", (0, ""))[1].lower() in ("yes", "true", "1")
    name, maker = (facts.get(word, (0, ""))[1] for word in ("name", "maker"))
    if columns == ("azimuth_deg", "elevation_deg", "gain_dbi"):
        values = _numbers(rows[1:], 3, report, MOST_NODES)
        grid = grid_from_nodes(values[:, 0], values[:, 1], values[:, 2], report)
        return PatternData(
            name=name or stem,
            maker=maker,
            frequency=frequency,
            gain=float(grid.gain.max()),
            grid=grid,
            envelope=envelope,
            electrical_tilt=tilt,
            notes=tuple(report.notes),
            source=report.source,
        )
    if len(columns) != 2 or columns[0] not in KINDS or columns[1] not in VALUES:
        raise report.refuse(
            "E08",
            f"the header {shown(head.strip())} does not state what the columns hold",
            line=top,
            fix="Use azimuth_deg or elevation_deg with relative_field, relative_power or loss_db,"
            " or azimuth_deg,elevation_deg,gain_dbi",
        )
    kind = KINDS[columns[0]]
    values = _numbers(rows[1:], 2, report, MOST_POINTS)
    if len(values) < 3:
        raise report.refuse(
            "E15", f"{len(values)} points, 3 at least are needed", line=top, fix="Add points"
        )
    raw = _raw_cut(kind, columns[1], values, top, choices, report)
    if columns[0] == "azimuth_deg_true":
        report.warn("W27", "azimuths count from true north: mount the antenna at azimuth 0")
    peak, azimuth, elevation = finished(
        {kind: [raw]}, 0.0 if gain is None else gain, choices, report
    )
    check(azimuth, elevation, Stated(tilt=tilt, envelope=envelope), report)
    if gain is None:
        report.warn("W25", "the table gives no gain: it must come from the site")
    return PatternData(
        name=name or stem,
        maker=maker,
        frequency=frequency,
        gain=peak,
        gain_known=gain is not None,
        azimuth=azimuth,
        elevation=elevation,
        envelope=envelope,
        electrical_tilt=tilt,
        notes=tuple(report.notes),
        source=report.source,
    )


def _raw_cut(
    kind: str, quantity: str, values: Array, line: int, choices: Choices, report: Report
) -> RawCut:
    if quantity == "loss_db":
        levels = checked_levels(-values[:, 1], choices, report, line=line, tag=quantity)
    else:
        linear = "field" if quantity == "relative_field" else "power"
        levels = linear_levels(values[:, 1], linear, report, line, quantity)
    angles, levels = tidy(values[:, 0], levels, report, line=line, tag=kind)
    if angles.size < 3:
        raise report.refuse("E15", "fewer than 3 directions", line=line, tag=kind, fix="Add points")
    raw = RawCut(kind, "", "", line, kind, 0.0, angles, levels)
    if kind == "elevation" and choices.flip_elevation:
        flipped(raw)
        report.warn("W07", "the elevation cut was turned upside down, as chosen", line=line)
    peak_check(raw, choices, report)
    return raw


def _gain(facts: dict[str, tuple[int, str]], choices: Choices, report: Report) -> float | None:
    if "gain_dbi" in facts:
        return _fact(facts, "gain_dbi", report, 0.0)
    if "gain_dbd" in facts:
        return _fact(facts, "gain_dbd", report, 0.0) + DIPOLE_DB
    return choices.gain_dbi


def _fact(facts: dict[str, tuple[int, str]], name: str, report: Report, default: float) -> float:
    if name not in facts:
        return default
    line, text = facts[name]
    low, high = _NUMERIC_FACTS[name]
    return report.number(text, line=line, tag=name, low=low, high=high)


def _numbers(rows: list[tuple[int, str]], count: int, report: Report, most: int) -> Array:
    """Return the rows as numbers.

    Raises
    ------
    InputError
        E06 for a wrong number of columns (decimal commas, semicolons) or a bad number.
    """
    if len(rows) > most:
        raise report.refuse("E11", f"over {most} lines of data", fix="Thin the data out")
    out = np.empty((len(rows), count))
    for k, (line, text) in enumerate(rows):
        parts = text.split(",")
        if len(parts) != count:
            raise report.refuse(
                "E06",
                f"{shown(text.strip())} has {len(parts)} columns, expected {count}",
                line=line,
                fix="Part columns with commas and write decimal points",
            )
        out[k, 0] = report.number(parts[0], line=line, tag="", low=-360.0, high=360.0)
        for j in range(1, count):
            out[k, j] = report.number(parts[j], line=line, tag="", low=-1000.0, high=1000.0)
    return out
