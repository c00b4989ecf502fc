"""The bar of a reading: the figure stands on the side of every limit on which it is."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.reading.bar import MARKS, bar, deciding
from core.reading.cautions import FULL
from core.reading.data import Reading
from core.reading.lines import NARROWEST, WIDEST, bar_lines
from core.reading.reading import read
from core.reading.report import as_text, headline
from core.site.site import Site
from core.units import show_percent
from core.views.body import CLIMBING, STANDING
from support.simple_sites import FREE, ground, isotropic


def reading_of(frequency: float, watts: float) -> Reading:
    site = Site(
        name="s",
        antennas=(isotropic("a", frequency, watts),),
        reflection=FREE,
        surfaces=(ground(),),
    )
    return read(site, (40.0, 0.0, 0.0))


# 98.1 MHz: occupational is five times public; 1 MHz: both are equal (47 CFR 1.1310 Table 1).
@given(frequency=st.sampled_from([1e6, 98.1e6, 6e9]), exponent=st.floats(-4.0, 9.0))
def test_the_figure_stands_beyond_a_mark_exactly_when_it_is_over_that_limit(
    frequency: float, exponent: float
) -> None:
    reading = reading_of(frequency, 10.0**exponent)
    drawn = bar(reading)
    if drawn is None:
        assert reading.reactive or reading.public.total == 0.0
        return
    places = dict(drawn.marks)
    assert tuple(places) == MARKS
    over = (
        reading.public.total > 1.0,
        reading.occupational.total > 1.0,
        reading.occupational.total > 10.0,
    )
    for name, is_over in zip(MARKS, over, strict=True):
        assert drawn.value >= places[name] if is_over else drawn.value <= places[name]
    for width in (NARROWEST, 77, WIDEST):
        line, *names = bar_lines(drawn, width)
        assert len(line) <= width
        assert all(len(n) <= width for n in names)
        if drawn.best is not None and all(abs(drawn.best - at) > 0.05 for at in places.values()):
            assert line[: line.index("o")].count("|") == sum(
                drawn.best > at for at in set(places.values())
            )
        assert drawn.best is None or "o" in line
        passed = round(sum(over) if frequency > 2e6 else bool(over[0]) + bool(over[2]))
        filled = max(line.rfind("="), line.rfind("o"), 0)
        assert line[:filled].count("|") == passed


def test_the_one_number_is_of_the_limit_that_the_verdict_names() -> None:
    low, middle, high = (reading_of(98.1e6, power) for power in (1e3, 3e4, 3e5))
    assert (low.category, deciding(low)) == (1, "public")
    assert (middle.category, deciding(middle)) == (2, "public")
    assert (high.category, deciding(high)) == (3, "occupational")
    for reading in (low, middle):
        assert headline(reading).startswith(
            f"{show_percent(reading.public.total)} of FCC general population"
        )
    assert middle.public.total > 1.0
    assert headline(high).startswith(f"{show_percent(high.occupational.total)} of FCC occupational")
    assert high.occupational.total > 1.0
    for reading in (low, middle, high):
        assert "best estimate" in headline(reading)


def test_there_is_no_bar_where_there_is_no_figure(roof: Site) -> None:
    inside = read(roof, roof.antennas[0].position)
    assert bar(inside) is None
    assert headline(inside).startswith("no figure")
    assert bar(read(Site(name="s", antennas=()), (0.0, 0.0, 0.0))) is None


@pytest.mark.parametrize("why", [True, False])
@pytest.mark.parametrize("width", [1, NARROWEST, 80, WIDEST, 400])
def test_no_line_is_wider_than_the_terminal(demo: Site, width: int, *, why: bool) -> None:
    long_name = replace(demo.antennas[0], name="A very long name indeed, " * 3)
    site = replace(demo, antennas=(long_name, *demo.antennas[1:]))
    for place, body in (((2.0, 12.0, 16.0), STANDING), ((1.0, 2.0, 112.0), CLIMBING)):
        text = as_text(read(site, place, body), width, why=why)
        most = min(max(width, NARROWEST), WIDEST)
        assert max(len(line) for line in text.splitlines()) <= most


@pytest.mark.parametrize(
    "limit_set", ["FCC", "ICNIRP2020", "ICNIRP1998", "EU", "IEEE-C95.1-2019", "SC6-2015"]
)
def test_without_reasons_nothing_is_missing_that_a_number_needs(demo: Site, limit_set: str) -> None:
    reading = read(replace(demo, limit_set=limit_set), (6.0, 10.0, 16.0), STANDING)
    short = as_text(reading, why=False)
    flat = " ".join(short.split())
    assert short.splitlines()[0] == reading.verdict[: len(short.splitlines()[0])]
    for line in (reading.public, reading.occupational):
        assert f"{show_percent(line.total)} of {limit_set} {line.name}" in flat
    assert reading.span is not None
    assert reading.span.fact in flat
    assert reading.caution in flat
    assert reading.limit_set.status in flat
    for e in reading.emitters:
        assert all(word in flat for word in e.name.split())
    for caution in reading.cautions:
        assert caution in FULL or caution in flat
    # The reasons are what is left out.
    whole = " ".join(as_text(reading).split())
    assert "V/m" in whole
    assert "V/m" not in flat


def test_where_no_surface_is_drawn_the_first_line_says_so() -> None:
    for watts in (1.0, 1e6):
        site = Site(name="s", antennas=(isotropic("a", 98.1e6, watts),), reflection=FREE)
        first = as_text(read(site, (30.0, 0.0, 0.0), STANDING), why=False).splitlines()[0]
        assert "o walking surface is drawn here" in first
