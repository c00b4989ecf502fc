"""What stands about an antenna against exact fields: soil, a conducting roof, a lattice tower.

The references (``em/README.md``) hold the field with the surface or the tower and that of the same antenna alone, at
the place and at its mirror image. So only what this program adds to a field is tried here, not the antenna's own model.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from core.arrays import Floats
from core.fields.spread import Spread
from core.site.mirror import NULL_FILL, Mirror
from core.site.mirrors import mirrors
from core.site.places import Structure, Surface
from core.site.steel import steel
from core.units import ETA0
from core.validation import data
from core.validation.family_members import LOWEST_DB, load
from core.validation.spread import WAVELENGTHS, DistanceTable, row

ON_ROOF = 2.05
"""m over a roof that counts as on it."""

GROUNDS = {
    "ground-horizontal-dipole-1x-5m-dry-98mhz": "horizontal dipole 5 m over dry soil",
    "ground-vertical-dipole-4x-30m-medium-98mhz": "4 vertical dipoles 30 m over soil",
    "ground-crossed-v-4x-20m-wet-98mhz": "4 crossed V 20 m over wet soil",
}
ROOFS = {
    "roof-crossed-v-1x-3m-98mhz": "crossed V 3 m over a roof",
    "roof-horizontal-dipole-1x-4m-98mhz": "horizontal dipole 4 m over a roof",
    "roof-vertical-dipole-2x-2m-450mhz": "2 vertical dipoles over a roof",
}
TOWERS = {
    "tower-crossed-v-4x-1m-face0.6m-98mhz": "4 crossed V 1 m from a tower",
    "tower-vertical-dipole-1x-0.5m-face0.6m-98mhz": "vertical dipole 0.5 m from a tower",
}


@lru_cache
def by_distance() -> DistanceTable:
    """Return the errors of what reflection and steel make of exact free fields, by distance from the antenna."""
    rows = []
    for name, words in GROUNDS.items():
        error, away, _ = _over_surface(load(name))
        rows.append(row("soil", words, [(error, away)], low=LOWEST_DB))
    for name, words in ROOFS.items():
        error, away, on = _over_surface(load(name))
        for said, part in (("on it", on), ("in the air", np.logical_not(on))):
            rows.append(
                row("metal", f"{words}, {said}", [(error[part], away[part])], low=LOWEST_DB)
            )
    for name, words in TOWERS.items():
        rows.append(row("steel", words, [_beside_tower(load(name))], low=LOWEST_DB))
    return DistanceTable(
        title="Surfaces and steel, on exact free fields",
        about="The field with soil, a conducting roof or a lattice tower against what is shown from the exact field of "
        "the antenna alone. Points within 20 dB of an even spread of the power; from 0.1 m off the tower.",
        edges=WAVELENGTHS,
        unit="wavelengths",
        rows=tuple(rows),
    )


def _bays(found: dict[str, Any]) -> Floats:
    """Return the heights of the bays, m."""
    a, lam = found["antenna"], found["wavelength_m"]
    middle = (np.arange(a["bays"]) - (a["bays"] - 1) / 2) * a["spacing_wl"] * lam
    if "centre_height_m" in a:
        return np.asarray(middle + a["centre_height_m"])
    if "lowest_bay_over_roof_m" in a:
        return np.asarray(middle - middle[0] + a["lowest_bay_over_roof_m"])
    return np.asarray(middle)


def _even(points: Floats, bays: Floats, x: float) -> Floats:
    """Return the power spread evenly from the bays, W/m² for 1 W."""
    away2 = [(points[:, 0] - x) ** 2 + points[:, 1] ** 2 + (points[:, 2] - z) ** 2 for z in bays]
    even: Floats = np.mean([1.0 / r2 for r2 in away2], axis=0) / (4.0 * np.pi)
    return even


def _over_surface(found: dict[str, Any]) -> tuple[Floats, Floats, Floats]:
    """Return errors in dB, distances in wavelengths, and which places lie on a roof."""
    table = np.concatenate([np.array(rows) for rows in found["points"].values()])
    points, frequency = table[:, :3], found["frequency_hz"]
    bays, x = _bays(found), float(found["antenna"].get("offset_x_m", 0.0))
    centre = (x, 0.0, float(bays.mean()))
    half = 0.5 * float(found["ground"].get("side_m", 0.0))
    (mirror,) = _mirror(half, centre, bays, frequency)
    size = mirror.coefficient(points, centre, frequency)
    exact = np.maximum(table[:, 4] ** 2 / ETA0, table[:, 5] ** 2 * ETA0)
    local = mirror.mirrored(points) - np.array(centre)
    fill = NULL_FILL * _spread(bays, frequency).density(_spread(bays, frequency).distance(local))
    if not half:
        fill = 0.0 * fill
    e = table[:, 6] + size * np.maximum(table[:, 8], np.sqrt(fill * ETA0))
    h = table[:, 7] + size * np.maximum(table[:, 9], np.sqrt(fill / ETA0))
    shown = np.maximum(e * e / ETA0, h * h * ETA0)
    counts = exact > 0.01 * _even(points, bays, x)
    on = (np.abs(points[:, :2]) < half).all(axis=1) & (points[:, 2] < ON_ROOF)
    return data.decibels(shown / exact)[counts], table[counts, 3], on[counts]


def _spread(bays: Floats, frequency: float) -> Spread:
    """Return the line of half-wave bays."""
    quarter = 0.25 * 299_792_458.0 / frequency
    half = 0.5 * float(np.ptp(bays)) + quarter
    return Spread(-half, half, 0.1)


def _mirror(
    half: float, centre: tuple[float, float, float], bays: Floats, frequency: float
) -> tuple[Mirror, ...]:
    side = half or 100.0
    outline = ((-side, -side), (side, -side), (side, side), (-side, side))
    surface = Surface(
        name="it", kind="roof" if half else "ground", height=0.0, outline=outline,
        material="metal" if half else "",
    )  # fmt: skip
    metal = np.array([[0.0, 0.0, float(bays.min()) - centre[2]]])
    return mirrors((surface,), (), centre, metal, frequency)


def _beside_tower(found: dict[str, Any]) -> tuple[Floats, Floats]:
    """Return errors in dB and distances in wavelengths from the antenna."""
    table = np.concatenate([np.array(rows) for rows in found["points"].values()])
    points, frequency = table[:, :3], found["frequency_hz"]
    tower, bays = found["antenna"]["tower"], _bays(found)
    legs = tuple((float(x), float(y)) for x, y in tower["legs_xy"])
    high = float(tower["height_m"])
    drawn = Structure(name="T", kind="tower", outline=legs, base=-high / 2.0, top=high / 2.0)
    about = steel((drawn,), (0.0, 0.0, 0.0), frequency, backed=False, in_pattern=False, own=False)
    assert about is not None
    exact = np.maximum(table[:, 5] ** 2 / ETA0, table[:, 6] ** 2 * ETA0)
    alone = np.maximum(table[:, 7] ** 2 / ETA0, table[:, 8] ** 2 * ETA0)
    spread = _spread(bays, frequency)
    alone = np.maximum(alone, about.fill * spread.density(spread.distance(points)))
    shown = alone * about.rise(about.distance(points))
    counts = exact > 0.01 * _even(points, bays, 0.0)
    return data.decibels(shown / exact)[counts], table[counts, 3]
