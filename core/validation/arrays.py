"""Stacks and panels known by a published or computed far pattern, gain or near-field mean."""

from __future__ import annotations

import numpy as np

from core.antennas.panel import Panel, PanelBand
from core.antennas.stack import Stack, stack_heights
from core.fields import elements as el
from core.patterns.directivity import directivity
from core.patterns.formulas.cellular import PlanarArray, m2101_array
from core.units import DIPOLE_GAIN, ETA0, SPEED_OF_LIGHT, to_db
from core.validation.case import COMPUTED, PUBLISHED, Case, Topic

GROUP = "Stacks and panels"
MICROWATT_PER_CM2 = 0.01
EXACT = "sum of exact dipole fields, separate program"


def arrays() -> tuple[Case, ...]:
    """Return the cases of stacks and panels, published first."""
    return (*_elevation(), *_gain(), *_panel_ratio(), *_directivities(), *_ground(), *_collinear())


def cosine_stack(bays: int, spacing: float, frequency: float) -> el.Elements:
    """Return bays with an ideal cos(elevation) pattern, the textbook FM stack, radiating 1 W.

    Parameters
    ----------
    spacing : float
        Wavelengths or m, as the caller counts.
    frequency : float
        Hz.
    """
    lam = SPEED_OF_LIGHT / frequency
    centre = np.zeros((bays, 3))
    centre[:, 2] = stack_heights(bays, spacing * lam)
    weights = np.ones(bays, np.complex128)
    k = 2.0 * np.pi / lam
    return el.normalised(
        el.Elements(
            centre, np.zeros(bays), weights, el.uniform, el.cosine_elevation, "vertical", k, 0.1
        )
    )


def _relative_power(elements: el.Elements, depression: float) -> float:
    angle = np.radians([0.0, depression])
    unit = np.stack([np.cos(angle), 0.0 * angle, -np.sin(angle)], axis=1)
    flat, down = el.far_intensity(elements, unit)
    return float(down / flat)


def _elevation() -> tuple[Case, ...]:
    topic = Topic(
        group=GROUP, title="FM elevation pattern", status=PUBLISHED, unit="% of power",
        source="broadcast engineers' mailing list, June 2006, table of a 4-bay antenna",
    )  # fmt: skip
    stack = cosine_stack(4, 1.0, 98e6)
    return tuple(
        topic.case(
            f"4 bays, 1 wavelength apart, {degrees:g}° down", "relative power", percent,
            100.0 * _relative_power(stack, degrees), step=0.1,
        )
        for degrees, percent in ((1.68, 95.75), (0.92, 98.71), (0.71, 99.24), (0.62, 99.41), (0.60, 99.46))
    )  # fmt: skip


def _gain() -> tuple[Case, ...]:
    inputs = "4 bays, 1 wavelength apart, circular: half of the power in each polarisation"
    ours = to_db(el.directivity(cosine_stack(4, 1.0, 98e6)) / 2.0 / DIPOLE_GAIN)
    table = Topic(
        group=GROUP, title="FM gain", status=PUBLISHED, unit="dBd", law="level",
        source="radio forum table of FM antenna gains (a real antenna; the model is lossless)",
    )  # fmt: skip
    ideal = Topic(
        group=GROUP, title="FM gain", status=COMPUTED, unit="dBd", law="level",
        source="integral of the ideal cos(elevation) stack, separate program",
    )  # fmt: skip
    return (
        table.case(inputs, "gain per polarisation", 3.09, ours, step=0.25),
        ideal.case(inputs, "gain per polarisation", 3.26, ours, step=0.02),
    )


def _panel_ratio() -> tuple[Case, ...]:
    """The only published near-field pair of a panel: two mean densities, as a ratio."""
    topic = Topic(
        group=GROUP, title="Sector panel close in", status=PUBLISHED, unit="ratio",
        source="IEC 62232:2017 validation table, whole-body SAR at 1 and 5 m, as quoted in an installation "
        "manual, page 138; row spacing not stated there, 0.93 wavelength taken",
    )  # fmt: skip
    frequency, length, rows = 2.14e9, 1.3, 10
    panel = Panel(
        length=length,
        width=0.155,
        bands=(
            PanelBand(
                low=1.9e9, high=2.2e9, elements=rows, spacing=length / rows, electrical_tilt=0.0
            ),
        ),
    )
    z = np.linspace(-length / 2.0, length / 2.0, 1301)
    near, far = (
        panel.unit_field(
            np.stack([np.full_like(z, x), 0.0 * z, z], axis=1), frequency, conservative=False
        ).power_density.mean()
        for x in (1.0, 5.0)
    )
    return (
        topic.case(
            "2140 MHz, 1.3 m long, 65° wide; S averaged over the length", "S at 1 m over S at 5 m",
            5.979, near / far, low=0.5, high=0.5,
        ),
    )  # fmt: skip


