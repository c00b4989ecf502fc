"""The records of a tagged text file put in their places, before any number is read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from core.patterns.readers.report import MOST_POINTS, Choices, Report, shown
from core.patterns.readers.text import Text

# Largest record lengths, prefix included; also the order of the header (WG16.99.050 section 3.2).
LENGTHS = {
    "REVNUM": 42, "REVDAT": 16, "COMNT": 80, "ANTMAN": 42, "MODNUM": 42, "PATNUM": 42,
    "FILNUM": 13, "FEDORN": 13, "DESCR": 80, "DTDATA": 16, "LOWFRQ": 21, "HGHFRQ": 21,
    "GUNITS": 15, "LWGAIN": 12, "MDGAIN": 16, "HGGAIN": 12, "AZWIDT": 16, "ELWIDT": 16,
    "CONTYP": 80, "ATVSWR": 13, "FRTOBA": 10, "ELTILT": 16, "RADCTR": 13, "POTOPO": 12,
    "MAXPOW": 17, "ANTLEN": 14, "ANTWID": 14, "ANTDEP": 14, "ANTWGT": 16, "FIELD": 80,
    "PATTYP": 16, "NOFREQ": 10, "PATFRE": 21, "NUMCUT": 11, "PATCUT": 11, "POLARI": 15,
    "NUPOIN": 13, "FSTLST": 25, "XORIEN": 53, "YORIEN": 53, "ZORIEN": 53, "ENDFIL": 11,
}  # fmt: skip
_ORDER = {tag: place for place, tag in enumerate(LENGTHS)}
_NUMBERED = re.compile(r"(COMNT|DESCR|FIELD)[0-9]")
_RECORD = re.compile(r"\s*([A-Za-z0-9]{6}):,?(.*)")
_POINT = re.compile(r"\s*[-+.0-9]")


@dataclass(slots=True)
class Block:
    """One cut as it stands in the file."""

    line: int
    designator: str
    frequency: str | None
    records: dict[str, tuple[int, str]] = field(default_factory=dict)
    points: list[tuple[int, str]] = field(default_factory=list)

    @property
    def label(self) -> str:
        return f"PATCUT {self.designator}"


@dataclass(slots=True)
class Layout:
    """The records of a file before any number is read."""

    header: dict[str, tuple[int, str]] = field(default_factory=dict)
    more_gains: list[tuple[int, str, str]] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    cut_counts: list[tuple[int, str, int]] = field(default_factory=list)
    frequencies: int = 0
    ended: bool = False


def looks_like(text: Text) -> bool:
    """True if any line is a record of this format.

    Parameters
    ----------
    text : Text
        The text of the file or the record.

    Returns
    -------
    bool
    """
    return any(
        (match := _RECORD.match(line)) is not None and match[1] in LENGTHS
        for line in text.lines[:200]
    )


def laid_out(text: Text, report: Report) -> Layout:
    """Return the records in their places, noting what is odd about them (W05, W21, W22).

    Parameters
    ----------
    text : Text
        The text of the file or the record.
    report : Report
        Where warnings are kept and refusals worded.
    """
    layout = Layout()
    frequency: str | None = None
    latest = -1
    for number, full in enumerate(text.lines, 1):
        line, mark, comment = full.partition("!")
        if mark:
            report.warn("W22", f"comment {shown(comment.strip())} stripped", line=number)
        if not line.strip():
            continue
        if layout.ended:
            report.warn("W21", "data after ENDFIL were ignored", line=number)
            break
        record = _RECORD.match(line)
        if record is None:
            _keep_point(layout, number, line, report)
            continue
        tag, value = record[1].upper(), record[2]
        known = _NUMBERED.sub(r"\1", tag)
        if known not in LENGTHS:
            report.warn("W05", f"unknown record {shown(line.strip())} ignored", line=number)
            continue
        if len(line.rstrip()) > LENGTHS[known]:
            report.warn("W05", f"longer than {LENGTHS[known]} characters", line=number, tag=tag)
        if tag == "ENDFIL":
            layout.ended = True
        elif tag == "PATFRE":
            frequency = value
            layout.frequencies += 1
        elif tag == "NUMCUT":
            layout.cut_counts.append((number, value, len(layout.blocks)))
        elif tag == "PATCUT":
            layout.blocks.append(Block(number, value.strip().upper(), frequency))
        elif tag in ("POLARI", "NUPOIN", "FSTLST") and layout.blocks:
            layout.blocks[-1].records.setdefault(tag, (number, value))
        elif not tag.endswith("ORIEN"):
            if known in _ORDER and _ORDER[known] < latest:
                report.warn("W05", "out of the standard's order", line=number, tag=tag)
            latest = max(latest, _ORDER[known])
            if tag in layout.header:
                report.warn("W05", "given more than once", line=number, tag=tag)
                layout.more_gains.append((number, tag, value))
            layout.header.setdefault(tag, (number, value))
    return layout


def _keep_point(layout: Layout, number: int, line: str, report: Report) -> None:
    if layout.blocks and _POINT.match(line):
        layout.blocks[-1].points.append((number, line))
        if len(layout.blocks[-1].points) > MOST_POINTS:
            raise report.refuse(
                "E11",
                f"the cut has over {MOST_POINTS} points",
                line=number,
                tag=layout.blocks[-1].label,
                fix="Thin the data out",
            )
        return
    raise report.refuse(
        "E06",
        f"{shown(line.strip())} is neither a record nor a data point",
        line=number,
        fix="Write records as TAG:,value and points as angle,level,",
    )


def check_counts(layout: Layout, choices: Choices, report: Report) -> None:
    """Compare counts with what was read (E11, W16, E21).

    Parameters
    ----------
    layout : Layout
        The file as it is laid out.
    choices : Choices
        Answers to what the file leaves open.
    report : Report
        Where warnings are kept and refusals worded.
    """
    if not layout.blocks:
        raise report.refuse("E04", "the record PATCUT is missing", tag="PATCUT", fix="Add the cuts")
    for place, block in enumerate(layout.blocks):
        for tag in ("POLARI", "NUPOIN"):
            if tag not in block.records:
                raise report.refuse(
                    "E04",
                    f"the record {tag} is missing",
                    line=block.line,
                    tag=block.label,
                    fix=f"Add {tag}; the file may be cut short",
                )
        line, text = block.records["NUPOIN"]
        count = report.number(text, line=line, tag="NUPOIN", low=0, high=MOST_POINTS)
        if count == len(block.points):
            continue
        if place == len(layout.blocks) - 1 and not layout.ended:
            raise report.refuse(
                "E21",
                f"the file is cut short: {len(block.points)} of {text.strip()} points, no ENDFIL",
                line=line,
                tag=block.label,
                fix="Get the whole file",
            )
        said = f"NUPOIN says {text.strip()}, {len(block.points)} points follow"
        if not choices.accept_count:
            raise report.refuse(
                "E11",
                said,
                line=line,
                tag="NUPOIN",
                fix='Correct the count, or set "accept_count": true in the antenna\'s model',
            )
        report.warn("W11", f"{said}; accepted", line=line, tag="NUPOIN")
    if not layout.ended:
        report.warn("W21", "ENDFIL is missing; the last cut is complete", tag="ENDFIL")
    starts = [start for _, _, start in layout.cut_counts] + [len(layout.blocks)]
    if not layout.cut_counts:
        report.warn("W04", "the record is missing; taken as what was read", tag="NUMCUT")
    for (line, text, start), stop in zip(layout.cut_counts, starts[1:], strict=True):
        if text.strip() != str(stop - start):
            report.warn(
                "W16",
                f"says {shown(text.strip())}, {stop - start} cuts were read",
                line=line,
                tag="NUMCUT",
            )
    line, text = layout.header.get("NOFREQ", (0, ""))
    if layout.frequencies == 0:
        report.warn("W04", "the record is missing; taken as the middle of the band", tag="PATFRE")
    elif line and text.strip() != str(layout.frequencies):
        report.warn(
            "W16",
            f"says {shown(text.strip())}, {layout.frequencies} frequencies were read",
            line=line,
            tag="NOFREQ",
        )
