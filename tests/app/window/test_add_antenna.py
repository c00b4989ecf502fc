"""Starting from an incomplete schedule: a generic class, a place, a frequency, a power."""

from __future__ import annotations

import json
from pathlib import Path

from PySide6.QtTest import QTest

from app.window.dialogs.add_antenna import AddAntenna
from app.window.main_window import MainWindow
from support.places import ROOT
from support.windows import settle

ROOF = ROOT / "demo_sites" / "harrow-lane-roof" / "harrow-lane-roof.json"


def filled(window: MainWindow, **texts: str) -> AddAntenna:
    dialog = AddAntenna(window)
    dialog.entry.setCurrentIndex(dialog.entry.findData("fm-8-bay-full-wave"))
    for name, text in {
        "name": "New FM",
        "position": "5, -5, 40",
        "frequency": "95.5 MHz",
        "power": "2 kW",
        **texts,
    }.items():
        field = getattr(dialog, name)
        field.clear()
        QTest.keyClicks(field, text)
    dialog._try()
    return dialog


def test_a_generic_antenna_is_added_shown_and_undone(window: MainWindow, tmp_path: Path) -> None:
    data = json.loads(ROOF.read_text("utf-8"))
    data["antennas"] = data["antennas"][-2:]
    path = tmp_path / "two.json"
    path.write_text(json.dumps(data), "utf-8")
    window.open(path)
    dialog = filled(window)
    assert "Check each" in dialog.assumed.text()
    assert dialog.antenna is not None
    assert dialog.antenna.carriers[0].power.erp_vertical == 2000.0
    window.antennas.add(dialog.antenna)
    settle(window)
    assert (
        window.panel("emitters").item(window.panel("emitters").rowCount() - 1, 1).text() == "New FM"
    )
    window.antennas.add(dialog.antenna)
    assert "two entries are called 'New FM'" in window.message.text()
    window.document.stack.undo()
    settle(window)
    assert len(window.document.site.antennas) == 2


def test_every_wrong_entry_is_named_and_what_was_typed_stays(window: MainWindow) -> None:
    for field, text, words in (
        ("frequency", "95.5", "Frequency"),
        ("frequency", "455 MHz", "does not suit"),
        ("power", "much", "Power"),
        ("position", "1, 2", "x, y, z"),
        ("azimuth", "north", "Azimuth"),
        ("power", "-3 W", "more than 0 W"),
    ):
        dialog = filled(window, **{field: text})
        assert dialog.antenna is None
        assert words in dialog.message.text()
        assert getattr(dialog, field).text() == text


def test_removing_the_last_antenna_leaves_an_empty_map(window: MainWindow) -> None:
    window.open(ROOF)
    settle(window)
    for _ in range(6):
        window.panel("emitters").setCurrentCell(0, 1)
        window.antennas.remove()
    settle(window)
    assert not window.document.site.antennas
    assert window.maps.pane("plan").canvas.raster is None
    window.document.stack.undo()
    settle(window)
    assert window.maps.pane("plan").canvas.raster is not None
