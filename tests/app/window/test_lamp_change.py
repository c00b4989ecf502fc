"""A lamp change from the window: no go, the plan found and applied, go, the sheet exported as the command writes it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QPageLayout, QPageSize
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest

from app.cli.main import main
from app.window import briefs, entries
from app.window import plans as plans_module
from app.window.main_window import MainWindow
from app.window.panels.briefing_page import BriefingPage
from app.window.panels.plan_panel import PlanPanel
from core.progress import Cancelled
from core.site.allowance import Allowance
from core.site.job import Route
from support.briefed import STOPS, emitter, job, mast
from support.entry_window import opened, planned, write
from support.windows import settle, wait_for

K, LEFT = Qt.Key, Qt.MouseButton.LeftButton
SHORT = replace(job(work=None), route=Route(stops=STOPS[1:]))
STRONG = emitter(eirp=3000.0, allows=Allowance(steps=(50.0, 10.0, 0.0)))
WEAK = emitter("Paging", 5.0, frequency=460e6, position=(3.0, 0.0, 10.0), contact="")


@pytest.fixture(autouse=True)
def _no_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(entries, "QUIET", 0)
    monkeypatch.setattr(briefs, "_SHOWN_PX", 300)


def plans(window: MainWindow) -> PlanPanel:
    panel = window.panel("power plan")
    assert isinstance(panel, PlanPanel)
    return panel


def find(window: MainWindow) -> None:
    QTest.mouseClick(plans(window).look, LEFT)
    wait_for(lambda: not window.entries.plans.last.busy)


def test_the_lamp_change_from_no_go_to_the_sheet(
    window: MainWindow, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "mast.json"
    opened(window, path, mast(STRONG, WEAK, plan=SHORT))
    assert "NO GO" in planned(window)
    find(window)
    panel = plans(window)
    assert "1 emitter, 1 owner" in panel.list.item(0).text()
    assert [panel.table.item(0, c).text() for c in (0, 3, 5, 1, 2)] == [  # type: ignore[union-attr]
        "North FM", "Owner (invented)", "555-0100", "on", "reduced to 10 %",
    ]  # fmt: skip
    assert "Proven" in panel.notes.text()
    filed = window.document.site.antennas
    QTest.mouseClick(panel.apply, LEFT)
    settle(window)
    assert "Go: no garment needed" in planned(window)
    assert window.document.site.antennas == filed, "the site as filed is not lowered"
    assert window.maps.scene.state == "power plan"
    assert "NOT AS FILED" in window.titles["plan"].text()
    assert window.files.save()
    QTest.keyClick(window, K.Key_F6)
    wait_for(lambda: bool(window.entries.briefs.brief.files))
    page = window.panel("briefing")
    assert isinstance(page, BriefingPage)
    assert "Go: no garment needed" in page.verdict.text()
    assert "No work volume" in page.missing.text()
    assert not page.sides[0].pixmap().isNull()
    ours, theirs = tmp_path / "ours.pdf", tmp_path / "theirs.pdf"
    assert window.entries.briefs.export(ours)
    assert main(["brief", str(path), "--state", "power plan", "-o", str(theirs)]) == 0
    assert ours.read_bytes() == theirs.read_bytes()
    assert window.entries.briefs.brief.mark in capsys.readouterr().out
    assert window.entries.briefs.export(tmp_path / "phone.png")
    assert (tmp_path / "phone.png").read_bytes()[:4] == b"\x89PNG"
    assert main(["entry", str(path), "Lamp change", "--state", "power plan"]) == 0
    assert "In the state 'power plan', not as filed." in capsys.readouterr().out
    assert main(["entry", str(path), "Lamp change"]) == 1
    assert not window.entries.briefs.export(tmp_path / "sheet.txt")
    assert "txt" in window.message.text()
    printer = QPrinter(QPrinter.PrinterMode.ScreenResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    printer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    printer.setPageOrientation(QPageLayout.Orientation.Landscape)
    assert window.entries.briefs.print_on(printer)
    assert (tmp_path / "printed.pdf").stat().st_size > 1000
    before = page.sides[0].pixmap().width()
    QTest.mouseClick(page.closer, LEFT)
    assert page.sides[0].pixmap().width() > before
    # A sheet with long lists has more sides; all of them are shown, and no more of the next one.
    brief = window.entries.briefs.brief
    for times in (2, 1):
        page.show_brief(replace(brief, sides=brief.sides * times))
        shown = [not side.pixmap().isNull() for side in page.sides]
        assert sum(shown) == times * len(brief.sides)
    QTest.keyClick(window, K.Key_F4)
    window.document.stack.undo()
    assert window.document.site.states == ()
    assert window.maps.scene.state == ""
    assert "NO GO" in planned(window)


def test_a_plan_for_a_piece_of_a_surface(window: MainWindow, tmp_path: Path) -> None:
    low = replace(STRONG, position=(4.0, 0.0, 4.0))
    opened(window, tmp_path / "m.json", mast(low, plan=SHORT))
    panel = plans(window)
    for box, data in ((panel.where, "surface"), (panel.aim, "tier")):
        box.setCurrentIndex(box.findData(data))
        box.activated.emit(box.currentIndex())
    assert not panel.surface.isHidden()
    assert not panel.region.isHidden()
    assert panel.ladder.isHidden()
    find(window)
    assert "locked out" in panel.table.item(0, 2).text()  # type: ignore[union-attr]
    # Far from it nothing has to be done; the other way round it is an error that keeps what is typed.
    write(panel.region, "-50; -50; -40; -40")
    find(window)
    assert "-50 to -40 m east" in panel.said.text()
    assert "Nothing more has to be turned down" in panel.said.text()
    write(panel.region, "-40; -50; -50; -40")
    find(window)
    assert "region: is empty" in window.message.text()
    assert panel.region.text() == "-40; -50; -50; -40"
    write(panel.region, "1; 2")
    find(window)
    assert "is not 4 lengths" in window.message.text()


def test_plans_by_a_typed_limit_none_and_cancelled(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened(window, tmp_path / "m.json", mast(STRONG, plan=SHORT))
    panel = plans(window)
    panel.where.setCurrentIndex(panel.where.findData("pin"))
    panel.aim.setCurrentIndex(panel.aim.findData("tier"))
    for box in (panel.where, panel.aim):
        box.activated.emit(box.currentIndex())
    find(window)
    assert "No place is pinned" in window.message.text()
    write(panel.percent, "lots")
    assert "not a number" in window.message.text()
    assert panel.percent.text() == "lots"
    QTest.mouseClick(panel.look, LEFT)
    assert "not a number" in window.message.text()
    write(panel.percent, "70")
    window.maps.pin_climber((0.0, 0.0, 30.0))
    find(window)
    assert "70 % of" in panel.said.text()
    assert "reduced to 10 %" in panel.table.item(0, 2).text()  # type: ignore[union-attr]
    panel.where.setCurrentIndex(panel.where.findData("ladder"))
    panel.where.activated.emit(panel.where.currentIndex())
    write(panel.span, "0 to 5 m")
    find(window)
    assert "Nothing more has to be turned down" in panel.said.text()
    fixed = replace(STRONG, allows=Allowance(touch=False, steps=()))
    window.document.edit("fixed", lambda site: replace(site, antennas=(fixed,)))
    assert "find the plan again" in panel.said.text()
    panel.where.setCurrentIndex(panel.where.findData("pin"))
    find(window)
    assert "No plan" in panel.said.text()
    assert "may not be touched" in panel.said.text()
    assert not panel.apply.isEnabled()

    def endless(*_: object, cancelled: object = None, **__: object) -> None:
        while not cancelled():  # type: ignore[operator]
            pass
        raise Cancelled

    monkeypatch.setattr(plans_module, "power_plan", endless)
    QTest.mouseClick(panel.look, LEFT)
    assert panel.cancel.isEnabled()
    QTest.mouseClick(panel.cancel, LEFT)
    assert "cancelled" in panel.said.text()
    assert panel.look.isEnabled()
