"""The demo roof built in the window from nothing, as its lead would: picture, surfaces, ladder, ways in, schedule.

What is shipped is a file that was written by hand; what is built here must give the same figures.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCheckBox, QDialogButtonBox, QLineEdit

from app.window.dialogs.new_site import NewSite
from app.window.dialogs.take_schedule import TakeSchedule
from app.window.main_window import MainWindow
from app.window.panels.what_is_there import WhatIsThere
from core.exposure.totals import exposure
from core.files.schedule.writer import schedule_text
from core.files.site_file import load_site
from core.limits.tier import TIERS
from core.site.parts import Part
from core.views.body import CLIMBING, POINT, STANDING
from support.drawing_hand import Hand, draw_the_demo_roof
from support.places import ROOT
from support.windows import settle, wait_for

K = Qt.Key
ROOF = ROOT / "demo_sites" / "harrow-lane-roof" / "harrow-lane-roof.json"


def begin(window: MainWindow) -> None:
    """Fill in what a new site is asked."""
    dialog = NewSite(window)
    for name, text in (
        ("name", "Harrow Lane Exchange, roof"), ("revision", "A, 2026-11-24"), ("anchor", "41.2; -96.1"),
    ):  # fmt: skip
        line = dialog.editors[name].widget
        assert isinstance(line, QLineEdit)
        line.setText(text)
    (buttons,) = dialog.findChildren(QDialogButtonBox)
    buttons.button(QDialogButtonBox.StandardButton.Ok).click()
    assert dialog.site is not None
    window.desk.beginning.begin(dialog.site)
    settle(window)


def form_of(window: MainWindow) -> WhatIsThere:
    panel = window.panel("what is there")
    assert isinstance(panel, WhatIsThere)
    return panel


def typed(window: MainWindow, field: str, text: str) -> None:
    """Type into a field of the form of what is chosen."""
    line = form_of(window).form.editors[field].widget
    assert isinstance(line, QLineEdit)
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)
    QTest.keyClick(line, K.Key_Return)


def take(window: MainWindow, table: str) -> None:
    """Paste a schedule from a spreadsheet and accept it."""
    dialog = TakeSchedule(window.document.site, window.document.folder, window)
    dialog.show()
    QApplication.clipboard().setText(table)
    dialog.text.setFocus()
    QTest.keyClick(dialog.text, K.Key_V, Qt.KeyboardModifier.ControlModifier)
    wait_for(lambda: "Reading" not in dialog.message.text() and not dialog._later.isActive())
    QTest.mouseClick(dialog.accepts, Qt.MouseButton.LeftButton)
    assert dialog.taken is not None
    window.schedules.take(dialog.taken)


def test_the_roof_that_is_built_reads_as_the_one_that_is_shipped(
    window: MainWindow, tmp_path: Path
) -> None:
    shipped = load_site(ROOF)
    begin(window)
    window.show_task("site")
    hand = Hand(window)
    # A drawing of the roof to trace: 40 m wide, 10 pixels a metre.
    Image.fromarray(np.full((280, 400, 3), 255, np.uint8)).save(tmp_path / "roof.png")
    assert window.desk.pictures.place(tmp_path / "roof.png")
    typed(window, "metres_per_pixel", "0.1")
    typed(window, "origin", "-20; -14")
    draw_the_demo_roof(hand)
    for name, public in (("Penthouse door", False), ("Fire escape gate", True)):
        window.desk.shapes.choose(Part("access_points", name))
        box = form_of(window).form.editors["public"].widget
        assert isinstance(box, QCheckBox)
        if box.isChecked() is not public:
            box.click()
    window.desk.shapes.choose(Part("surfaces", "Exchange building roof"))
    typed(window, "name", "Main roof")
    take(window, schedule_text(shipped))
    built = window.document.site
    assert built.antennas == shipped.antennas
    assert built.access_points == shipped.access_points
    assert built.picture is not None

    rng = np.random.default_rng(14)
    anywhere = np.column_stack([rng.uniform((-30, -25), (30, 25), (26, 2)), rng.uniform(0, 24, 26)])
    middles = np.array([a.position for a in shipped.antennas])
    places = np.vstack([anywhere, np.repeat(middles, 4, axis=0) + rng.uniform(-3, 3, (24, 3))])
    for body in (POINT, STANDING, CLIMBING):
        ours, theirs = exposure(built, places, body), exposure(shipped, places, body)
        for tier in TIERS:
            one, other = ours.of(tier), theirs.of(tier)
            assert other.total.max() > 1.0
            for part in ("total", "shares", "electric", "magnetic"):
                wanted = getattr(other, part)
                assert getattr(one, part) == pytest.approx(wanted, rel=1e-9, abs=1e-15)
    # And as the file that is saved.
    path = tmp_path / "built" / "roof.json"
    path.parent.mkdir()
    assert window.files.save_to(path)
    assert load_site(path).antennas == shipped.antennas
    assert (path.parent / "roof.png").is_file()
