"""Exact fields at single points: elements, dipoles, monopoles, ground coefficients."""

from __future__ import annotations

from typing import Any

import numpy as np

from core.antennas.mast import Mast, drive_of, loop_current, sinusoid
from core.antennas.mast_array import ArrayMast, MastArray
from core.arrays import Complexes, Floats
from core.fields import arms as arm
from core.fields import ground as gr
from core.fields import one_arm
from core.units import SPEED_OF_LIGHT
from core.validation.case import COMPUTED, PUBLISHED, Case, Topic
from core.validation.data import load

GROUP = "Exact fields at single points"
Z = np.array([0.0, 0.0, 1.0])
WL = SPEED_OF_LIGHT / 1e6
"""Wavelength of the medium-wave cases, m."""


def points() -> tuple[Case, ...]:
    """Return the cases at single points."""
    return (
        *_hertzian(), *_filaments(), *_half_wave(), *_impedance(), *_dipole(), *_monopole(),
        *_one_kilometre(), *_proximity(), *_two_masts(), *_fresnel(),
    )  # fmt: skip


def _arms(half_length_wl: float, frequency: float, power: float) -> arm.Arms:
    """One dipole on the z axis that radiates ``power`` W."""
    k = 2.0 * np.pi * frequency / SPEED_OF_LIGHT
    length = half_length_wl * SPEED_OF_LIGHT / frequency
    unit = arm.normalised(arm.make_arms(np.zeros(3), Z, length, 1.0, k))
    return arm.make_arms(np.zeros(3), Z, length, unit.current * np.sqrt(power), k)


def _near(arms: arm.Arms, places: Floats) -> tuple[Complexes, Complexes]:
    """Complex E and H (n, 3) at (rho, z)."""
    at = np.stack([places[:, 0], 0.0 * places[:, 0], places[:, 1]], axis=1)
    return one_arm.near_arm(at, Z, float(arms.half_length[0]), complex(arms.current[0]), arms.k)


def _size(v: Complexes) -> Floats:
    return np.asarray(np.linalg.norm(v, axis=1))


def _hertzian() -> tuple[Case, ...]:
    topic = Topic(
        group=GROUP, title="Short element, 120 mA × 5 cm, wavelength 3 m", status=COMPUTED, unit="V/m",
        law="field",
        source="closed form of the Hertzian dipole (problem of an open textbook companion, example 4.2.1)",
    )  # fmt: skip
    # An arm of 2e-4 wavelength each way with the same current moment stands for the element.
    k, length = 2.0 * np.pi / 3.0, 6e-4
    loop = 0.120 * 0.05 * k / (2.0 * (1.0 - np.cos(k * length)))
    rows: list[Case] = []
    for r, radial, across, magnetic in (
        (3.0, 28.64e-3, 87.75e-3, 0.23867e-3), (0.3, 5.316, 1.9636, 4.430e-3)
    ):  # fmt: skip
        u = np.array([1.0, 0.0, 1.0]) / np.sqrt(2.0)
        e, h = one_arm.near_arm(r * u[None], Z, length, complex(loop), k)
        at = f"{r:g} m away, 45° off the axis"
        rows += [
            topic.case(at, "radial E", radial, abs(e[0] @ u), within=1e-3),
            topic.case(at, "transverse E", across, abs(e[0] @ [u[2], 0.0, -u[0]]), within=1e-3),
            topic.case(at, "H", magnetic, abs(h[0, 1]), within=1e-3, unit="A/m"),
        ]
    return tuple(rows)


def _filaments() -> tuple[Case, ...]:
    """Largest relative error of the three-wave form over all points of a filament."""
    topic = Topic(
        group=GROUP, title="Sinusoidal filaments, every point", status=COMPUTED, unit="relative",
        law="field", source="adaptive quadrature of the vector potential (filaments.json)",
    )  # fmt: skip
    rows = []
    for kind, name in (("dipole", "dipole"), ("monopole", "monopole over perfect ground")):
        worst, count = 0.0, 0
        for case in load("filaments")["cases"]:
            if case["kind"] == kind:
                worst = max(worst, filament_error(case))
                count += len(case["rows"])
        rows.append(
            topic.case(f"{name}, {count} points", "1 + largest error of E or H", 1.0, 1.0 + worst, within=1e-9)
        )  # fmt: skip
    return tuple(rows)


def filament_error(case: dict[str, Any]) -> float:
    """Return the largest relative error of E (as a vector) or H of one case of filaments.json."""
    table = np.array(case["rows"])
    exact = table[:, 2::2] + 1j * table[:, 3::2]
    k = 2.0 * np.pi * case["frequency_hz"] / SPEED_OF_LIGHT
    at = np.stack([table[:, 0], 0.0 * table[:, 0], table[:, 1]], axis=1)
    e, h = one_arm.near_arm(at, Z, case["half_length_or_height_m"], 1.0, k)
    found = np.stack([e[:, 0], e[:, 2], h[:, 1]], axis=1)
    off = _size(found[:, :2] - exact[:, :2]) / _size(exact[:, :2])
    magnetic = np.abs(found[:, 2] - exact[:, 2]) / np.abs(exact[:, 2])
    return float(max(off.max(), magnetic.max()))


