"""Transmitters too weak to pass a limit anywhere have a figure in their reactive region; others have none."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.antennas.stack import Stack
from core.exposure.raster import raster
from core.exposure.totals import exposure
from core.limits.low_power import absorbed
from core.limits.sets import SETS
from core.reading.reading import read
from core.reading.report import as_text
from core.site.site import Antenna, Carrier, Condition, Power, Site, State
from core.views.body import CLIMBING, POINT
from core.views.views import Height, PlanView
from support.simple_sites import FREE

ON = State()
NEAR = (0.06, 0.0, 2.0)
BY_SET = {"FCC": 1.6e-3, "SC6-2015": 1.6e-3}


def tags(*powers: Power, frequency: float = 433e6, limits: str = "FCC", state: State = ON) -> Site:
    """Small vertical dipoles side by side, a centimetre apart, around (0, 0, 2)."""
    kind = Stack(bay="vertical-dipole", bays=1, design_frequency=433e6)
    antennas = tuple(
        Antenna(
            name=f"tag {i}", kind=kind, position=(0.01 * i, 0.0, 2.0), state=state,
            carriers=(Carrier(name="c", frequency=frequency, power=power),),
        )
        for i, power in enumerate(powers)
    )  # fmt: skip
    return Site(name="tags", limit_set=limits, antennas=antennas, reflection=FREE)


@pytest.mark.parametrize("key", SETS)
def test_the_published_absorption_limits(key: str) -> None:
    # FCC: 1.6 and 8 W/kg over 1 g, 47 CFR 1.1310(b), (c); 2 and 10 W/kg over 10 g, ICNIRP 2020 Table 2 (from memory).
    most = BY_SET.get(key, 20e-3)
    assert absorbed(key, "public", most, 900e6) == pytest.approx(1.0)
    assert absorbed(key, "occupational", 5.0 * most, 900e6) == pytest.approx(1.0)
    assert absorbed(key, "public", most, 5e6) is None
    assert absorbed(key, "public", most, 7e9) is None


@pytest.mark.parametrize("key", SETS)
def test_a_weak_tag_has_a_figure_at_its_metal(key: str) -> None:
    reading = read(tags(Power(transmitter=1e-3), limits=key), NEAR)
    assert not reading.reactive
    assert reading.public.total == pytest.approx(1e-3 / BY_SET.get(key, 20e-3))
    assert reading.occupational.total == pytest.approx(reading.public.total / 5.0)
    assert "absorbed in" in as_text(reading)
    assert "no figure" not in as_text(reading)


def test_two_weak_tags_add() -> None:
    one = read(tags(Power(transmitter=0.5e-3)), NEAR)
    both = read(tags(Power(transmitter=0.5e-3), Power(transmitter=0.5e-3)), NEAR)
    assert both.public.total == pytest.approx(2.0 * one.public.total)


@pytest.mark.parametrize(
    "site",
    [
        tags(Power(transmitter=2e-3)),
        tags(Power(erp=0.5e-3)),
        tags(Power(transmitter=1e-3), Power(transmitter=2e-3)),
        tags(Power(transmitter=2e-3), state=State(Condition.REDUCED, 1.0)),
    ],
    ids=["over the limit", "only ERP known", "a stronger one beside", "only turned down"],
)
def test_all_others_have_none(site: Site) -> None:
    reading = read(site, NEAR)
    assert reading.reactive
    assert reading.occupational.total >= 100.0


def test_map_and_reading_agree() -> None:
    site = tags(Power(transmitter=1e-3))
    view = PlanView((-0.2, -0.2, 0.2, 0.2), Height(2.0), POINT)
    drawn = raster(site, view, (21, 21))
    assert not drawn.reactive.any()
    read_there = exposure(site, view.points(site, (21, 21)))
    np.testing.assert_allclose(drawn.public.ravel(), read_there.public.total, rtol=1e-4)
    assert drawn.public.max() == pytest.approx(0.625)


def test_averaging_keeps_the_figure() -> None:
    site = tags(Power(transmitter=1e-3))
    body = replace(CLIMBING, average=True)
    assert read(site, NEAR, body).public.total <= 0.625
