"""The ladder strip in the window: follows at once, is proven after, reads where one clicks."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from matplotlib.colors import to_hex
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtTest import QTest

from app.draw import style
from app.window.main_window import MainWindow
from app.window.panels import ladder_pane
from app.window.panels.ladder_pane import LadderPane
from core.site.places import Fence, Ladder
from core.site.site import Condition, Power, Site, State
from core.zones.climbing import free_spans
from core.zones.ladders import ladder_zone, show_height
from support.colours import DARK, LIGHT, contrast
from support.simple_sites import FREE, ground, isotropic
from support.windows import settle, wait_for

LADDER = Ladder(name="Mast ladder", points=((0.5, 0.0, 0.0), (0.5, 0.0, 40.0)))


@pytest.fixture
def strip(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> LadderPane:
    """The strip of a mast with two antennas, proven; it waits less for the next edit than a person needs."""
    monkeypatch.setattr(ladder_pane, "QUIET", 60)
    site = Site(
        name="mast",
        antennas=(
            isotropic("FM", 98e6, 500.0, (3.0, 0.0, 30.0)),
            isotropic("stick", 460e6, 40.0, (1.0, 0.0, 12.0)),
        ),
        reflection=FREE,
        surfaces=(ground(),),
        ladders=(LADDER,),
    )
    window.document.edit("site", lambda _: site)
    pane = window.panel("ladder strip")
    assert isinstance(pane, LadderPane)
    wait_for(lambda: not pane.stale)
    settle(window)
    return pane


def test_the_strip_is_there_only_where_there_is_a_ladder(window: MainWindow) -> None:
    pane = window.panel("ladder strip")
    assert not pane.isVisible()
    window.document.edit("ladder", lambda site: replace(site, ladders=(LADDER,)))
    assert pane.isVisible()
    window.actions_by_name["ladder strip"].trigger()
    assert not pane.isVisible()
    window.actions_by_name["ladder strip"].trigger()
    assert pane.isVisible()


def test_it_shows_both_tiers_the_proven_spans_and_says_which_may_be_used(
    window: MainWindow, strip: LadderPane
) -> None:
    drawn = strip.canvas.strip
    assert drawn is not None
    strip.canvas.draw()
    lines = {line.get_gid(): line for line in drawn.curves.lines}
    assert (lines["public"].get_xdata() >= lines["occupational"].get_xdata()).all()
    assert lines["occupational"].get_linewidth() > lines["public"].get_linewidth()
    for tier in ("public", "occupational"):
        zone = ladder_zone(window.document.site, LADDER, 1.0, tier)
        boxes = [p for p in drawn.spans.patches if p.get_gid() == tier]
        assert len(boxes) == len(free_spans(LADDER, zone)) - 1
        low, high = free_spans(LADDER, zone)[0][1], free_spans(LADDER, zone)[-1][0]
        assert min(p.get_y() for p in boxes) == pytest.approx(low)
        assert max(p.get_y() + p.get_height() for p in boxes) == pytest.approx(high)
        assert f"Under FCC {tier}: 0 m to {show_height(low, feet=False)}" in strip.words.text()
    numbers = [text.get_text() for text in drawn.curves.texts]
    assert "1" in numbers
    assert "2" in numbers


def test_a_state_acts_at_once_and_no_field_is_computed(
    window: MainWindow, strip: LadderPane
) -> None:
    before, computed = strip.profile, strip.cache.computed
    assert before is not None
    window.document.set_state(0, State(Condition.REDUCED, 25.0))
    assert strip.stale
    assert "being proven" in strip.words.text()
    wait_for(lambda: strip.profile is not before)
    after = strip.profile
    assert after is not None
    near = after.nearest(30.0)
    assert after.public[near] == pytest.approx(0.25 * before.public[near], rel=0.01)
    assert strip.cache.computed == computed
    wait_for(lambda: not strip.stale)
    assert "being proven" not in strip.words.text()


def test_what_is_no_longer_proven_is_dim_until_it_is_again(
    window: MainWindow, strip: LadderPane
) -> None:
    def dim() -> bool:
        strip.canvas.draw()
        assert strip.canvas.strip is not None
        boxes = [p for p in strip.canvas.strip.spans.patches if p.get_gid() == "public"]
        return bool(boxes) and all(p.get_alpha() < 0.5 for p in boxes)

    assert not dim()
    window.document.move(0, (3.0, 0.0, 20.0))
    assert dim()
    wait_for(lambda: not strip.stale)
    assert not dim()


def test_a_fence_or_a_unit_proves_nothing_anew(window: MainWindow, strip: LadderPane) -> None:
    proven = strip.proven
    stops = Fence(
        name="stops", tier="public", threshold=1.0, ladder="Mast ladder", stops=((20.0, 40.0),)
    )
    window.document.set_fences((stops,), "stops")
    settle(window)
    assert strip.proven is proven
    assert not strip.stale
    strip.canvas.draw()
    assert strip.canvas.strip is not None
    (box,) = [p for p in strip.canvas.strip.spans.patches if p.get_gid() == "stops"]
    assert (box.get_y(), box.get_height()) == (20.0, 20.0)
    window.panel("controls").feet.click()
    settle(window)
    assert strip.proven is proven
    assert " ft" in strip.words.text()


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_the_strip_can_be_read_on_any_desktop(strip: LadderPane, palette: QPalette) -> None:
    # WCAG 2.1: 4.5 to 1 for words (1.4.3), 3 to 1 for what has to be seen of a drawing (1.4.11).
    strip.setPalette(palette)
    strip.canvas.draw()
    drawn = strip.canvas.strip
    assert drawn is not None
    ground = QColor(drawn.paper)
    assert drawn.paper == palette.color(QPalette.ColorRole.Base).name()
    assert contrast(QColor(drawn.ink), ground) >= 4.5
    assert contrast(QColor(drawn.pin), ground) >= 3.0
    for artist in (*drawn.curves.lines, *drawn.curves.texts):
        colour = QColor(to_hex(artist.get_color()))
        assert contrast(colour, ground) >= (4.5 if artist in drawn.curves.texts else 3.0)
    for tier in ("public", "occupational"):
        assert contrast(QColor(style.INK), QColor(style.ZONE_FILLS[tier])) >= 3.0


def test_no_word_of_the_strip_is_cut_off(strip: LadderPane) -> None:
    strip.canvas.draw()
    drawn = strip.canvas.strip
    assert drawn is not None
    figure = drawn.curves.figure
    whole = figure.bbox
    labels = [*drawn.spans.get_yticklabels(), *drawn.spans.get_xticklabels(), *drawn.curves.texts]
    for label in labels:
        box = label.get_window_extent()
        assert box.x0 >= whole.x0 - 1, label.get_text()
        assert box.x1 <= whole.x1 + 1, label.get_text()
        assert box.y0 >= whole.y0 - 1, label.get_text()


def test_a_click_and_keys_read_there(window: MainWindow, strip: LadderPane) -> None:
    canvas = strip.canvas
    QTest.mouseClick(
        canvas, Qt.MouseButton.LeftButton, pos=QPoint(canvas.width() // 2, canvas.height_y(21.0))
    )
    reading = window.panel("reading")
    wait_for(lambda: reading.reading is not None)
    x, y, z = reading.reading.position
    assert (x, y) == (0.5, 0.0)
    assert z == pytest.approx(21.0, abs=0.5)
    assert "climber" in reading.reading.height_rule
    assert strip.profile is not None
    at = strip.profile.nearest(z)
    assert reading.reading.public.total == pytest.approx(strip.profile.public[at], rel=1e-12)
    canvas.setFocus()
    QTest.keyClick(canvas, Qt.Key.Key_Up)
    wait_for(lambda: reading.reading.position[2] != z)
    assert reading.reading.position[2] == pytest.approx(z + 0.5)
    settle(window)
    canvas.draw()
    lines = canvas.strip.curves.get_lines()
    assert any(np.allclose(line.get_ydata(), z + 0.5) for line in lines)


def test_a_ladder_without_emitters_is_not_said_to_be_safe(window: MainWindow) -> None:
    site = Site(name="bare", antennas=(), surfaces=(ground(),), ladders=(LADDER,))
    window.document.edit("site", lambda _: site)
    pane = window.panel("ladder strip")
    assert isinstance(pane, LadderPane)
    wait_for(lambda: not pane.stale)
    assert pane.words.text() == "No emitter is on the site yet: nothing is said of its ladders"


def test_a_height_on_the_strip_keeps_its_first_digit(window: MainWindow) -> None:
    tall = replace(LADDER, points=((0.5, 0.0, 0.0), (0.5, 0.0, 149.0)))
    one = isotropic("FM", 98e6, 500.0, (3.0, 0.0, 124.7))
    site = Site(name="tall", antennas=(one,), reflection=FREE, ladders=(tall,))
    window.document.edit("site", lambda _: site)
    strip = window.panel("ladder strip")
    assert isinstance(strip, LadderPane)
    wait_for(lambda: not strip.stale)
    strip.canvas.draw()
    drawn = strip.canvas.strip
    assert drawn is not None
    labels = drawn.spans.get_yticklabels()
    assert any(len(label.get_text()) >= 5 for label in labels)
    assert all(label.get_window_extent().x0 >= 0.0 for label in labels)


def test_words_of_the_strip_lie_over_nothing_that_is_drawn(
    window: MainWindow, strip: LadderPane
) -> None:
    window.document.set_power(0, 0, Power(eirp=400.0))
    wait_for(lambda: strip.stale)
    strip.canvas.draw()
    drawn = strip.canvas.strip
    assert drawn is not None
    texts = {t.get_text(): t.get_window_extent() for t in (*drawn.spans.texts, *drawn.curves.texts)}
    spans, curves = drawn.spans.get_window_extent(), drawn.curves.get_window_extent()
    assert texts["being proven…"].y0 >= spans.y1
    page = strip.canvas.figure.bbox
    assert texts["being proven…"].y1 <= page.y1
    for number in ("1", "2"):
        assert texts[number].x0 >= curves.x1
        assert texts[number].x1 <= page.x1
    marks = [t.get_window_extent() for t in drawn.curves.get_xticklabels() if t.get_text()]
    assert all(a.x1 < b.x0 for a, b in pairwise(marks))


def test_a_new_ladder_is_drawn_while_the_maps_are_still_computed(
    window: MainWindow, strip: LadderPane
) -> None:
    """Its percents take a moment; on a roof with many walls the maps take ten times that. The proof waits for them."""
    other = replace(LADDER, name="Second ladder", points=((2.0, 0.0, 0.0), (2.0, 0.0, 30.0)))

    def is_there() -> bool:
        strip.hold(True)
        return strip.profile is not None and strip.profile.ladder == "Second ladder"

    strip.hold(True)
    window.document.edit("another", lambda site: replace(site, ladders=(other,)))
    wait_for(is_there)
    assert strip.stale
