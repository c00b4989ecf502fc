"""Kinds whose far field follows a printed pattern or a computed antenna."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from core.antennas.base import Kind
from core.antennas.beam_array import BeamArray
from core.antennas.whip import Whip
from core.antennas.yagi import Yagi
from core.units import SPEED_OF_LIGHT, to_db
from core.validation.case import COMPUTED, Case, Topic
from core.validation.formulas import ENVELOPE, ENVELOPE_AZIMUTHS

GROUP = "Far fields of kinds"


def far() -> tuple[Case, ...]:
    """Return the cases of kinds seen from far out."""
    return (*_beams(), *_yagis(), *_whips())


def far_gain(
    kind: Kind, frequency: float, azimuth: float, elevation: float, *, conservative: bool
) -> float:
    """Return the gain in dBi of a kind towards a direction, read off its field far out.

    Parameters
    ----------
    frequency : float
        Hz.
    azimuth : float
        Degrees clockwise.
    elevation : float
        Degrees up.
    conservative : bool
        With the printed floors and decibels; else the best estimate.
    """
    metres = 1e4 * max(1.0, SPEED_OF_LIGHT / frequency)
    a, e = np.radians([azimuth, elevation])
    at = metres * np.array([[np.cos(e) * np.cos(a), -np.cos(e) * np.sin(a), np.sin(e)]])
    s = kind.unit_field(at, frequency, conservative=conservative).power_density[0]
    return to_db(4.0 * np.pi * metres**2 * float(s))


def _beams() -> list[Case]:
    steered = BeamArray(
        rows=8, columns=8, row_spacing=0.7, column_spacing=0.5, element_gain=6.4, front_to_back=30.0,
        steer_azimuth=60.0, steer_up=2.0, steer_down=14.0,
    )  # fmt: skip
    fixed = replace(steered, steer_azimuth=0.0, steer_up=0.0, steer_down=0.0)
    one = Topic(
        group=GROUP, title="Beam-steering panel 8 × 8, one beam", status=COMPUTED, unit="dBi", law="level",
        source="ITU-R M.2101 array, values by separate program",
    )  # fmt: skip
    every = Topic(
        group=GROUP, title="Beam-steering panel 8 × 8, all beams", status=COMPUTED, unit="dBi", law="level",
        source="ITU-R M.2101 array, envelope of 225 beams, values by separate program",
    )  # fmt: skip
    rows = [
        one.case(
            f"beam (0, 0): azimuth {azimuth:g}°", "gain, best estimate", value,
            far_gain(fixed, 3.5e9, azimuth, 0.0, conservative=False), step=2e-3,
        )
        for azimuth, value in ((0.0, 24.462), (5.0, 22.640))
    ]  # fmt: skip
    for elevation, values in ENVELOPE.items():
        for azimuth, value in zip(ENVELOPE_AZIMUTHS, values, strict=True):
            ours = far_gain(steered, 3.5e9, azimuth, elevation, conservative=False)
            # Straight down all azimuths are one place, and the highest counts.
            high = 1.3 if elevation > -90.0 or azimuth == 0.0 else 10.0
            at = f"azimuth {azimuth:g}°, elevation {elevation:g}°"
            rows.append(
                every.case(at, "gain, best estimate", value, ours, low=0.01, high=high)
            )  # fmt: skip
    return rows


YAGIS = (
    (6.6, 64.0), (7.8, 52.0), (9.0, 41.0), (9.9, 36.0), (10.8, 32.0), (11.9, 28.0), (13.8, 18.0),
)  # fmt: skip
"""Gain in dBi, and half-power angle off the boom in the wider plane."""


def _yagis() -> list[Case]:
    topic = Topic(
        group=GROUP, title="Yagi, half-power angle", status=COMPUTED, unit="dBi", law="level",
        source="method of moments, Yagis of 2 to 15 elements",
    )  # fmt: skip
    frequency = 150e6
    rows = []
    for gain, angle in YAGIS:
        kind = Yagi(gain=gain, boom=0.5 * SPEED_OF_LIGHT / frequency)
        ours = far_gain(kind, frequency, 0.0, angle, conservative=True)
        rows.append(
            topic.case(
                f"{gain:g} dBi, {angle:g}° off the boom", "gain, conservative", gain - to_db(2.0), ours,
                low=0.0,
            )
        )  # fmt: skip
    return rows


def _whips() -> list[Case]:
    frequency = 7.15e6
    quarter = 0.25 * SPEED_OF_LIGHT / frequency
    plane, ground = Whip(length=quarter), Whip(length=quarter, mounting="ground")
    topic = Topic(
        group=GROUP, title="Quarter-wave whip", status=COMPUTED, unit="dBi", law="level",
        source="method of moments; on ground twice the half-wave dipole's 1.6409",
    )  # fmt: skip
    return [
        topic.case(
            "level radials, free space", "directivity", 1.6, to_db(plane.directivity(frequency)), step=0.1
        ),
        topic.case(
            "perfect ground", "directivity", to_db(2.0 * 1.6409), to_db(ground.directivity(frequency)),
            step=0.005,
        ),
    ]  # fmt: skip
