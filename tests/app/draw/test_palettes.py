"""The scale and the colours of maps: one break, at the limit, for every eye; words that can be read."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure

from app.draw import style
from app.draw.map import MapView
from app.draw.style import DARK, LIGHT, STRONG_DARK, STRONG_LIGHT, Palette
from core.exposure.raster import Raster
from core.site.site import Site
from core.views.views import PlanView
from support.sight import SIGHT, contrast, lightness, linear, seen

STRONG = (STRONG_LIGHT, STRONG_DARK)
PALETTES = pytest.mark.parametrize(
    "palette", [LIGHT, DARK, *STRONG], ids=["light", "dark", "strong light", "strong dark"]
)
LIMIT = style.LEVELS.index(100.0)
"""The step of the scale that ends at the limit."""


def test_the_simulations_leave_white_and_black_alone() -> None:
    for sight in SIGHT:
        assert seen([1.0, 1.0, 1.0], sight) == pytest.approx([1.0, 1.0, 1.0], abs=2e-6)
        assert seen([0.0, 0.0, 0.0], sight) == pytest.approx([0.0, 0.0, 0.0])
    # Red and green of one lightness: plainly different, and hardly to a protan or a deutan.
    red, green = np.array([0.80, 0.25, 0.20]), np.array([0.30, 0.52, 0.20])
    apart = np.abs(linear(red) - linear(green)).max()
    for sight in ("protan", "deutan"):
        assert np.abs(seen(red, sight) - seen(green, sight)).max() < 0.45 * apart


@PALETTES
@pytest.mark.parametrize("sight", SIGHT)
def test_the_scale_goes_one_way_and_breaks_at_the_limit(sight: str, palette: Palette) -> None:
    light = lightness(palette.shades, sight)
    steps = np.abs(np.diff(light))
    away = np.abs(light - lightness(to_rgb(palette.paper), sight))
    assert (np.diff(away) > 2.5).all(), "each step is farther from the paper"
    assert steps[LIMIT] > 15.0
    assert steps[LIMIT] > 1.3 * np.delete(steps, LIMIT).max(), "no other step is as wide"


@PALETTES
def test_no_traffic_lights(palette: Palette) -> None:
    for r, g, b in palette.shades:
        assert not (g > 1.25 * r and g > 1.25 * b), "no green"
        assert not (r > 0.55 and g > 0.75 * r and b < 0.5 * r), "no amber"
        assert not (r > 1.6 * g and r > 1.6 * b), "no red"


@PALETTES
def test_the_line_of_the_limit_stands_out_on_both_its_sides(palette: Palette) -> None:
    widths = {level: style.contour_width(level) for level in (5.0, 20.0, 100.0, 1000.0)}
    assert widths.pop(100.0) >= 2.0 * max(widths.values())
    for sight in SIGHT:
        line, seam = (lightness(to_rgb(c), sight) for c in (palette.ink, palette.paper))
        for shade in palette.shades[LIMIT : LIMIT + 2]:
            beside = lightness(shade, sight)
            # On dark paper the line is light: it is its dark seam that stands out on light ground.
            assert max(abs(line - beside), abs(seam - beside)) > 35.0
        assert abs(line - seam) > 75.0


@PALETTES
def test_words_can_be_read(palette: Palette) -> None:
    """WCAG 2.1 AA: 4.5 for words, 3 for marks."""
    paper = to_rgb(palette.paper)
    assert contrast(to_rgb(palette.ink), paper) > 7.0
    assert contrast(to_rgb(palette.quiet), paper) > 4.5
    for mark in (palette.structure, palette.antenna, palette.silent, palette.pin, palette.ladder):
        assert contrast(to_rgb(mark), paper) > 3.0


@pytest.mark.parametrize("palette", STRONG, ids=["light", "dark"])
def test_strong_contrast_has_no_grey_words_and_no_pale_marks(palette: Palette) -> None:
    """WCAG 2.1 AAA: 7 for words, and here for marks too."""
    paper = to_rgb(palette.paper)
    for word in (palette.ink, palette.quiet, palette.ladder):
        assert contrast(to_rgb(word), paper) > 20.0
    for mark in (palette.structure, palette.antenna, palette.silent, palette.pin):
        assert contrast(to_rgb(mark), paper) > 7.0


@PALETTES
@pytest.mark.parametrize("sight", SIGHT)
def test_zones_go_one_way_too(sight: str, palette: Palette) -> None:
    fills = [lightness(to_rgb(c), sight) for c in (palette.paper, *palette.zones)]
    away = [abs(float(f - fills[0])) for f in fills]
    assert all(b - a > 9.0 for a, b in pairwise(away)), away


def test_the_desktop_chooses() -> None:
    for paper in ("#ffffff", "#f5f5f0", "#eeeeee"):
        assert style.palette_on(paper) is LIGHT
        assert style.palette_on(paper, strong=True) is STRONG_LIGHT
    for paper in ("#000000", "#1e1e1e", "#2b2b2b", "#353535"):
        assert style.palette_on(paper) is DARK
        assert style.palette_on(paper, strong=True) is STRONG_DARK


@PALETTES
@pytest.mark.parametrize("percent", [0.5, 3.0, 70.0, 99.9, 100.1, 700.0, 1e6])
def test_the_map_has_exactly_the_colour_of_the_scale(percent: float, palette: Palette) -> None:
    figure = Figure(figsize=(2.0, 2.0), dpi=100)
    agg = FigureCanvasAgg(figure)
    view = MapView(figure.add_axes((0.0, 0.0, 1.0, 1.0)), palette=palette, inside=True)
    plan = PlanView((-5.0, -5.0, 5.0, 5.0))
    flat = np.full((30, 30), percent / 100.0, np.float32)
    view.show_site(Site(name="bare", antennas=()), plan)
    view.show_raster(Raster(plan, plan.region, flat, flat, flat < 0), "public", style.CONTOURS)
    agg.draw()
    pixel = np.asarray(agg.buffer_rgba())[60, 100, :3]
    assert pixel / 255.0 == pytest.approx(style.shade(percent, palette), abs=0.5 / 255 + 1e-3)
