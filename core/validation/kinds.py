"""The kinds as a user would enter the reference antennas, and their errors point by point."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np

from core.antennas.base import Kind
from core.antennas.beam_array import BeamArray
from core.antennas.measured import Measured
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.wire import HfDipole
from core.antennas.worst_case import WorstCase
from core.antennas.yagi import Yagi
from core.arrays import Floats
from core.patterns.model import Cut, PatternData, wrap
from core.validation import data
from core.validation.spread import Row, row

LOWEST_DB = 0.5
"""How far below the reference a conservative figure may lie."""

DIPOLE, TURNSTILE, RING = "dipole-100mhz", "turnstile-1bay-98mhz", "slant-ring-4bay-98mhz"
FOUR, TWELVE, EIGHT = "stack-4x-1.0wl", "stack-12x-1.0wl", "stack-8x-0.5wl"
GRID, ENDLESS, YAGI = "panel-450mhz-grid", "panel-450mhz-image", "yagi-150mhz"


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """A kind set up as one of the reference antennas.

    ``factor`` multiplies its power density (full reflection over ground), ``origin`` is its place and
    ``turn`` has its axes as columns, both in the reference's frame.
    """

    name: str
    words: str
    make: Callable[[], Kind]
    factor: float = 1.0
    origin: tuple[float, float, float] = (0.0, 0.0, 0.0)
    turn: tuple[tuple[float, float, float], ...] = ((1, 0, 0), (0, 1, 0), (0, 0, 1))


def stack_of(name: str) -> Stack:
    """Return the stack of a reference file.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    found = data.load(name)
    given = found["antenna"]["parameters"]
    ring, crossed = "slant_deg" in given, "offset_from_bay_centre_wl" in given
    return Stack(
        bay="slant-ring" if ring else "turnstile" if crossed else "vertical-dipole",
        bays=given.get("elements", given.get("bays", 1)),
        design_frequency=found["frequency_hz"],
        spacing=given.get("spacing_wl", 1.0),
        arm_length=given["length_wl"],
        beam_tilt=0.0,
    )


def azimuth_sheet(name: str) -> tuple[float, float]:
    """Return half-power width and front-to-back ratio, as a data sheet reads them off the azimuth cut.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    cut = np.array(data.load(name)["directivity"]["azimuth_cut"]["dbi"])
    drop = cut[0] - cut[:37]
    return float(2.0 * np.interp(3.0, drop[:14], np.arange(14) * 5.0)), float(cut[0] - cut[36])


def panel_of(name: str, back: float) -> Panel:
    """Return the panel of a reference file.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    back : float
        Attenuation of the elevation cut behind, dB.
    """
    given, wl = data.load(name)["antenna"]["parameters"], data.load(name)["wavelength_m"]
    band = PanelBand(
        low=440e6,
        high=460e6,
        elements=given["elements"],
        spacing=given["spacing_wl"] * wl,
        azimuth_width=azimuth_sheet(name)[0],
        front_to_back=back,
        electrical_tilt=0.0,
    )
    return Panel(
        length=(given["elements"] - 1) * given["spacing_wl"] * wl + 0.64,
        width=given["width_wl"] * wl,
        polarisation="vertical",
        stand_off=given["stand_off_wl"],
        bands=(band,),
    )


def one_face(name: str) -> PanelRing:
    """Return the panel as a ring of panels with one face, each dipole a level.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    given, wl = data.load(name)["antenna"]["parameters"], data.load(name)["wavelength_m"]
    width, back = azimuth_sheet(name)
    return PanelRing(
        levels=given["elements"],
        spacing=given["spacing_wl"] * wl,
        faces=1,
        radius=0.0,
        panel_height=given["length_wl"] * wl,
        azimuth_width=width,
        front_to_back=back,
        polarisation="vertical",
        beam_tilt=0.0,
    )


def one_beam(name: str) -> BeamArray:
    """Return the panel as a beam-steering panel of one column with one fixed beam.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    width, back = azimuth_sheet(name)
    return BeamArray(
        rows=10,
        columns=1,
        row_spacing=0.8,
        column_spacing=0.8,
        element_gain=data.load(name)["directivity"]["max_dbi"] - 10.0,
        azimuth_width=width,
        elevation_width=80.0,
        front_to_back=back,
        steer_azimuth=0.0,
        steer_up=0.0,
        steer_down=0.0,
    )


def _yagi_boom() -> Floats:
    found = data.load(YAGI)
    x: Floats = np.array(found["antenna"]["parameters"]["x_wl"]) * found["wavelength_m"]
    return x


def yagi_of() -> Yagi:
    """Return the Yagi by its gain and boom."""
    x = _yagi_boom()
    gain = data.load(YAGI)["directivity"]["max_dbi"]
    return Yagi(gain=gain, boom=float(np.ptp(x)), elements=len(x))


def _size(name: str) -> tuple[float, float]:
    """Height and width in m of the radiating part."""
    elements = data.load(name)["antenna"]["elements"]
    centre = np.array([e["centre_m"] for e in elements])
    reach = np.abs([np.array(e["axis"]) * e["length_m"] / 2.0 for e in elements])
    low, high = (centre - reach).min(axis=0), (centre + reach).max(axis=0)
    height, width = float(high[2] - low[2]), float(max(high[0] - low[0], high[1] - low[1]))
    given = data.load(name)["antenna"]["parameters"]
    if "width_wl" in given:
        width = given["width_wl"] * data.load(name)["wavelength_m"]
    return max(height, 0.1), max(width, 0.01)


def cuts_of(name: str) -> PatternData:
    """Return the two cuts of a reference antenna as a pattern file would hold them.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    found = data.load(name)
    given = found["directivity"]
    up, across = np.array(given["elevation_cut"]["dbi"]), np.array(given["azimuth_cut"]["dbi"])
    gain = max(up.max(), across.max(), given["max_dbi"])
    elevation = 90.0 - np.arange(up.size)
    azimuth = wrap(-5.0 * np.arange(across.size))
    order, turn = np.argsort(elevation), np.argsort(azimuth)
    f = found["frequency_hz"]
    return PatternData(
        name="invented",
        frequency=f,
        band=(0.98 * f, 1.02 * f),
        gain=gain,
        azimuth=Cut(azimuth[turn], gain - across[turn]),
        elevation=Cut(elevation[order], gain - up[order]),
    )


