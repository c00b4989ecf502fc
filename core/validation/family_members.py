"""The antennas of the families, each set up as every kind it can stand for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from core.antennas.base import Kind
from core.antennas.measured import Measured
from core.antennas.panel import Panel, PanelBand
from core.antennas.stack import Stack
from core.antennas.yagi import Yagi
from core.arrays import Floats
from core.patterns.model import Cut, Grid, PatternData, wrap
from core.validation import data

LOWEST_DB, CUTS_DB = 0.5, 1.3
"""How far a figure may lie below the reference, and from two cuts, whose plane may not be the strongest."""

STACKS = {
    "fm-crossed-v-8x-1wl-98mhz": "8 crossed-V bays",
    "fm-slant-pair-12x-1wl-98mhz": "12 bays of two slanted dipoles",
    "fm-ring-stub-8x-1wl-94mhz": "8 stubbed rings",
    "fm-helix-4x-1wl-94mhz": "4 helical turns",
    "fm-array-crossed-v-nullfill-6x-1wl-98mhz": "6 crossed-V bays, null fill",
    "fm-array-vertical-dipole-cosine-8x-0.9wl-98mhz": "8 dipoles, cosine taper",
    "fm-array-vertical-dipole-decay-6x-0.85wl-160mhz": "6 dipoles fed from one end",
}
PANELS = {"panel-5x-0.8wl-3deg-850mhz": "slant panel of 5"}
SHEETS = {
    "panel-5x-0.8wl-3deg-850mhz": {
        "azimuth_width": 80.0, "front_to_back": 15.6, "electrical_tilt": 3.0,
    },
}  # fmt: skip
"""What the reference says of its panels that a data sheet would."""
YAGIS = {
    "yagi-3el-145mhz": "Yagi of 3",
    "yagi-5el-150mhz": "Yagi of 5",
    "yagi-10el-440mhz": "Yagi of 10",
}
BAYS: dict[str, dict[str, Any]] = {
    "fm-crossed-v-8x-1wl-98mhz": {"bay": "crossed-v", "bend": 30.0},
    "fm-slant-pair-12x-1wl-98mhz": {"bay": "slant-pair"},
    "fm-ring-stub-8x-1wl-94mhz": {"bay": "ring-stub"},
    "fm-helix-4x-1wl-94mhz": {"bay": "helix"},
}
"""The shapes of bays, as a user would say them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A kind set up as one antenna of a family; ``middle`` is its place in the reference's frame.

    With ``by_erp`` its power is given as that of the reference's horizon, else as 1 W.
    """

    name: str
    words: str
    make: Callable[[], Kind]
    middle: tuple[float, float, float] = (0.0, 0.0, 0.0)
    lowest: float = LOWEST_DB
    by_erp: bool = False

    def watts(self, kind: Kind) -> float:
        """Return the power the kind is taken to radiate."""
        if not self.by_erp:
            return 1.0
        level, _, elevation = _gain(self.name)
        horizon = float(np.mean(10.0 ** (level[elevation == 0.0] / 10.0)))
        return horizon / kind.licence_gain(load(self.name)["frequency_hz"])


def load(name: str) -> dict[str, Any]:
    """Return the reference of an antenna.

    Parameters
    ----------
    name : str
        Of the reference file, without ``family-``.
    """
    return data.load(f"family-{name}")


def table_of(name: str) -> PatternData:
    """Return the gain of an antenna as a file that holds every direction.

    Parameters
    ----------
    name : str
        Of the reference file, without ``family-``.
    """
    level, azimuth, elevation = _gain(name)
    frequency = load(name)["frequency_hz"]
    return PatternData(
        name="invented",
        frequency=frequency,
        band=(0.98 * frequency, 1.02 * frequency),
        gain=float(level.max()),
        grid=Grid(azimuth, elevation, level, np.zeros(level.shape, bool)),
    )


def cuts_of(name: str) -> PatternData:
    """Return the two cuts of an antenna: round the horizon, and up and down through its front.

    Parameters
    ----------
    name : str
        Of the reference file, without ``family-``.
    """
    level, azimuth, elevation = _gain(name)
    frequency = load(name)["frequency_hz"]
    front, back = level[:, azimuth == 0.0][:, 0], level[:, azimuth == -180.0][:, 0]
    up = np.concatenate([elevation, 180.0 - elevation[1:-1]])
    levels = np.concatenate([front, back[1:-1]])
    order = np.argsort(wrap(up))
    fine = np.arange(-180.0, 180.0, 5.0)
    level_round = np.interp(fine, azimuth, level[len(elevation) // 2], period=360.0)
    gain = float(level.max())
    return PatternData(
        name="invented",
        frequency=frequency,
        band=(0.98 * frequency, 1.02 * frequency),
        gain=gain,
        azimuth=Cut(fine, gain - level_round),
        elevation=Cut(wrap(up)[order], gain - levels[order]),
    )


def _gain(name: str) -> tuple[Floats, Floats, Floats]:
    """Return gain (dBi) over azimuth (clockwise) and elevation, both ascending."""
    given = load(name)["gain"]
    level = np.array(given["tenths"]) / 10.0
    if len(level) == 1:
        level = np.repeat(level, 2, axis=0)
        given = {**given, "phi_step": 180.0}
    azimuth = wrap(-given["phi_step"] * np.arange(len(level)))
    order = np.argsort(azimuth)
    elevation = np.linspace(-90.0, 90.0, level.shape[1])
    return level[order].T[::-1], azimuth[order], elevation


def _measured(name: str, pattern: Callable[[str], PatternData]) -> Measured:
    found = load(name)
    given, lam = found["antenna"], found["wavelength_m"]
    along = "boom_m" in given
    if "reflector_height_m" in given:
        length, width = given["reflector_height_m"], given["reflector_width_m"]
    else:
        length = given["boom_m"] if along else given["length_m"]
        width = 0.5 * lam if along else 2.0 * given["radius_m"]
    return Measured(
        file="gain of the reference",
        length=length,
        width=width,
        runs="boresight" if along else "upright",
        feed="series" if "decay" in name else "branched",
        data=pattern(name),
    )


def _yagi(name: str) -> Yagi:
    given = load(name)["antenna"]
    return Yagi(gain=given["gain_max_dbi"], boom=given["boom_m"], elements=given["elements"])


def _stack(name: str, shape: dict[str, Any]) -> Stack:
    found = load(name)
    given = found["antenna"]
    return Stack(
        bays=given["bays"],
        spacing=given["spacing_wl"],
        design_frequency=found["frequency_hz"],
        **shape,
    )


def _panel(name: str) -> Panel:
    found = load(name)
    given, lam, frequency = found["antenna"], found["wavelength_m"], found["frequency_hz"]
    band = PanelBand(
        low=0.9 * frequency,
        high=1.1 * frequency,
        elements=given["elements"],
        spacing=given["spacing_wl"] * lam,
        **SHEETS[name],
    )
    return Panel(
        length=given["reflector_height_m"],
        width=given["reflector_width_m"],
        stand_off=given["stand_off_wl"],
        bands=(band,),
    )


def _middle(name: str) -> tuple[float, float, float]:
    """Between dipoles and reflector of a panel, whose dipoles are at x = 0."""
    found = load(name)
    return (-0.5 * found["antenna"].get("stand_off_wl", 0.0) * found["wavelength_m"], 0.0, 0.0)


@lru_cache
def members() -> tuple[Member, ...]:
    """Return every kind on every antenna it can stand for."""
    every = STACKS | PANELS | YAGIS

    def pattern(name: str, build: Callable[[str], PatternData], how: str, low: float) -> Member:
        return Member(
            name=name,
            words=f"{every[name]}, {how}",
            make=lambda: _measured(name, build),
            middle=_middle(name),
            lowest=low,
        )

    def as_yagi(name: str) -> Member:
        return Member(name=name, words=YAGIS[name], make=lambda: _yagi(name))

    def as_stack(name: str, shape: dict[str, Any], how: str, *, by_erp: bool) -> Member:
        return Member(
            name=name,
            words=f"{STACKS[name]}, {how}",
            make=lambda: _stack(name, shape),
            by_erp=by_erp,
        )

    unknown: dict[str, Any] = {"bay": "circular"}
    shaped = [name for name in every if "vertical-dipole" not in name]
    return (
        *(pattern(name, table_of, "full table", LOWEST_DB) for name in every),
        *(pattern(name, cuts_of, "two cuts", CUTS_DB) for name in shaped),
        *(as_yagi(name) for name in YAGIS),
        *(
            Member(name=name, words=PANELS[name], make=lambda name=name: _panel(name))  # type: ignore[misc]
            for name in PANELS
        ),
        *(as_stack(name, shape, "shape known", by_erp=False) for name, shape in BAYS.items()),
        *(as_stack(name, unknown, "shape not known", by_erp=False) for name in BAYS),
        *(as_stack(name, unknown, "shape not known, by ERP", by_erp=True) for name in BAYS),
    )
