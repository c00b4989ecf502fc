"""Written areas contain what they stand for, at every latitude and across the antimeridian."""

from __future__ import annotations

import json

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from core.files.geojson import Feature, feature_collection
from core.site.earth import metres_per_degree, to_geographic
from core.site.places import Anchor
from core.site.site import Site
from support.effort import many
from support.simple_sites import isotropic


def written(anchor: Anchor | None, shape: shapely.Geometry) -> shapely.Geometry:
    """Return the geometry of a shape after a trip through a file."""
    site = Site(name="s", antennas=(isotropic("a", 98e6, 1.0),), anchor=anchor)
    data = json.loads(feature_collection(site, [Feature(shape)], {}))
    assert "contain the proven area" in data["precision"]
    return shapely.from_geojson(json.dumps(data["features"][0]["geometry"]))


def blob(seed: int, size: float, off: float) -> shapely.Polygon:
    """Return a star-shaped area with many corners and a hole."""
    rng = np.random.default_rng(seed)
    turn = np.sort(rng.uniform(0.0, 2 * np.pi, 17))
    reach = size * rng.uniform(0.5, 1.0, 17)
    outer = np.stack([off + reach * np.cos(turn), reach * np.sin(turn)], axis=1)
    return shapely.Polygon(outer).difference(shapely.Point(off, 0.0).buffer(0.2 * size))


@given(
    seed=st.integers(0, 10_000),
    size=st.floats(0.5, 2000.0),
    latitude=st.floats(-88.0, 88.0),
    turned=st.floats(-180.0, 180.0),
)
@settings(max_examples=many(40), deadline=None)
def test_no_place_of_an_area_is_lost_in_writing(
    seed: int, size: float, latitude: float, turned: float
) -> None:
    shape = shapely.make_valid(blob(seed, size, 3.0 * size))
    anchor = Anchor(latitude=latitude, longitude=10.0, grid_north=turned)
    there = written(anchor, shape)
    assert there.is_valid
    edge = shapely.get_coordinates(shapely.segmentize(shape.boundary, size / 300.0))
    seen = to_geographic(anchor, edge)
    assert shapely.intersects_xy(there, seen[:, 0], seen[:, 1]).all()
    # And not much more than that: a place a few centimetres outside is outside.
    far = shapely.get_coordinates(shape.buffer(0.05 + 3e-6 * size).exterior)
    seen = to_geographic(anchor, far)
    assert not shapely.intersects_xy(there, seen[:, 0], seen[:, 1]).any()


@given(seed=st.integers(0, 10_000), size=st.floats(0.05, 300.0))
@settings(max_examples=many(40), deadline=None)
def test_local_metres_are_rounded_outward(seed: int, size: float) -> None:
    shape = shapely.make_valid(blob(seed, size, 1.0))
    there = written(None, shape)
    assert there.covers(shape)
    assert there.area - shape.area < 0.004 * shape.length + 1e-3


@pytest.mark.parametrize("longitude", [179.9995, -179.9995, 180.0, -180.0])
def test_an_area_across_the_antimeridian_is_cut_there(longitude: float) -> None:
    anchor = Anchor(latitude=-17.0, longitude=longitude)
    shape = shapely.box(-200.0, -50.0, 200.0, 50.0)
    there = written(anchor, shape)
    # RFC 7946 section 3.1.9: two pieces, each on its side, none round the whole earth.
    assert there.geom_type == "MultiPolygon"
    assert len(there.geoms) == 2
    west, _, east, _ = there.bounds
    assert (west, east) == (-180.0, 180.0)
    assert all(p.bounds[2] - p.bounds[0] < 0.01 for p in there.geoms)
    scale = metres_per_degree(-17.0)
    assert there.area * scale[0] * scale[1] == pytest.approx(shape.area, rel=1e-3)


def test_points_and_lines_are_written_where_they_are() -> None:
    there = written(None, shapely.LineString([(0.0, 0.0), (1.2344, 5.0)]))
    assert list(there.coords) == [(0.0, 0.0), (1.234, 5.0)]