def measured_of(name: str) -> Measured:
    """Return a reference antenna as one known by its two cuts and its size alone.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    height, width = _size(name)
    return Measured(file="cuts of the reference", length=height, width=width, data=cuts_of(name))


def worst_of(name: str) -> WorstCase:
    """Return a reference antenna as one known by its gain and size alone.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    """
    return WorstCase(gain=data.load(name)["directivity"]["max_dbi"], size=_size(name)[0])


def wire_of() -> HfDipole:
    """Return the half-wave dipole as a wire in free space."""
    return HfDipole(length=1.498962, height=0.0, radius=0.005, ground="none")


def _over_ground(stem: str, words: str) -> Subject:
    name = f"{stem}-ground"
    height = data.load(name)["antenna"]["parameters"]["centre_height_m"]
    return Subject(
        name=name,
        words=f"{words} over perfect ground, full reflection",
        make=partial(stack_of, name),
        factor=4.0,
        origin=(0.0, 0.0, height),
    )


@lru_cache
def subjects() -> tuple[Subject, ...]:
    """Return every kind on every reference antenna it can stand for."""
    free = {
        DIPOLE: "half-wave dipole",
        f"{FOUR}-freespace": "4 dipoles, 1 λ apart",
        f"{TWELVE}-freespace": "12 dipoles, 1 λ apart",
        f"{EIGHT}-freespace": "8 dipoles, 0.5 λ apart",
        TURNSTILE: "turnstile",
        RING: "4 rings of slanted dipoles",
    }
    panel = "panel of 10 dipoles"
    known = {name: words for name, words in free.items() if name != DIPOLE} | {GRID: panel}
    x = _yagi_boom()
    middle = (float(x.min() + x.max()) / 2.0, 0.0, 0.0)
    return (
        *(Subject(name=n, words=w, make=partial(stack_of, n)) for n, w in free.items()),
        _over_ground(FOUR, "4 dipoles"),
        _over_ground(TWELVE, "12 dipoles"),
        _over_ground(EIGHT, "8 dipoles"),
        Subject(name=GRID, words=panel, make=partial(panel_of, GRID, azimuth_sheet(GRID)[1])),
        Subject(name=ENDLESS, words="the same, endless reflector", make=partial(panel_of, ENDLESS, 30.0)),
        Subject(name=GRID, words=f"{panel}, as one face", make=partial(one_face, GRID)),
        Subject(name=GRID, words=f"{panel}, as one fixed beam", make=partial(one_beam, GRID)),
        Subject(name=YAGI, words="Yagi of 5 elements", make=yagi_of, origin=middle),
        Subject(
            name=DIPOLE, words="half-wave dipole in free space", make=wire_of,
            # The kind's wire runs to the left (y), the reference's upwards.
            turn=((1, 0, 0), (0, 0, 1), (0, 1, 0)),
        ),
        *(Subject(name=n, words=w, make=partial(measured_of, n)) for n, w in known.items()),
        *(Subject(name=n, words=w, make=partial(worst_of, n)) for n, w in known.items()),
    )  # fmt: skip


def errors(subject: Subject, *, conservative: bool) -> Row:
    """Return a subject's row: points within 20 dB of their set's largest, outside the trust distance.

    Parameters
    ----------
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    kind = subject.make()
    found = data.load(subject.name)
    parts = []
    for rows in data.sets(subject.name).values():
        points = (rows[:, :3] - np.array(subject.origin)) @ np.array(subject.turn)
        unit = kind.unit_field(points, found["frequency_hz"], conservative=conservative)
        ours = unit.power_density * subject.factor * data.POWER
        pick = data.strong(rows) & ~unit.reactive
        distance = data.metal_distance(subject.name, rows[:, :3]) / found["wavelength_m"]
        parts.append((data.decibels(ours / data.reference(rows))[pick], distance[pick]))
    if not conservative:
        return row(kind.KEY, subject.words, parts)
    return row(kind.KEY, subject.words, parts, low=LOWEST_DB)
