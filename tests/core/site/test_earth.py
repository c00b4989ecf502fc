"""Plan metres on the earth, held against a geodesy package (PROJ, through pyproj; used in tests only)."""

from __future__ import annotations

import numpy as np
import pyproj
import pytest

from core.site.earth import metres_per_degree, to_geographic
from core.site.places import Anchor


def by_proj(anchor: Anchor, east: float, north: float) -> tuple[float, float]:
    """Return longitude and latitude of a point of the tangent plane by PROJ's topocentric conversion."""
    back = pyproj.Transformer.from_pipeline(
        f"+proj=pipeline +step +inv +proj=topocentric +ellps=WGS84 +lon_0={anchor.longitude} "
        f"+lat_0={anchor.latitude} +h_0=0 +step +inv +proj=cart +ellps=WGS84"
    )
    longitude, latitude, _ = back.transform(east, north, 0.0)
    return longitude, latitude


@pytest.mark.parametrize("latitude", [-85.0, -60.0, 0.0, 12.5, 40.0, 60.0, 78.0, 89.0])
@pytest.mark.parametrize("bearing", [0.0, 37.0, 90.0, 200.0, 311.0])
def test_a_place_ten_kilometres_away_is_right_to_a_millimetre(
    latitude: float, bearing: float
) -> None:
    anchor = Anchor(latitude=latitude, longitude=23.0)
    for distance in (1.0, 1e3, 1e4):
        east = distance * np.sin(np.radians(bearing))
        north = distance * np.cos(np.radians(bearing))
        (ours,) = to_geographic(anchor, np.array([[east, north]]))
        longitude, at = by_proj(anchor, float(east), float(north))
        scale = metres_per_degree(at)
        off = np.hypot((ours[0] - longitude) * scale[0], (ours[1] - at) * scale[1])
        assert off < 1e-3


def test_east_is_east_and_north_is_north() -> None:
    anchor = Anchor(latitude=-33.0, longitude=151.0)
    east, north = to_geographic(anchor, np.array([[500.0, 0.0], [0.0, 500.0]]))
    assert east[0] > 151.005
    assert abs(east[1] + 33.0) < 1e-5
    assert north[1] > -32.996
    assert north[0] == pytest.approx(151.0, abs=1e-9)


def test_longitudes_run_on_past_the_antimeridian() -> None:
    (place,) = to_geographic(Anchor(latitude=-17.0, longitude=179.999), np.array([[1000.0, 0.0]]))
    assert 180.005 < place[0] < 180.02


@pytest.mark.parametrize("latitude", [0.0, 45.0, 60.0])
def test_a_degree_is_as_long_as_the_geodesic_says(latitude: float) -> None:
    geod = pyproj.Geod(ellps="WGS84")
    d = 1e-3
    east = geod.inv(0.0, latitude, d, latitude)[2] / d
    north = geod.inv(0.0, latitude - d / 2, 0.0, latitude + d / 2)[2] / d
    assert metres_per_degree(latitude) == pytest.approx((east, north), rel=1e-7)
