"""What a new user was misled by, each seen in the real window."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from app.window.main_window import MainWindow
from core.entry.briefing import briefing
from core.entry.course import course, most_use
from core.entry.entry import plan_entry
from core.files.site_writer import save_site
from core.site.allowance import Allowance
from core.site.site import Condition, State
from core.units import show_allowance
from support.briefed import emitter, in_suit, job, mast
from support.entry_window import opened as opened_with
from support.entry_window import planned
from support.on_maps import LEFT, canvas, quick_site
from support.windows import settle, wait_for

K = Qt.Key
LOCKED = State(Condition.LOCKED_OUT)


@pytest.fixture
def opened(window: MainWindow, tmp_path: Path) -> MainWindow:
    save_site(quick_site(), tmp_path / "quick.json")
    assert window.open(tmp_path / "quick.json")
    settle(window)
    return window


def dotted(window: MainWindow, at: QPoint) -> bool:
    """Return whether the plan is dotted about a pixel: a square of 12 there has two colours at least, evenly."""
    picture = canvas(window).grab().toImage()
    grey = np.array([
        [picture.pixelColor(at.x() + i, at.y() + j).lightness() for i in range(12)] for j in range(12)
    ])  # fmt: skip
    return bool(0.05 < (grey < grey.max() - 40).mean() < 0.6)


def test_what_was_not_computed_is_dotted_and_what_was_is_not(opened: MainWindow) -> None:
    on = canvas(opened)
    corner = QPoint(on.width() - 40, 70)
    assert not dotted(opened, corner)
    shaded = on.shaded
    on.show_shaded(None)
    on.draw()
    assert dotted(opened, corner), "no shading at all"
    on.show_shaded(shaded)
    on.draw()
    assert not dotted(opened, corner)
    u0, v0, u1, v1 = opened.maps.pane("plan").view(opened.maps.scene).bounds
    on.glide(replace(on.view, region=(u0 + 60.0, v0, u1 + 60.0, v1)))
    assert dotted(opened, corner), "beyond the picture at hand"


def test_a_site_without_emitters_is_not_dotted(window: MainWindow, tmp_path: Path) -> None:
    save_site(replace(mast(), antennas=()), tmp_path / "bare.json")
    assert window.open(tmp_path / "bare.json")
    settle(window)
    assert not dotted(window, QPoint(canvas(window).width() - 40, 70))


def test_a_figure_goes_when_the_map_moves_under_it(opened: MainWindow) -> None:
    on = canvas(opened)
    at = on.pixel_of((6.0, 3.0)).toPoint()
    QTest.mouseMove(on, at + QPoint(3, 3))
    QTest.mouseMove(on, at)
    assert on.told is not None
    opened.maps.go("all")
    QTest.keyClick(on, K.Key_Plus)
    assert on.told is None


def test_both_tiers_and_what_one_stands_on_are_beside_the_number(opened: MainWindow) -> None:
    on = canvas(opened)
    QTest.mouseClick(on, LEFT, pos=on.pixel_of((6.0, 3.0)).toPoint())
    wait_for(lambda: opened.panel("reading").reading is not None)
    reading = opened.panel("reading").reading
    label = opened.findChild(QLabel, "of")
    assert label is not None
    for line in (reading.public, reading.occupational):
        assert line.name in label.text()
    assert reading.height_rule in label.text()


def test_the_maps_show_the_tier_of_the_job_while_it_is_planned(
    window: MainWindow, tmp_path: Path
) -> None:
    opened_with(window, tmp_path / "mast.json", mast(emitter(), plan=job(tier="occupational")))
    wait_for(lambda: window.maps.scene.look.tier == "occupational")
    window.show_task("field")
    wait_for(lambda: window.maps.scene.look.tier == "public")
    window.show_task("briefing")
    wait_for(lambda: window.maps.scene.look.tier == "occupational")


def test_the_verdict_says_what_the_shading_does_not_count(
    window: MainWindow, tmp_path: Path
) -> None:
    quiet = job(states=(("North FM", LOCKED),))
    opened_with(window, tmp_path / "mast.json", mast(emitter(), plan=quiet))
    planned(window)
    said = window.findChild(QLabel, "entry reasons")
    assert said is not None
    assert "1 emitter is set otherwise than the shading" in said.text()


# the sheet -----------------------------------------------------------------------------------------


def test_a_go_that_hangs_on_locks_says_so_in_its_box_and_names_who_cannot_be_called() -> None:
    loud = emitter(eirp=3000.0, contact="")
    site = mast(loud, plan=job(states=(("North FM", LOCKED),)))
    said = briefing(plan_entry(site, site.jobs[0]))
    assert said.is_go
    assert said.verdict.startswith("NOT AS FILED, only once 1 emitter is set, locked and measured")
    assert said.warnings is not None
    assert any("NOBODY TO CALL for North FM" in line.text for line in said.warnings.lines)
    as_filed = briefing(plan_entry(mast(emitter(eirp=1.0)), job()))
    assert as_filed.is_go
    assert as_filed.verdict.startswith("Go")


def test_the_sheet_says_how_far_the_garment_is_used_not_how_far_it_may_be() -> None:
    site = mast(emitter(eirp=3000.0, allows=Allowance()), plan=in_suit())
    entry = plan_entry(site, site.jobs[0])
    parts = {part.heading: part for part in briefing(entry).first}
    said = " ".join(line.text for line in parts["Garment"].lines)
    used = most_use(entry, course(entry))
    assert f"{100.0 * used:.1f}"[:3] in said
    assert f"{show_allowance(10.0 ** (-entry.job.garment_margin / 10.0))} allowed" in said


@pytest.mark.parametrize("fraction", [0.5012, 0.50119, 0.99999, 1.0, 0.1, 0.0316])
def test_an_allowance_is_never_rounded_up(fraction: float) -> None:
    shown = float(show_allowance(fraction).removesuffix(" %"))
    assert shown <= 100.0 * fraction * (1.0 + 1e-12)
    assert shown > 100.0 * fraction * 0.985


def test_a_title_has_two_rows_and_only_what_is_over_them_is_cut(opened: MainWindow) -> None:
    title = opened.titles["plan"]
    title.setText("Plan: % of FCC occupational, on the surface under each point, and a word")
    wide = title.fontMetrics().horizontalAdvance(title.text())
    assert title.rows(wide + 2) == (title.text(),)
    rows = title.rows(round(0.7 * wide))
    assert " ".join(rows) == title.text()
    assert title.rows(round(0.3 * wide))[1].endswith("…")
    assert title.toolTip() == title.text()
    assert title.height() >= 2 * title.fontMetrics().height()
