"""Maps and zones on sheets: the scale is true, small pieces have insets, leaks and keys are there."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.draw import style
from app.draw.book import as_pdf, numbered
from app.draw.furniture import MARGIN, Setup, Sheet
from app.draw.insets import SMALL, letter, placed, small_groups
from app.draw.layout import grid, laid
from app.draw.paper import PAPERS, SCALES, Box
from app.draw.sheet import (
    check_fit,
    door_sheets,
    fence_sheets,
    map_sheets,
    reading_sheets,
    sign_sheets,
    zone_sheets,
)
from core.errors import InputError
from core.exposure.raster import Raster, raster
from core.fences.fence import Check, Leak
from core.reading.reading import read
from core.reading.signs import sign_schedule
from core.site.places import Fence
from core.site.site import Condition, Site, State
from core.views.body import POINT, STANDING
from core.views.defaults import default_elevation
from core.views.views import PlanView
from core.views.words import posture
from support.drawn_zones import boxes
from support.effort import many
from support.paper import on_ink, outside, overlapping, pdf_lines, words

VIEW = PlanView((-30.0, -20.0, 30.0, 20.0), body=POINT)
SOME = boxes(
    VIEW,
    [
        [(-12.0, -9.0, 9.0, 11.0), (20.0, 10.0, 21.0, 11.5), (-29.0, -18.0, -28.5, -17.0)],
        [(-3.0, -3.0, 4.0, 5.0)],
        [(0.0, 0.0, 0.6, 0.8)],
    ],
)


def small_raster(site: Site, view: PlanView = VIEW) -> Raster:
    return raster(site, view, (6, 9))


def map_of(sheet: Sheet) -> Box:
    """The place of the first map on a sheet, mm."""
    axes = next(a for a in sheet.figure.axes if a is not sheet.ink)
    box = axes.get_position()
    w, h = sheet.paper.width, sheet.paper.height
    return Box(box.x0 * w, box.y0 * h, box.width * w, box.height * h)


def heard(sheets: list[Sheet]) -> str:
    return " ".join(text for sheet in sheets for text, _ in words(sheet))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("scale", [None, 750])
def test_ten_metres_are_as_long_on_paper_as_the_scale_says(
    paper: str, scale: int | None, roof: Site
) -> None:
    setup = Setup(paper=PAPERS[paper], scale=scale)
    sheets = map_sheets(
        roof, small_raster(roof), tier="public", contours=(100.0,), lines=(), setup=setup
    )
    said = re.fullmatch(rf"1:(\d+) on {paper}", sheets[0].title.scale)
    assert said is not None
    n = int(said[1])
    assert scale in (None, n)
    box = map_of(sheets[0])
    assert (box.width, box.height) == pytest.approx((60_000.0 / n, 40_000.0 / n), abs=1e-3)
    # The bar says 10 m: its stroke in the PDF is that long, in points of 1/72 inch.
    assert "10 m" in heard(sheets[:1])
    lengths = [abs(c - a) for a, b, c, d in pdf_lines(as_pdf(numbered(sheets))) if b == d]
    assert any(x == pytest.approx(10_000.0 / n / 25.4 * 72.0, abs=0.01) for x in lengths)


def test_the_scale_of_an_elevation_is_true_both_ways(tower: Site) -> None:
    view = replace(default_elevation(tower, 30.0), body=POINT)
    picture = raster(tower, view, (8, 8))
    (sheet, *_) = map_sheets(tower, picture, tier="occupational", contours=(), lines=())
    n = int(sheet.title.scale.split()[0].removeprefix("1:"))
    box, (u0, v0, u1, v1) = map_of(sheet), view.bounds
    assert box.width * n / 1000.0 == pytest.approx(u1 - u0)
    assert box.height * n / 1000.0 == pytest.approx(v1 - v0)
    axes = sheet.figure.axes[1]
    axes.apply_aspect()
    assert axes.get_position().width * sheet.paper.width == pytest.approx(box.width)
    assert sheet.title.north == "plane along azimuth 30° (true)"


def test_a_scale_that_does_not_fit_is_refused_and_one_that_fits_is_named() -> None:
    with pytest.raises(InputError, match=r"1:100 is too large: the plan is 60 × 40 m") as error:
        check_fit(VIEW, Setup(scale=100))
    named = int(error.value.fix.split(",")[0].removeprefix("Use 1:"))
    check_fit(VIEW, Setup(scale=named))


@pytest.mark.parametrize(("paper", "feet"), [("A4", False), ("Letter", True), ("A3", False)])
def test_nothing_on_a_sheet_of_zones_is_cut_off_or_written_over(
    paper: str, feet: bool, roof: Site
) -> None:
    named = replace(
        roof,
        name="An exchange with a name of a hundred letters and more, " + "w" * 60,
        antennas=tuple(
            replace(a, name=f"{a.name} {'long' * 20}", state=State(Condition.REDUCED, 12.5))
            for a in roof.antennas
        ),
    )
    setup = Setup(paper=PAPERS[paper], feet=feet, job="j" * 100)
    said = ""
    for sheet in numbered(zone_sheets(named, replace(SOME, unknown=("north",)), setup=setup)):
        found = words(sheet)
        said += " ".join(text for text, _ in found)
        assert not outside(sheet, found), sheet.title.what
        assert not overlapping(on_ink(sheet))
    for part in ("Read this first", "Zones", "Symbols", "Emitters", "Assumptions", "Cautions"):
        assert part in said, part


def test_the_same_zones_are_the_same_bytes(roof: Site) -> None:
    one, two = (as_pdf(numbered(zone_sheets(roof, SOME))) for _ in range(2))
    assert one == two


def test_pieces_that_are_too_small_to_see_have_an_inset_of_a_true_scale(roof: Site) -> None:
    sheets = zone_sheets(roof, SOME)
    said = heard(sheets)
    heads = re.findall(r"([A-Z]) 1:(\d+) about (-?[\d.]+), (-?[\d.]+) m", said)
    assert [h[0] for h in heads] == ["A", "B", "C"]
    middles = {(float(u), float(v)) for _, _, u, v in heads}
    assert middles == {(20.5, 10.8), (0.3, 0.4), (-28.8, -17.5)}
    axes = [a for s in sheets for a in s.figure.axes if a is not s.ink][1:]
    assert len(axes) == 3
    for head, inset in zip(heads, axes, strict=True):
        width = inset.get_position().width * sheets[0].paper.width
        u0, u1 = inset.get_xlim()
        assert width * int(head[1]) / 1000.0 == pytest.approx(u1 - u0)
    assert "drawn larger in the inset" in said


@st.composite
def groups(draw: st.DrawFn) -> list[list[tuple[float, float, float, float]]]:
    out = []
    for _ in range(2):
        some = []
        for i in range(draw(st.integers(1, 6))):
            u, v = draw(st.floats(-28.0, 20.0)), draw(st.floats(-18.0, 10.0))
            w, h = draw(st.floats(0.05, 8.0)), draw(st.floats(0.05, 8.0))
            # Far apart in height: pieces of one zone do not touch.
            some.append((u, v + 100.0 * i, u + w, v + 100.0 * i + h))
        out.append(some)
    return out


@given(groups(), st.sampled_from([100, 400, 750]))
@settings(max_examples=many(60), deadline=None)
def test_every_small_piece_lies_in_an_inset(
    some: list[list[tuple[float, float, float, float]]], scale: int
) -> None:
    view = replace(VIEW, region=(-30.0, -20.0, 30.0, 620.0))
    zones = boxes(view, some)
    found = small_groups(zones, view.bounds, scale)
    cells = [Box(0.0, 0.0, 50.0, 60.0)] * len(found)
    insets = placed(found, cells)
    for one in (box for group in some for box in group):
        size = 1000.0 / scale * max(one[2] - one[0], one[3] - one[1])
        seen = [
            i for i in insets
            if i.bounds[0] <= one[0] + 1e-9 and i.bounds[1] <= one[1] + 1e-9
            and i.bounds[2] >= one[2] - 1e-9 and i.bounds[3] >= one[3] - 1e-9
        ]  # fmt: skip
        assert seen or size >= SMALL - 1e-9
    for inset in insets:
        assert inset.scale in SCALES
        assert 1.3 * inset.scale <= scale
        assert inset.box.width * inset.scale / 1000.0 == pytest.approx(
            inset.bounds[2] - inset.bounds[0]
        )


def test_letters_and_places_of_insets() -> None:
    assert [letter(i) for i in (0, 25, 26, 51, 52)] == ["A", "Z", "AA", "AZ", "BA"]
    room = Box(10.0, 20.0, 200.0, 100.0)
    for wanted in range(1, 12):
        cells = grid(room, wanted, 40.0)
        assert 0 < len(cells) <= wanted
        assert all(room.holds(c) for c in cells)
        assert not any(
            a.left < b.right and b.left < a.right and a.low < b.top and b.low < a.top
            for i, a in enumerate(cells)
            for b in cells[:i]
        )
    assert grid(room, 3, 300.0) == []


@given(
    st.floats(0.5, 400.0), st.floats(0.5, 400.0), st.sampled_from(list(PAPERS)), st.integers(0, 9)
)
@settings(max_examples=many(150), deadline=None)
def test_map_insets_and_columns_lie_in_the_frame_and_apart(
    width: float, height: float, paper: str, insets: int
) -> None:
    plan = laid(Setup(paper=PAPERS[paper]), (0.0, 0.0, width, height), "the plan", insets)
    p = PAPERS[paper]
    frame = Box(MARGIN, MARGIN, p.width - 2.0 * MARGIN, p.height - 2.0 * MARGIN)
    # The map with the numbers of its axes.
    whole = Box(
        plan.map.left - 13.0, plan.map.low - 10.0, plan.map.width + 13.0, plan.map.height + 10.0
    )
    parts = [whole, *plan.insets, *plan.columns]
    assert all(frame.holds(part) for part in parts)
    for i, a in enumerate(parts):
        for b in parts[:i]:
            apart = (
                a.right <= b.left + 1e-6 or b.right <= a.left + 1e-6
                or a.top <= b.low + 1e-6 or b.top <= a.low + 1e-6
            )  # fmt: skip
            assert apart, (a, b)


def test_a_leak_is_on_the_sheet_with_its_size_and_in_the_key(roof: Site) -> None:
    outline = ((-10.0, -9.0), (9.0, -9.0), (9.0, 11.0), (-10.0, 11.0))
    fenced = replace(
        roof, fences=(Fence(name="north chain", tier="public", threshold=1.0, outline=outline),)
    )
    checks = {"north chain": Check(0.4, (Leak((-12.0, 1.0), 2.0),), holding=True)}
    sheets = fence_sheets(fenced, SOME, checks)
    said = heard(sheets)
    for part in (
        "north chain: LEAKS", "leaks here by 2.00 m", "LEAK: the zone goes past the fence here",
        "LEAKS by 2.00 m at -12.00, 1.00", "fence, with its corners", "m of chain on",
    ):  # fmt: skip
        assert part in said, part
    for sheet in numbered(sheets):
        assert not outside(sheet, words(sheet))


def test_a_corner_of_a_zone_has_a_sheet_of_its_own(roof: Site) -> None:
    sheets = door_sheets(roof, SOME)
    whats = [s.title.what for s in sheets]
    # The large piece, the occupational corner in it, and the two small ones.
    assert [w.split(";")[0] for w in whats] == [f"Corner {i} of 4" for i in range(1, 5)]
    scales = [int(s.title.scale.split()[0].removeprefix("1:")) for s in sheets]
    assert scales[0] > max(scales[1:])
    for sheet in sheets:
        assert not overlapping(on_ink(sheet))


def test_signs_and_a_reading_say_what_they_are_for(roof: Site) -> None:
    lines = sign_schedule(roof)
    said = re.sub(r"\s+", " ", heard(numbered(sign_sheets(roof, lines))))
    for line in lines:
        assert line.access.name in said
        assert line.word in said
    at = (6.0, 10.0, 16.0)
    reading = read(roof, at, STANDING, posture(roof, at, STANDING))
    said = ""
    for sheet in numbered(reading_sheets(roof, reading)):
        found = words(sheet)
        said += " ".join(text for text, _ in found)
        assert not outside(sheet, found)
        assert not overlapping(on_ink(sheet))
    for part in (reading.verdict, "Reasons: Sector north: low band 751", "47 CFR", "Cautions"):
        assert part in said, part


def test_a_sheet_reads_in_grey() -> None:
    def lightness(colour: tuple[float, ...]) -> float:
        # Rec. 709 luma weights: what a grey print keeps (ITU-R BT.709, from memory).
        return float(np.dot(colour[:3], [0.2126, 0.7152, 0.0722]))

    norm, colours = style.norm(), style.colormap()
    greys = [lightness(colours(norm(p * 1.001))) for p in (0.5, *style.LEVELS)]
    assert all(a > b + 0.02 for a, b in pairwise(greys))
    assert len(set(style.ZONE_HATCHES.values())) == len(set(style.ZONE_LINES.values())) == 4


def test_sheets_of_nothing_are_sheets_too() -> None:
    bare = Site(name="empty", antennas=())
    sheets = sign_sheets(bare, ())
    sheets += fence_sheets(bare, None, {})
    said = heard(sheets)
    assert "no way in on its list" in said
    assert "The site has no fence" in said