def _half_wave() -> tuple[Case, ...]:
    ours = Topic(
        group=GROUP, title="Half-wave dipole", status=COMPUTED, unit="× isotropic",
        source="closed form with cosine integrals (Balanis, Antenna Theory, ch. 8), separate program",
    )  # fmt: skip
    book = Topic(
        group=GROUP, title="Half-wave dipole", status=PUBLISHED, unit="× isotropic",
        source="Balanis, Antenna Theory, ch. 4 (from memory)",
    )  # fmt: skip
    arms = _arms(0.25, 100e6, 1.0)
    gain = 4.0 * np.pi * arm.peak_intensity(arms)
    resistance = 1.0 / abs(complex(arms.current[0])) ** 2
    return (
        book.case("sinusoidal current", "directivity", 1.643, gain, within=3e-3),
        ours.case("sinusoidal current", "directivity", 1.6409, gain, within=1e-4),
        ours.case(
            "sinusoidal current", "radiation resistance", 73.08, resistance, within=1e-4, unit="ohm"
        ),
    )


def _impedance() -> tuple[Case, ...]:
    topic = Topic(
        group=GROUP, title="Wave impedance of a short element", status=COMPUTED, unit="ohm", law="field",
        source="closed form of the Hertzian dipole (Balanis, Antenna Theory, ch. 4), separate program",
    )  # fmt: skip
    wl = SPEED_OF_LIGHT / 100e6
    table = {"wavelength / 2π": (wl / (2.0 * np.pi), 266.4), "1 wavelength": (wl, 367.4),
             "3 wavelengths": (3.0 * wl, 375.7)}  # fmt: skip
    places = np.array([[r, 0.0] for r, _ in table.values()])
    e, h = _near(_arms(1e-3, 100e6, 1.0), places)
    ratio = _size(e) / _size(h)
    return tuple(
        topic.case(f"{words} away, broadside", "E/H", ohm, ratio[i], within=5e-4)
        for i, (words, (_, ohm)) in enumerate(table.items())
    )


DIPOLE = (
    (0.5, 0.0, 246.18, 1.1775, 250.7), (1.0, 0.0, 177.48, 0.58874, 177.9), (1.5, 0.5, 123.87, 0.35302, None),
    (3.0, 0.0, 71.73, 0.19625, 71.6), (3.0, 1.5, 56.72, 0.15151, 56.7), (10.0, 0.0, 22.12, 0.05887, 22.1),
)  # fmt: skip


def _dipole() -> tuple[Case, ...]:
    closed = Topic(
        group=GROUP, title="Half-wave dipole, 100 MHz, 1 kW", status=COMPUTED, unit="V/m", law="field",
        source="closed form of the sinusoidal dipole (Balanis ch. 8, from memory), separate program",
    )  # fmt: skip
    solved = Topic(
        group=GROUP, title="Half-wave dipole of 5 mm radius, 100 MHz, 1 kW", status=COMPUTED, unit="V/m",
        law="field", source="thin-wire method of moments, the real current",
    )  # fmt: skip
    e, h = _near(_arms(0.25, 100e6, 1000.0), np.array([row[:2] for row in DIPOLE]))
    one: list[Case] = []
    other: list[Case] = []
    for i, (rho, z, electric, magnetic, moments) in enumerate(DIPOLE):
        at = f"{rho:g} m beside, {z:g} m up"
        one.append(closed.case(at, "E", electric, _size(e)[i], within=5e-4))
        one.append(closed.case(at, "H", magnetic, _size(h)[i], within=5e-4, unit="A/m"))
        if moments is not None:
            other.append(solved.case(at, "E", moments, _size(e)[i], within=0.02))
    return (*one, *other)


MONOPOLES = (
    (0.25, 3.0, 2.0, 6.051, 0.27729), (0.25, 10.0, 2.0, 4.344, 0.08319), (0.125, 3.0, 2.0, 233.4, 0.59957),
    (0.5, 10.0, 2.0, 17.78, 0.01041), (0.625, 20.0, 1.5, 7.956, 0.01504),
)  # fmt: skip


def _monopole() -> tuple[Case, ...]:
    topic = Topic(
        group=GROUP, title="Base-fed monopole over perfect ground, 1 MHz, 1 kW", status=COMPUTED,
        unit="V/m", law="field",
        source="closed form of the sinusoid with its image, without base terms, separate program",
    )  # fmt: skip
    rows = []
    for tall, rho, z, electric, magnetic in MONOPOLES:
        loop = complex(loop_current(tall * WL, 1e6) * np.sqrt(1000.0))
        e, h = sinusoid(np.array([[rho, 0.0, z]]), drive_of(loop, tall * WL, 0.25, 1e6))
        at = f"{tall:g} wavelength high, {rho:g} m out, {z:g} m up"
        rows.append(topic.case(at, "E", electric, _size(e)[0], within=1e-3))
        rows.append(topic.case(at, "H", magnetic, _size(h)[0], within=1e-3, unit="A/m"))
    return tuple(rows)


