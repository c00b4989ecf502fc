"""GeoJSON (RFC 7946) of shapes on a plan: geographic where the site has an anchor, else local metres.

RFC 7946 knows WGS84 longitude and latitude only. A site without an anchor is written in metres east and
north of its datum all the same, with a member that says so, because a drawing office can use it.

A written area contains the area it stands for: it is grown by more than what rounding its corners, and taking its
sides for straight in degrees, can take away. Areas that reach past ±180° are cut there (RFC 7946 section 3.1.9).
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from core.arrays import Floats
from core.shapes import only_areas
from core.site.earth import metres_per_degree, to_geographic
from core.site.places import Anchor
from core.site.site import Site

LOCAL = "metres east (x) and north (y) of the site datum; the site has no geographic anchor"

_METRE_DIGITS, _DEGREE_DIGITS = 3, 9
_LONGEST = 10.0
"""m: longer sides get corners between, so that straight in degrees is straight on the ground to a hair."""
_SPARE = 1.5
"""How many times the largest error a shape is grown by."""


@dataclass(frozen=True)
class Feature:
    """One shape with its properties; coordinates are plan metres."""

    shape: shapely.Geometry
    properties: dict[str, object] = field(default_factory=dict)


def feature_collection(site: Site, features: Sequence[Feature], about: dict[str, object]) -> str:
    """Return the text of a GeoJSON file of ``features``, with the members of ``about`` at its head.

    Exterior rings run counter-clockwise as RFC 7946 asks. How precise coordinates are is said.

    Parameters
    ----------
    site : Site
        The site.
    """
    out: dict[str, object] = {"type": "FeatureCollection"}
    if site.anchor is None:
        out["coordinate_note"] = LOCAL
    out |= about
    written = [_geometry(site.anchor, f.shape) for f in features]
    grown = max((by for _, by in written), default=0.0)
    out["precision"] = (
        f"areas are written with their corners rounded outward: they contain the proven area and reach at most "
        f"{1e3 * 2.0 * grown:.2g} mm past it"
    )
    out["features"] = [
        {"type": "Feature", "properties": f.properties, "geometry": geometry}
        for f, (geometry, _) in zip(features, written, strict=True)
    ]
    return json.dumps(out, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _geometry(anchor: Anchor | None, shape: shapely.Geometry) -> tuple[dict[str, object], float]:
    """Return a shape as a GeoJSON geometry, and by how many metres it was grown."""
    digits = _METRE_DIGITS if anchor is None else _DEGREE_DIGITS
    grown, by = shape, 0.0
    if isinstance(shape, shapely.Polygon | shapely.MultiPolygon) and not shape.is_empty:
        by = _SPARE * (_rounding(anchor, shape) + _sag(anchor, shape))
        grown = only_areas(shape.buffer(by, join_style="mitre", mitre_limit=2.0))
        if isinstance(shape, shapely.Polygon) and len(grown.geoms) == 1:
            grown = grown.geoms[0]
    if anchor is not None:
        grown = shapely.transform(
            shapely.segmentize(grown, _LONGEST), lambda xy: to_geographic(anchor, xy)
        )
        grown = _cut_at_antimeridian(grown)
    geometry: dict[str, object] = json.loads(shapely.to_geojson(shapely.orient_polygons(grown)))
    geometry["coordinates"] = _rounded(geometry["coordinates"], digits)
    return geometry, by


def _rounding(anchor: Anchor | None, shape: shapely.Geometry) -> float:
    """Return how far rounding can move a corner, m."""
    if anchor is None:
        return float(np.hypot(0.5, 0.5) * 10.0**-_METRE_DIGITS)
    # A degree of longitude is longest at the equator, one of latitude at the poles.
    step = 0.5 * 10.0**-_DEGREE_DIGITS
    return float(step * np.hypot(metres_per_degree(0.0)[0], metres_per_degree(90.0)[1]))


def _sag(anchor: Anchor | None, shape: shapely.Geometry) -> float:
    """Return how far the sides, straight in degrees, can lie beside the sides on the ground, m."""
    if anchor is None:
        return 0.0
    corners = shapely.get_coordinates(shapely.segmentize(shape.boundary, _LONGEST))
    middle = 0.5 * (corners[:-1] + corners[1:])
    ends, true = to_geographic(anchor, corners), to_geographic(anchor, middle)
    # Steps from one ring to the next are no sides, and are long.
    sides = np.linalg.norm(np.diff(corners, axis=0), axis=1) <= _LONGEST * (1.0 + 1e-9)
    off = (0.5 * (ends[:-1] + ends[1:]) - true)[sides]
    scale = np.array([metres_per_degree(float(v)) for v in true[sides, 1]]).reshape(-1, 2)
    return float(np.linalg.norm(off * scale, axis=1).max(initial=0.0))


def _cut_at_antimeridian(shape: shapely.Geometry) -> shapely.Geometry:
    """Return a geographic shape with its longitudes within ±180°, in pieces where it goes past them."""
    west, _, east, _ = shape.bounds if not shape.is_empty else (0.0, 0.0, 0.0, 0.0)
    if west >= -180.0 and east <= 180.0:
        return shape
    pieces: list[shapely.Geometry] = []
    for turn in (-360.0, 0.0, 360.0):
        part = shape.intersection(shapely.box(-180.0 + turn, -90.0, 180.0 + turn, 90.0))
        if not part.is_empty:
            pieces.append(shapely.transform(part, _Turn(-turn)))
    whole = shapely.union_all(pieces)
    return only_areas(whole) if shapely.get_dimensions(shape) == 2 else whole


@dataclass(frozen=True, slots=True)
class _Turn:
    """Adds degrees of longitude to coordinates (n, 2)."""

    by: float

    def __call__(self, degrees: Floats) -> NDArray[np.float64]:
        return np.add(degrees, [self.by, 0.0])


def _rounded(value: object, digits: int) -> object:
    if isinstance(value, list):
        return [_rounded(v, digits) for v in value]
    return round(float(value), digits) if isinstance(value, int | float) else value
