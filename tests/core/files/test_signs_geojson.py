"""Signs at the ways in, and shapes on the earth."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
import shapely

from core.files.geojson import Feature, feature_collection
from core.reading.signs import sign_schedule
from core.site.earth import to_geographic
from core.site.places import AccessPoint, Anchor
from core.site.site import Site
from support.simple_sites import FREE, ground, isotropic


def gate_site(eirp: float, public: bool = True) -> Site:
    gate = AccessPoint(name="gate", kind="gate", position=(10.0, 0.0, 0.0), public=public)
    antenna = replace(
        isotropic("station", 98e6, eirp, (0.0, 0.0, 1.0)), contact="duty desk (invented)"
    )
    return Site(
        name="s", antennas=(antenna,), reflection=FREE, access_points=(gate,), surfaces=(ground(),)
    )


@pytest.mark.parametrize(
    ("power_density", "word", "colour"),
    # 47 CFR 1.1307(b)(4) (from memory): words and colours by public 2 and occupational 10 W/m² at 98 MHz.
    [
        (1.0, "INFORMATION (optional)", "green"),
        (5.0, "NOTICE", "blue"),
        (50.0, "CAUTION", "yellow"),
        (200.0, "WARNING", "orange"),
    ],
)
def test_the_sign_follows_the_category(power_density: float, word: str, colour: str) -> None:
    (line,) = sign_schedule(gate_site(power_density * np.pi * 100.0))
    assert line.word == word
    assert line.colour == colour
    if word.startswith("INFORMATION"):
        assert not line.content
    else:
        assert len(line.content) == 5
        assert any("station" in part for part in line.content)
        assert any("duty desk" in part for part in line.content)
        assert "public" in line.note


def test_a_missing_contact_is_shouted() -> None:
    site = gate_site(5.0 * np.pi * 100.0)
    silent = replace(site, antennas=(replace(site.antennas[0], contact=""),))
    assert any("CONTACT MISSING" in part for part in sign_schedule(silent)[0].content)


def test_another_limit_set_says_that_the_words_are_not_its_own() -> None:
    site = replace(gate_site(1e4), limit_set="ICNIRP2020")
    assert "ISO 7010" in sign_schedule(site)[0].note


def test_a_degree_of_latitude_and_of_longitude() -> None:
    # WGS84: at 45° a degree of latitude is 111 131.8 m and of longitude 78 846.8 m (ellipsoid formulas).
    anchor = Anchor(latitude=45.0, longitude=10.0)
    out = to_geographic(anchor, np.array([[788.468, 0.0], [0.0, 1111.318]]))
    # Straight east leaves the parallel: e² tan φ / (2 R²) = 4.4e-7° southward here.
    assert out[0] == pytest.approx([10.01, 45.0 - 4.38e-7], abs=2e-8)
    assert out[1] == pytest.approx([10.0, 45.01], abs=2e-6)


def test_a_turned_grid_turns_back() -> None:
    # The y axis points east (grid north 90° clockwise): 100 m along y is 100 m east.
    anchor = Anchor(latitude=45.0, longitude=10.0, grid_north=90.0)
    (point,) = to_geographic(anchor, np.array([[0.0, 100.0]]))
    assert point[0] > 10.001
    assert point[1] == pytest.approx(45.0, abs=1e-8)


@pytest.mark.parametrize("anchor", [None, Anchor(latitude=40.0, longitude=-95.0)])
def test_the_collection_is_valid_and_says_what_its_coordinates_are(anchor: Anchor | None) -> None:
    ring = shapely.box(0, 0, 10, 10).difference(shapely.box(4, 4, 6, 6))
    site = replace(gate_site(1.0), anchor=anchor)
    data = json.loads(feature_collection(site, [Feature(ring, {"zone": "x"})], {"caution": "c"}))
    assert data["type"] == "FeatureCollection"
    assert data["caution"] == "c"
    assert ("coordinate_note" in data) == (anchor is None)
    outer, hole = data["features"][0]["geometry"]["coordinates"]
    assert shapely.LinearRing(outer).is_ccw
    assert not shapely.LinearRing(hole).is_ccw
    if anchor is not None:
        assert all(-95.001 < x < -94.99 and 39.99 < y < 40.001 for x, y in outer)
