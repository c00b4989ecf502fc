"""The older fixed-line text format of NSMA WG16.89.003, made for microwave dishes.

Ten header lines, then blocks of break points, as the FCC's interpretation of it describes. Words
for the elevation blocks, the sense of a step and straight lines in dB are from memory.
"""

from __future__ import annotations

import math
import re

import numpy as np

from core.patterns.model import Cut, PatternData, wrap
from core.patterns.readers.checks import Stated, check
from core.patterns.readers.cuts import RawCut, checked_levels, finished, tidy
from core.patterns.readers.report import MOST_POINTS, Choices, Report, shown
from core.patterns.readers.text import Text

HEADER_LINES = 10
_BLOCK = re.compile(r"\s*(EL)?([HV])([HV])\s+([0-9]+)\s*", re.IGNORECASE)
_RANGE = re.compile(r"\s*([0-9.]+)\s*-\s*([0-9.]+)\s*")


def looks_like(text: Text) -> bool:
    """True if a block header stands near the top.

    Parameters
    ----------
    text : Text
        The text of the file or the record.

    Returns
    -------
    bool
    """
    return any(_BLOCK.fullmatch(line) for line in text.lines[: HEADER_LINES + 10])


def read(text: Text, choices: Choices, report: Report, stem: str) -> PatternData:
    """Return the pattern of a WG16.89.003 file.

    The levels are an envelope. Without elevation blocks the antenna is taken as a dish, that is as
    rotationally symmetric, each angle with the higher level of the two sides. Both ports (HH + HV
    and VV + VH) are compared and the larger counts at each angle.

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
    if not text.crlf:
        report.warn("W03", "not every line ends with CR LF; accepted")
    start = next(k for k, line in enumerate(text.lines) if _BLOCK.fullmatch(line))
    if start != HEADER_LINES:
        raise report.refuse(
            "E04",
            f"the first block follows {start} header lines, expected {HEADER_LINES}",
            line=start + 1,
            fix="Restore the header; NONE fills an empty row",
        )
    maker, model = text.lines[0].strip(), text.lines[1].strip()
    band = _band(text.lines[7], report)
    gain = report.number(text.lines[8], line=9, tag="mid-band gain", low=-10.0, high=70.0)
    width = math.nan
    if text.lines[9].strip().upper() != "NONE":
        width = report.number(text.lines[9], line=10, tag="beam width", low=0.0, high=360.0)
    kinds = _blocks(text, start, choices, report)
    if not any(not cut.cross for cut in kinds["azimuth"]):
        raise report.refuse("E04", "no HH and no VV block", fix="Get a file with a co-polar block")
    peak, azimuth, elevation = finished(kinds, gain, choices, report)
    if azimuth is not None and elevation is None:
        elevation = _mirrored(azimuth)
        report.warn("W15", "no elevation block: taken as rotationally symmetric, like a dish")
    check(azimuth, elevation, Stated(gain=peak, azimuth_width=width, envelope=True), report)
    return PatternData(
        name=stem if model.upper() in ("", "NONE") else model,
        maker="" if maker.upper() == "NONE" else maker,
        frequency=0.5 * (band[0] + band[1]),
        band=band,
        gain=peak,
        mid_gain=gain,
        azimuth=azimuth,
        elevation=elevation,
        envelope=True,
        notes=tuple(report.notes),
        source=report.source,
    )


def _band(text: str, report: Report) -> tuple[float, float]:
    match = _RANGE.fullmatch(text)
    if match is None:
        raise report.refuse(
            "E06",
            f"{shown(text.strip())} is not a frequency range",
            line=8,
            tag="frequency",
            fix="Write the band in MHz like 6525.0 - 6875.0",
        )
    low, high = (
        report.number(part, line=8, tag="frequency", low=1.0, high=400_000.0)
        for part in match.groups()
    )
    return min(low, high) * 1e6, max(low, high) * 1e6


def _blocks(text: Text, start: int, choices: Choices, report: Report) -> dict[str, list[RawCut]]:
    kinds: dict[str, list[RawCut]] = {"azimuth": [], "elevation": []}
    at = start
    while at < len(text.lines):
        if not text.lines[at].strip():
            at += 1
            continue
        match = _BLOCK.fullmatch(text.lines[at])
        if match is None:
            raise report.refuse(
                "E11",
                f"{shown(text.lines[at].strip())} follows a complete block, expected a block header",
                line=at + 1,
                fix="Correct the count of points in the block above",
            )
        word = match[0].split()[0].upper()
        count = int(match[4][:9])
        if count > MOST_POINTS:
            raise report.refuse(
                "E11",
                f"{count} points, {MOST_POINTS} at most are read",
                line=at + 1,
                tag=word,
                fix="Correct the count, or thin the data out",
            )
        rows = text.lines[at + 1 : at + 1 + count]
        if len(rows) < count or any(_BLOCK.fullmatch(row) for row in rows):
            raise report.refuse(
                "E11",
                f"the block says {count} points, fewer follow",
                line=at + 1,
                tag=word,
                fix="Correct the count, or get the whole file if it is cut short",
            )
        if count < 3:
            raise report.refuse(
                "E15",
                f"{count} points, 3 at least are needed",
                line=at + 1,
                tag=word,
                fix="Get the whole file",
            )
        points = [_point(row, at + 2 + k, word, report) for k, row in enumerate(rows)]
        angles = np.array([angle for angle, _ in points])
        levels = np.array([level for _, level in points])
        levels = checked_levels(levels, choices, report, line=at + 1, tag=word)
        angles, levels = tidy(angles, levels, report, line=at + 1, tag=word, stepped=True)
        kind = "elevation" if match[1] else "azimuth"
        port, source = match[2].upper(), match[3].upper()
        kinds[kind].append(RawCut(kind, port, source, at + 1, word, 0.0, angles, levels))
        at += 1 + count
    return kinds


def _point(row: str, line: int, tag: str, report: Report) -> tuple[float, float]:
    parts = row.split()
    if len(parts) != 2:
        raise report.refuse(
            "E06",
            f"{shown(row.strip())} is not an angle and a level",
            line=line,
            tag=tag,
            fix="Write two numbers with decimal points, parted by blanks",
        )
    return (
        report.number(parts[0], line=line, tag=tag, low=-360.0, high=360.0),
        report.number(parts[1], line=line, tag=tag, low=-1000.0, high=1000.0),
    )


def _mirrored(azimuth: Cut) -> Cut:
    """Return a cut with the smaller loss of both sides at every angle."""
    angles = np.unique(np.concatenate((azimuth.angles, np.round(wrap(-azimuth.angles), 6))))
    both = np.fmin(azimuth.at(angles), azimuth.at(-angles))
    return Cut(angles, both)
