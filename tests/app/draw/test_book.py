"""Sheets as files, from several threads at once."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import matplotlib as mpl
from matplotlib.figure import Figure

from app.draw.book import as_picture


def _page(words: str) -> Figure:
    figure = Figure(figsize=(3.0, 1.0))
    figure.text(0.1, 0.5, words * 6)
    return figure


def test_pictures_made_at_the_same_time_are_as_alone_and_leave_no_setting_behind() -> None:
    was = mpl.rcParams["text.hinting"]
    words = ["unhinted", "letters", "side by side"] * 6
    alone = [as_picture(_page(said), ".png", 400) for said in words]
    with ThreadPoolExecutor(6) as threads:
        together = list(threads.map(lambda said: as_picture(_page(said), ".png", 400), words))
    assert together == alone
    assert mpl.rcParams["text.hinting"] == was
