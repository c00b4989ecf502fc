"""Where the garment of the job is not enough, on the ladder strip of the Entry task."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from app.draw import style
from app.window import entries
from app.window.main_window import MainWindow
from app.window.panels import ladder_pane
from app.window.panels.ladder_pane import LadderPane
from core.entry.planned import planned_site
from core.proof.tolerance import Ceiling
from core.site.site import Condition, State
from core.zones.garment import garment_ladder
from support.briefed import emitter, in_suit, job, mast
from support.entry_window import opened
from support.windows import wait_for

LOW = emitter(eirp=3000.0, position=(2.0, 0.0, 12.0))
AUX = emitter("Auxiliary", eirp=3000.0, position=(-6.0, 0.0, 4.0), state=State(Condition.UNKNOWN))
LOCKED = (("Auxiliary", State(Condition.LOCKED_OUT)),)


@pytest.fixture(autouse=True)
def _no_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(entries, "QUIET", 0)
    monkeypatch.setattr(ladder_pane, "QUIET", 0)


def strip_of(window: MainWindow) -> LadderPane:
    strip = window.panel("ladder strip")
    assert isinstance(strip, LadderPane)
    wait_for(lambda: not strip.stale)
    strip.canvas.draw()
    return strip


def columns(strip: LadderPane) -> list[str]:
    assert strip.canvas.strip is not None
    return [t.get_text() for t in strip.canvas.strip.spans.get_xticklabels()]


def test_the_strip_has_the_garment_in_entry_and_not_elsewhere(
    window: MainWindow, tmp_path: Path
) -> None:
    site = mast(LOW, AUX, plan=in_suit(states=LOCKED))
    opened(window, tmp_path / "mast.json", site)
    strip = strip_of(window)
    assert columns(strip)[:3] == ["public", "worker", "garment"]
    assert strip.canvas.strip is not None
    assert strip.proven is not None
    assert strip.proven.worn is not None
    planned = planned_site(site, site.jobs[0])
    alone = garment_ladder(
        planned, site.ladders[0], site.garments[0], 3.0, ceiling=Ceiling(seconds=60.0)
    )
    assert alone.intervals
    found = np.ravel([(i.start, i.end) for i in strip.proven.worn.intervals])
    assert found == pytest.approx(np.ravel([(i.start, i.end) for i in alone.intervals]), abs=1e-9)
    inner, outer = strip.proven.worn, strip.proven.zones["occupational"]
    for one in inner.intervals:
        assert any(o.start - 0.01 <= one.start and one.end <= o.end + 0.01 for o in outer.intervals)
    drawn = [p for p in strip.canvas.strip.spans.patches if p.get_gid() == "garment"]
    assert len(drawn) == len(inner.intervals)
    assert {p.get_hatch() for p in drawn} == {style.ZONE_HATCHES["garment"]}
    assert "what set is good for" in strip.words.text()
    assert "as the job sets them" in strip.words.text()

    window.show_task("field")
    strip = strip_of(window)
    assert columns(strip)[:2] == ["public", "worker"]
    assert "garment" not in columns(strip)
    assert "good for" not in strip.words.text()


def test_a_job_without_a_garment_has_no_column_for_one(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "mast.json", mast(LOW, plan=job()))
    assert "garment" not in columns(strip_of(window))
