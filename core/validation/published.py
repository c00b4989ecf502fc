"""Published worked examples of the spherical formula, of sums of fractions and of exemption."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from core.antennas.worst_case import REFLECTION, WorstCase
from core.exposure.fractions import split, weight
from core.exposure.totals import exposure
from core.limits.exemption import EXEMPTION_SOURCE, exempt_erp
from core.limits.sets import DEFAULT_SET, get_set
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Power, Site
from core.units import DIPOLE_GAIN, ETA0, FOOT, from_db
from core.validation.case import COMPUTED, PUBLISHED, Case, Topic
from core.views.body import POINT, Body

GROUP = "Distance and power: the spherical formula"
SUMS = "Sums of fractions, exemption, reflection"
GROUND = 2.56
MILLIWATT_PER_CM2 = 10.0
MICROWATT_PER_CM2 = 0.01
SEPARATELY = "arithmetic from the stated formula, with a separate program"


def sphere_density(eirp: float, distance: float, factor: float = 1.0) -> float:
    """Return the worst-case kind's S (W/m²) at a distance in m, its own full reflection divided out.

    At 30 GHz, where reactive fields end within millimetres.

    Parameters
    ----------
    eirp : float
        W.
    factor : float
        Reflection as a factor on the field.
    """
    kind = WorstCase(gain=0.0, size=0.0)
    field = kind.unit_field(np.array([[distance, 0.0, 0.0]]), 30e9, conservative=True)
    return eirp * factor / REFLECTION * float(field.power_density[0])


def distance_to(level: float, eirp: float, factor: float = 1.0) -> float:
    """Return where :func:`sphere_density` falls to a level (W/m²), m.

    Parameters
    ----------
    eirp : float
        W.
    factor : float
        Reflection as a factor on the field.
    """
    low, high = 0.05, 1e5
    for _ in range(80):
        middle = (low * high) ** 0.5
        if sphere_density(eirp, middle, factor) > level:
            low = middle
        else:
            high = middle
    return high


def published() -> tuple[Case, ...]:
    """Return the cases of the spherical formula, published first."""
    return (*_equipment(), *_broadcast(), *_amateur(), *_distances(), *_fields())


def _equipment() -> tuple[Case, ...]:
    module = Topic(
        group=GROUP, title="Radio module", status=PUBLISHED, unit="mW/cm²",
        source="module user manual, page 14, quoting FCC OET Bulletin 65 eq. 3",
    )  # fmt: skip
    terminal = Topic(
        group=GROUP, title="Wireless terminal", status=PUBLISHED, unit="mW/cm²",
        source="equipment filing RI7UC864G, exhibit 944564",
    )  # fmt: skip
    bridge = Topic(
        group=GROUP, title="Outdoor bridge", status=PUBLISHED, unit="cm", law="field",
        source="equipment filing SWX-M5N, exhibit 1464794 (it prints 55.53 cm)",
    )  # fmt: skip
    s = sphere_density(0.408263 * 1.99526, 0.20) / MILLIWATT_PER_CM2
    margin = 10.0 * np.log10(824.0 / 1500.0 / s)
    return (
        module.case(
            "39.811 mW, gain 1, 20 cm", "S", 0.00792,
            sphere_density(0.039811, 0.20) / MILLIWATT_PER_CM2, within=2e-3,
        ),
        terminal.case("408.263 mW, gain 1.99526, 20 cm", "S", 0.162058, s, within=2e-3),
        terminal.case(
            "the same against f/1500 = 0.549333 mW/cm² at 824 MHz", "margin", 5.30, margin,
            step=0.005, law="level", unit="dB",
        ),
        bridge.case(
            "972.75 mW, gain 39.81, limit 1 mW/cm²", "distance", 55.51,
            100.0 * distance_to(MILLIWATT_PER_CM2, 0.97275 * 39.81), within=1e-3,
        ),
    )  # fmt: skip


def _broadcast() -> tuple[Case, ...]:
    constant = Topic(
        group=GROUP, title="Ground-level constant", status=PUBLISHED, unit="µW/cm²",
        source="municipal filing quoting FCC OET Bulletin 65 eq. 9, page 21: 33.4 ERP/R²",
    )  # fmt: skip
    tv = Topic(
        group=GROUP, title="Digital TV station", status=PUBLISHED, unit="µW/cm²",
        source="broadcast filing, engineering exhibit: 33.4 F² ERP/R²",
    )  # fmt: skip
    fm = Topic(
        group=GROUP, title="Low-power FM", status=COMPUTED, unit="m", law="field",
        source="33.4 ERP/R² solved for R; the FCC's LPFM worksheet rounds it up to 6 m",
    )  # fmt: skip
    micro = MICROWATT_PER_CM2
    return (
        constant.case(
            "ERP 44.25 W, 19.6 m, power × 2.56", "S", 3.85,
            sphere_density(DIPOLE_GAIN * 44.25, 19.6, GROUND) / micro, step=0.005,
        ),
        tv.case(
            "ERP 91 kW, relative field 0.1, 114 m, power × 2.56", "S", 2.3394,
            sphere_density(DIPOLE_GAIN * 91e3 * 0.1**2, 114.0, GROUND) / micro, within=1e-3,
        ),
        replace(tv, status=COMPUTED, source="the same from the point 2 m above ground").case(
            "the same, 112 m", "S", 2.423,
            sphere_density(DIPOLE_GAIN * 91e3 * 0.1**2, 112.0, GROUND) / micro, within=1e-3,
        ),
        fm.case(
            "100 W horizontal + 100 W vertical, limit 200 µW/cm², power × 2.56", "distance", 5.78,
            distance_to(200.0 * micro, DIPOLE_GAIN * 200.0, GROUND), within=1e-3,
        ),
    )  # fmt: skip


def _amateur() -> tuple[Case, ...]:
    page = Topic(
        group=GROUP, title="Amateur station", status=PUBLISHED, unit="mW/cm²",
        source="amateur page after FCC OET Bulletin 65 Supplement B",
    )  # fmt: skip
    bounce = Topic(
        group=GROUP, title="Moon-bounce station", status=PUBLISHED, unit="ft", law="field",
        source="FCC OET Bulletin 65 Supplement B, row for eight 17-element Yagis (seen in an excerpt)",
    )  # fmt: skip
    eirp = 1500.0 * from_db(24.0)
    return (
        page.case(
            "1500 W, 2.2 dBi, 100 ft, 3.75 MHz, power × 2.56", "S", 0.0546,
            sphere_density(1500.0 * from_db(2.2), 100.0 * FOOT, GROUND) / MILLIWATT_PER_CM2,
            step=1e-4,
        ),
        *(
            bounce.case(
                f"1500 W, 24 dBi, 144 MHz, {tier}, power × 2.56", "distance", feet,
                distance_to(limit, eirp, GROUND) / FOOT, within=2e-3,
            )
            for tier, feet, limit in (("controlled", 287.0, 10.0), ("uncontrolled", 642.0, 2.0))
        ),
    )  # fmt: skip


def _distances() -> tuple[Case, ...]:
    manual = Topic(
        group=GROUP, title="HF transceiver", status=PUBLISHED, unit="m", law="field",
        source="transceiver manual, page 62: 6.5, 20 and 65 m, rounded up from the values given here",
    )  # fmt: skip
    beams = Topic(
        group=GROUP, title="Beam-steering panel", status=COMPUTED, unit="m", law="field",
        source=SEPARATELY,
    )  # fmt: skip
    eirp = 120.0 * from_db(24.0)
    return (
        *(
            manual.case(
                f"EIRP {watts / 1e3:g} kW, 2 W/m², no reflection", "distance", metres,
                distance_to(2.0, watts), within=2e-3,
            )
            for watts, metres in ((1e3, 6.31), (10e3, 19.95), (100e3, 63.1))
        ),
        beams.case(
            "120 W, 24 dBi, 10 W/m²", "distance", 15.49, distance_to(10.0, eirp), within=1e-3
        ),
        beams.case(
            "the same, duty 0.75, power factor 0.25", "distance", 6.71,
            distance_to(10.0, eirp * 0.75 * 0.25), within=1e-3,
        ),
    )  # fmt: skip


def _fields() -> tuple[Case, ...]:
    table = Topic(
        group=GROUP, title="Isotropic source", status=PUBLISHED, unit="V/m", law="field",
        source="amateur forum table of field strengths",
    )  # fmt: skip
    station = Topic(
        group=GROUP, title="AM station far out", status=PUBLISHED, unit="mV/m", law="field",
        source="broadcast forum, figure for a quarter-wave mast",
    )  # fmt: skip
    unit = Topic(
        group=GROUP, title="Plane wave", status=COMPUTED, unit="mW/cm²",
        source="FCC OET Bulletin 65 eq. 1 (from memory): S = E²/3770",
    )  # fmt: skip

    def strength(eirp: float, metres: float) -> float:
        return float(np.sqrt(sphere_density(eirp, metres) * ETA0))

    return (
        *(
            table.case(f"100 W isotropic, {metres:g} m", "E", field, strength(100.0, metres), within=1e-3)
            for metres, field in ((1.0, 54.8), (64.0, 0.856))
        ),
        station.case(
            "1 kW, 5.15 dBi, 1 km", "E", 313.37, 1e3 * strength(1e3 * from_db(5.15), 1e3), within=1e-3
        ),
        unit.case("61.4 V/m", "S", 1.000, 61.4**2 / ETA0 / MILLIWATT_PER_CM2, step=1.5e-3),
    )  # fmt: skip


def _fraction(frequency: float, s: float = 0.0, e: float = 0.0, h: float = 0.0) -> float:
    """Fraction of the FCC public limit: of a plane wave of S, or the larger of E's and H's, in percent."""
    chosen = get_set(DEFAULT_SET)
    table = chosen.of("public")[0]
    e2, h2 = (s * ETA0, s / ETA0) if s else (e * e, h * h)
    w = weight(table.at(frequency), table, chosen, frequency)
    parts = split(np.array([e2]), np.array([h2]), np.array([False]), w)
    return 100.0 * float(max(parts[0][0], parts[1][0]))


def _site(reflection: Reflection, *sources: tuple[float, float]) -> Site:
    """Isotropic sources (frequency, EIRP) 30 m up."""
    antennas = tuple(
        Antenna(
            name=f"source {i}",
            kind=WorstCase(gain=0.0, size=0.0),
            position=(0.0, 0.0, 30.0),
            carriers=(Carrier(name="only", frequency=f, power=Power(eirp=eirp / REFLECTION)),),
        )
        for i, (f, eirp) in enumerate(sources)
    )
    return Site(name="invented", antennas=antennas, reflection=reflection)


def sums() -> tuple[Case, ...]:
    """Return sums of fractions, exemption thresholds, and the reflection models."""
    three = Topic(
        group=SUMS, title="Three fractions", status=PUBLISHED, unit="of the limit",
        source="public question-and-answer page on cumulative exposure: 0.35 + 0.40 + 0.01 = 0.76",
    )  # fmt: skip
    four = Topic(
        group=SUMS, title="Four stations", status=COMPUTED, unit="% of the FCC public limit",
        source="arithmetic from 47 CFR 1.1310 Table 1",
    )  # fmt: skip
    exempt = Topic(
        group=SUMS, title="Exemption", status=COMPUTED, unit="W ERP",
        source=f"arithmetic from {EXEMPTION_SOURCE}",
    )  # fmt: skip
    parts = {
        "FM 40 µW/cm²": (20.0, _fraction(98e6, s=0.4)),
        "600 MHz, 80 µW/cm²": (20.0, _fraction(600e6, s=0.8)),
        "850 MHz, 30 µW/cm²": (5.294, _fraction(850e6, s=0.3)),
        "AM 1 MHz, 50 V/m, 0.2 A/m": (1.506, _fraction(1e6, e=50.0, h=0.2)),
    }
    return (
        three.case(
            "three carriers at 300 MHz, 100 m, whose fractions are 0.35, 0.40 and 0.01", "total",
            0.76, _three_carriers(), within=1e-3,
        ),
        *(four.case(name, "share", share, ours, within=2e-3) for name, (share, ours) in parts.items()),
        four.case(
            "all four", "total", 46.80, sum(ours for _, ours in parts.values()), within=2e-3
        ),
        *(
            exempt.case(
                f"{frequency / 1e6:g} MHz, {metres:g} m", "threshold", watts,
                exempt_erp(frequency, metres) or 0.0, within=2e-3,
            )
            for frequency, metres, watts in (
                (100e6, 20.0, 1532.0), (751e6, 6.0, 346.1), (2.1e9, 3.0, 172.8)
            )
        ),
        *_reflections(),
    )  # fmt: skip


def _three_carriers() -> float:
    """Total at 100 m of three isotropic carriers, each with the EIRP that gives its fraction."""
    frequency, metres = 300e6, 100.0
    limit = frequency / 1500e6 * MILLIWATT_PER_CM2
    eirps = [share * limit * 4.0 * np.pi * metres**2 for share in (0.35, 0.40, 0.01)]
    site = _site(Reflection(ReflectionKind.NONE), *((frequency, float(e)) for e in eirps))
    return float(exposure(site, np.array([[metres, 0.0, 30.0]]), POINT).public.total[0])


def _reflections() -> tuple[Case, ...]:
    """The reflection models against the exact two-ray sum over medium dry ground."""
    both = Topic(
        group=SUMS, title="1 kW EIRP isotropic, 100 MHz, 30 m up, 50 m out, medium dry ground", status=COMPUTED,
        unit="µW/cm²",
        source="direct and reflected ray added by vector, textbook Fresnel coefficients, separate program",
    )  # fmt: skip
    rule = replace(both, source="FCC OET Bulletin 65 eq. 6 (number from memory): power × 2.56")
    free, factor, full, two = (
        Reflection(kind, 15.0, 0.001)
        for kind in (
            ReflectionKind.NONE, ReflectionKind.GROUND, ReflectionKind.FULL, ReflectionKind.TWO_RAY
        )
    )  # fmt: skip
    at, column = "1.5 m up", "mean from 0 to 2 m"
    body = Body(tuple(np.linspace(0.0, 2.0, 9).tolist()))
    rows = [
        ("two-ray reflection", at, "horizontal", 7.20, _density(two, POINT, 1.5)),
        ("two-ray reflection", at, "vertical", 1.91, _density(two, POINT, 1.5)),
        ("two-ray reflection", column, "horizontal", 4.442, _density(two, body, 0.0)),
        ("two-ray reflection", column, "vertical", 2.492, _density(two, body, 0.0)),
        ("full reflection", at, "horizontal", 7.20, _density(full, POINT, 1.5)),
        ("field × 1.6", at, "vertical", 1.91, _density(factor, POINT, 1.5)),
        ("field × 1.6", column, "horizontal", 4.442, _density(factor, body, 0.0)),
        ("field × 1.6", column, "vertical", 2.492, _density(factor, body, 0.0)),
    ]
    return (
        replace(both, unit="V/m", law="field").case(
            f"free space, {at}", "E", 3.008, float(np.sqrt(_density(free, POINT, 1.5) * 0.01 * ETA0)),
            within=1e-3,
        ),
        rule.case(
            "field × 1.6, 2 m up as the rule has it", "S", 6.20, _density(factor, POINT, 2.0), within=2e-3
        ),
        *(
            both.case(f"{words}, {where}", f"S, {polarisation}", s, ours, low=0.01)
            for words, where, polarisation, s, ours in rows
        ),
        # The published factor stands for ordinary ground; horizontal waves can come back stronger.
        both.case(
            f"field × 1.6, {at}", "S, horizontal", 7.20, _density(factor, POINT, 1.5), low=0.7
        ),
    )  # fmt: skip


def _density(reflection: Reflection, body: Body, height: float) -> float:
    """E²/η in µW/cm² at 50 m, averaged over the body."""
    found = exposure(_site(reflection, (100e6, 1000.0)), np.array([[50.0, 0.0, height]]), body)
    return float(np.mean(found.fields.e2)) / ETA0 / MICROWATT_PER_CM2
