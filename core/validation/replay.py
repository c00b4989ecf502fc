"""Superposition with the very feed currents of the reference: what the exact fields alone can do."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np

from core.arrays import Bools, Floats
from core.fields import arms as arm
from core.units import ETA0, SPEED_OF_LIGHT
from core.validation import data
from core.validation.spread import Row, row

Choice = Callable[[str, Floats, Floats], Bools]
"""Which rows count, from the set's name, its rows, and the distance to the metal in wavelengths."""


@lru_cache
def replayed(name: str, images: str = "") -> arm.Arms:
    """Return the reference's own elements and current ratios, radiating 1 kW.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    images : str
        With the images in the ground.
    """
    found = data.load(name)
    elements = found["antenna"]["elements"]
    centre = np.array([e["centre_m"] for e in elements])
    axis = np.array([e["axis"] for e in elements])
    current = np.array([complex(*e["current_ratio"]) for e in elements])
    length = np.array([e["length_m"] for e in elements])
    k = 2.0 * np.pi * found["frequency_hz"] / SPEED_OF_LIGHT
    share = 1.0
    if images == "ground":
        centre = np.concatenate([centre, centre * [1.0, 1.0, -1.0]])
        current, share = np.concatenate([current, current]), 2.0
    if images == "reflector":
        step = 2.0 * found["antenna"]["parameters"]["stand_off_wl"] * found["wavelength_m"]
        centre = np.concatenate([centre, centre - [step, 0.0, 0.0]])
        current, share = np.concatenate([current, -current]), 2.0
    copies = len(centre) // len(axis)
    whole = arm.make_arms(
        centre, np.tile(axis, (copies, 1)), np.tile(length, copies) / 2.0, current, k
    )
    scale = np.sqrt(share * data.POWER / arm.radiated_power(whole))
    return arm.make_arms(centre, whole.axis, whole.half_length, whole.current * scale, k)


@lru_cache
def errors(name: str, images: str = "") -> dict[str, tuple[Floats, Floats]]:
    """Return the error in dB and the distance in wavelengths of every point of every set.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    images : str
        With the images in the ground.

    Returns
    -------
    array
        Same shape as the arrays given.
    """
    found = {}
    for key, rows in data.sets(name).items():
        total = arm.arm_sum(replayed(name, images), rows[:, :3].copy())
        s = np.maximum(total.e2 / ETA0, total.h2 * ETA0)
        distance = data.metal_distance(name, rows[:, :3]) / data.load(name)["wavelength_m"]
        found[key] = (data.decibels(s / data.reference(rows)), distance)
    return found


def _every(key: str, rows: Floats, distance: Floats) -> Bools:
    return np.ones(len(rows), bool)


def _beyond(key: str, rows: Floats, distance: Floats) -> Bools:
    return np.asarray(distance > 0.2)


def _beside(key: str, rows: Floats, distance: Floats) -> Bools:
    return np.full(len(rows), key.startswith("vertical line"))


def _below(key: str, rows: Floats, distance: Floats) -> Bools:
    return ~_beside(key, rows, distance)


def _front(key: str, rows: Floats, distance: Floats) -> Bools:
    off = np.degrees(np.arctan2(np.abs(rows[:, 1]), rows[:, 0]))
    return np.asarray((off < 60.0) & (rows[:, 0] > 0.0) & (not key.startswith("below")))


def _front_level(key: str, rows: Floats, distance: Floats) -> Bools:
    return np.asarray(_front(key, rows, distance) & (np.abs(rows[:, 2]) < 2.0))


# Words, file, images, which points, how far low and high it may be in dB.
REPLAYS: tuple[tuple[str, str, str, Choice, float, float], ...] = (
    ("half-wave dipole, beyond 0.2 λ", "dipole-100mhz", "", _beyond, 0.3, 0.3),
    ("half-wave dipole, every point", "dipole-100mhz", "", _every, 1.0, 1.0),
    ("4 dipoles, 1 λ apart", "stack-4x-1.0wl-freespace", "", _every, 0.3, 0.35),
    ("12 dipoles, 1 λ apart", "stack-12x-1.0wl-freespace", "", _every, 0.3, 0.35),
    ("4 dipoles over perfect ground", "stack-4x-1.0wl-ground", "ground", _every, 0.3, 0.35),
    ("12 dipoles over perfect ground", "stack-12x-1.0wl-ground", "ground", _every, 0.3, 0.35),
    ("8 dipoles, 0.5 λ apart, beside", "stack-8x-0.5wl-freespace", "", _beside, 0.5, 0.5),
    ("8 dipoles, 0.5 λ apart, below", "stack-8x-0.5wl-freespace", "", _below, 1.5, 3.0),
    ("8 dipoles over perfect ground", "stack-8x-0.5wl-ground", "ground", _every, 1.5, 3.0),
    ("turnstile", "turnstile-1bay-98mhz", "", _every, 0.5, 0.5),
    ("4 rings of slanted dipoles", "slant-ring-4bay-98mhz", "", _every, 0.3, 0.3),
    ("panel, endless reflector", "panel-450mhz-image", "reflector", _every, 0.1, 0.2),
    ("panel, finite reflector, front 60°", "panel-450mhz-grid", "reflector", _front, 0.5, 3.1),
    ("the same, within 2 m of its middle", "panel-450mhz-grid", "reflector", _front_level, 0.5, 1.2),
)  # fmt: skip


def replays() -> tuple[Row, ...]:
    """Return one row a reference antenna (or a part of its points)."""
    found = []
    for words, name, images, choice, low, high in REPLAYS:
        parts = []
        for key, (error, distance) in errors(name, images).items():
            rows = data.sets(name)[key]
            pick = data.strong(rows) & choice(key, rows, distance)
            parts.append((error[pick], distance[pick]))
        found.append(row("exact arms", words, parts, low=low, high=high))
    return tuple(found)
