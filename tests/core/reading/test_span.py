"""What stands beside a figure: the best estimate, the part that is reflection, and the fact to find out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.antennas.generic import Generic
from core.antennas.stack import Stack
from core.exposure.totals import exposure
from core.reading.reading import read
from core.reading.report import as_data, as_text
from core.site.places import Surface
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Kind, Power, Site

HERE = (9.0, 3.0, 1.0)


def site(kind: Kind, *surfaces: Surface) -> Site:
    carrier = Carrier(name="c", frequency=98e6, power=Power(transmitter=900.0))
    one = Antenna(name="Bay", kind=kind, position=(0.0, 0.0, 12.0), carriers=(carrier,))
    return Site(name="invented", antennas=(one,), surfaces=surfaces)


SQUARE = ((-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0))
ROOF = Surface(name="Deck", kind="roof", height=0.0, outline=SQUARE)
YARD = Surface(name="Yard", kind="ground", height=0.0, outline=SQUARE)
DIPOLE = Stack(bay="vertical-dipole", bays=2, design_frequency=98e6, beam_tilt=0.0)


def test_best_estimate_and_direct_field_are_those_of_the_site_without() -> None:
    made = site(DIPOLE, YARD)
    span = read(made, HERE).span
    assert span is not None
    at = np.array([HERE])
    best = exposure(replace(made, conservative=False), at).public.total[0]
    direct = exposure(replace(made, reflection=Reflection(ReflectionKind.NONE)), at).public.total[0]
    assert span.best[0] == pytest.approx(float(best))
    assert span.direct[0] == pytest.approx(float(direct))
    # The kind's own added decibels, printed with its model: 2 dB.
    assert span.added_db == pytest.approx(2.0, abs=1e-6)
    assert 0.5 < span.reflected_db < 6.1


def test_an_antenna_with_its_own_word_on_its_estimate_is_asked_for_its_best_too() -> None:
    made = site(DIPOLE, YARD)
    own = replace(made, antennas=(replace(made.antennas[0], conservative=True),))
    assert read(own, HERE).span == read(made, HERE).span


@pytest.mark.parametrize(
    ("kind", "surface", "fact"),
    [
        (Generic(entry="fm-4-bay-full-wave"), YARD, "maker and model"),
        (Stack(bay="circular", bays=2, design_frequency=98e6, beam_tilt=0.0), YARD, "the shape of its bays (of Bay)"),
        (DIPOLE, ROOF, "what Deck is made of"),
        (DIPOLE, YARD, "a survey with a meter"),
    ],
)  # fmt: skip
def test_it_names_the_fact_that_would_narrow_the_figure(
    kind: Kind, surface: Surface, fact: str
) -> None:
    reading = read(site(kind, surface), HERE)
    assert reading.span is not None
    assert fact in reading.span.fact
    assert "Best estimate" in as_text(reading)
    assert fact in as_text(reading)
    data = as_data(reading)
    assert data["to_find_out"] == reading.span.fact
    best = data["best_percent"]
    assert isinstance(best, dict)
    assert best["public"] == pytest.approx(100.0 * reading.span.best[0])


def test_there_is_none_where_there_is_no_figure() -> None:
    made = site(DIPOLE, YARD)
    inside = read(made, (0.0, 0.0, 12.0))
    assert inside.reactive
    assert inside.span is None
    assert as_data(inside)["best_percent"] is None