def _directivities() -> tuple[Case, ...]:
    ideal = Topic(
        group=GROUP, title="Directivity of cos(elevation) stacks", status=COMPUTED, unit="× isotropic",
        source="integral of the ideal pattern, separate program",
    )  # fmt: skip
    sector = Topic(
        group=GROUP, title="Directivity of a column of eight", status=COMPUTED, unit="dBi",
        law="level", source="3GPP TR 38.901 element, 0.8 wavelength apart, integral by separate program",
    )  # fmt: skip
    column = PlanarArray(rows=8, columns=1, row_spacing=0.8, width=65.0)
    az, e = np.arange(-180.0, 180.0), np.arange(-90.0, 90.05, 0.1)

    def found(tilt: float) -> float:
        return directivity(
            az, e, m2101_array(az[None, :], e[:, None], column, beam_elevation=-tilt)
        )

    table = ((4, 1.0, 6.954), (6, 1.0, 10.773), (10, 1.0, 18.542),
             (2, 0.5, 2.301), (4, 0.5, 4.295), (6, 0.5, 6.292), (8, 0.5, 8.289))  # fmt: skip
    return (
        *(
            ideal.case(
                f"{bays} bays, {spacing:g} wavelength apart", "directivity", value,
                el.directivity(cosine_stack(bays, spacing, 98e6)), within=2e-3,
            )
            for bays, spacing, value in table
        ),
        sector.case("no tilt", "directivity", 18.30, found(0.0), step=0.02),
        sector.case("6° down", "directivity", 18.29, found(6.0), step=0.02),
    )  # fmt: skip


def _ground() -> tuple[Case, ...]:
    stack = cosine_stack(4, 1.0, 98e6)
    about = "4-bay circular FM, 98 MHz, 10 + 10 kW ERP, 50 m up, power × 2.56"
    power = DIPOLE_GAIN * 20e3 / el.directivity(stack)
    out = np.array([10.0, 20.0, 40.0])
    points = np.stack([out, 0.0 * out, np.full(3, -48.0)], axis=1)
    e2, h2 = el.phasor_sum(stack, points)
    scale = power * 2.56 / MICROWATT_PER_CM2
    pattern = Topic(
        group=GROUP, title=f"{about}: far pattern", status=COMPUTED,
        unit="µW/cm²", source="far pattern of the cos(elevation) stack, separate program",
    )  # fmt: skip
    bays = Topic(
        group=GROUP, title=f"{about}: bay by bay", status=COMPUTED,
        unit="µW/cm²", source="superposition of the cos(elevation) bays, separate program",
    )  # fmt: skip
    fields, far = (0.2017, 0.3307, 0.0546), (11.31, 27.02, 0.510)
    sums = (11.62, 27.44, 0.443)
    distance2 = out**2 + 48.0**2
    relative = [_relative_power(stack, float(np.degrees(np.arctan2(48.0, x)))) for x in out]
    peak = power * el.directivity(stack) * 2.56 / (4.0 * np.pi * distance2) / MICROWATT_PER_CM2
    found = np.maximum(e2 / ETA0, h2 * ETA0) * scale
    one: list[Case] = []
    other: list[Case] = []
    for i, x in enumerate(out):
        at = f"{x:g} m out, 2 m above ground"
        one += [
            pattern.case(at, "relative field", fields[i], relative[i] ** 0.5, within=3e-3, law="field", unit=""),
            pattern.case(at, "S", far[i], float(peak[i] * relative[i]), within=5e-3),
        ]  # fmt: skip
        other += [
            bays.case(at, "S from H", sums[i], float(scale * h2[i] * ETA0), within=2e-3),
            bays.case(at, "S, larger of E and H", sums[i], float(found[i]), low=0.01, high=0.5),
        ]
    return (*one, *other)


COLLINEAR = (
    (0.5, 13.4, 18.0), (1.0, 6.57, 9.55), (2.0, 3.17, 4.31), (5.0, 1.203, 2.31),
    (10.0, 0.563, 0.962), (20.0, 0.230, 0.273), (50.0, 0.0440, 0.0452),
)  # fmt: skip


def _collinear() -> tuple[Case, ...]:
    """Beside eight half-wave dipoles: mean and peak of E²/η over the antenna's length."""
    kind = Stack(bay="vertical-dipole", bays=8, design_frequency=900e6, spacing=0.9, arm_length=0.5)
    title = "Eight half-wave dipoles 0.9 wavelength apart, 900 MHz, 100 W"
    topic = Topic(group=GROUP, title=title, status=COMPUTED, unit="W/m²", source=EXACT)
    z = np.linspace(-2.265 / 2.0, 2.265 / 2.0, 601)
    rows = [
        topic.case(
            "far field", "directivity", 11.56, to_db(kind.directivity(900e6)), step=0.02, law="level",
            unit="dBi",
        )
    ]  # fmt: skip
    for rho, mean, peak in COLLINEAR:
        points = np.stack([np.full_like(z, rho), 0.0 * z, z], axis=1)
        s = 100.0 * kind.unit_field(points, 900e6, conservative=False).e2 / ETA0
        inputs = f"{rho:g} m from the axis"
        rows += [
            topic.case(inputs, "mean E²/η over 2.265 m", mean, s.mean(), within=0.02),
            topic.case(inputs, "peak E²/η over 2.265 m", peak, s.max(), within=0.04),
        ]
    return tuple(rows)
