"""Words on a map keep out of each other's way (app.draw.notes)."""

from __future__ import annotations

from itertools import combinations

import pytest
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Annotation, Text

from app.draw.notes import Notes, Spot


@pytest.fixture
def axes() -> Axes:
    figure = Figure(figsize=(6.0, 5.0), dpi=120)
    FigureCanvasAgg(figure)
    found = figure.add_subplot()
    found.set_xlim(0.0, 60.0)
    found.set_ylim(0.0, 50.0)
    return found


def overlaps(axes: Axes, notes: list[Annotation]) -> int:
    boxes = [Text.get_window_extent(n).padded(-0.5) for n in notes]
    for note, box in zip(notes, boxes, strict=True):
        assert axes.bbox.contains(box.x0, box.y0), note.get_text()
        assert axes.bbox.contains(box.x1, box.y1), note.get_text()
    return sum(a.overlaps(b) for a, b in combinations(boxes, 2))


def test_words_about_one_place_are_all_readable(axes: Axes) -> None:
    notes = Notes(axes)
    put = [
        notes.beside(f"{i + 1} (12 m off)", 30.0 + 0.4 * i, 25.0, (8, 6), bold=True)
        for i in range(8)
    ]
    axes.figure.canvas.draw()
    assert overlaps(axes, put) == 0
    tied = [n for n in put if n.arrow_patch is not None]
    assert tied, "words that moved away are tied to their place"
    assert put[0] not in tied


@pytest.mark.parametrize("at", [(0.5, 0.5), (59.5, 49.5), (59.5, 0.5), (0.5, 49.5)])
def test_words_stay_inside_the_frame(axes: Axes, at: tuple[float, float]) -> None:
    note = Notes(axes).beside("Fire escape gate", *at, (7, -3))
    axes.figure.canvas.draw()
    assert overlaps(axes, [note]) == 0


def test_words_keep_off_marks_and_give_up_only_if_they_may(axes: Axes) -> None:
    notes = Notes(axes)
    notes.keep_free(30.0, 25.0, 60.0)
    spots = [Spot(30.0, 25.0, 3.0, 7.0), Spot(30.0, 25.0, 3.0, -14.0)]
    assert notes.at_one_of("ring: holds, 0.50 m", spots) is None
    assert notes.at_one_of("ring: holds, 0.50 m", spots, needed=True) is not None


def test_words_that_fit_nowhere_beside_their_place_are_moved_inside_whole() -> None:
    figure = Figure(figsize=(2.2, 1.2), dpi=100)
    FigureCanvasAgg(figure)
    small = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    small.set_xlim(0.0, 22.0)
    small.set_ylim(0.0, 12.0)
    notes = Notes(small)
    for u in (6.0, 11.0, 15.0):
        note = notes.beside("2, 3, 9, 10 (2 to 9 m off)", u, 6.0, (8, 6), bold=True)
        figure.canvas.draw()
        assert overlaps(small, [note]) == 0
