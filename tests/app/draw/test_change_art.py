"""The two-sided scale reads in grey: both sides leave the paper step by step, falls are hatched, lines are signed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure

from app.draw.change_art import ChangeArt, change_legend
from app.draw.change_bands import ChangeBands, change_bands
from app.draw.change_sheet import change_sheet
from app.draw.change_style import STEPS, Quantity, shades
from app.draw.map import MapView
from app.draw.style import DARK, LIGHT, Palette
from core.changes.comparison import compare
from core.changes.difference_map import ChangeMap, change_map
from core.views.body import POINT
from core.views.defaults import default_plan
from core.views.views import Height, PlanView
from support.changed import raised, with_antenna, yard

EVERY: tuple[Quantity, ...] = ("decibels", "points")


def lightness(colours: np.ndarray) -> np.ndarray:
    """Return CIE L* of sRGB colours (n, 3), D65."""
    linear = np.where(colours <= 0.04045, colours / 12.92, ((colours + 0.055) / 1.055) ** 2.4)
    y = linear @ np.array([0.2126, 0.7152, 0.0722])
    return np.where(y > (6 / 29) ** 3, 116.0 * np.cbrt(y) - 16.0, y * (29 / 3) ** 3)


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_both_sides_leave_the_paper_step_by_step_in_grey(palette: Palette) -> None:
    for side in shades(palette):
        grey = lightness(np.array([to_rgb(c) for c in (palette.paper, *side)]))
        away = -np.diff(grey) if palette is LIGHT else np.diff(grey)
        assert np.all(away > 4.0)
    rise, fall = (np.array(to_rgb(side[-1])) for side in shades(palette))
    assert rise[0] > rise[2]  # a rise is brown
    assert fall[2] > fall[0]  # a fall is blue


VIEW = PlanView((-20.0, -20.0, 20.0, 20.0), Height(1.0), POINT)


def moved() -> ChangeMap:
    before = yard()
    after = with_antenna(before, "north", lambda a: replace(a, position=(6.0, 0.0, 4.0)))
    return change_map(before, after, VIEW, (40, 40))


def holds(bands: ChangeBands, u: float, v: float) -> tuple[bool, bool]:
    """Return whether a place lies in the shading of a rise, and of a fall."""
    rise, fall = (side[0][1].contains_point((u, v)) for side in (bands.rises, bands.falls))
    return rise, fall


@pytest.mark.parametrize("quantity", EVERY)
def test_a_rise_has_solid_lines_and_a_fall_dashed_ones_and_a_hatch(quantity: Quantity) -> None:
    bands = change_bands(moved(), "public", quantity)
    assert holds(bands, 15.0, 0.0) == (True, False)  # it went east
    assert holds(bands, -5.0, 0.0) == (False, True)
    view = MapView(Figure().add_subplot())
    art = ChangeArt(view)
    art.show(bands)
    dashes = [line.get_linestyle()[0][1] is not None for line in view.axes.collections]
    assert dashes == [step < 0 for step, _ in bands.lines]
    assert sum(p.get_hatch() is not None for p in view.axes.patches) == 1
    assert {t.get_text()[0] for t in view.axes.texts} <= {"+", "-"}
    art.show(None)
    assert not [*view.axes.collections, *view.axes.texts, *view.axes.patches]


@pytest.mark.parametrize("quantity", EVERY)
def test_turned_round_rises_are_falls(quantity: Quantity) -> None:
    change = moved()
    one = change_bands(change, "public", quantity)
    other = change_bands(ChangeMap(change.after, change.before), "public", quantity)
    for mine, theirs in ((one.rises, other.falls), (one.falls, other.rises)):
        assert [s for s, _ in mine] == [s for s, _ in theirs]
        for (_, a), (_, b) in zip(mine, theirs, strict=True):
            assert np.allclose(a.get_extents().extents, b.get_extents().extents, atol=1e-6)


def test_slight_cells_have_no_shading_in_decibels_and_keep_their_points() -> None:
    change = change_map(yard(2.0), yard(4.0), VIEW, (40, 40))
    assert change.slight("public").any()
    (first, _), (second, area), (third, _) = change_bands(change, "public").rises
    assert (first, second, third) == STEPS["decibels"][:3]  # 3.01 dB
    assert not area.contains_point((19.0, 19.0))
    assert area.contains_point((0.0, 0.0))
    assert change_bands(change_map(yard(40.0), yard(41.0), VIEW, (40, 40)), "public").rises


@pytest.mark.parametrize("quantity", EVERY)
def test_a_map_without_any_difference_is_bare(quantity: Quantity) -> None:
    bands = change_bands(change_map(yard(), yard(), VIEW, (6, 6)), "public", quantity)
    assert not bands.rises
    assert not bands.falls
    assert not bands.lines
    ChangeArt(MapView(Figure().add_subplot())).show(bands)


def test_the_legend_says_the_sign_of_every_step() -> None:
    axes = Figure().add_axes((0.1, 0.1, 0.05, 0.8))
    change_legend(axes, "dB", "decibels")
    said = [t.get_text() for t in axes.get_yticklabels()]
    assert said == ["-10 dB", "-3 dB", "-1 dB", "-0.1 dB", "+0.1 dB", "+1 dB", "+3 dB", "+10 dB"]
    hatched = [p.get_hatch() is not None for p in axes.patches]
    assert hatched == [True] * 4 + [False] * 5


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
