"""Export and print from the window: what comes out is what is on screen."""

from __future__ import annotations

import contextlib
import re
import zlib
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QPageSize
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialogButtonBox

from app.draw.furniture import Setup
from app.draw.paper import PAPERS
from app.window.actions import ROWS
from app.window.dialogs.sheet_setup import SheetSetup
from app.window.main_window import MainWindow
from core.fences.fence import Check, Leak
from core.site.places import Fence
from core.site.site import Site
from support.simple_sites import FREE, ground, isotropic
from support.windows import settle, wait_for


@pytest.fixture
def opened(window: MainWindow) -> MainWindow:
    site = Site(
        name="One mast",
        antennas=(isotropic("mast", 100e6, 2_000.0, (0.0, 0.0, 10.0)),),
        surfaces=(ground(20.0),),
        reflection=FREE,
        extent=(-15.0, -12.0, 15.0, 12.0),
    )
    window.document._show(site)
    window.document.opened.emit()
    window.maps.redraw()
    settle(window)
    return window


def written(window: MainWindow, kind: str, path: Path, setup: Setup | None = None) -> bytes:
    said: list[str] = []
    window.printing.accepted.connect(said.append)
    assert window.printing.export(kind, path, setup)
    wait_for(lambda: not window.printing.busy)
    assert said[-1].startswith("Written:"), window.message.text()
    return path.read_bytes()


def title(data: bytes) -> str:
    found = re.search(rb"/Title \(((?:[^()\\]|\\.)*)\)", data)
    assert found is not None
    return found[1].decode("latin-1")


def test_the_shading_is_exported_where_it_is_shown_and_zones_where_they_are(
    opened: MainWindow, tmp_path: Path
) -> None:
    data = written(opened, "plan", tmp_path / "plan.pdf")
    assert title(data).startswith("One mast: Percent of the limit; plan")
    opened.maps.show_zones(True)
    assert not opened.printing.export("plan", tmp_path / "early.pdf")
    assert "not proven yet" in opened.message.text()
    wait_for(lambda: "plan" in opened.maps.proving.shown)
    data = written(opened, "plan", tmp_path / "zones.pdf", Setup(paper=PAPERS["A3"]))
    assert title(data).startswith("One mast: Proven zones; plan")
    assert not (tmp_path / "early.pdf").exists()


def test_a_leak_that_is_on_screen_is_on_the_sheet(opened: MainWindow, tmp_path: Path) -> None:
    outline = ((-5.0, -4.0), (3.0, -4.0), (3.0, 4.0), (-5.0, 4.0))
    fence = Fence(name="chain", tier="public", threshold=1.0, outline=outline)
    maps = opened.maps
    maps.scene = replace(maps.scene, site=replace(maps.scene.site, fences=(fence,)))
    without = written(opened, "plan", tmp_path / "a.svg")
    maps.scene = replace(maps.scene, checks={"chain": Check(0.0, (Leak((5.0, 0.0), 2.0),))})
    text = written(opened, "plan", tmp_path / "b.svg").decode("utf-8")
    assert "<!-- leaks here by 2.00 m -->" in text
    assert b"leaks here" not in without


def test_signs_ladders_and_a_reading_can_be_exported(opened: MainWindow, tmp_path: Path) -> None:
    assert not opened.printing.export("reading", tmp_path / "no.pdf")
    assert "There is no reading yet" in opened.message.text()
    opened.maps.pin(opened.maps.pane("plan"), 4.0, 3.0)
    settle(opened)
    assert "Reading at x 4 m, y 3 m" in title(written(opened, "reading", tmp_path / "r.pdf"))
    assert title(written(opened, "signs", tmp_path / "s.pdf")).endswith("Sign schedule")
    assert "Ladders" in title(written(opened, "ladders", tmp_path / "l.pdf"))


def test_a_second_request_waits_and_an_error_is_said(opened: MainWindow, tmp_path: Path) -> None:
    assert opened.printing.export("plan", tmp_path / "one.pdf")
    assert not opened.printing.export("plan", tmp_path / "two.pdf")
    assert "Wait until they are there" in opened.message.text()
    wait_for(lambda: not opened.printing.busy)
    assert (tmp_path / "one.pdf").exists()
    assert opened.printing.export("plan", tmp_path / "three.pdf", Setup(scale=1))
    wait_for(lambda: not opened.printing.busy)
    assert "1:1 is too large" in opened.message.text()
    assert not opened.printing.export("plan", tmp_path / "plan.bmp")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_print_is_as_large_as_the_paper(opened: MainWindow, tmp_path: Path, paper: str) -> None:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    sizes = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
    printer.setPageSize(QPageSize(sizes[paper]))
    assert opened.printing.print_on("signs", printer, Setup(paper=PAPERS[paper]))
    wait_for(lambda: not opened.printing.busy)
    assert opened.statusBar().currentMessage() == "Printed: 1 sheet"
    data = (tmp_path / "printed.pdf").read_bytes()
    box = re.search(rb"/MediaBox \[([^\]]*)\]", data)
    assert box is not None
    sides = [float(x) for x in box[1].split()[2:]]
    wide, high = PAPERS[paper].width / 25.4 * 72.0, PAPERS[paper].height / 25.4 * 72.0
    assert sides == pytest.approx([wide, high], abs=1.0)
    # The picture of the sheet fills the paper, so that the scale is true: its width in points is the product of the
    # page's own scale, the printer's and its pixels.
    streams = []
    for stream in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", data, re.S):
        with contextlib.suppress(zlib.error):
            streams.append(zlib.decompress(stream))
    (page,) = [s for s in streams if b" cm" in s and b" Do" in s]
    own, dots, pixels = (float(x) for x in re.findall(rb"([\d.]+) 0 0 -?[\d.]+ [-\d. ]+ cm", page))
    assert own * dots * pixels == pytest.approx(wide, abs=0.1)


def test_paper_scale_job_and_date_are_asked_and_a_refused_text_stays(
    qt: object, window: MainWindow
) -> None:
    dialog = SheetSetup(window, feet=True)
    dialog.paper.setCurrentText("Letter")
    QTest.keyClicks(dialog.scale, "2:5")
    QTest.keyClicks(dialog.job, "mast inspection")
    ok = dialog.findChild(QDialogButtonBox).button(QDialogButtonBox.StandardButton.Ok)
    QTest.mouseClick(ok, Qt.MouseButton.LeftButton)
    assert dialog.setup is None
    assert dialog.scale.text() == "2:5"
    assert "'2:5' is not a scale" in dialog.message.text()
    dialog.scale.clear()
    QTest.keyClicks(dialog.scale, "1:200")
    QTest.mouseClick(ok, Qt.MouseButton.LeftButton)
    assert dialog.setup == Setup(
        paper=PAPERS["Letter"], scale=200, job="mast inspection", feet=True
    )
    assert SheetSetup(window).paper.currentText() == "Letter"


def test_everything_on_paper_has_a_row_to_print_and_one_to_export() -> None:
    rows = [r for r in ROWS if r.menu == "&Sheets"]
    for does in ("printing.ask_print", "printing.ask_export"):
        kinds = [r.args[0] for r in rows if r.does == does]
        assert kinds == ["plan", "elevation", "fences", "ladders", "signs", "reading"]
    keys = [str(r.key) for r in ROWS if r.key]
    assert len(keys) == len(set(keys))
