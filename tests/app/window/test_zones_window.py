"""Proven zones and fences in the window and on the command line, on a site that is quick to prove."""

from __future__ import annotations

import csv
import itertools
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.cli.main import main
from app.draw import style
from app.draw.zone_art import DIM
from app.window.main_window import MainWindow
from app.window.scene import Standing
from core.exposure.totals import exposure
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.site.places import Fence, Ladder, Surface
from core.site.site import Site
from core.site.state import Condition, State
from core.views.defaults import default_plan
from core.zones.site_zones import site_zones
from support.windows import settle, wait_for


def quick_site() -> Site:
    from support.simple_sites import FREE, isotropic

    square = ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0))
    return Site(
        name="quick (invented)",
        antennas=(isotropic("source", 98e6, 2000.0, (2.0, 1.0, 4.0)),),
        reflection=FREE,
        surfaces=(Surface(name="yard", kind="ground", height=0.0, outline=square),),
        ladders=(Ladder(name="mast", points=((0.0, 0.0, 0.0), (0.0, 0.0, 30.0))),),
        extent=(-25.0, -25.0, 25.0, 25.0),
    )


@pytest.fixture
def quick(tmp_path: Path) -> Path:
    path = tmp_path / "quick.json"
    save_site(quick_site(), path)
    return path


