"""The tagged text format of NSMA WG16.99.050, also issued as TIA-804."""

from __future__ import annotations

import math

import numpy as np

from core.patterns.model import PatternData
from core.patterns.readers import nsma_units as units
from core.patterns.readers.checks import Stated, check
from core.patterns.readers.cuts import RawCut, checked_levels, finished, flipped, peak_check, tidy
from core.patterns.readers.nsma_layout import Block, check_counts, laid_out
from core.patterns.readers.report import Choices, Report, shown
from core.patterns.readers.text import Text

KINDS = {"H": "azimuth", "AZ": "azimuth", "V": "elevation", "EL": "elevation"}
REQUIRED = ("LOWFRQ", "HGHFRQ", "GUNITS", "MDGAIN")
ASSUMED = {
    "REVDAT": "unknown", "ANTMAN": "unknown", "MODNUM": "the file name", "ELTILT": "0 degrees",
    "PATTYP": "typical", "NOFREQ": "what was read",
}  # fmt: skip


def read(text: Text, choices: Choices, report: Report, stem: str) -> PatternData:
    """Return the pattern of a tagged text file; errors and warnings as in the report's codes.

    Parameters
    ----------
    choices : Choices
        Answers to what the file leaves open.
    stem : str
        How names begin.
    """
    first = text.lines[0].strip()
    if not first.startswith("REVNUM:,"):
        raise report.refuse(
            "E01",
            f"the first record is {shown(first)}, expected REVNUM:,",
            line=1,
            fix="Restore the REVNUM record at the top of the file",
        )
    text.check_lines(report)
    if not text.crlf:
        report.warn("W03", "not every line ends with CR LF; accepted")
    layout = laid_out(text, report)
    check_counts(layout, choices, report)
    header = {tag: value for tag, (_, value) in layout.header.items()}
    for tag in REQUIRED:
        if tag not in header:
            code = "E08" if tag == "GUNITS" else "E04"
            raise report.refuse(code, f"the record {tag} is missing", tag=tag, fix=f"Add {tag}")
    for tag, assumed in ASSUMED.items():
        if tag not in header:
            report.warn("W04", f"the record is missing; taken as {assumed}", tag=tag)
    gain_unit, data_unit = units.gain_and_data(layout.header["GUNITS"], choices, report)
    gain, mid_gain = units.gains(layout.header, layout.more_gains, gain_unit, report)
    band = units.band(layout.header, choices, report)
    tilt, tolerance = units.pair(layout.header, "ELTILT", report, -90.0, 90.0, (0.0, 0.5))
    kinds: dict[str, list[RawCut]] = {"azimuth": [], "elevation": []}
    lost: list[Block] = []
    for block in layout.blocks:
        raw = _raw_cut(block, gain, data_unit, choices, report)
        if raw is None:
            lost.append(block)
            continue
        raw.frequency = units.pattern_frequency(block.frequency, block.line, band, choices, report)
        kinds[raw.kind].append(raw)
    _nothing_missing(lost, kinds, report)
    frequency = _one_frequency(kinds, band, choices, report)
    if not kinds["azimuth"] and not kinds["elevation"]:
        raise report.refuse(
            "E09",
            "no usable H, V, AZ or EL cut",
            fix="Get a file with an azimuth and elevation cut",
        )
    designators = {block.designator for block in layout.blocks}
    low = any(cut.levels.max() < -0.05 and not cut.cross for cut in kinds["azimuth"])
    peak, azimuth, elevation = finished(kinds, gain, choices, report)
    envelope = header.get("PATTYP", "").strip().lower() == "envelope"
    stated = Stated(
        gain=peak,
        tilt=tilt,
        tilt_tolerance=tolerance,
        azimuth_width=units.pair(layout.header, "AZWIDT", report, 0.0, 360.0, (math.nan, 0.0))[0],
        elevation_width=units.pair(layout.header, "ELWIDT", report, 0.0, 360.0, (math.nan, 0.0))[0],
        front_to_back=units.pair(layout.header, "FRTOBA", report, 0.0, 200.0, (math.nan, 0.0))[0],
        designators=frozenset(designators),
        envelope=envelope,
    )
    check(azimuth, elevation, stated, report)
    return PatternData(
        name=header.get("MODNUM", "").strip() or stem,
        maker=header.get("ANTMAN", "").strip(),
        frequency=frequency,
        band=band,
        gain=peak,
        mid_gain=mid_gain,
        azimuth=azimuth,
        elevation=elevation,
        envelope=envelope,
        electrical_tilt=tilt,
        horizon_azimuth_cut=tilt != 0.0 and (low or "H" in designators),
        notes=tuple(report.notes),
        source=report.source,
    )


