"""GeoJSON (RFC 7946) of shapes on a plan: geographic where the site has an anchor, else local metres.

RFC 7946 knows WGS84 longitude and latitude only. A site without an anchor is written in metres east and
north of its datum all the same, with a member that says so, because a drawing office can use it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from core.site.places import Anchor
from core.site.site import Site

WGS84_A = 6_378_137.0
"""Semi-major axis, m (WGS84)."""
WGS84_E2 = 6.694_379_990_14e-3
"""First eccentricity squared (WGS84)."""

LOCAL = "metres east (x) and north (y) of the site datum; the site has no geographic anchor"


@dataclass(frozen=True)
class Feature:
    """One shape with its properties; coordinates are plan metres."""

    shape: shapely.Geometry
    properties: dict[str, object] = field(default_factory=dict)


def to_geographic(anchor: Anchor, xy: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return longitude and latitude (n, 2) in degrees of plan points (n, 2).

    Straight metres along the ellipsoid's radii at the anchor: within 1 mm per 100 m for sites up to a
    kilometre (WGS84).
    """
    g = np.radians(anchor.grid_north)
    east = xy[:, 0] * np.cos(g) + xy[:, 1] * np.sin(g)
    north = xy[:, 1] * np.cos(g) - xy[:, 0] * np.sin(g)
    latitude = np.radians(anchor.latitude)
    root = np.sqrt(1.0 - WGS84_E2 * np.sin(latitude) ** 2)
    meridian = WGS84_A * (1.0 - WGS84_E2) / root**3
    parallel = WGS84_A / root * max(np.cos(latitude), 1e-9)
    return np.stack(
        [
            anchor.longitude + np.degrees(east / parallel),
            anchor.latitude + np.degrees(north / meridian),
        ],
        axis=1,
    )


def feature_collection(site: Site, features: Sequence[Feature], about: dict[str, object]) -> str:
    """Return the text of a GeoJSON file; exterior rings run counter-clockwise as RFC 7946 asks."""
    anchor = site.anchor
    out: dict[str, object] = {"type": "FeatureCollection"}
    if anchor is None:
        out["coordinate_note"] = LOCAL
    out |= about
    out["features"] = [_feature(anchor, f) for f in features]
    return json.dumps(out, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _feature(anchor: Anchor | None, feature: Feature) -> dict[str, object]:
    shape = shapely.orient_polygons(feature.shape)
    if anchor is not None:
        shape = shapely.transform(shape, lambda xy: to_geographic(anchor, xy))
        digits = 8
    else:
        digits = 3
    geometry = json.loads(shapely.to_geojson(shape))
    geometry["coordinates"] = _rounded(geometry["coordinates"], digits)
    return {"type": "Feature", "properties": feature.properties, "geometry": geometry}


def _rounded(value: object, digits: int) -> object:
    if isinstance(value, list):
        return [_rounded(v, digits) for v in value]
    return round(float(value), digits) if isinstance(value, int | float) else value
