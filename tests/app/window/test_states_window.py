"""Named states in the window: maps, readings and titles follow the one that is chosen, and say so."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from app.window.main_window import MainWindow
from app.window.panels.reading_page import ReadingPage
from app.window.panels.state_box import StateBox
from core.files.site_writer import save_site
from core.site.site import Site
from core.site.state import Condition, NamedState, State
from support.briefed import emitter, mast
from support.windows import settle, wait_for

LOW = NamedState(name="low", states=(("North FM", State(Condition.REDUCED, 10.0)),))


def opened(window: MainWindow, path: Path, site: Site) -> None:
    save_site(site, path)
    assert window.open(path)
    settle(window)


def choose(window: MainWindow, name: str) -> None:
    panel = window.panel("state shown")
    assert isinstance(panel, StateBox)
    panel.box.setCurrentIndex(panel.box.findData(name))
    panel.box.activated.emit(panel.box.currentIndex())
    settle(window)


def read_total(window: MainWindow) -> float:
    page = window.panel("reading")
    assert isinstance(page, ReadingPage)
    wait_for(lambda: page.reading is not None)
    assert page.reading is not None
    return page.reading.public.total


def test_a_state_is_shown_everywhere_and_named_everywhere(
    window: MainWindow, tmp_path: Path
) -> None:
    opened(window, tmp_path / "m.json", replace(mast(emitter()), states=(LOW,)))
    window.maps.pin_climber((0.0, 0.0, 20.0))
    settle(window)
    filed = read_total(window)
    mapped = window.maps.pane("plan").canvas.raster
    assert mapped is not None
    choose(window, "low")
    assert abs(read_total(window) / filed - 0.1) < 1e-6
    lowered = window.maps.pane("plan").canvas.raster
    assert lowered is not None
    assert abs(lowered.public.max() / mapped.public.max() - 0.1) < 1e-4
    for title in window.titles.values():
        assert "STATE 'low', NOT AS FILED" in title.text()
    page = window.panel("reading")
    assert isinstance(page, ReadingPage)
    assert "NOT AS FILED" in page.verdict.text()
    assert not window.document.dirty, "what is shown is no edit"
    choose(window, "")
    assert read_total(window) == filed
    assert "STATE" not in window.titles["plan"].text()


def test_a_state_that_goes_is_not_shown_any_more(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "m.json", replace(mast(emitter()), states=(LOW,)))
    choose(window, "low")
    window.document.edit("no states", lambda site: replace(site, states=()))
    assert window.maps.scene.state == ""
    assert "shown as filed" in window.message.text() or not window.message.isVisible()
    assert window.panel("state shown").isHidden()


def test_a_state_that_an_undo_takes_away_comes_back_with_the_redo(
    window: MainWindow, tmp_path: Path
) -> None:
    site = mast(emitter("North FM", eirp=500.0))
    opened(window, tmp_path / "m.json", site)
    document, maps = window.document, window.maps
    document.edit("add a state", lambda now: replace(now, states=(LOW,)))
    choose(window, "low")
    document.stack.undo()
    assert maps.scene.state == ""
    assert "as filed again" in window.message.text()
    document.stack.redo()
    assert maps.scene.state == "low"
    # Somebody who looks at the site as filed meanwhile goes on doing so.
    document.stack.undo()
    maps.show_state("")
    document.stack.redo()
    assert maps.scene.state == ""
