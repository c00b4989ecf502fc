"""Generic antenna classes, so that a lead with an incomplete schedule can start.

Every value is a typical one of its class (common practice, no source), chosen at the side that gives
the stronger field where a range is usual. What was assumed is listed in every reading.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from core.antennas.base import Kind
from core.antennas.dish import Dish
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.errors import InputError
from core.units import wavelength


@dataclass(frozen=True, slots=True)
class Entry:
    """One class of antenna.

    Attributes
    ----------
    key, title : str
        Name in a site file, and for people.
    low, high : float
        Frequencies it is meant for, Hz.
    build : callable
        Frequency in Hz → kind.
    assumed : tuple of str
        What was assumed, in words.
    power : str
        The power such antennas usually have, for orientation only; never used for a figure.
    """

    key: str
    title: str
    low: float
    high: float
    build: Callable[[float], Kind]
    assumed: tuple[str, ...]
    power: str


def _fm(bays: int, spacing: float) -> Entry:
    words = {1.0: "full wave", 0.5: "half wave", 0.9: "0.9 wave"}[spacing]
    return Entry(
        key=f"fm-{bays}-bay-{words.replace(' ', '-')}",
        title=f"{bays}-bay FM, circular, {words} spaced",
        low=76e6,
        high=108e6,
        build=lambda f: Stack(bay="circular", bays=bays, design_frequency=f, spacing=spacing),
        assumed=(
            "circular polarisation, shape of the bays not known: the figures cover the usual ones",
            f"{bays} bays {spacing:g} wavelength apart, equal currents, no null fill",
        ),
        power="1 to 100 kW ERP in each polarisation",
    )


def _stick(key: str, title: str, low: float, high: float, dipoles: int, power: str) -> Entry:
    return Entry(
        key=key,
        title=title,
        low=low,
        high=high,
        build=lambda f: Stack(
            bay="vertical-dipole", bays=dipoles, design_frequency=f, spacing=0.85
        ),
        assumed=(f"{dipoles} vertical half-wave dipoles 0.85 wavelength apart, equal currents",),
        power=power,
    )


def _sector(
    key: str,
    title: str,
    low: float,
    high: float,
    length: float,
    count: int,
    width: float,
) -> Entry:
    spacing = length / count
    band = PanelBand(low=low, high=high, elements=count, spacing=spacing, azimuth_width=width)
    return Entry(
        key=key,
        title=title,
        low=low,
        high=high,
        build=lambda f: Panel(length=length, width=0.3, bands=(band,)),
        assumed=(
            f"{length:g} m high, {count} dipoles, azimuth width {width:g}°, front-to-back 25 dB",
            "all ports fed: both slants",
        ),
        power="20 to 80 W a carrier and port, 2 to 8 ports",
    )


def _dish(diameter: float) -> Entry:
    return Entry(
        key=f"dish-{diameter:g}-m".replace(".", "-"),
        title=f"microwave dish, {diameter:g} m",
        low=3e9,
        high=86e9,
        build=lambda f: Dish(diameter=diameter),
        assumed=("55 % aperture efficiency",),
        power="0.05 to 2 W",
    )


def _tv(
    key: str, title: str, levels: int, faces: int, low: float, high: float, power: str
) -> Entry:
    def build(f: float) -> Kind:
        lam = wavelength(f)
        return PanelRing(
            levels=levels,
            spacing=1.95 * lam,
            faces=faces,
            radius=max(0.3, 0.8 * lam),
            panel_height=1.75 * lam,
            azimuth_width=65.0,
            polarisation="either",
        )

    return Entry(
        key=key,
        title=title,
        low=low,
        high=high,
        build=build,
        assumed=(
            f"{levels} levels on {faces} faces, panels of two dipoles a column, 65° wide",
            "no null fill",
            "polarisation not known: the larger of horizontal and vertical",
        ),
        power=power,
    )


CATALOGUE: dict[str, Entry] = {
    entry.key: entry
    for entry in (
        *(_fm(bays, 1.0) for bays in (1, 2, 4, 6, 8, 10, 12)),
        *(_fm(bays, 0.5) for bays in (2, 4, 8)),
        _fm(12, 0.9),
        _tv("tv-vhf-4-level", "VHF TV panel array, 4 levels on 3 faces", 4, 3, 174e6, 230e6, "1 to 160 kW ERP"),
        _tv("tv-uhf-8-level", "UHF TV panel array, 8 levels on 4 faces", 8, 4, 470e6, 700e6, "5 to 1000 kW ERP"),
        _stick("stick-vhf", "omni stick, VHF (about 6 dBd)", 136e6, 174e6, 4, "50 to 125 W"),
        _stick("stick-uhf", "omni stick, UHF (about 9 dBd)", 380e6, 512e6, 8, "25 to 100 W"),
        _stick("stick-850", "omni stick, 800 to 960 MHz (about 10 dBd)", 800e6, 960e6, 10, "20 to 100 W"),
        _sector("sector-700", "sector panel 65°, 700 to 900 MHz, 2.6 m", 694e6, 960e6, 2.6, 8, 65.0),
        _sector("sector-1900", "sector panel 65°, 1.7 to 2.2 GHz, 1.4 m", 1695e6, 2200e6, 1.4, 10, 65.0),
        _sector("sector-2600", "sector panel 62°, 2.3 to 2.7 GHz, 1.4 m", 2300e6, 2700e6, 1.4, 14, 62.0),
        _sector("sector-3500", "sector panel 65°, 3.3 to 3.8 GHz, 1.1 m", 3300e6, 3800e6, 1.1, 14, 65.0),
        *(_dish(d) for d in (0.6, 1.2, 1.8, 3.0)),
    )
}  # fmt: skip
"""All classes by key."""


def classes_at(frequency: float, kind: str = "") -> tuple[Entry, ...]:
    """Return the classes meant for a ``frequency`` in Hz; with the key of a ``kind`` those only that stand for it."""
    fitting = (entry for entry in CATALOGUE.values() if entry.low <= frequency <= entry.high)
    return tuple(e for e in fitting if kind in ("", e.build(frequency).KEY))


def entry_of(key: str) -> Entry:
    """Return a class.

    Parameters
    ----------
    key : str
        Its key.

    Raises
    ------
    InputError
        If there is no such class.
    """
    if key not in CATALOGUE:
        raise InputError(
            f"{key!r} is not a class of the catalogue",
            field="entry",
            fix=f"Use one of {', '.join(CATALOGUE)}",
        )
    return CATALOGUE[key]