ONE_KILOMETRE = (
    (0.05, 300.4), (0.125, 303.1), (0.19, 307.5), (0.25, 313.7), (0.311, 322.6), (0.375, 335.9),
    (0.50, 380.2), (0.528, 394.6), (0.55, 407.1), (0.625, 443.6),
)  # fmt: skip


def _one_kilometre() -> tuple[Case, ...]:
    topic = Topic(
        group=GROUP, title="Field of a mast at 1 km, 1 kW, 1 MHz", status=COMPUTED, unit="mV/m",
        law="field", source="60 I (1 - cos kh)/R over perfect ground, separate program",
    )  # fmt: skip
    rows = []
    for tall, field in ONE_KILOMETRE:
        mast = Mast(height=tall * WL)
        far = mast.unit_field(np.array([[1e6, 0.0, 0.0]]), 1e6, conservative=False)
        ours = float(np.sqrt(far.e2[0] * 1000.0)) * 1e6
        rows.append(topic.case(f"{tall:g} wavelength high", "E", field, ours, within=1e-3))
    return tuple(rows)


def _proximity() -> tuple[Case, ...]:
    topic = Topic(
        group=GROUP, title="Proximity factor of a mast", status=COMPUTED, unit="ratio", law="field",
        source="Brown's K, formula as an AM coordination page prints it, the square root restored",
    )  # fmt: skip
    rows = []
    for degrees, expected in ((45.0, 1.470), (90.0, 1.0)):
        drive = drive_of(1.0 + 0j, degrees / 360.0 * WL, 0.25, 1e6)
        ranges = np.array([0.1 * WL, 1e4 * WL])
        _, h = sinusoid(np.stack([ranges, 0.0 * ranges, 0.0 * ranges], axis=1), drive)
        product = _size(h) * ranges
        rows.append(
            topic.case(
                f"mast of {degrees:g}°, 36° away", "H × distance, near over far", expected,
                float(product[0] / product[1]), step=1e-3,
            )
        )  # fmt: skip
    return tuple(rows)


def _two_masts() -> tuple[Case, ...]:
    """Far pattern of a directional array, relative to its first value."""
    topic = Topic(
        group=GROUP, title="Two masts of 90°, fields 1 and 0.8, 90° apart at 45°, phases 0 and -110°",
        status=COMPUTED, unit="relative", law="field",
        source="47 CFR 73.150 (form from memory), separate program",
    )  # fmt: skip
    quarter = 0.25 * WL
    pair = MastArray(
        masts=(
            ArrayMast(height=quarter, field=1.0, phase=0.0),
            ArrayMast(height=quarter, field=0.8, phase=-110.0, distance=quarter, bearing=45.0),
        )
    )
    table = {0.0: (1.773, 1.045, 0.369, 1.045), 30.0: (1.413, 0.854, 0.192, 0.854)}
    inputs, expected, places = [], [], []
    for elevation, values in table.items():
        for azimuth, value in zip((45.0, 135.0, 225.0, 315.0), values, strict=True):
            a, e = np.radians([azimuth, elevation])
            places.append([np.cos(e) * np.cos(a), -np.cos(e) * np.sin(a), np.sin(e)])
            inputs.append(f"azimuth {azimuth:g}°, elevation {elevation:g}°")
            expected.append(value)
    field = np.sqrt(pair.unit_field(1e5 * WL * np.array(places), 1e6, conservative=False).e2)
    ours = field / field[0] * expected[0]
    return tuple(
        topic.case(at, "field", value, found, step=1.5e-3)
        for at, value, found in zip(inputs, expected, ours, strict=True)
    )


def _fresnel() -> tuple[Case, ...]:
    angles = (5.0, 10.0, 30.0, 60.0, 90.0)
    table = (
        ("medium dry ground (15, 0.001 S/m), 100 MHz", 100e6, 15.0, 0.001,
         (0.955, 0.911, 0.766, 0.632, 0.590), (-0.482, -0.180, 0.330, 0.544, 0.590)),
        ("wet ground (30, 0.01 S/m), 900 MHz", 900e6, 30.0, 0.01,
         (0.968, 0.938, 0.831, 0.726, 0.691), (-0.346, -0.017, 0.470, 0.653, 0.691)),
    )  # fmt: skip
    rows: list[Case] = []
    for words, frequency, permittivity, conductivity, across, upright in table:
        topic = Topic(
            group=GROUP, title=f"Reflection coefficient, {words}", status=COMPUTED, unit="", law="field",
            source="textbook Fresnel coefficients, ground classes in the style of ITU-R P.527-3 (from "
            "memory), separate program",
        )  # fmt: skip
        ground = gr.complex_permittivity(permittivity, conductivity, frequency)
        horizontal, vertical = gr.fresnel(np.radians(angles), ground)
        for i, angle in enumerate(angles):
            at = f"{angle:g}° grazing"
            rows.append(
                topic.case(at, "horizontal, size", across[i], abs(horizontal[i]), step=1e-3)
            )
            rows.append(
                topic.case(at, "vertical, real part", upright[i], vertical[i].real, step=2e-3)
            )
    return tuple(rows)
