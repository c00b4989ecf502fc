"""Values inside the records of the tagged text format: units, pairs, points, polarisations."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from core.patterns.readers.cuts import checked_levels
from core.patterns.readers.nsma_layout import Block
from core.patterns.readers.report import Choices, Report, shown
from core.units import DIPOLE_DB

Array = NDArray[np.float64]
Header = dict[str, tuple[int, str]]

OVER_ISOTROPIC = {"DBI": 0.0, "DBD": DIPOLE_DB}
POLARISATIONS = {"H", "V", "SLR", "SLL", "RCP", "LCP", "ETH", "EPH"}
HERTZ = {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}


def gain_and_data(record: tuple[int, str], choices: Choices, report: Report) -> tuple[str, str]:
    """Return the two codes of GUNITS.

    Parameters
    ----------
    record : tuple[int, str]
        Line and text of the record.
    report : Report
        Where warnings are kept and refusals worded.

    Raises
    ------
    InputError
        E08: no slash, an unknown code, or linear data without a choice of field or power.
    """
    line, text = record
    first, slash, second = text.strip().upper().partition("/")
    gain_unit, data_unit = first.strip(), second.strip()
    known = gain_unit in OVER_ISOTROPIC and data_unit in ("DBR", "DBI", "DBD", "LIN")
    if not slash or not known:
        raise report.refuse(
            "E08",
            f"{shown(text.strip())} is not a pair of units",
            line=line,
            tag="GUNITS",
            fix="Write DBI/DBR or DBD/DBR (gain unit, then data unit)",
        )
    if data_unit == "LIN" and choices.linear is None:
        raise report.refuse(
            "E08",
            "the levels are linear, and the format does not say whether field or power",
            line=line,
            tag="GUNITS",
            fix='Find out which, then set "linear" to "field" or "power" in the antenna\'s model',
        )
    return gain_unit, data_unit


def pair(
    header: Header, tag: str, report: Report, low: float, high: float, default: tuple[float, float]
) -> tuple[float, float]:
    """Return a value and its tolerance (the default's where absent).

    Parameters
    ----------
    header : Header
        The records of the file by tag: line and text.
    tag : str
        Record of the file, for messages.
    report : Report
        Where warnings are kept and refusals worded.
    low : float
        Least value.
    high : float
        Largest value.
    """
    if tag not in header:
        return default
    line, text = header[tag]
    parts = text.rstrip(", ").split(",")
    value = report.number(parts[0], line=line, tag=tag, low=low, high=high)
    if len(parts) < 2:
        return value, default[1]
    return value, abs(report.number(parts[1], line=line, tag=tag, low=-1e6, high=1e6))


def gains(
    header: Header, more: list[tuple[int, str, str]], unit: str, report: Report
) -> tuple[float, float]:
    """Return the largest of the stated gains and the mid-band gain, in dBi.

    Parameters
    ----------
    header : Header
        The records of the file by tag: line and text.
    more : list[tuple[int, str, str]]
        Records that come more than once.
    unit : str
        Unit of the gains.
    report : Report
        Where warnings are kept and refusals worded.
    """
    records = [(line, tag, text) for tag, (line, text) in header.items()] + more
    found: dict[str, list[float]] = {}
    for line, tag, text in records:
        if tag not in ("LWGAIN", "MDGAIN", "HGGAIN"):
            continue
        parts = text.rstrip(", ").split(",")
        if len(parts) > 1 and "." not in parts[0] and "." not in parts[1]:
            raise report.refuse(
                "E06",
                f"{shown(text.strip())} may be a decimal comma or a gain with its tolerance",
                line=line,
                tag=tag,
                fix="Write the gain with a decimal point",
            )
        value = report.number(parts[0], line=line, tag=tag, low=-60.0, high=80.0)
        found.setdefault(tag, []).append(value + OVER_ISOTROPIC[unit])
    largest, middle = max(max(values) for values in found.values()), max(found["MDGAIN"])
    if largest > middle:
        report.warn(
            "W25",
            f"the largest gain in the band, {largest:.2f} dBi, is used; mid-band is"
            f" {middle:.2f} dBi",
            tag="MDGAIN",
        )
    return largest, middle


def band(header: Header, choices: Choices, report: Report) -> tuple[float, float]:
    """Return the band edges in Hz.

    Parameters
    ----------
    header : Header
        The records of the file by tag: line and text.
    choices : Choices
        Answers to what the file leaves open.
    report : Report
        Where warnings are kept and refusals worded.

    Raises
    ------
    InputError
        W23 if the figures do not look like MHz and no unit was chosen.
    """
    edges = []
    for tag in ("LOWFRQ", "HGHFRQ"):
        line, text = header[tag]
        value = report.number(text.rstrip(", "), line=line, tag=tag, low=1e-9, high=1e13)
        if choices.frequency_unit is None and not 1.0 <= value <= 400_000.0:
            raise report.refuse(
                "W23",
                f"{shown(text.strip())} does not look like MHz",
                line=line,
                tag=tag,
                fix='Write MHz, or set "frequency_unit" in the antenna\'s model',
            )
        edges.append(value * HERTZ[choices.frequency_unit or "MHz"])
    if edges[0] > edges[1]:
        report.warn("W05", "the band edges are in reverse order", tag="LOWFRQ")
        edges.reverse()
    return edges[0], edges[1]


def pattern_frequency(
    text: str | None, line: int, edges: tuple[float, float], choices: Choices, report: Report
) -> float:
    """Return the frequency of a block in Hz, the middle of the band if it states none.

    Parameters
    ----------
    text : str or None
        The text of the file or the record.
    line : int
        Line of the file, for messages.
    edges : tuple[float, float]
        Edges of the ranges.
    choices : Choices
        Answers to what the file leaves open.
    report : Report
        Where warnings are kept and refusals worded.
    """
    if text is None:
        return 0.5 * (edges[0] + edges[1])
    value = report.number(text.rstrip(", "), line=line, tag="PATFRE", low=1e-9, high=1e13)
    frequency = value * HERTZ[choices.frequency_unit or "MHz"]
    if not edges[0] * 0.999 <= frequency <= edges[1] * 1.001:
        report.warn("W23", f"{text.strip()} lies outside the band", line=line, tag="PATFRE")
    return frequency


def polarisation(record: tuple[int, str], report: Report) -> tuple[str, str]:
    """Return antenna and source polarisation; both the whole text (W10) if it is no known pair.

    Parameters
    ----------
    record : tuple[int, str]
        Line and text of the record.
    report : Report
        Where warnings are kept and refusals worded.
    """
    line, text = record
    port, slash, source = text.strip().upper().partition("/")
    if slash and port in POLARISATIONS and source in POLARISATIONS:
        return port, source
    report.warn(
        "W10",
        f"{shown(text.strip())} is no polarisation pair; taken as co-polar",
        line=line,
        tag="POLARI",
    )
    return text.strip().upper(), text.strip().upper()


def point(line: int, text: str, tag: str, report: Report) -> tuple[float, float, str]:
    """Return angle, level and the text of the phase of one data line.

    Parameters
    ----------
    tag : str
        Record of the file, for messages.
    report : Report
        Where warnings are kept and refusals worded.
    """
    parts = text.strip().split(",")
    while len(parts) > 2 and not parts[-1].strip():
        parts.pop()
    if not 2 <= len(parts) <= 3:
        raise report.refuse(
            "E06",
            f"{shown(text.strip())} is not angle,level[,phase],",
            line=line,
            tag=tag,
            fix="Use decimal points and commas between the columns only",
        )
    phase = parts[2].strip() if len(parts) == 3 else ""
    if phase:
        report.number(phase, line=line, tag=tag, low=-1e6, high=1e6)
    return (
        report.number(parts[0], line=line, tag=tag, low=-360.0, high=360.0),
        report.number(parts[1], line=line, tag=tag, low=-1000.0, high=1000.0),
        phase,
    )


def comma_check(numbers: list[tuple[float, float, str]], block: Block, report: Report) -> None:
    """Refuse levels like ``-26,97`` that read as a whole number and a phase.

    Parameters
    ----------
    block : Block
        A block of the file.
    report : Report
        Where warnings are kept and refusals worded.
    """
    phases = [phase for _, _, phase in numbers if phase]
    whole = all(value == math.floor(value) for _, value, _ in numbers)
    if phases and whole and all(phase.isdigit() and len(phase) <= 2 for phase in phases):
        raise report.refuse(
            "E06",
            "every level is a whole number followed by one or two digits, like decimal commas",
            line=block.points[0][0],
            tag=block.label,
            fix="Use decimal points, and drop the phases if they are real",
        )


def linear_levels(values: Array, linear: str | None, report: Report, line: int, tag: str) -> Array:
    """Return relative field or power (0 to 1) in dB, 200 dB down for zero.

    Parameters
    ----------
    values : Array
        Values.
    linear : str or None
        What linear levels are, field or power.
    report : Report
        Where warnings are kept and refusals worded.
    line : int
        Line of the file, for messages.
    tag : str
        Record of the file, for messages.
    """
    if float(values.min()) < 0.0:
        raise report.refuse(
            "E06",
            f"a linear level of {values.min():g} is negative",
            line=line,
            tag=tag,
            fix="Relative levels run from 0 to 1",
        )
    scale = 20.0 if linear == "field" else 10.0
    levels = np.asarray(scale * np.log10(np.maximum(values, 1e-10)))
    return checked_levels(levels, Choices(), report, line=line, tag=tag)
