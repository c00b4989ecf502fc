"""The two-sided scale reads in grey: one ramp of lightness, signed lines, nothing where nothing is said."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from matplotlib.figure import Figure

from app.draw import style
from app.draw.change_art import ChangeArt, Quantity, change_legend
from app.draw.change_sheet import change_sheet
from core.changes.comparison import compare
from core.changes.difference_map import ChangeMap, change_map
from core.views.body import POINT
from core.views.defaults import default_plan
from core.views.views import Height, PlanView
from support.changed import raised, with_antenna, yard


def lightness(colours: np.ndarray) -> np.ndarray:
    """Return CIE L* of sRGB colours (n, 3), D65."""
    linear = np.where(colours <= 0.04045, colours / 12.92, ((colours + 0.055) / 1.055) ** 2.4)
    y = linear @ np.array([0.2126, 0.7152, 0.0722])
    return np.where(y > (6 / 29) ** 3, 116.0 * np.cbrt(y) - 16.0, y * (29 / 3) ** 3)


@pytest.mark.parametrize("steps", [style.CHANGES, style.CHANGED_POINTS])
def test_every_step_of_the_scale_is_darker_than_the_one_below_it(steps: tuple[float, ...]) -> None:
    edges = [2.0 * steps[0], *steps, 2.0 * steps[-1]]
    middles = [0.5 * (a + b) for a, b in itertools.pairwise(edges)]
    shades = style.change_colormap()(style.change_norm(steps)(middles))[:, :3]
    grey = lightness(shades)
    assert np.all(np.diff(grey) < -4.0)
    assert 65.0 < grey[len(grey) // 2] < 78.0  # no change lies between the two sides
    low, high = shades[0], shades[-1]
    assert low[2] >= low[0]  # a fall is blue
    assert high[0] > high[2]  # a rise is brown


def drawn(
    change: ChangeMap, quantity: Quantity = "decibels"
) -> tuple[ChangeArt, np.ma.MaskedArray]:
    axes = Figure().add_subplot()
    art = ChangeArt(axes)
    art.show(change, "public", quantity)
    return art, axes.images[0].get_array()


VIEW = PlanView((-20.0, -20.0, 20.0, 20.0), Height(1.0), POINT)


def moved() -> ChangeMap:
    before = yard()
    after = with_antenna(before, "north", lambda a: replace(a, position=(6.0, 0.0, 4.0)))
    return change_map(before, after, VIEW, (40, 40))


@pytest.mark.parametrize("quantity", ["decibels", "points"])
def test_a_rise_has_solid_lines_and_a_fall_dashed_ones(quantity: Quantity) -> None:
    art, shades = drawn(moved(), quantity)
    lines = art._artists[1]
    styles = dict(zip(lines.levels, lines.linestyles, strict=True))  # type: ignore[attr-defined]
    assert styles
    assert all(s == ("solid" if level > 0 else "dashed") for level, s in styles.items())
    assert shades[20, 35] > 0.0 > shades[20, 5]  # it went east
    assert {t.get_text()[0] for t in art.axes.texts} <= {"+", "-"}
    art.hide()
    assert not art.axes.images
    assert not art.axes.collections
    assert not art.axes.texts


def test_slight_cells_have_no_shading_in_decibels_and_keep_their_points() -> None:
    change = change_map(yard(0.1), yard(0.2), VIEW, (40, 40))
    shades = drawn(change)[1]
    assert np.array_equal(np.ma.getmaskarray(shades), change.slight("public"))
    assert shades.mask.any()
    assert not np.ma.getmaskarray(drawn(change, "points")[1]).any()


def test_a_map_without_any_difference_is_drawn() -> None:
    art, shades = drawn(change_map(yard(), yard(), VIEW, (6, 6)))
    assert not shades.any()
    assert len(art._artists) == 1


def test_the_legend_says_the_sign_of_every_step() -> None:
    bar = change_legend(Figure().add_axes((0.1, 0.1, 0.05, 0.8)), "dB", "decibels")
    said = [t.get_text() for t in bar.ax.get_yticklabels()]
    assert said == ["-10 dB", "-3 dB", "-1 dB", "-0.1 dB", "+0.1 dB", "+1 dB", "+3 dB", "+10 dB"]


def test_the_page_has_two_maps_two_differences_and_the_list() -> None:
    before, after = yard(), raised(yard(), "north", 2.0)
    found = compare(before, after)
    change = change_map(before, after, default_plan(before), (20, 20))
    page = change_sheet(found, change, tier="public")
    titles = [a.get_title(loc="left") for a in page.axes]
    wanted = ["before", "after", "difference in decibels", "difference in percent points"]
    assert [t for t in titles if t in wanted] == wanted
    words = "\n".join(t.get_text() for t in page.texts)
    for text in ("EIRP 400 W → EIRP 800 W", "WORSE FOR PEOPLE", "gained", "calibrated meter"):
        assert text in words
    # Nothing of the list runs out of the page.
    page.canvas.draw()
    width, height = page.canvas.get_width_height()  # type: ignore[attr-defined]
    for text in page.texts:
        box = text.get_window_extent()
        assert box.x0 >= 0
        assert box.x1 <= width
        assert 0 <= box.y0 <= box.y1 <= height
