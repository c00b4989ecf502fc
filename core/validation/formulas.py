"""Reference patterns in print against values worked out apart from this code."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from core.arrays import Floats
from core.patterns import formulas as f
from core.patterns.directivity import directivity, mean_gain
from core.patterns.formulas.f1336 import f1336_tilted
from core.validation.case import COMPUTED, PUBLISHED, Case, Topic

GROUP = "Pattern formulas"
MILLI, CENTI = 6e-4, 6e-3
"""dB: half of the last printed digit, and a little."""


def formulas() -> tuple[Case, ...]:
    """Return the cases of every reference pattern."""
    return (
        *_sectors(), *_element(), *_array(), *_envelope(), *_omni(), *_f1336_sector(), *_f1336_others(),
        *_dishes(), *_links(), *_excess(), *_towers(), *_stacks(),
    )  # fmt: skip


def _topic(title: str, source: str) -> Topic:
    return Topic(
        group=GROUP, title=title, status=COMPUTED, unit="dBi", law="level",
        source=f"{source}, values by separate program",
    )  # fmt: skip


def _rows(
    topic: Topic, inputs: Iterable[str], expected: Sequence[float], ours: Floats, step: float
) -> list[Case]:
    return [
        topic.case(at, "gain", value, found, step=step)
        for at, value, found in zip(inputs, expected, ours, strict=True)
    ]


def _pairs(azimuth: Sequence[float], elevation: Sequence[float]) -> list[str]:
    return [f"azimuth {a:g}°, elevation {e:g}°" for a, e in zip(azimuth, elevation, strict=True)]


def _sectors() -> list[Case]:
    azimuth = (0, 35, 60, 90, 180)
    three = f.tr25996_sector(azimuth)
    six = f.tr25996_sector((17.5, 30, 60), gain=17.0, width=35.0, limit=23.0)
    across, up = (0, 35, 60, 0, 35, 180), (-15, -15, -15, 0, 0, -15)
    paper = "3GPP TR 36.814 Table A.2.1.1-2 (width, limit and tilt from memory)"
    return [
        *_rows(
            _topic("TR 25.996, three sectors", "3GPP TR 25.996 (figures from memory)"),
            [f"azimuth {a:g}°" for a in azimuth], (14.000, 11.000, 5.184, -5.837, -6.000), three, MILLI,
        ),
        *_rows(
            _topic("TR 25.996, six sectors", "3GPP TR 25.996 (figures from memory)"),
            [f"azimuth {a:g}°" for a in (17.5, 30, 60)], (14.000, 8.184, -6.000), six, MILLI,
        ),
        *_rows(
            _topic("TR 36.814, tilt 15°", paper), _pairs(across, up),
            (14.000, 11.000, 5.184, -6.000, -9.000, -11.000), f.tr36814_sector(across, up), MILLI,
        ),
        *_rows(
            _topic("TR 36.814, tilt 6°", paper), _pairs((0, 35), (0, -10)), (9.680, 9.080),
            f.tr36814_sector((0, 35), (0, -10), tilt=6.0), MILLI,
        ),
    ]  # fmt: skip


def _element() -> list[Case]:
    topic = _topic("TR 38.901 element", "3GPP TR 38.901 Table 7.3-1")
    across, up = (0, 32.5, 45, 0, 120, 180), (0, 0, -20, -65, 30, 0)
    indoor = f.tr38901_element(
        45, -20, gain=5.0, width=90.0, limit=25.0, vertical_width=90.0, vertical_limit=25.0
    )
    az, e = np.arange(-180.0, 180.0), np.arange(-90.0, 90.5)
    whole = directivity(az, e, f.tr38901_element(az[None, :], e[:, None]))
    return [
        *_rows(
            topic, _pairs(across, up), (8.000, 5.000, 1.112, -4.000, -22.000, -22.000),
            f.tr38901_element(across, up), MILLI,
        ),
        topic.case("indoor set, azimuth 45°, elevation -20°", "gain", 1.407, float(indoor), step=MILLI),
        topic.case("whole sphere", "directivity", 9.825, whole, step=2e-3),
    ]  # fmt: skip


def _array() -> list[Case]:
    topic = _topic("M.2101 array 8 × 8, 0.7 and 0.5 wavelength", "ITU-R M.2101")
    array = f.PlanarArray()
    ahead = ((0, 5, 0, 60), (0, 0, -10, 0))
    aside = ((30, 30, 30, 0), (-8, -10, 0, 0))
    turned = f.m2101_array(*aside, array, beam_azimuth=30.0, beam_elevation=-8.0)
    az, e = np.arange(-180.0, 180.0), np.arange(-90.0, 90.25, 0.5)
    # 24.65 is stated; Gauss-Legendre quadrature gives 24.670 for the same pattern.
    whole = directivity(az, e, f.m2101_array(az[None, :], e[:, None], array))
    return [
        *_rows(
            topic, [f"beam (0, 0): {at}" for at in _pairs(*ahead)], (24.462, 22.640, -6.569, 1.205),
            f.m2101_array(*ahead, array), MILLI,
        ),
        *_rows(
            topic, [f"beam (30, -8): {at}" for at in _pairs(*aside)], (22.947, 22.312, 11.591, -26.333),
            turned, MILLI,
        ),
        topic.case("whole sphere", "directivity", 24.65, whole, step=0.03),
    ]  # fmt: skip


ENVELOPE_AZIMUTHS = (0.0, 30.0, 60.0, 90.0, 120.0, 180.0)
ENVELOPE = {
    0.0: (24.46, 23.13, 19.13, 7.95, 3.13, -5.54),
    -20.0: (18.32, 16.94, 12.91, 3.97, -3.09, -10.54),
    -40.0: (3.43, 1.89, -2.08, -8.63, -18.08, -22.03),
    -60.0: (-3.65, -4.99, -9.11, -15.70, -23.55, -23.43),
    -90.0: (-15.20, -16.53, -20.53, -22.20, -22.20, -22.20),
}
"""dBi by elevation, over beams from -60 to 60° in steps of 5° and from +2 to -14° in steps of 2°."""


def _envelope() -> list[Case]:
    topic = _topic("M.2101 array, envelope of 225 beams", "ITU-R M.2101")
    rows: list[Case] = []
    for elevation, expected in ENVELOPE.items():
        ours = f.m2101_envelope(
            np.array(ENVELOPE_AZIMUTHS), elevation, f.PlanarArray(),
            beam_azimuths=np.arange(-60.0, 61.0, 5.0), beam_elevations=np.arange(-14.0, 3.0, 2.0),
        )  # fmt: skip
        at = _pairs(ENVELOPE_AZIMUTHS, (elevation,) * 6)
        rows += _rows(topic, at, expected, ours, CENTI)
    return rows


def _omni() -> list[Case]:
    elevations = (0, 2.5, 5, 10, 20, 45, 90)
    table = (
        (6.0, 0.7, (6.000, 5.897, 5.589, 4.357, -0.571, -5.335, -6.632)),
        (10.0, 0.7, (10.000, 9.352, 7.409, 0.304, -1.607, -2.878, -3.300)),
        (10.0, 0.0, (10.000, 9.352, 7.409, -0.365, -6.038, -11.321, -15.836)),
    )
    rows: list[Case] = []
    for gain, k, expected in table:
        topic = _topic(
            f"F.1336 omnidirectional, {gain:g} dBi, k {k:g}", "ITU-R F.1336 recommends 2.1"
        )
        ours = f.f1336_omni(elevations, gain=gain, k=k)
        rows += _rows(topic, [f"elevation {e:g}°" for e in elevations], expected, ours, MILLI)
    tilt = Topic(
        group=GROUP, title="F.1336 electrical tilt of 6°", status=COMPUTED, unit="°", law="field",
        source="ITU-R F.1336, values by separate program",
    )  # fmt: skip
    # At -6° the beam itself: 0° has no ratio, so it stays with the tests.
    turned = {0: 5.625, 30: 33.75, 90: 90.0, -90: -90.0}
    rows += [
        tilt.case(f"elevation {e:g}°", "angle in the pattern", value, found, within=1e-6)
        for (e, value), found in zip(turned.items(), f1336_tilted(list(turned), 6.0), strict=True)
    ]
    return rows


def _f1336_sector() -> list[Case]:
    across, up = (0, 32.5, 60, 180, 0, 0, 0, 0, 60, 120), (0, 0, 0, 0, 5, -10, -45, -90, -10, -30)
    table = (
        ("typical", f.TYPICAL,
         (18.000, 15.000, 9.322, -6.457, 12.749, 7.326, 0.928, -6.457, 2.436, -5.679)),
        ("improved", f.IMPROVED,
         (18.000, 15.000, 9.059, -6.457, 12.749, 5.810, -0.903, -6.457, 1.326, -6.457)),
    )  # fmt: skip
    rows: list[Case] = []
    for words, lobes, expected in table:
        topic = _topic(f"F.1336 sector, 18 dBi, 65°, {words}", "ITU-R F.1336 recommends 3.1, peak")
        ours = f.f1336_sector(across, up, gain=18.0, width=65.0, lobes=lobes)
        rows += _rows(topic, _pairs(across, up), expected, ours, MILLI)
    return rows


def _f1336_others() -> list[Case]:
    across, up = (0, 30, 60, 0, 90, 180), (0, 0, 0, 7, -20, 0)
    off = (0, 20, 40, 60, 90, 180)
    return [
        *_rows(
            _topic("F.1336 sector over 6 GHz, 19 dBi, 60° × 7°", "ITU-R F.1336 recommends 3.2, peak"),
            _pairs(across, up), (19.000, 16.000, 7.000, 7.000, -2.967, -14.153),
            f.f1336_sector_above_6ghz(across, up, gain=19.0, width=60.0, vertical_width=7.0), MILLI,
        ),
        *_rows(
            _topic("F.1336 low gain, 12 dBi", "ITU-R F.1336 recommends 4 (from memory)"),
            [f"{a:g}° off the axis" for a in off], (12.000, 9.182, 0.730, -2.000, -3.914, -8.000),
            f.f1336_low_gain(off, gain=12.0), MILLI,
        ),
    ]  # fmt: skip


DISHES = (
    (0.6, 38e9, {0: 45.32, 0.5: 41.71, 1: 30.86, 2: 25.66, 5: 15.72, 10: 8.19, 30: -3.74, 60: -8.81}),
    (1.2, 11e9, {0: 40.58, 0.5: 39.36, 1: 35.73, 2: 26.66, 5: 18.09, 10: 10.56, 30: -1.37, 60: -6.44}),
    (3.0, 6e9, {0: 43.27, 0.5: 41.02, 1: 34.26, 2: 26.69, 5: 16.74, 10: 9.22, 30: -2.71, 60: -7.79}),
    (4.0, 0.5e9, {0: 24.18, 10: 14.36, 30: 6.83, 60: -0.70}),
)  # fmt: skip


def _dishes() -> list[Case]:
    rows: list[Case] = []
    for diameter, frequency, table in DISHES:
        topic = _topic(f"F.699 dish, {diameter:g} m, {frequency / 1e9:g} GHz", "ITU-R F.699-7")
        ours = f.f699_dish(list(table), diameter=diameter, frequency=frequency)
        rows += _rows(
            topic, [f"{a:g}° off the axis" for a in table], tuple(table.values()), ours, CENTI
        )
    return rows


def _links() -> list[Case]:
    inside = (2.0, 7.0, 12.0, 17.0, 25.0, 60.0, 120.0, 170.0)
    table = {"A": (0, 25, 29, 33, 36, 42, 55, 55), "B": (0, 20, 24, 28, 32, 35, 36, 36)}
    rows: list[Case] = []
    for category, suppression in table.items():
        topic = Topic(
            group=GROUP, title=f"FCC fixed link, 38 dBi, category {category}", status=PUBLISHED,
            unit="dBi", law="level", source="47 CFR 74.536 and 47 CFR 30.406",
        )  # fmt: skip
        rows += _rows(
            topic, [f"{a:g}° off the axis" for a in inside], [38.0 - s for s in suppression],
            f.fcc_fixed_link(inside, gain=38.0, category=category), 1e-9,
        )  # fmt: skip
    return rows


def _excess() -> list[Case]:
    """How much more than its power an envelope radiates: never less than nothing."""
    az, e = np.arange(-180.0, 180.0, 2.0), np.arange(-90.0, 90.25, 0.5)
    sector = f.f1336_sector(az[None, :], e[:, None], gain=18.0, width=65.0)
    omni = f.f1336_omni(e[:, None] + np.zeros(az.size)[None, :], gain=10.0)
    topic = _topic("Envelopes radiate more than their power", "ITU-R F.1336, peak forms")
    return [
        topic.case(
            "sector, 18 dBi, 65°", "mean gain", 2.0, 10.0 * np.log10(mean_gain(az, e, sector)), step=0.35,
            unit="dB",
        ),
        topic.case(
            "omnidirectional, 10 dBi", "mean gain", 1.7, 10.0 * np.log10(mean_gain(az, e, omni)), step=0.06,
            unit="dB",
        ),
    ]  # fmt: skip


TOWERS = (
    (90, (1.000, 0.978, 0.816, 0.628, 0.418, 0.137)),
    (120, (1.000, 0.971, 0.770, 0.556, 0.346, 0.107)),
    (190, (1.000, 0.933, 0.522, 0.204, 0.021, -0.022)),
    (225, (1.000, 0.882, 0.219, -0.188, -0.304, -0.138)),
)
TOWER_ELEVATIONS = (0, 10, 30, 45, 60, 80)


def _towers() -> list[Case]:
    rows: list[Case] = []
    for height, values in TOWERS:
        topic = Topic(
            group=GROUP, title=f"Vertical pattern of a mast of {height}°", status=COMPUTED, unit="relative",
            law="field", source="47 CFR 73.160(b)(1) (form from memory), values by separate program",
        )  # fmt: skip
        ours = f.sinusoidal_field(TOWER_ELEVATIONS, height=height)
        rows += [
            topic.case(f"elevation {e:g}°", "field", value, found, step=MILLI)
            for e, value, found in zip(TOWER_ELEVATIONS, values, ours, strict=True)
        ]
    return rows


STACKS = (
    (4, 1.0, (0.9527, 0.3886, 0.3040), -9.5, 12.9),
    (8, 1.0, (0.8132, 0.2230, 10 ** (-29.3 / 20)), -12.5, 6.4),
    (8, 0.5, (0.9505, 0.3742, 10 ** (-23.9 / 20)), -23.9, 12.7),
    (12, 1.0, (0.6078, 10 ** (-27.7 / 20), 10 ** (-20.3 / 20)), -14.2, 4.2),
)


def _stacks() -> list[Case]:
    rows: list[Case] = []
    fine = np.linspace(-90.0, 0.0, 90_001)
    for bays, spacing, values, below, width in STACKS:
        topic = Topic(
            group=GROUP, title=f"Stack of {bays} bays, {spacing:g} wavelength apart", status=COMPUTED,
            unit="relative", law="field",
            source="textbook form (ITU-R BS.1195-1, from memory), values by separate program",
        )  # fmt: skip
        at = (-2.5, -10.0, -60.0)
        ours = f.stack_field(at, bays=bays, spacing=spacing)
        level = 20.0 * np.log10(np.maximum(f.stack_field(fine, bays=bays, spacing=spacing), 1e-9))
        rows += [
            topic.case(f"elevation {e:g}°", "field", value, found, within=6e-3)
            for e, value, found in zip(at, values, ours, strict=True)
        ]
        rows += [
            topic.case(
                "60° to 90° down", "largest level", below, level[fine <= -60.0].max(), step=0.06,
                law="level", unit="dB",
            ),
            topic.case(
                "main lobe", "half-power width", width, -2.0 * fine[level >= -3.0].min(), step=0.06,
                unit="°",
            ),
        ]  # fmt: skip
    return rows
