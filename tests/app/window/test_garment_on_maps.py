"""Where the garment of the job is not enough, on the maps of the Entry task, with the real widgets."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.draw import style
from app.draw.zone_art import DIM
from app.window import entries
from app.window.main_window import MainWindow
from app.window.panels.legend import Legend
from app.window.scene import Standing
from core.entry.planned import planned_site
from core.site.site import Condition, Site, State
from core.zones.site_zones import site_zones
from core.zones.steps import STEPS, with_garment
from support.briefed import emitter, in_suit, job, mast
from support.entry_window import opened
from support.windows import wait_for

K, CTRL = Qt.Key, Qt.KeyboardModifier.ControlModifier
LOW = emitter(eirp=3000.0, position=(4.0, 0.0, 4.0))
AUX = emitter("Auxiliary", eirp=3000.0, position=(-6.0, 0.0, 4.0), state=State(Condition.UNKNOWN))


def site() -> Site:
    """A site whose auxiliary nobody knows about: as filed a garment is worth nothing, as the job sets it, it is."""
    locked = State(Condition.LOCKED_OUT)
    return mast(LOW, AUX, plan=in_suit(states=(("Auxiliary", locked),)))


@pytest.fixture(autouse=True)
def _no_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(entries, "QUIET", 0)


@pytest.fixture
def proven(window: MainWindow, tmp_path: Path) -> MainWindow:
    opened(window, tmp_path / "mast.json", site())
    QTest.keyClick(window, K.Key_B, CTRL)
    wait_for(lambda: all_there(window))
    return window


def all_there(window: MainWindow) -> bool:
    """Whether the zones of both maps are proven."""
    return len(window.maps.proving.shown) == 2


def keys(window: MainWindow, pane: str = "plan") -> list[str]:
    zones = window.maps.pane(pane).canvas.map.zones
    return [] if zones is None else [step.key for step in zones.steps]


def test_both_maps_show_where_it_is_not_enough_as_the_command_line_proves_it(
    proven: MainWindow,
) -> None:
    set_as_planned = planned_site(site(), site().jobs[0])
    garment = site().garments[0]
    for pane in proven.panes:
        zones = proven.maps.proving.shown[pane.name].zones
        assert [s.key for s in zones.steps] == ["public", "occupational", "garment", "ten times"]
        fresh = site_zones(
            set_as_planned, pane.plane.whole(proven.maps.scene), steps=with_garment(garment, 3.0)
        )
        for (step, one), (other, same) in zip(zones.zones, fresh.zones, strict=True):
            assert step == other
            assert one.region.symmetric_difference(same.region).area == pytest.approx(0.0, abs=1e-6)
        occupational, beyond = zones.zones[1][1].region, zones.zones[2][1].region
        assert 0.0 < beyond.area < occupational.area, "as the job sets them it is worth something"
        assert shapely.covers(occupational.buffer(0.01), beyond)
        fills = {p.get_hatch() for p in pane.canvas.map._zone_fills}
        assert style.ZONE_HATCHES["garment"] in fills
        assert "as the job sets them" in proven.titles[pane.name].text()
    legend = proven.panel("legend")
    assert isinstance(legend, Legend)
    assert [legend._words(s).split(" (")[0] for s in legend._steps] == [
        "over the public limit", "in set only", "beyond set: not enough, or no credit",
        "over ten times the occupational limit",
    ]  # fmt: skip


def test_it_is_dimmed_while_it_is_of_before_a_change_of_the_card(proven: MainWindow) -> None:
    before = proven.maps.proving.shown["plan"].zones
    garment = replace(
        site().garments[0], bands=(replace(site().garments[0].bands[0], percent=300.0),)
    )
    proven.document.edit("card", lambda s: replace(s, garments=(garment,)))
    assert set(proven.maps.scene.standing.values()) == {Standing.BEFORE}
    for pane in proven.panes:
        assert {p.get_alpha() for p in pane.canvas.map._zone_fills} == {DIM}
    wait_for(lambda: all_there(proven))
    after = proven.maps.proving.shown["plan"].zones
    assert after.zones[2][1].area > before.zones[2][1].area
    for i in (0, 1, 3):
        assert after.zones[i][1] is before.zones[i][1], "no other zone was proven anew"


def test_other_tasks_and_jobs_without_one_show_the_site_as_it_is(proven: MainWindow) -> None:
    QTest.keyClick(proven, K.Key_F3)
    wait_for(lambda: all_there(proven) and keys(proven) == [s.key for s in STEPS])
    assert "job" not in proven.titles["plan"].text()
    QTest.keyClick(proven, K.Key_F4)
    wait_for(lambda: all_there(proven) and "garment" in keys(proven, "elevation"))
    proven.document.edit("no garment", lambda s: replace(s, jobs=(job(),)))
    wait_for(lambda: all_there(proven) and "garment" not in keys(proven))


def test_fences_are_of_the_site_as_it_is_shown(proven: MainWindow) -> None:
    QTest.keyClick(proven, K.Key_F, CTRL)
    wait_for(lambda: bool(proven.document.site.fences))
    wait_for(lambda: bool(proven.maps.scene.checks))
    assert all(check.holds for check in proven.maps.scene.checks.values())
    proven.document.edit("as planned", lambda s: planned_site(s, s.jobs[0]))
    wait_for(lambda: bool(proven.maps.scene.checks))
    assert all(check.holds for check in proven.maps.scene.checks.values())