@pytest.fixture
def proven(window: MainWindow, quick: Path) -> MainWindow:
    assert window.open(quick)
    settle(window)
    QTest.keyClick(window, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    wait_for(lambda: len(window.maps.proving.shown) == 2)
    return window


def test_zones_take_the_place_of_the_shading_and_give_it_back(proven: MainWindow) -> None:
    assert not proven.maps.pane("plan").canvas.map.shading.visible
    assert proven.maps.pane("plan").canvas.map.zones
    QTest.keyClick(proven, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    settle(proven)
    assert proven.maps.pane("plan").canvas.map.shading.visible
    assert not proven.maps.pane("plan").canvas.map.zones


def test_zones_follow_a_changed_power(proven: MainWindow) -> None:
    first = proven.maps.proving.shown["plan"].zones.zones[0][1].area
    carrier = proven.document.site.antennas[0].carriers[0]
    proven.document.set_power(0, 0, replace(carrier.power, eirp=500.0))
    wait_for(lambda: len(proven.maps.proving.shown) == 2)
    assert 0.0 < proven.maps.proving.shown["plan"].zones.zones[0][1].area < 0.5 * first


def test_a_first_look_from_kept_bounds_is_on_screen_before_the_proof(
    proven: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.window.proving._SLOW", 0.0)
    maps, proving = proven.maps, proven.maps.proving
    assert set(maps.scene.standing.values()) == {Standing.PROVEN}
    proven.document.set_state(0, State(Condition.REDUCED, 80.0))
    # Proofs that took their time are followed by bounds that are kept.
    wait_for(lambda: len(proving.shown) == 2 and not proving.busy)
    seen: list[tuple[set[Standing], str]] = []
    maps.scene_changed.connect(
        lambda scene: seen.append((set(scene.standing.values()), proven.titles["plan"].text()))
    )
    proven.document.set_state(0, State(Condition.REDUCED, 50.0))
    wait_for(lambda: len(proving.shown) == 2)
    first = next(i for i, (how, _) in enumerate(seen) if Standing.ROUGH in how)
    assert Standing.BEFORE in seen[first - 1][0]
    assert any("edges being tightened" in title for _, title in seen)
    assert set(maps.scene.standing.values()) == {Standing.PROVEN}
    assert not proving.rough
    assert not proving.before


def test_fences_are_fitted_checked_and_leak_when_the_power_rises(proven: MainWindow) -> None:
    QTest.keyClick(proven, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    wait_for(lambda: len(proven.document.site.fences) == 2)
    wait_for(lambda: bool(proven.maps.scene.checks))
    check, stops = proven.maps.scene.checks.values()
    assert check.holds
    assert stops.holds
    assert check.margin == pytest.approx(0.2, abs=0.01)
    carrier = proven.document.site.antennas[0].carriers[0]
    proven.document.set_power(0, 0, replace(carrier.power, eirp=8000.0))
    assert not proven.maps.scene.checks
    wait_for(lambda: bool(proven.maps.scene.checks))
    check, stops = proven.maps.scene.checks.values()
    assert not check.holds
    assert not stops.holds
    assert any("LEAKS" in t.get_text() for t in proven.maps.pane("plan").canvas.map.axes.texts)
    proven.document.stack.undo()
    proven.document.stack.undo()
    assert not proven.document.site.fences


def test_fitting_without_a_shown_zone_proves_it_first(
    window: MainWindow, quick: Path, tmp_path: Path
) -> None:
    window.fences.fit()
    assert "nothing to fence in" in window.message.text()
    window.open(quick)
    settle(window)
    QTest.keyClick(window, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    wait_for(lambda: bool(window.document.site.fences))
    # The command line makes the same ones.
    out = tmp_path / "fitted.json"
    assert main(["fences", str(quick), "--fit", "-o", str(out)]) == 0
    assert load_site(out).fences == window.document.site.fences


def test_geojson_holds_every_point_over_the_limit_and_says_what_it_is(
    quick: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "z.geojson"
    assert main(["zones", str(quick), "-o", str(out)]) == 1
    data = json.loads(out.read_text("utf-8"))
    assert "datum" in data["coordinate_note"]
    public = [f for f in data["features"] if f["properties"]["zone"] == "over the public limit"]
    shape = shapely.union_all([shapely.from_geojson(json.dumps(f["geometry"])) for f in public])
    site = load_site(quick)
    view = default_plan(site)
    points = view.points(site, (120, 120))
    over = exposure(site, points, view.body).public.total > 1.0
    assert over.any()
    # Millimetre coordinates: half a millimetre of rounding.
    assert shapely.contains_xy(shape.buffer(1e-3), points[over, 0], points[over, 1]).all()
    for feature in data["features"]:
        for key in (
            "threshold_percent",
            "tier",
            "limit_set",
            "bound_proven",
            "software",
            "caution",
            "causes",
        ):
            assert key in feature["properties"]


def test_ladder_heights_as_a_table_and_in_words(
    quick: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "z.csv"
    assert main(["zones", str(quick), "-o", str(out)]) == 1
    assert "mast: over the general population" in capsys.readouterr().out
    rows = list(csv.DictReader(out.read_text("utf-8").splitlines()))
    public = next(r for r in rows if r["zone"] == "over the public limit")
    low, high = float(public["from_m"]), float(public["to_m"])
    # 4 × 2000 W/(4π r²) over 2 W/m² (47 CFR 1.1310 Table 1) within 17.84 m; climber ±1 m.
    top = 4.0 + np.sqrt(17.84**2 - 5.0) + 1.0
    assert low == 0.0
    assert high == pytest.approx(top, abs=0.1)
    assert high >= top - 1e-2


def test_any_threshold_height_and_piece_of_the_plan_can_be_asked_for(
    quick: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "z.geojson"
    asked = ["--threshold", "50", "--tier", "public", "--height", "4", "--region", "0,-10,40,30"]
    assert main(["zones", str(quick), "-o", str(out), *asked]) == 1
    assert "zone asked for (over 50 % of FCC public)" in capsys.readouterr().out
    (feature,) = json.loads(out.read_text("utf-8"))["features"]
    assert feature["properties"]["height"] == "4 m above the site datum"
    shape = shapely.from_geojson(json.dumps(feature["geometry"]))
    # Half of 2 W/m² (47 CFR 1.1310 Table 1) is 4 × 2000 W/(4π r²) at 25.2 m, at the source's own height; the
    # source is at (2, 1), and what lies west of x = 0 and south of y = -10 was not asked for.
    reach = np.sqrt(4.0 * 2000.0 / (4.0 * np.pi * 1.0))
    circle = shapely.Point(2.0, 1.0).buffer(reach, quad_segs=400)
    wanted = circle.intersection(shapely.box(0.0, -10.0, 40.0, 30.0))
    assert shape.buffer(1e-3).covers(wanted)
    assert shape.area == pytest.approx(wanted.area, rel=0.01)


def test_ladder_heights_over_any_threshold(quick: Path, tmp_path: Path) -> None:
    out = tmp_path / "z.csv"
    assert main(["zones", str(quick), "-o", str(out), "--threshold", "400"]) == 1
    (row,) = csv.DictReader(out.read_text("utf-8").splitlines())
    assert (row["zone"], row["threshold_percent"]) == ("zone asked for", "400.0")


def test_fences_command_fits_then_checks_then_finds_the_leak(
    quick: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    fenced = tmp_path / "fenced.json"
    assert main(["fences", str(quick), "--fit", "-o", str(fenced)]) == 0
    assert main(["fences", str(fenced)]) == 0
    assert "holds" in capsys.readouterr().out
    site = load_site(fenced)
    assert {bool(f.ladder) for f in site.fences} == {True, False}
    moved = tuple(
        replace(f, outline=tuple((x - 2.0, y) for x, y in f.outline)) if f.outline else f
        for f in site.fences
    )
    save_site(replace(site, fences=moved), fenced)
    assert main(["fences", str(fenced)]) == 1
    words = capsys.readouterr().out
    # Moved by 2 m with a margin of 0.2 m: at most 1.8 m, less where no corner lay in that direction.
    assert 1.5 < float(words.split("LEAKS by ")[1].split(" m")[0]) <= 1.8


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["zones", "SITE", "-o", "x.txt"], ".geojson"),
        (["zones", "SITE", "-o", "x.csv", "--elevation", "0"], "--elevation"),
        (["zones", "SITE", "-o", "x.geojson", "--metres", "-1"], "metres"),
        (["zones", "SITE", "-o", "x.geojson", "--seconds", "0"], "--seconds"),
        (["zones", "SITE", "-o", "x.geojson", "--threshold", "0"], "--threshold"),
        (["zones", "SITE", "-o", "x.geojson", "--tier", "public"], "--tier"),
        (["zones", "SITE", "-o", "x.geojson", "--up", "0,9"], "--up"),
        (["zones", "SITE", "-o", "x.geojson", "--region", "5,5,1,9"], "region"),
        (["zones", "SITE", "-o", "x.csv", "--region", "1,1,9,9"], "--region"),
        (["zones", "SITE", "-o", "x.csv", "--average"], "--average"),
        (["fences", "SITE"], "no fence"),
        (["fences", "SITE", "--fit"], "-o"),
        (["fences", "SITE", "--fit", "-o", "SITE"], "is the site that is read"),
        (["fences", "SITE", "--fit", "-o", "y.json", "--corners", "2"], "corners"),
        (["fences", "SITE", "--fit", "-o", "y.json", "--threshold", "0"], "threshold"),
    ],
)
def test_bad_zone_and_fence_requests_are_one_line(
    words: list[str],
    part: str,
    quick: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(quick.parent)
    assert main([str(quick) if w == "SITE" else w for w in words]) == 2
    err = capsys.readouterr().err
    assert part in err
    assert err.count("\n") == 1


def test_a_fence_on_an_unknown_ladder_is_named(
    quick: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    site = replace(
        load_site(quick),
        fences=(
            Fence(name="f", tier="public", threshold=1.0, ladder="nowhere", stops=((1.0, 2.0),)),
        ),
    )
    save_site(site, quick)
    assert main(["fences", str(quick)]) == 2
    assert "no ladder is called 'nowhere'" in capsys.readouterr().err


def test_zones_are_nested_and_hatched_differently(quick: Path) -> None:
    site = load_site(quick)
    zones = [z.region for _, z in site_zones(site, default_plan(site)).zones]
    for outer, inner in itertools.pairwise(zones):
        assert outer.buffer(0.05).contains(inner)
    assert len(set(style.ZONE_HATCHES.values())) == len(style.ZONE_HATCHES)


def test_words_and_legend_are_of_what_is_on_screen(window: MainWindow, quick: Path) -> None:
    window.open(quick)
    settle(window)
    legend, proving = window.panel("legend"), window.maps.proving
    seen: list[tuple[bool, set[str]]] = []
    window.maps.scene_changed.connect(
        lambda scene: seen.append((legend._zones, set(scene.standing)))
    )
    QTest.keyClick(window, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    # Nothing is proven yet: the shading is there, and its scale.
    assert "until its zones are proven" in window.titles["plan"].text()
    assert not legend._zones
    wait_for(lambda: len(proving.shown) == 2)
    for title in window.titles.values():
        assert "proven zones" in title.text()
        assert "until" not in title.text()
    assert legend._zones
    # After a change they stay as those of before, and every word says so.
    window.document.set_state(0, State(Condition.REDUCED, 50.0))
    assert not proving.shown
    assert legend._zones
    assert "before the change" in legend._headline
    for name, title in window.titles.items():
        drawn = window.maps.pane(name).canvas.map
        assert "before the change" in title.text()
        assert not drawn.shading.visible
        assert {fill.get_alpha() for fill in drawn._zone_fills} == {DIM}
        marks = ["zones of before the change, being proven anew"]
        assert [words.get_text() for words in drawn._zone_words] == marks
    wait_for(lambda: len(proving.shown) == 2)
    assert "before" not in legend._headline
    assert "before" not in window.titles["plan"].text()
    assert None in {fill.get_alpha() for fill in window.maps.pane("plan").canvas.map._zone_fills}
    # What is undone is right again at once.
    window.document.stack.undo()
    assert not proving.shown
    window.document.stack.redo()
    assert len(proving.shown) == 2
    QTest.keyClick(window, Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    assert not legend._zones
    assert "until" not in window.titles["plan"].text()
    assert all(zones == (len(proven) == 2) for zones, proven in seen)
