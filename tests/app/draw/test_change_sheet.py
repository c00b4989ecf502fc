"""The page of a change: every word is on the page and none lies over another, however long the names are."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from app.draw.change_sheet import change_sheet
from core.changes.comparison import compare
from core.changes.difference_map import change_map
from core.views.defaults import default_elevation, default_plan
from core.views.views import View
from support.changed import raised, yard
from support.paper import drawn

LONG = "A yard with a name of a great many words that goes on and on, as names of places do " * 2


@pytest.mark.parametrize("feet", [False, True])
@pytest.mark.parametrize("long", [False, True])
def test_no_word_leaves_the_page_or_lies_over_another(*, long: bool, feet: bool) -> None:
    before = replace(yard(), revision="A")
    after = replace(raised(yard(), "north", 4.0), revision="B, proposed")
    if long:
        before, after = (replace(s, name=LONG[:118]) for s in (before, after))
    view: View = default_elevation(after) if long else default_plan(after)
    figure = change_sheet(
        compare(before, after), change_map(before, after, view, (16, 16)), tier="public", feet=feet
    )
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    axes = set(figure.axes)
    boxes = [
        (t.get_text(), t.get_window_extent(renderer), t)
        for t in drawn(figure)
        if t.get_clip_box() is None
    ]
    assert len(boxes) > 60
    width, height = figure.bbox.size
    for text, box, _ in boxes:
        assert box.x0 >= 0, text
        assert box.x1 <= width, text
        assert box.y0 >= 0, text
        assert box.y1 <= height, text
    # On one map notes have their own rules; what stands between the maps, the bars and the list keeps clear.
    for (one, a, first), (other, b, second) in combinations(boxes, 2):
        if first.axes is second.axes and first.axes in axes:
            continue
        apart = min(a.x1, b.x1) - max(a.x0, b.x0) < 1.0 or min(a.y1, b.y1) - max(a.y0, b.y0) < 1.0
        assert apart, (one, other)
