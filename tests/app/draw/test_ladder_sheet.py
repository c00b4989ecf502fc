"""Ladders on paper: spans at a true scale, heights beside them readable, what is free said."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.patches import Rectangle

from app.draw.book import numbered
from app.draw.furniture import Setup
from app.draw.ladder_sheet import ladder_sheets
from app.draw.paper import PAPERS
from core.site.places import Ladder
from core.site.site import Site
from core.zones.climbing import left_free
from core.zones.ladders import Interval, LadderZone
from core.zones.steps import STEPS
from support.paper import on_ink, outside, overlapping, words


def zone(ladder: str, step: int, *spans: tuple[float, float]) -> tuple[object, LadderZone]:
    one = STEPS[step]
    intervals = tuple(Interval(a, b, a, b) for a, b in spans)
    return one, LadderZone(ladder, one.tier, one.threshold, intervals, 1, 0.0, True, "")


def site_of(tower: Site, count: int) -> Site:
    ladders = tuple(
        Ladder(name=f"ladder {i} {'of steel ' * i}".strip(), points=((i, 0.0, 0.0), (i, 0.0, 60.0)))
        for i in range(count)
    )
    return replace(tower, ladders=ladders)


@pytest.mark.parametrize(("paper", "count"), [("A4", 1), ("A3", 3), ("Letter", 7)])
def test_strips_heights_and_words_are_readable(paper: str, count: int, tower: Site) -> None:
    site = site_of(tower, count)
    found = []
    for ladder in site.ladders:
        found += [
            zone(ladder.name, 0, (5.0, 11.0), (14.2, 20.0), (23.0, 58.0)),
            zone(ladder.name, 1, (24.0, 26.0), (29.0, 30.0), (33.0, 33.4)),
            zone(ladder.name, 2),
        ]
    sheets = ladder_sheets(site, found, setup=Setup(paper=PAPERS[paper]))  # type: ignore[arg-type]
    for sheet in numbered(sheets):
        assert not outside(sheet, words(sheet))
        assert not overlapping(on_ink(sheet))
    said = " ".join(t for s in sheets for t, _ in words(s))
    assert "14.2 m to 20 m" in said
    assert "11 m to 14.2 m" in said
    assert "nowhere" in said


def test_heights_of_a_strip_have_the_scale_that_is_said(tower: Site) -> None:
    site = site_of(tower, 1)
    found = [zone(site.ladders[0].name, 0, (20.0, 30.0))]
    (sheet, *_) = ladder_sheets(site, found)  # type: ignore[arg-type]
    n = int(sheet.title.scale.split()[0].removeprefix("1:"))
    heights = [p.get_height() for p in sheet.ink.patches if isinstance(p, Rectangle)]
    # 60 m of ladder and 10 m of zone.
    for metres in (60.0, 10.0):
        assert any(h == pytest.approx(1000.0 * metres / n) for h in heights)


@given(st.lists(st.tuples(st.floats(0.0, 99.0), st.floats(0.1, 30.0)), max_size=6))
def test_what_is_free_and_what_is_closed_make_the_whole_ladder(
    raw: list[tuple[float, float]],
) -> None:
    closed = tuple((low, low + size) for low, size in raw)
    free = left_free(closed, 0.0, 100.0)
    for low, high in free:
        assert 0.0 <= low < high <= 100.0
        assert not any(a < 0.5 * (low + high) < b for a, b in closed)
    for z in (0.5, 33.3, 66.6, 99.5):
        inside = any(a < z < b for a, b in closed)
        at_edge = any(z in span for span in closed)
        assert at_edge or inside != any(a <= z <= b for a, b in free)


def test_a_site_without_ladders_says_so(roof: Site) -> None:
    sheets = ladder_sheets(replace(roof, ladders=()), ())
    assert "The site has no ladder." in " ".join(t for s in sheets for t, _ in words(s))
