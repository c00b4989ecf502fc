"""Readings: shares add up, words say what the figures say."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import numpy as np
import pytest

from core.exposure.batch import read_many
from core.exposure.sources import sources
from core.reading.cautions import contact_cautions
from core.reading.reading import read
from core.reading.report import as_data, as_text
from core.site.places import Ladder
from core.site.site import Site
from core.units import ETA0, SPEED_OF_LIGHT, show_percent
from core.views.body import CLIMBING, POINT, STANDING, Body
from support.simple_sites import FREE, ground, isotropic

PLACES = [(6.0, 10.0, 16.0), (-2.0, -9.0, 17.0), (20.0, -10.0, 16.0), (0.5, 0.3, 60.0)]


SETS_AND_BODIES = [
    *((key, POINT) for key in ("FCC", "ICNIRP1998", "EU", "IEEE-C95.1-2019")),
    *(("FCC", body) for body in (STANDING, CLIMBING)),
    ("ICNIRP2020", replace(STANDING, average=True)),
    ("SC6-2015", STANDING),
]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(("limit_set", "body"), SETS_AND_BODIES)
def test_shares_add_up_to_the_total(demo: Site, body, place, limit_set: str) -> None:  # type: ignore[no-untyped-def]
    data = as_data(read(replace(demo, limit_set=limit_set), place, body))
    for tier in ("public", "occupational"):
        parts = sum(e["percent"][tier] for e in data["emitters"])
        assert parts == pytest.approx(data["percent"][tier], rel=1e-9)


def test_fields_and_density_of_an_emitter_agree(demo: Site) -> None:
    for e in read(demo, (9.0, 8.0, 30.0)).emitters:
        assert e.s == pytest.approx(max(e.e**2 / ETA0, e.h**2 * ETA0), rel=1e-9)


def test_the_margin_is_the_total_in_decibels() -> None:
    site = Site(name="s", antennas=(isotropic("a", 100e6, 1000.0),), reflection=FREE)
    reading = read(site, (0.0, 10.0, 0.0))
    # 4 × 1000/(4π 100) = 3.183 W/m² against 2 W/m² (47 CFR 1.1310 Table 1): 2.02 dB over.
    assert reading.public.margin_db == pytest.approx(-10 * np.log10(3.1831 / 2.0), abs=0.02)
    assert reading.category == 2


@pytest.mark.parametrize(
    ("s", "name"),
    # Categories of 47 CFR 1.1307(b)(4) (from memory), limits of 1.1310 Table 1 at 98.1 MHz.
    [(1.9, "One"), (7.0, "Two"), (9.99, "Two"), (60.0, "Three"), (101.0, "Four")],
)
def test_category_of_one_source_by_its_power_density(s: float, name: str) -> None:
    radius = 50.0
    site = Site(
        name="s",
        antennas=(isotropic("a", 98.1e6, s * np.pi * radius**2),),
        reflection=FREE,
        surfaces=(ground(),),
    )
    assert as_data(read(site, (radius, 0.0, 0.0)))["category"] == name


def test_below_1_34_megahertz_category_two_cannot_occur() -> None:
    # 47 CFR 1.1310 Table 1: both tiers are equal there. 700 V/m is 129.98 % of 614 V/m.
    radius = 300.0
    eirp = 700.0**2 / ETA0 * np.pi * radius**2
    site = Site(name="s", antennas=(isotropic("a", 1.0e6, eirp),), reflection=FREE)
    reading = read(site, (radius, 0.0, 0.0))
    # At one wavelength the worst case has 1/x² and 1/x⁴ on it, x = 2π r/λ.
    x = 2.0 * np.pi * radius * 1.0e6 / SPEED_OF_LIGHT
    assert reading.public.total == pytest.approx(1.2998 * (1.0 + x**-2 + x**-4), rel=2e-3)
    assert reading.category == 3


def test_inside_a_reactive_region_there_is_no_figure_but_a_warning(roof: Site) -> None:
    reading = read(roof, roof.antennas[0].position)
    assert reading.category == 4
    assert "no figure" in reading.verdict
    assert "Treat as over every limit" in as_text(reading)
    data = as_data(reading)
    assert data["no_figure"] is True
    assert data["percent"]["public"] >= data["held_at_least_percent"]


def test_the_text_names_set_tier_model_source_assumptions_and_caution(demo: Site) -> None:
    text = as_text(read(demo, (5.0, 5.0, 20.0)))
    for words in (
        "% of FCC general population",
        "% of FCC occupational",
        "47 CFR 1.1310",
        "model: ",
        "Assumptions:",
        "Cautions:",
        "calibrated instrument",
        "reflected by ",
        "law and the site rules",
    ):
        assert words in text


def test_contact_currents_are_cautioned_below_110_megahertz(tower: Site, roof: Site) -> None:
    assert any(c.startswith("Contact current") for c in read(tower, (9.0, 9.0, 0.0)).cautions)
    assert not any(c.startswith("Contact current") for c in read(roof, (9.0, 9.0, 16.0)).cautions)


def test_a_limit_from_memory_says_so_in_the_reading(roof: Site) -> None:
    text = as_text(read(replace(roof, limit_set="SC6-2015"), (5.0, 5.0, 16.0)))
    assert "from memory" in text


def test_the_fix_brings_the_place_to_the_limit() -> None:
    site = Site(
        name="s",
        antennas=(
            isotropic("big", 100e6, 1000.0),
            isotropic("small", 450e6, 10.0, (1.0, 0.0, 0.0)),
        ),
        reflection=FREE,
    )
    reading = read(site, (0.0, 10.0, 0.0))
    assert "big: only down by" in reading.public.fix
    decibels = float(reading.public.fix.split("down by ")[1].split(" dB")[0])
    shares = {e.name: e.public for e in reading.emitters}
    after = shares["big: only"] * 10 ** (-decibels / 10) + shares["small: only"]
    assert after == pytest.approx(1.0, abs=0.02)


def test_a_batch_gives_the_same_figures_as_single_readings(demo: Site) -> None:
    points = np.array(PLACES)
    batch = read_many(demo, points, STANDING)
    for i, place in enumerate(PLACES):
        one = read(demo, place, STANDING)
        assert batch.public[i] == pytest.approx(one.public.total, rel=1e-12)
        assert batch.category[i] == (0 if one.category is None else one.category)


def test_the_data_are_plain_json(demo: Site) -> None:
    text = json.dumps(as_data(read(demo, (3.0, 4.0, 5.0))), allow_nan=False)
    assert json.loads(text)["height_rule"]


@pytest.mark.parametrize(
    ("limit_set", "frequency", "said"),
    [
        # The rows of core.limits.currents, each with its source there.
        ("EU", 1e6, "40 mA occupational"),
        ("ICNIRP1998", 1e6, "20 mA public"),
        ("FCC", 1e6, "47 CFR 1.1310 has no limit"),
        ("ICNIRP2020", 50e6, "10 mA public"),
    ],
)
def test_the_contact_current_caution_names_what_the_set_prints(
    limit_set: str, frequency: float, said: str
) -> None:
    site = Site(
        name="s", antennas=(isotropic("a", frequency, 100.0),), reflection=FREE, limit_set=limit_set
    )
    cautions = read(site, (50.0, 0.0, 1.0)).cautions
    assert any(said in line for line in cautions), cautions
    above = replace(site, antennas=(isotropic("a", 900e6, 100.0),))
    assert not any(
        "ontact current" in line and "mA" in line for line in read(above, (50.0, 0.0, 1.0)).cautions
    )


def test_a_set_that_prints_no_contact_current_is_said_so() -> None:
    # Health Canada Safety Code 6 begins at 3 kHz; every other set of ours prints rows or is the FCC's.
    (line,) = [
        c
        for c in contact_cautions(
            sources(Site(name="s", antennas=(isotropic("a", 98e6, 100.0),))), "none"
        )
        if "prints no" in c
    ]
    assert "98 MHz" in line


def test_what_would_bring_all_of_several_equal_emitters_to_the_limit() -> None:
    """Three equal ones, together 300 % of a limit: none alone is enough; all down by 10 log 3 = 4.8 dB."""
    # Worst case with full reflection: S = EIRP/(π d²); 10 W/m² for workers at 98 MHz, 10 m away.
    each = 10.0 * np.pi * 100.0
    places = ((10.0, 0.0, 0.0), (0.0, 10.0, 0.0), (-10.0, 0.0, 0.0))
    antennas = tuple(isotropic(f"s{i}", 98e6, each, p) for i, p in enumerate(places))
    shown = read(Site(name="s", antennas=antennas, reflection=FREE), (0.0, 0.0, 0.0))
    assert shown.occupational.total == pytest.approx(3.0, rel=5e-3)
    assert "all of them down by 4.8 dB" in shown.occupational.fix


@pytest.mark.parametrize("over", [1.00004, 1.001, 1.02, 1.3, 2.0, 7.7, 900.0])
def test_the_cut_that_is_said_is_enough(over: float) -> None:
    """Worst case with full reflection, 10 W/m² for workers at 98 MHz, 10 m away; the second emitter makes 40 %."""
    each = 10.0 * np.pi * 100.0
    pair = tuple(
        isotropic(name, 98e6, each * part, (10.0, 0.0, 0.0))
        for name, part in (("big", over - 0.4), ("small", 0.4))
    )
    site = Site(name="s", antennas=pair, reflection=FREE)
    fix = read(site, (0.0, 0.0, 0.0)).occupational.fix
    found = re.search(r"down by ([\d.]+) dB \(to ([\d.]+) %", fix)
    assert found is not None
    decibels, percent = map(float, found.groups())
    assert decibels > 0.0
    for factor in (10.0 ** (-0.1 * decibels), percent / 100.0):
        lower = isotropic("big", 98e6, each * (over - 0.4) * factor, (10.0, 0.0, 0.0))
        now = read(replace(site, antennas=(lower, pair[1])), (0.0, 0.0, 0.0)).occupational.total
        assert now <= 1.0 + (1e-9 if factor == 10.0 ** (-0.1 * decibels) else 0.005)


def test_an_average_says_the_peak_that_it_hides() -> None:
    low = isotropic("a", 160e6, 30.0, (0.0, 0.0, 1.0))
    site = Site(name="s", antennas=(low,), reflection=FREE, limit_set="IEEE-C95.1-2019")
    mean, peak = (
        read(site, (1.2, 0.0, 0.0), Body(STANDING.heights, average=a)) for a in (True, False)
    )
    assert peak.public.peak is None
    assert mean.public.peak == pytest.approx(peak.public.total)
    assert mean.occupational.peak == pytest.approx(peak.occupational.total)
    assert mean.public.total < 0.8 * peak.public.total
    assert f"its highest place has {show_percent(peak.public.total)}" in as_text(mean)
    assert "highest place" not in as_text(peak)
    assert as_data(mean)["peak_percent"]["public"] == pytest.approx(100.0 * peak.public.total)
    assert as_data(peak)["peak_percent"] == {"public": None, "occupational": None}


def test_where_no_surface_is_drawn_there_is_no_verdict_but_a_figure() -> None:
    """Twelve antennas on a roof that nobody drew are no reason to say that the place is free."""
    quiet = Site(name="s", antennas=(isotropic("a", 98.1e6, 1.0),), reflection=FREE)
    place = (30.0, 0.0, 0.0)
    for body in (POINT, STANDING, CLIMBING):
        reading = read(quiet, place, body)
        assert reading.category is None
        assert reading.verdict.startswith("No verdict: no walking surface is drawn here")
        assert reading.public.total > 0.0
        assert as_data(reading)["no_surface"] is True
    drawn = replace(quiet, surfaces=(ground(50.0),))
    assert read(drawn, place, STANDING).category == 1
    assert read(drawn, (60.0, 0.0, 0.0), STANDING).category is None
    # A stated height, or a ladder, needs no surface of its own.
    assert read(drawn, (60.0, 0.0, 9.0), POINT).category == 1
    ladder = Ladder(name="l", points=((0.0, 0.0, 0.0), (0.0, 0.0, 9.0)))
    assert read(replace(quiet, ladders=(ladder,)), place, CLIMBING).category == 1


def test_over_a_limit_the_missing_surface_hides_nothing() -> None:
    loud = Site(name="s", antennas=(isotropic("a", 98.1e6, 1e6),), reflection=FREE)
    reading = read(loud, (30.0, 0.0, 0.0), STANDING)
    assert reading.category is not None
    assert reading.category > 1
    assert "No walking surface is drawn here" in reading.verdict
