"""The window with names that look like mark-up, files that others change, and reports of unexpected errors."""

from __future__ import annotations

import os
import stat
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from app.window.dialogs.add_antenna import AddAntenna
from app.window.main_window import MainWindow
from app.window.panels.emitters import EmitterTable
from core.files.error_log import keep_report, state_folder
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.site.places import FARTHEST, Structure
from core.site.site import Site
from support.simple_sites import FREE, isotropic
from support.windows import settle


def small(name: str) -> Site:
    return Site(
        name=name, antennas=(isotropic(name, 98e6, 100.0, (0.0, 0.0, 3.0)),), reflection=FREE,
        extent=(-9.0, -9.0, 9.0, 9.0),
    )  # fmt: skip


@pytest.mark.parametrize("name", ["<b>North</b> & <i>South</i>", "$x^$", "<img src='x'>"])
def test_names_are_shown_as_they_are(window: MainWindow, tmp_path: Path, name: str) -> None:
    path = tmp_path / "site.json"
    save_site(small(name), path)
    assert window.open(path)
    window.maps.pin(window.maps.pane("plan"), 2.0, 1.0)
    settle(window)
    labels = window.findChildren(QLabel)
    assert labels
    assert all(label.textFormat() == Qt.TextFormat.PlainText for label in labels)
    assert name in window.panel("reading").toPlainText()
    window.complain(name)
    assert window.message.text() == name


def test_mark_up_in_remarks_is_no_mark_up_in_tips(window: MainWindow) -> None:
    site = small("s")
    told = replace(site.antennas[0], remark="<img src='x'>", owner="<b>owner</b>")
    window.document.edit("remark", lambda _: replace(site, antennas=(told,)))
    table = window.panel("emitters")
    assert isinstance(table, EmitterTable)
    item = table.item(0, 1)
    assert item is not None
    tip = item.toolTip()
    assert "&lt;img" in tip
    assert "<b>" not in tip


def test_what_was_typed_is_shown_as_it_is_by_the_dialog(window: MainWindow) -> None:
    dialog = AddAntenna(window)
    dialog.frequency.setText("<b>98</b>")
    dialog._try()
    assert "<b>98</b>" in dialog.message.text()
    assert dialog.message.textFormat() == Qt.TextFormat.PlainText
    assert dialog.assumed.textFormat() == Qt.TextFormat.PlainText


def test_a_file_that_somebody_else_changed_is_not_overwritten(
    window: MainWindow, tmp_path: Path
) -> None:
    path = tmp_path / "site.json"
    save_site(small("ours"), path)
    assert window.open(path)
    save_site(small("theirs"), path)
    window.document.move(0, (1.0, 0.0, 3.0))
    assert not window.files.save()
    assert "changed by another program" in window.message.text()
    assert load_site(path).name == "theirs"
    # What was edited is still here, and goes to another file.
    other = tmp_path / "other.json"
    assert window.files.save_to(other)
    assert load_site(other).antennas[0].position == (1.0, 0.0, 3.0)
    # From then on that file is ours, and can be saved again.
    window.document.move(0, (2.0, 0.0, 3.0))
    assert window.files.save()


def test_saving_twice_is_no_change_by_others(window: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "site.json"
    save_site(small("ours"), path)
    assert window.open(path)
    for x in (1.0, 2.0):
        window.document.move(0, (x, 0.0, 3.0))
        assert window.files.save()
    assert load_site(path).antennas[0].position[0] == 2.0
    path.unlink()
    window.document.move(0, (3.0, 0.0, 3.0))
    assert window.files.save()


def test_a_report_goes_to_the_users_own_folder_and_follows_no_link(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    log = keep_report("one\n")
    assert log is not None
    assert log.is_relative_to(tmp_path)
    assert keep_report("two\n") == log
    assert log.read_text() == "one\ntwo\n"
    assert stat.S_IMODE(log.stat().st_mode) == 0o600
    victim = tmp_path / "victim"
    victim.write_text("precious")
    log.unlink()
    os.symlink(victim, log)
    assert keep_report("three\n") is None
    assert victim.read_text() == "precious"
    monkeypatch.setenv("XDG_STATE_HOME", "relative")
    assert state_folder().is_absolute()


def test_a_broken_picture_leaves_map_and_reading(window: MainWindow, tmp_path: Path) -> None:
    path = tmp_path / "site.json"
    save_site(small("s"), path)
    (tmp_path / "plan.png").write_bytes(b"no picture")
    text = path.read_text()
    picture = '"picture": {"file": "plan.png", "metres_per_pixel": 1, "origin": [0, 0]}, "surfaces"'
    path.write_text(text.replace('"surfaces"', picture, 1))
    assert window.open(path)
    window.maps.pin(window.maps.pane("plan"), 2.0, 1.0)
    settle(window)
    assert window.maps.pane("plan").canvas.raster is not None
    assert (
        "% of" in window.panel("reading").toPlainText()
        or "%" in window.panel("reading").toPlainText()
    )
    assert "picture is left out" in window.message.text()
    assert replace(load_site(path), picture=None).antennas


def test_a_height_at_the_border_of_what_may_be_is_shown(window: MainWindow, tmp_path: Path) -> None:
    tall = Structure(
        name="t", kind="tower", base=0.0, top=FARTHEST, outline=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))
    )
    save_site(replace(small("s"), structures=(tall,)), tmp_path / "s.json")
    assert window.open(tmp_path / "s.json")
    settle(window)
    assert not window.message.isVisible()
    window.document.edit("top", lambda site: replace(site, structures=(replace(tall, top=5.0),)))
    window.document.stack.undo()
    settle(window)
    assert window.document.site.structures[0].top == FARTHEST
