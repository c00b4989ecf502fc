"""Medium wave and HF: distances to the limits, base drive, wire dipoles over real ground."""

from __future__ import annotations

import numpy as np

from core.antennas.mast import Mast
from core.antennas.wire import HfDipole
from core.arrays import Floats
from core.units import ETA0, SPEED_OF_LIGHT
from core.validation.case import COMPUTED, Case, Topic
from core.validation.data import POWER, masts

DISTANCES_GROUP = "AM masts: distance to the limits"
DRIVE_GROUP = "AM masts: base and far field"
WIRES_GROUP = "HF dipole over average ground"

POWERS_KW = (50, 10, 5, 1)
E_LIMIT, H_LIMIT = 614.0, 1.63
"""V/m and A/m, 47 CFR 1.1310 Table 1 below 1.34 MHz."""

# Height in wavelengths, MHz, then the distance in m at which E falls to 614 V/m and H to 1.63 A/m, for
# 50, 10, 5 and 1 kW; 0 is inside 0.6 m. Largest over 0.25 to 2 m, radius 0.3 m.
DISTANCES = (
    (0.10, 0.6, ((11.7, 9.1), (6.5, 4.5), (5.0, 3.3), (2.7, 1.5))),
    (0.10, 1.0, ((10.0, 8.4), (5.8, 4.3), (4.5, 3.1), (2.5, 1.5))),
    (0.10, 1.6, ((8.5, 7.6), (5.1, 4.0), (4.0, 3.0), (2.3, 1.5))),
    (0.20, 0.6, ((2.2, 4.7), (1.2, 2.1), (0.9, 1.5), (0.0, 0.7))),
    (0.20, 1.0, ((2.1, 4.6), (1.1, 2.1), (0.8, 1.5), (0.0, 0.7))),
    (0.20, 1.6, ((1.9, 4.5), (1.0, 2.1), (0.8, 1.5), (0.0, 0.7))),
    (0.25, 0.6, ((1.1, 3.4), (0.0, 1.6), (0.0, 1.1), (0.0, 0.0))),
    (0.25, 1.0, ((1.1, 3.4), (0.0, 1.5), (0.0, 1.1), (0.0, 0.0))),
    (0.25, 1.6, ((1.1, 3.4), (0.0, 1.5), (0.0, 1.1), (0.0, 0.0))),
    (0.35, 1.0, ((2.7, 1.7), (1.4, 0.8), (1.1, 0.0), (0.0, 0.0))),
    (0.45, 1.0, ((3.4, 0.8), (1.8, 0.0), (1.4, 0.0), (0.7, 0.0))),
    (0.50, 1.0, ((3.6, 1.0), (1.9, 0.0), (1.5, 0.0), (0.8, 0.0))),
    (0.55, 1.0, ((3.7, 1.6), (2.0, 0.8), (1.5, 0.0), (0.0, 0.0))),
    (0.625, 1.0, ((3.3, 2.8), (1.8, 1.3), (1.4, 1.0), (0.7, 0.0))),
)
TRUST = 1.5
"""Nearer than this the kind gives no figure, m."""
TOLERANCE = 0.5
"""m, of the best estimate."""
ROUNDING = 0.06
"""m, of the conservative figure: the printed digit and the 1 cm grid."""


