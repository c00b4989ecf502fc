"""Words on the maps of both demo sites: inside the frame, off each other, off antennas (app.draw.map)."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
import shapely
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Annotation, Text

from app.draw import style
from app.draw.map import MapView
from app.draw.notes import Notes, Spot
from app.modes.camera import Camera, fitted
from core.exposure.raster import Raster
from core.site.site import Site
from core.views.defaults import default_elevation, default_plan
from core.views.views import ElevationView, PlanView, View


def drawn(site: Site, view: View, size: tuple[float, float], *, feet: bool = False) -> MapView:
    """A map of a size in pixels, with lines of an invented field."""
    figure = Figure(figsize=(size[0] / 100.0, size[1] / 100.0), dpi=100)
    agg = FigureCanvasAgg(figure)
    made = MapView(figure.add_axes((0.0, 0.0, 1.0, 1.0)), inside=True)
    made.feet = feet
    made.show_site(site, view)
    u0, v0, u1, v1 = view.bounds
    u, v = np.linspace(u0, u1, 60), np.linspace(v0, v1, 60)[:, None]
    reach = 0.25 * (u1 - u0)
    r2 = (u - 0.6 * u0 - 0.4 * u1) ** 2 + (v - 0.5 * (v0 + v1)) ** 2
    values = (reach**2 / (r2 + 1e-3)).astype(np.float32)
    made.show_raster(
        Raster(view, view.bounds, values, values, values < 0), "public", style.CONTOURS
    )
    agg.draw()
    return made


def views(site: Site, size: tuple[float, float], closer: float) -> list[View]:
    """Plan and elevation as a camera shows them, about the first antenna if closer than whole."""
    plan, elevation = default_plan(site), default_elevation(site)
    camera: Camera = fitted(
        {"plan": plan.bounds, "elevation": elevation.bounds}, {"plan": size, "elevation": size}
    )
    first = np.array([site.antennas[0].position])
    for name, view in (("plan", plan), ("elevation", elevation)):
        at = view.to_view(first)[0]
        camera = camera.at(name, (float(at[0]), float(at[1]))) if closer > 1.0 else camera
    left, low, right, high = camera.zoomed("none", (0, 0), closer).bounds("elevation", size)
    return [
        PlanView(camera.zoomed("none", (0, 0), closer).bounds("plan", size)),
        ElevationView(elevation.origin, elevation.azimuth, (left, right), (low, high)),
    ]


@pytest.mark.parametrize("size", [(345.0, 385.0), (640.0, 620.0)])
@pytest.mark.parametrize("closer", [1.0, 8.0])
@pytest.mark.parametrize("which", [0, 1], ids=["plan", "elevation"])
def test_words_keep_inside_and_off_each_other(
    demo: Site, size: tuple[float, float], closer: float, which: int
) -> None:
    view = views(demo, size, closer)[which]
    made = drawn(demo, view, size, feet=which == 1)
    frame = made.axes.bbox.padded(0.5)
    boxes = []
    for text in made.axes.texts:
        box = Text.get_window_extent(text)
        in_sight = not isinstance(text, Annotation) or text._check_xy(None)
        if in_sight and text.get_text() not in ("", "N"):
            assert frame.contains(box.x0, box.y0), text.get_text()
            assert frame.contains(box.x1, box.y1), text.get_text()
            boxes.append((text.get_text(), box.padded(-1.0)))
    assert len(boxes) > 5
    clashes = [(a, b) for (a, one), (b, two) in combinations(boxes, 2) if one.overlaps(two)]
    # Where a dozen antennas hang on one tower, some words have no free place left.
    assert len(clashes) <= 1, clashes


def test_words_rather_stand_beside_a_zone_than_on_it() -> None:
    figure = Figure(figsize=(5.0, 5.0), dpi=100)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, 50.0)
    axes.set_ylim(0.0, 50.0)
    notes = Notes(axes)
    spots = [Spot(20.0, 25.0, 6.0, 6.0), Spot(20.0, 25.0, -6.0, 6.0)]
    first = notes.at_one_of("antenna", spots)
    assert first is not None
    assert first.get_ha() == "left"
    notes.clear()
    notes.zones = shapely.box(20.5, 20.0, 45.0, 45.0)
    beside = notes.at_one_of("antenna", spots)
    assert beside is not None
    assert beside.get_ha() == "right"
    notes.zones = shapely.box(-50.0, -50.0, 100.0, 100.0)
    notes.clear()
    assert notes.at_one_of("antenna", spots) is not None, "inside one there is no better place"


def test_an_elevation_counts_from_the_datum_wherever_it_cuts(tower: Site) -> None:
    view = ElevationView((7.0, -3.0), 90.0, (-10.0, 10.0), (0.0, 18.0))
    assert view.datum_along == pytest.approx(7.0)
    made = drawn(tower, view, (500.0, 450.0))
    numbers = [
        (float(t.get_text()), t.get_window_extent())
        for t in made.axes.texts
        if t.get_fontsize() == 7.5 and t.get_position()[1] < 10.0 and " " not in t.get_text()
    ]
    assert len(numbers) >= 2
    for n, box in numbers:
        assert n - 7.0 == pytest.approx(-10.0 + 20.0 * (box.x0 + box.x1) / 2.0 / 500.0, abs=0.15)
    south = ElevationView((7.0, -3.0), 180.0, (-10.0, 10.0), (0.0, 18.0))
    assert south.datum_along == pytest.approx(3.0)


@pytest.mark.parametrize(("side", "said"), [(0.4, "10 cm"), (40.0, "10 m"), (24_000.0, "5 km")])
def test_the_scale_bar_goes_from_centimetres_to_kilometres(side: float, said: str) -> None:
    view = PlanView((0.0, 0.0, side, side))
    made = drawn(Site(name="bare", antennas=()), view, (500.0, 500.0))
    assert said in [t.get_text() for t in made.axes.texts]
