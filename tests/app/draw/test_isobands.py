"""Shading and lines are made from the same values, and lie where the values say (app.draw.isobands)."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from matplotlib.path import Path

from app.draw import style
from app.draw.isobands import isobands
from app.draw.picture import ink_of
from core.exposure.raster import Raster
from core.views.views import PlanView

VIEW = PlanView((-10.0, -8.0, 10.0, 8.0))


def falling(cells: int, at: tuple[float, float] = (1.3, -0.7), limit: float = 4.0) -> Raster:
    """A source whose fraction falls as 1/r², 1 at ``limit`` m."""
    rows, columns = round(0.8 * cells), cells
    u = -10.0 + (np.arange(columns) + 0.5) * 20.0 / columns
    v = -8.0 + (np.arange(rows) + 0.5) * 16.0 / rows
    r2 = (u[None, :] - at[0]) ** 2 + (v[:, None] - at[1]) ** 2
    values = (limit**2 / np.maximum(r2, 1e-4)).astype(np.float32)
    return Raster(VIEW, VIEW.region, values, values / 5.0, r2 < 0.25)


def area(path: Path) -> shapely.Geometry:
    rings = path.to_polygons(closed_only=True)
    whole = shapely.Polygon()
    for ring in rings:
        whole = whole.symmetric_difference(shapely.Polygon(ring))
    return whole


@pytest.mark.parametrize("cells", [24, 64, 220])
def test_a_line_lies_where_the_value_is_without_sawteeth(cells: int) -> None:
    bands = isobands(falling(cells), "public", (100.0,))
    ((percent, lines),) = bands.lines
    assert percent == 100.0
    (line,) = lines
    away = np.hypot(*(line - np.array([1.3, -0.7])).T)
    cell = 20.0 / cells
    # The logarithm of 1/r² bends by 2 (cell/r)²/8 between two cells at the most: second order in the cell.
    assert np.abs(away - 4.0).max() < 1.5 * cell**2 / 8.0 / 4.0 * 2.0 + 1e-6
    turn = np.diff(np.unwrap(np.arctan2(*np.diff(line, axis=0).T[::-1])))
    assert np.abs(turn).max() < 2.5 * cell / 4.0 + 0.05, "no corner in a circle"


def test_areas_end_at_the_lines_and_are_nested() -> None:
    bands = isobands(falling(64), "public", style.LEVELS)
    areas = {percent: area(path) for percent, path in bands.areas}
    box = shapely.box(*VIEW.region)
    for percent, lines in bands.lines:
        drawn = shapely.MultiLineString(list(lines))
        edge = areas[percent].boundary.difference(box.boundary.buffer(1e-9))
        assert edge.hausdorff_distance(drawn) < 1e-6
    ordered = [areas[p] for p in sorted(areas)]
    for outer, inner in pairwise(ordered):
        assert outer.buffer(1e-9).covers(inner)
    assert bands.lowest < min(areas)


def test_the_tier_and_the_reactive_region_are_those_of_the_raster() -> None:
    raster = falling(64)
    public, worker = (
        area(dict(isobands(raster, t, ()).areas)[100.0]) for t in ("public", "occupational")
    )
    assert public.area == pytest.approx(np.pi * 16.0, rel=0.01)
    assert worker.area == pytest.approx(np.pi * 16.0 / 5.0, rel=0.02)
    bands = isobands(raster, "public", ())
    assert bands.reactive is not None
    assert area(bands.reactive).area == pytest.approx(np.pi * 0.25, rel=0.3)
    assert bands.lines == ()


def test_a_raster_of_one_value_has_one_shade_and_no_line() -> None:
    flat = np.full((5, 7), 1.0, np.float32)
    bands = isobands(Raster(VIEW, VIEW.region, flat, flat, flat < 0), "public", (100.0,))
    assert bands.lines == ()
    assert bands.reactive is None
    assert style.shade(bands.lowest) == style.shade(100.0)
    nothing = np.zeros((5, 7), np.float32)
    bands = isobands(Raster(VIEW, VIEW.region, nothing, nothing, nothing > 1), "public", (5.0,))
    assert (bands.areas, bands.lines) == ((), ())


def test_only_the_lines_of_a_picture_are_inked() -> None:
    pixels = np.full((200, 300, 3), (150, 170, 160), np.uint8)
    assert ink_of(pixels).max() == 0.0
    pixels[:, 150:152] = 20
    pixels[80:82, :] = 250
    ink = ink_of(pixels)
    assert ink[20, 150] == 1.0
    assert ink[81, 40] > 0.4, "light lines on a darker ground too"
    assert ink[20, 40] == ink[150, 250] == 0.0
