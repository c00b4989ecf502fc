"""What would take hours or gigabytes is refused before it begins, and what is no number never becomes a figure."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import core.exposure.raster
from core.antennas.base import parameters
from core.antennas.kinds import KINDS
from core.errors import InputError
from core.exposure.raster import MOST_PLACES, raster
from core.exposure.sources import Source
from core.fields.unit_field import UnitField
from core.files.node import MOST_NUMBERS, Node
from core.site.site import MOST_CARRIERS, Carrier, Power, Site
from core.units import parse_quantity
from core.views.body import STANDING
from core.views.defaults import default_plan
from core.views.views import Height
from support.simple_sites import FREE, isotropic

NUMERIC = (
    "length",
    "wavelengths",
    "frequency",
    "gain",
    "loss",
    "power",
    "angle",
    "number",
    "count",
)


def small(*frequencies: float) -> Site:
    antennas = tuple(
        isotropic(f"a{i}", f, 100.0, (0.0, 0.0, 4.0)) for i, f in enumerate(frequencies)
    )
    return Site(name="s", antennas=antennas, reflection=FREE, extent=(-10.0, -10.0, 10.0, 10.0))


def declared(cls: type) -> list[tuple[str, float, float]]:
    """Every number that a kind or one of its parts has, with its range."""
    found = []
    for name, (spec, _) in parameters(cls).items():
        if spec.form in NUMERIC:
            found.append((f"{cls.__name__}.{name}", spec.low, spec.high))
        if spec.parts is not None:
            found += declared(spec.parts)
    return found


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_number_of_an_antenna_has_a_range(kind: str) -> None:
    for name, low, high in declared(KINDS[kind]):
        assert math.isfinite(low), name
        assert math.isfinite(high), name
        assert low < high, name


@pytest.mark.parametrize(
    "text", ["1" + " " * 300_000 + "?", " " * 300_000 + "x", "1" * 5000 + " W"]
)
def test_a_quantity_is_no_longer_than_people_write_it(text: str) -> None:
    # Looking for the unit of such a text took time with the square of its length.
    with pytest.raises(InputError) as caught:
        parse_quantity(text, "power")
    assert len(caught.value.line()) <= 600


def test_a_list_of_numbers_is_bounded() -> None:
    node = Node({"list": [1.0] * (MOST_NUMBERS + 1)}, "", ("list",))
    with pytest.raises(InputError, match=f"at most {MOST_NUMBERS}"):
        node.numbers("list")


def test_the_carriers_of_a_site_are_bounded() -> None:
    carriers = tuple(
        Carrier(name=f"c{i}", frequency=1e8 + i, power=Power(transmitter=1.0))
        for i in range(MOST_CARRIERS + 1)
    )
    site = small(98e6)
    with pytest.raises(InputError, match="carriers"):
        replace(site, antennas=(replace(site.antennas[0], carriers=carriers),))


def test_places_and_layers_of_a_picture_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    site = small(98e6, 450e6)
    view = default_plan(site, Height(0.0, True), STANDING)
    rows = math.ceil(MOST_PLACES / len(STANDING.heights) / 1000) + 1
    with pytest.raises(InputError, match="too large"):
        raster(site, view, (rows, 1000))
    monkeypatch.setattr(core.exposure.raster, "MOST_VALUES", 20 * 20 * len(STANDING.heights))
    with pytest.raises(InputError, match="2 emitters") as caught:
        raster(site, view, (20, 20))
    assert "50 % of the cells" in caught.value.line()
    assert raster(site, view, (10, 20)).public.shape == (10, 20)


def test_a_picture_holds_no_infinite_figure(monkeypatch: pytest.MonkeyPatch) -> None:
    site = small(98e6)
    huge = replace(site.antennas[0].carriers[0], power=Power(transmitter=1e9))
    site = replace(site, antennas=(replace(site.antennas[0], carriers=(huge,)),))

    def field(self: Source, points: np.ndarray) -> UnitField:
        n = len(points)
        e2 = np.full(n, 1e38, np.float32)
        return UnitField(e2, e2, np.zeros(n, bool), np.zeros(n, np.int8))

    monkeypatch.setattr(Source, "_whole_field", field)
    with (
        np.errstate(over="ignore", invalid="ignore"),
        pytest.raises(InputError, match="beyond what can be computed"),
    ):
        raster(site, default_plan(site), (4, 4))