def _raw_cut(
    block: Block, gain: float, data_unit: str, choices: Choices, report: Report
) -> RawCut | None:
    """Return one cut with levels over the stated gain, or None if it cannot be used (noted)."""
    kind = KINDS.get(block.designator)
    if kind is None:
        report.warn(
            "E09", "not H, V, AZ or EL; this cut was left out", line=block.line, tag=block.label
        )
        return None
    port, source = units.polarisation(block.records["POLARI"], report)
    if len(block.points) < 3:
        report.warn(
            "E15", "fewer than 3 points; this cut was left out", line=block.line, tag=block.label
        )
        return None
    numbers = [units.point(line, text, block.label, report) for line, text in block.points]
    units.comma_check(numbers, block, report)
    angles = np.array([angle for angle, _, _ in numbers])
    values = np.array([value for _, value, _ in numbers])
    _first_last(block, angles, report)
    if data_unit == "LIN":
        values = units.linear_levels(values, choices.linear, report, block.line, block.label)
        data_unit = "DBR"
    if data_unit == "DBR":
        levels = checked_levels(values, choices, report, line=block.line, tag=block.label)
    else:
        levels = values + units.OVER_ISOTROPIC[data_unit] - gain
        if levels.max() > 0.05:
            report.warn(
                "W17",
                f"the levels reach {levels.max():.2f} dB over the stated gain; the"
                " larger is used as the gain",
                line=block.line,
                tag=block.label,
            )
    angles, levels = tidy(angles, levels, report, line=block.line, tag=block.label)
    if angles.size < 3:
        report.warn(
            "E15",
            "fewer than 3 directions; this cut was left out",
            line=block.line,
            tag=block.label,
        )
        return None
    raw = RawCut(kind, port, source, block.line, block.label, angles=angles, levels=levels)
    if kind == "elevation" and choices.flip_elevation:
        flipped(raw)
        report.warn(
            "W07",
            "the elevation cut was turned upside down, as chosen",
            line=block.line,
            tag=block.label,
        )
    peak_check(raw, choices, report)
    return raw


def _nothing_missing(lost: list[Block], kinds: dict[str, list[RawCut]], report: Report) -> None:
    """Refuse the file if a cut left out was the only one of its polarisation.

    A missing cut is safe, because it counts as no loss; a missing part of a sum of powers is not.
    """
    for block in lost:
        port, _ = units.polarisation(block.records["POLARI"], Report(""))
        for kind in (KINDS.get(block.designator),) if block.designator in KINDS else tuple(kinds):
            cuts = kinds[kind] if kind else []
            if cuts and port not in {cut.port for cut in cuts}:
                raise report.refuse(
                    "E15" if block.designator in KINDS else "E09",
                    f"this cut cannot be used, and polarisation {port} has no other {kind} cut",
                    line=block.line,
                    tag=block.label,
                    fix="Correct the cut, or remove its polarisation if the power is not radiated",
                )


def _first_last(block: Block, angles: np.ndarray, report: Report) -> None:
    if "FSTLST" not in block.records:
        report.warn("W12", "FSTLST is missing", line=block.line, tag=block.label)
        return
    line, text = block.records["FSTLST"]
    ends = [
        report.number(part, line=line, tag="FSTLST", low=-360.0, high=360.0)
        for part in text.rstrip(", ").split(",")
    ]
    if len(ends) != 2 or np.any(np.abs(np.array(ends) - angles[[0, -1]]) > 0.0005):
        report.warn(
            "W12",
            f"says {shown(text.strip())}, the points run from {angles[0]:g} to {angles[-1]:g}",
            line=line,
            tag="FSTLST",
        )


def _one_frequency(
    kinds: dict[str, list[RawCut]], band: tuple[float, float], choices: Choices, report: Report
) -> float:
    """Return the pattern frequency; keep one of several if chosen, else leave all for the larger."""
    found = sorted({cut.frequency for cuts in kinds.values() for cut in cuts})
    if not found:
        return 0.5 * (band[0] + band[1])
    if len(found) == 1:
        return found[0]
    if choices.frequency is not None:
        wanted = choices.frequency
        nearest = min(found, key=lambda value: abs(value - wanted))
        for kind in kinds:
            kinds[kind] = [cut for cut in kinds[kind] if cut.frequency == nearest]
        report.warn("W26", f"{len(found)} frequencies; {nearest / 1e6:g} MHz was taken, as chosen")
        return nearest
    report.warn(
        "W26",
        f"{len(found)} frequencies from {found[0] / 1e6:g} to {found[-1] / 1e6:g} MHz; the larger"
        " level counts at every angle",
    )
    return 0.5 * (found[0] + found[-1])