def limit_distances(tall: float, megahertz: float, *, conservative: bool) -> Floats:
    """Return our distances (4 powers, E and H) in m, 0 where the limit is not passed from 0.6 m out.

    Parameters
    ----------
    tall : float
        Height, in wavelengths.
    megahertz : float
        MHz.
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    frequency = megahertz * 1e6
    mast = Mast(height=tall * SPEED_OF_LIGHT / frequency, radius=0.3)
    ranges, levels = np.arange(0.6, 20.0, 0.01), np.arange(0.25, 2.01, 0.25)
    points = np.stack(
        [np.repeat(ranges, len(levels)), np.zeros(len(ranges) * len(levels)), np.tile(levels, len(ranges))],
        axis=1,
    )  # fmt: skip
    unit = mast.unit_field(points, frequency, conservative=conservative)
    fields = [np.sqrt(q.reshape(len(ranges), -1).max(axis=1)) for q in (unit.e2, unit.h2)]
    return np.array([
        [ranges[over][-1] if (over := field * np.sqrt(1e3 * kilowatts) > limit).any() else 0.0
         for field, limit in zip(fields, (E_LIMIT, H_LIMIT), strict=True)]
        for kilowatts in POWERS_KW
    ])  # fmt: skip


def distances() -> tuple[Case, ...]:
    """Return every table distance outside the trust distance, best estimate and conservative."""
    rows: list[Case] = []
    for tall, megahertz, table in DISTANCES:
        topic = Topic(
            group=DISTANCES_GROUP, title=f"Mast of {tall:g} wavelength, {megahertz:g} MHz",
            status=COMPUTED, unit="m", law="field",
            source="thin-wire method of moments over perfect ground, radius 0.3 m, largest over 0.25 to 2 m",
        )  # fmt: skip
        best, high = (limit_distances(tall, megahertz, conservative=c) for c in (False, True))
        for i, kilowatts in enumerate(POWERS_KW):
            for j, words in enumerate((f"E = {E_LIMIT:g} V/m", f"H = {H_LIMIT:g} A/m")):
                expected = table[i][j]
                if expected <= TRUST:
                    continue
                at = f"{kilowatts} kW, {words}"
                low = 20.0 * float(np.log10(expected / (expected - ROUNDING)))
                rows.append(
                    topic.case(at, "distance, best estimate", expected, best[i, j], step=TOLERANCE)
                )
                rows.append(topic.case(at, "distance, conservative", expected, high[i, j], low=low))
    return tuple(rows)


def drives() -> tuple[Case, ...]:
    """Return base voltage, base current and far field of the reference masts."""
    rows: list[Case] = []
    for case in masts():
        frequency, tall = case["frequency_hz"], case["height_wl"]
        topic = Topic(
            group=DRIVE_GROUP, title=f"Mast of {tall:g} wavelength, {frequency / 1e6:g} MHz, 1 kW",
            status=COMPUTED, unit="V", law="field",
            source="thin-wire method of moments over perfect ground, radius 0.25 m (am-monopoles.json)",
        )  # fmt: skip
        solver = case["solver"]
        kind = Mast(height=case["height_m"], radius=case["tower_radius_m"])
        volts, amps = (np.sqrt(POWER) * v for v in kind.base(frequency))
        far = np.sqrt(30.0 * POWER * kind.directivity(frequency))
        rows += [
            topic.case("base estimated", "base voltage", solver["base_voltage_v_rms"], volts, within=0.06),
            # Near a half wave the base current hangs on the feed gap; high is allowed, low is not.
            topic.case(
                "base estimated", "base current", solver["base_current_a_rms"], amps, low=0.63, high=1.58, unit="A"
            ),
            topic.case(
                "far out", "E at 1 km", 1e3 * case["unattenuated_field_at_1_km_v_per_m"], far, within=0.025,
                unit="mV/m",
            ),
        ]  # fmt: skip
    return tuple(rows)


# Frequency, wire length and height; then (x, z, E, H) for 1500 W, wire along y, point (x, 0, z).
WIRES = (
    (7.15e6, 20.2, 10.0, ((0, 2, 14.26, 0.1164), (10, 2, 8.94, 0.0604), (0, 8, 30.78, 0.3412))),
    (14.2e6, 10.1, 10.0, ((0, 2, 26.59, 0.1090), (10, 2, 15.15, 0.0638), (0, 8, 56.85, 0.3535))),
    (28.4e6, 5.05, 6.0, ((0, 2, 73.75, 0.1642), (10, 2, 25.82, 0.0764))),
)


def wires() -> tuple[Case, ...]:
    """Return horizontal half-wave dipoles over average ground, best estimate and conservative."""
    rows: list[Case] = []
    for frequency, length, height, table in WIRES:
        topic = Topic(
            group=WIRES_GROUP,
            title=f"Half-wave dipole, {frequency / 1e6:g} MHz, {height:g} m up, 1500 W",
            status=COMPUTED, unit="V/m", law="field",
            source="method of moments with exact (Sommerfeld) ground, permittivity 13, 0.005 S/m",
        )  # fmt: skip
        kind = HfDipole(length=length, height=height)
        places = np.array([[x, 0.0, z] for x, z, _, _ in table])
        best, high = (kind.unit_field(places, frequency, conservative=c) for c in (False, True))
        for i, (x, z, electric, magnetic) in enumerate(table):
            at = f"{x:g} m beside, {z:g} m above ground"
            close = z == 8 and frequency < 10e6
            exact = max(electric**2 / ETA0, magnetic**2 * ETA0)
            e, h = (np.sqrt(1500.0 * q[i]) for q in (best.e2, best.h2))
            e_high, h_high = (np.sqrt(1500.0 * q[i]) for q in (high.e2, high.h2))
            s = 1500.0 * high.power_density[i]
            rows += [
                topic.case(at, "E, best estimate", electric, e, within=0.12 if close else 0.05),
                topic.case(at, "H, best estimate", magnetic, h, within=0.04, unit="A/m"),
                topic.case(at, "E, conservative", electric, e_high, low=0.0),
                topic.case(at, "H, conservative", magnetic, h_high, low=0.0, unit="A/m"),
                topic.case(at, "S, conservative", exact, s, low=0.0, unit="W/m²", law="power"),
            ]  # fmt: skip
    return tuple(rows)
