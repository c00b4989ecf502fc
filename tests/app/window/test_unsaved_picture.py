"""A picture brought in before the first save is on every sheet that is made before it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.draw.furniture import Setup
from app.window import briefs, entries
from app.window.main_window import MainWindow
from app.window.scene import for_paper
from core.site.places import Fence, Picture
from support.briefed import emitter, job, mast
from support.on_maps import CTRL, quick_site
from support.windows import settle, wait_for

K = Qt.Key
SETUP = Setup(date="2026-12-01")


def drawn(folder: Path) -> Path:
    """Return a picture of heavy lines, under a name that a site cannot take over as it is."""
    folder.mkdir()
    pixels = np.full((60, 80, 3), 255, np.uint8)
    pixels[10:50, 15:18] = pixels[10:50, 60:63] = pixels[10:13, 20:60] = 0
    Image.fromarray(pixels).save(folder / "plan.png")
    (folder / "plan.pgw").write_text("0.5\n0\n0\n-0.5\n-20\n15\n", "utf-8")
    return folder / "plan.png"


def exported(window: MainWindow, kind: str, path: Path) -> np.ndarray:
    """Export what is on screen and return its pixels."""
    wait_for(lambda: not window.printing.busy)
    # Whether a fence holds is on the sheet as soon as it is on screen.
    wait_for(lambda: len(window.maps.scene.checks) == len(window.document.site.fences))
    if window.maps.scene.zones:
        wait_for(lambda: len(window.maps.proving.shown) == 2)
    assert window.printing.export(kind, path, SETUP)
    wait_for(lambda: not window.printing.busy)
    assert not window.message.isVisible(), window.message.text()
    with Image.open(path) as image:
        return np.asarray(image.convert("RGB"))


@pytest.mark.parametrize("kind", ["plan", "zones", "fences"])
def test_a_sheet_before_the_first_save_is_that_after_it(
    window: MainWindow, tmp_path: Path, kind: str
) -> None:
    square = ((-9.0, -9.0), (9.0, -9.0), (9.0, 9.0), (-9.0, 9.0))
    fence = Fence(name="f", tier="public", threshold=1.0, outline=square)
    window.desk.beginning.begin(replace(quick_site(), fences=(fence,)))
    settle(window)
    assert window.document.path is None
    if kind == "zones":
        QTest.keyClick(window, K.Key_B, CTRL)
        wait_for(lambda: len(window.maps.proving.shown) == 2)
    sheet = "fences" if kind == "fences" else "plan"
    bare = exported(window, sheet, tmp_path / "bare.png")
    assert window.desk.pictures.place(drawn(tmp_path / "from"))
    settle(window)
    before = exported(window, sheet, tmp_path / "before.png")
    there = tmp_path / "sites"
    there.mkdir()
    assert window.files.save_to(there / "s.json")
    settle(window)
    after = exported(window, sheet, tmp_path / "after.png")
    assert (before != bare).any()
    assert (before == after).all()


def test_the_sheet_of_the_crew_has_it_too(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(entries, "QUIET", 0)
    seen: list[Path | None] = []
    make = briefs.brief_sheets

    def watched(*args: object, folder: Path | None, **more: object) -> object:
        seen.append(folder)
        return make(*args, folder=folder, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(briefs, "brief_sheets", watched)
    window.desk.beginning.begin(mast(emitter(eirp=100.0), plan=job()))
    source = drawn(tmp_path / "from")
    assert window.desk.pictures.place(source)
    settle(window)
    QTest.keyClick(window, K.Key_F6)
    assert window.maps.scene.task == "briefing"
    wait_for(
        lambda: bool(window.entries.briefs.brief.files or window.entries.briefs.brief.trouble), 60.0
    )
    assert not window.entries.briefs.brief.trouble
    assert seen[-1] == source.parent


def test_sheets_take_it_from_where_it_is(window: MainWindow, tmp_path: Path) -> None:
    scene = window.maps.scene
    assert for_paper(scene, scene.site) == (scene.site, scene.folder)
    picture = Picture(file="plan 2.png", metres_per_pixel=0.5, origin=(0.0, 0.0))
    site = replace(quick_site(), picture=picture)
    brought = replace(scene, site=site, folder=tmp_path, pictured=tmp_path / "from" / "plan.png")
    made, folder = for_paper(brought, site)
    assert made.picture is not None
    assert folder is not None
    assert folder / made.picture.file == brought.pictured
    assert made.picture.metres_per_pixel == 0.5
