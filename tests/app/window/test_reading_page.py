"""The reading in the window: three depths, folded by mouse and keys, readable in light and dark."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QPalette, QTextCursor, QTextDocument
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.window import tones
from app.window.main_window import MainWindow
from app.window.panels.reading_page import ReadingPage, page
from core.reading.reading import read
from core.reading.report import as_text
from core.site.site import Condition, Site, State
from core.units import show_percent
from support.colours import DARK, LIGHT, contrast
from support.places import DEMOS
from support.simple_sites import ground, isotropic
from support.windows import settle, wait_for

ROOF = DEMOS / "harrow-lane-roof" / "harrow-lane-roof.json"


@pytest.fixture
def pinned(window: MainWindow) -> ReadingPage:
    """A reading beside the sector antenna, over the public limit."""
    assert window.open(ROOF)
    settle(window)
    window.maps.pin(window.maps.pane("plan"), 2.0, 12.0)
    shown = window.panel("reading")
    assert isinstance(shown, ReadingPage)
    wait_for(lambda: shown.reading is not None)
    return shown


def link(shown: ReadingPage, name: str) -> QPoint:
    """Where the link of an emitter is in the viewport of the page."""
    found = shown.text.document().find(name)
    assert not found.isNull(), name
    at = QTextCursor(found)
    at.setPosition(found.selectionStart() + 2)
    return shown.text.cursorRect(at).center()


def test_one_sentence_one_number_and_a_bar_come_first(pinned: ReadingPage) -> None:
    reading = pinned.reading
    assert reading is not None
    assert (
        pinned.verdict.text()
        == reading.verdict
        == "Over the public limit, under the occupational limit."
    )
    assert pinned.number.text() == show_percent(reading.public.total)
    assert pinned.of.text().startswith("of FCC general population")
    assert "best estimate" in pinned.of.text()
    assert pinned.bar.isVisible()
    assert pinned.number.text() in pinned.bar.accessibleDescription()
    places = dict(pinned.bar._bar.marks)
    assert places["public"] < pinned.bar._bar.value < places["occupational"] < places["ten times"]
    # The filled part ends between the marks of the two limits, as painted.
    image = pinned.bar.grab().toImage()
    ratio = image.devicePixelRatio()
    y = round(10 * ratio)

    def dark(at: float) -> bool:
        return image.pixelColor(round(at * (image.width() - 1)), y).lightness() < 90

    between = (places["public"] + pinned.bar._bar.value) / 2.0
    beyond = (pinned.bar._bar.value + places["occupational"]) / 2.0
    assert dark(between)
    assert not dark(beyond)


def test_reasons_unfold_an_emitter_at_a_time_with_the_mouse(pinned: ReadingPage) -> None:
    def said(words: str) -> bool:
        return words in pinned.toPlainText()

    assert not said("transmitter 160 W")
    for name, own in (("Sector north: low", "transmitter 160 W"), ("Paging stick", "ERP 1 kW")):
        QTest.mouseClick(pinned.text.viewport(), Qt.MouseButton.LeftButton, pos=link(pinned, name))
        assert said(own)
    assert not said("transmitter 160 W")
    QTest.mouseClick(
        pinned.text.viewport(), Qt.MouseButton.LeftButton, pos=link(pinned, "Paging stick")
    )
    assert not said("ERP 1 kW")


def test_reasons_unfold_with_keys_and_stay_while_the_reading_changes(
    window: MainWindow, pinned: ReadingPage
) -> None:
    pinned.text.setFocus()
    for _ in range(3):
        QTest.keyClick(pinned.text, Qt.Key.Key_Tab)
    QTest.keyClick(pinned.text, Qt.Key.Key_Return)
    assert pinned.unfolded == "Paging stick: 929.6"
    window.document.set_state(0, State(Condition.REDUCED, 50.0))
    settle(window)
    assert "ERP 1 kW" in pinned.toPlainText()
    # The focus is still on that emitter: the same key folds it again.
    QTest.keyClick(pinned.text, Qt.Key.Key_Return)
    assert pinned.unfolded in ("", "Paging stick: 929.6")


def test_page_and_text_say_the_same_reasons(pinned: ReadingPage) -> None:
    reading = pinned.reading
    assert reading is not None
    flat = " ".join(as_text(reading).split())
    for name in ("Sector north: low", "Link to depot"):
        QTest.mouseClick(pinned.text.viewport(), Qt.MouseButton.LeftButton, pos=link(pinned, name))
        one = next(e for e in reading.emitters if e.name == pinned.unfolded)
        for text in (one.why, one.reflection, *one.power_words, *one.assumptions):
            assert " ".join(text.split()) in flat
            assert text in pinned.toPlainText()


def test_without_a_surface_reading_and_maps_say_first_that_there_is_no_verdict(
    window: MainWindow,
) -> None:
    window.document.add(isotropic("a", 98e6, 1.0))
    settle(window)
    for name in ("plan", "elevation"):
        assert "NO VERDICT: no walking surface is drawn" in window.titles[name].text()
    shown = window.panel("reading")
    window.maps.pin(window.maps.pane("plan"), 8.0, 1.0)
    wait_for(lambda: shown.reading is not None)
    assert shown.verdict.text().startswith("No verdict: no walking surface is drawn here")
    window.document.edit("ground", lambda site: replace(site, surfaces=(ground(),)))
    assert "NO VERDICT" not in window.titles["plan"].text()


def test_every_percent_is_on_the_page_however_small(roof: Site) -> None:
    reading = read(roof, (0.0, 20.0, 16.0))
    shown = QTextDocument()
    shown.setHtml(page(reading, LIGHT))
    text = shown.toPlainText().replace("\xa0", " ")
    figures = [show_percent(v) for e in reading.emitters for v in (e.public, e.occupational)]
    assert "< 0.001 %" in figures
    for figure in set(figures):
        assert text.count(figure) >= figures.count(figure)


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_every_colour_of_the_page_can_be_read(tower: Site, palette: QPalette) -> None:
    # WCAG 2.1, 1.4.3: 4.5 to 1 for text; 1.4.11: 3 to 1 for what has to be seen of a drawing.
    html = page(read(tower, (1.0, 2.0, 112.0)), palette, unfolded="FM main: 97.3")
    ground = tones.ground(palette)
    inks = re.findall(r"(?<!background:)color:(#[0-9a-f]{6})", html)
    assert set(inks) >= {tones.quiet(palette).name(), tones.NOTE_INK}
    for ink in set(inks) - {tones.NOTE_INK}:
        assert contrast(QColor(ink), ground) >= 4.5, ink
    assert contrast(QColor(tones.NOTE_INK), QColor(tones.NOTE_GROUND)) >= 4.5
    assert contrast(tones.ink(palette), tones.faint(palette)) >= 3.0
    for note in re.findall(r"<p style='background:[^']*'", html):
        assert f"color:{tones.NOTE_INK}" in note


def test_a_dark_desktop_repaints_the_page(pinned: ReadingPage, qt: QApplication) -> None:
    before = tones.ink(pinned.palette()).name()
    pinned.setPalette(DARK)
    qt.processEvents()
    assert tones.ink(DARK).name() != before
    assert tones.ink(DARK).name() in pinned.text.toHtml()
