"""From the points of a file to total-power cuts."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from core.patterns.model import ROUNDING, Cut, wrap
from core.patterns.readers.report import Choices, Report

Array = NDArray[np.float64]
SAME_LEVEL = 0.1
"""dB by which two levels in one direction may differ and still be one."""


@dataclass(slots=True)
class RawCut:
    """One block of a file. ``kind`` is azimuth or elevation; levels are dB over the stated gain."""

    kind: str
    port: str
    source: str
    line: int
    label: str
    frequency: float = float("nan")
    angles: Array = field(default_factory=lambda: np.zeros(0))
    levels: Array = field(default_factory=lambda: np.zeros(0))

    @property
    def cross(self) -> bool:
        """True for cross-polar data."""
        return self.port != self.source


def tidy(
    angles: Array, levels: Array, report: Report, *, line: int, tag: str, stepped: bool = False
) -> tuple[Array, Array]:
    """Return angles in [-180, 180), ascending and distinct, with their levels.

    Points out of order are sorted (W13). One direction given twice keeps the higher level if both
    agree within 0.1 dB (W14) or if the format uses pairs to mark a step (``stepped``).

    Parameters
    ----------
    report : Report
        Where warnings are kept and refusals worded.
    line : int
        Line of the file, for messages.
    tag : str
        Record of the file, for messages.

    Raises
    ------
    InputError
        E14 if one direction has two levels.
    """
    if np.any(np.diff(angles) <= 0.0) and not stepped:
        report.warn(
            "W13", "the angles do not rise from line to line; they were sorted", line=line, tag=tag
        )
    turned = np.round(wrap(angles), 6)
    turned = np.where(turned >= 180.0, -180.0, turned)
    order = np.lexsort((-levels, turned))
    turned, levels = turned[order], levels[order]
    first = np.concatenate(([True], np.diff(turned) > 0.0))
    group = np.cumsum(first) - 1
    lowest = np.full(int(group[-1]) + 1, np.inf)
    np.minimum.at(lowest, group, levels)
    kept_angles, kept = turned[first], levels[first]
    apart = kept - lowest
    if kept.size < levels.size and not stepped:
        worst = int(np.argmax(apart))
        if apart[worst] > SAME_LEVEL:
            raise report.refuse(
                "E14",
                f"direction {kept_angles[worst]:g} is given twice, {apart[worst]:.2f} dB apart",
                line=line,
                tag=tag,
                fix="Keep one level for each direction; -180 and 180 are the same",
            )
        report.warn(
            "W14",
            f"{levels.size - kept.size} direction(s) given twice; the higher level was kept",
            line=line,
            tag=tag,
        )
    return kept_angles, kept


def checked_levels(
    values: Array, choices: Choices, report: Report, *, line: int, tag: str
) -> Array:
    """Return relative levels in dB, negated if that was chosen.

    Parameters
    ----------
    values : Array
        Values.
    choices : Choices
        Answers to what the file leaves open.
    report : Report
        Where warnings are kept and refusals worded.
    line : int
        Line of the file, for messages.
    tag : str
        Record of the file, for messages.

    Raises
    ------
    InputError
        E17 if a level lies more than 0.05 dB above the peak.
    """
    levels = -values if choices.negate else values
    above = float(np.max(levels))
    if above > ROUNDING + 1e-9:
        every = bool(np.all(levels >= -ROUNDING))
        what = (
            "all levels are positive, like attenuations" if every else "a level is above the peak"
        )
        raise report.refuse(
            "E17",
            f"{what} (largest {above:+.2f} dB, expected 0 or below)",
            line=line,
            tag=tag,
            fix='If these are losses, set "negate": true in the antenna\'s model',
        )
    return levels


def peak_check(raw: RawCut, choices: Choices, report: Report) -> None:
    """Note a cut whose own maximum lies below the antenna's peak (W18), shift it if chosen.

    Parameters
    ----------
    raw : RawCut
        The cut as it was read.
    choices : Choices
        Answers to what the file leaves open.
    report : Report
        Where warnings are kept and refusals worded.
    """
    top = float(raw.levels.max())
    if raw.cross or top >= -ROUNDING - 1e-9:
        return
    if choices.renormalise:
        raw.levels = raw.levels - top
        report.warn(
            "W18",
            f"the cut was raised {-top:.2f} dB to 0 dB, as chosen",
            line=raw.line,
            tag=raw.label,
        )
        return
    report.warn(
        "W18",
        f"the highest level is {top:.2f} dB: the cut misses the peak or the file is shifted; kept as"
        " it is (the conservative pattern raises it to 0 dB)",
        line=raw.line,
        tag=raw.label,
    )


def total_power(cuts: list[RawCut], choices: Choices, report: Report) -> tuple[Array, Array]:
    """Return the total-power levels of cuts of one kind, over the stated gain.

    Co-polar and cross-polar powers of one antenna port add up. Several ports: where the file gives
    cross-polar data the blocks are ports measured one at a time (a dual-polarised dish or panel)
    and the larger counts. Where it gives co-polar blocks only, such as H/H and V/V of a circularly
    polarised FM antenna, each block is one part of the same radiation with the stated gain as its
    own share, and their powers add up: two equal parts make 3.01 dB more than the stated gain. If
    such a file means two ports fed separately the sum is up to 3 dB high; ``polarisations="larger"``
    says so.

    Parameters
    ----------
    choices : Choices
        Answers to what the file leaves open.
    report : Report
        Where warnings are kept and refusals worded.
    """
    ports: dict[str, list[RawCut]] = {}
    for cut in cuts:
        ports.setdefault(cut.port, []).append(cut)
    used: list[tuple[Array, Array]] = []
    crossed = False
    for port, members in ports.items():
        if all(cut.cross for cut in members):
            report.warn(
                "W10",
                f"port {port} has cross-polar data only and was left out",
                line=members[0].line,
                tag=members[0].label,
            )
            continue
        by_source: dict[str, list[RawCut]] = {}
        for cut in members:
            by_source.setdefault(cut.source, []).append(cut)
        parts = []
        for same in by_source.values():
            if len(same) > 1 and len({cut.frequency for cut in same}) == 1:
                report.warn(
                    "W05",
                    "a cut is given more than once; the higher level counts",
                    line=same[-1].line,
                    tag=same[-1].label,
                )
            parts.append(_joined([(cut.angles, cut.levels) for cut in same], add=False))
        crossed = crossed or len(parts) > 1
        used.append(_joined(parts, add=True))
    if not used:
        raise report.refuse(
            "E10",
            "only cross-polar cuts, which do not describe the antenna's radiation",
            line=cuts[0].line,
            tag=cuts[0].label,
            fix="Get a file with co-polar cuts",
        )
    if len(used) == 1:
        return used[0]
    names = " and ".join(sorted(ports))
    add = (choices.polarisations or ("larger" if crossed else "sum")) == "sum"
    how = "added as powers, each with the stated gain" if add else "the larger counts"
    report.warn("W10", f"{cuts[0].kind}: polarisations {names}: {how}", line=cuts[0].line)
    return _joined(used, add=add)


def _joined(parts: list[tuple[Array, Array]], *, add: bool) -> tuple[Array, Array]:
    """Return the power sum or the largest level at all angles that every part covers."""
    if len(parts) == 1:
        return parts[0]
    top = max(float(levels.max()) for _, levels in parts)
    readers = [Cut(angles, top - levels) for angles, levels in parts]
    angles = np.unique(np.concatenate([part[0] for part in parts]))
    every = np.array([top - reader.at(angles) for reader in readers])
    known = np.all(np.isfinite(every), axis=0)
    angles, every = angles[known], every[:, known]
    if angles.size == 0:
        return parts[0][0][:0], parts[0][1][:0]
    if add:
        return angles, 10.0 * np.log10(np.sum(10.0 ** (every / 10.0), axis=0))
    return angles, every.max(axis=0)


def finished(
    kinds: dict[str, list[RawCut]], gain: float, choices: Choices, report: Report
) -> tuple[float, Cut | None, Cut | None]:
    """Return the peak gain in dBi of the total power and both cuts below it.

    Parameters
    ----------
    kinds : dict[str, list[RawCut]]
        What the cuts are.
    choices : Choices
        Answers to what the file leaves open.
    report : Report
        Where warnings are kept and refusals worded.

    Raises
    ------
    InputError
        E15 if no usable cut is left.
    """
    totals = {}
    for kind, cuts in kinds.items():
        if not cuts:
            continue
        angles, levels = total_power(cuts, choices, report)
        if angles.size < 3:
            report.warn("E15", f"the {kind} cuts share fewer than 3 directions and were left out")
            continue
        totals[kind] = angles, levels
    if not totals:
        raise report.refuse(
            "E15", "no usable cut", fix="Get a file with an azimuth or elevation cut"
        )
    # A sum of polarisations, or levels in dBi over the stated gain, put the peak above it.
    top = max(0.0, *(float(levels.max()) for _, levels in totals.values()))
    made = {kind: Cut(angles, top - levels) for kind, (angles, levels) in totals.items()}
    return gain + top, made.get("azimuth"), made.get("elevation")


def flipped(cut: RawCut) -> None:
    """Turn an elevation cut upside down."""
    order = np.argsort(wrap(-cut.angles))
    cut.angles, cut.levels = wrap(-cut.angles)[order], cut.levels[order]
