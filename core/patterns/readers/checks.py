"""Does the pattern agree with what its file says about it?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from core.patterns.directivity import directivity_from_cuts, gain_check
from core.patterns.model import Cut, wrap
from core.patterns.readers.report import Report


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """What a file says; NaN where it says nothing. Gain in dBi, angles in degrees, ratio in dB."""

    gain: float = math.nan
    tilt: float = 0.0
    tilt_tolerance: float = 0.5
    azimuth_width: float = math.nan
    elevation_width: float = math.nan
    front_to_back: float = math.nan
    designators: frozenset[str] = frozenset()
    envelope: bool = False


def check(azimuth: Cut | None, elevation: Cut | None, stated: Stated, report: Report) -> None:
    """Note where cuts and statements disagree (W07, W15, W19, W20, W24).

    Parameters
    ----------
    azimuth : Cut or None
        Degrees clockwise.
    elevation : Cut or None
        Degrees up.
    stated : Stated
        What the file says of itself.
    report : Report
        Where warnings are kept and refusals worded.
    """
    for word, cut, width in (
        ("azimuth", azimuth, stated.azimuth_width),
        ("elevation", elevation, stated.elevation_width),
    ):
        if cut is None:
            report.warn("W15", f"no {word} cut: the conservative pattern has no loss by {word}")
            continue
        _width(word, cut, width, report)
        if not stated.envelope:
            _steps(word, cut, width, report)
    if azimuth is not None and azimuth.full_circle:
        behind = float(azimuth.at(azimuth.peak_angle + 180.0) - azimuth.loss.min())
        if abs(behind - stated.front_to_back) > 2.0:
            report.warn(
                "W19",
                f"front-to-back says {stated.front_to_back:g} dB, the azimuth cut {behind:.1f} dB",
                tag="FRTOBA",
            )
    if elevation is not None:
        _tilt(elevation, stated, report)
    if azimuth is not None and elevation is not None and not stated.envelope:
        severity, text = gain_check(stated.gain, directivity_from_cuts(azimuth, elevation))
        if severity != "ok":
            report.warn("W20", text)


def _width(word: str, cut: Cut, stated: float, report: Report) -> None:
    found = cut.width()
    if abs(found - stated) > 0.1 * stated:
        report.warn("W19", f"{word} width says {stated:g} degrees, the cut {found:.1f}")


def _steps(word: str, cut: Cut, stated: float, report: Report) -> None:
    width = min(cut.width(), stated) if math.isfinite(stated) and stated > 0.0 else cut.width()
    step = float(np.max(np.diff(cut.angles)))
    if step > width:
        report.warn(
            "W15",
            f"the {word} cut has a step of {step:g} degrees, wider than its beam of"
            f" {width:.1f}; side lobes between the points are unknown",
        )


def _tilt(elevation: Cut, stated: Stated, report: Report) -> None:
    """Compare the elevation peak with the stated tilt: a tilt down is a negative elevation."""
    peak = elevation.peak_angle
    room = stated.tilt_tolerance + 1.0
    tilted = bool(stated.tilt)
    if stated.designators & {"H", "V"} and tilted:
        report.warn(
            "W24",
            f"H or V cuts of an antenna tilted {stated.tilt:g} degrees; they may miss its peak",
            tag="ELTILT",
        )
    if not tilted and stated.designators & {"AZ", "EL"} and abs(wrap(peak)) > room:
        report.warn(
            "W24",
            f"no tilt is stated but the elevation cut peaks at {peak:g} degrees",
            tag="ELTILT",
        )
    if abs(wrap(peak + stated.tilt)) <= room:
        return
    text = (
        f"the elevation cut peaks at {peak:g} degrees, {stated.tilt:g} degrees of tilt should put"
    )
    text += f" it at {-stated.tilt:g}"
    if abs(wrap(peak - stated.tilt)) <= room:
        text += (
            "; up and down are probably exchanged. Kept as it is: check, and flip the cut if so,"
        )
        text += " because as it stands the ground looks safer than it is"
    report.warn("W07", text, tag="ELTILT")
