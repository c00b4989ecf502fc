"""The form of the chosen antenna: every kind, every value, what is refused, what waits."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel, QPlainTextEdit, QPushButton

from app.window.document import Document
from app.window.main_window import MainWindow
from app.window.panels.antenna_form import AntennaForm
from app.window.scene import Scene
from core.antennas.base import parameter, parameters
from core.antennas.cuts import far_cuts
from core.antennas.kinds import KINDS
from core.antennas.worst_case import WorstCase
from core.files.entries import values_of
from core.files.site_file import load_site
from core.files.site_writer import save_site, site_text
from core.site.allowance import Allowance
from core.site.site import Carrier, Power, Site
from core.units import DIPOLE_DB, FOOT
from core.validation.data import PATTERNS
from support.every_kind import antenna_of, site_of
from support.forms import alone, answer, changed, choose, put_away, take
from support.windows import wait_for


def _few(of: object) -> dict[str, int]:
    """Return the numbers of elements of a kind or a part: two at most."""
    return {n: min(getattr(of, n), 2) for n in ("elements", "levels", "bays") if hasattr(of, n)}


def slight(key: str) -> Site:
    """Return a site with an antenna of a kind that is quick to compute: one carrier, one of its parts."""
    site = site_of(key)
    antenna = site.antennas[0]
    kind, carriers = antenna.kind, antenna.carriers[:1]
    for name, (spec, _) in parameters(type(kind)).items():
        value = getattr(kind, name)
        if spec.parts is not None:
            value = tuple(replace(p, **_few(p)) for p in value[:1])
            kind = replace(kind, **{name: value})  # type: ignore[type-var]
    kind = replace(kind, **_few(kind))  # type: ignore[type-var]
    return replace(site, antennas=(replace(antenna, kind=kind, carriers=carriers),))


@pytest.mark.parametrize("key", KINDS)
def test_every_value_of_every_kind_is_changed_where_it_is_seen(qt: QApplication, key: str) -> None:
    before = slight(key)
    form = alone(before)
    document = form.document
    stuck = []
    # What all kinds have is changed for one of them.
    first = "" if key == "stack" else "model."
    for path, field in sorted(form.form.fields.items(), key=lambda item: item[0][:6] != "model."):
        if (
            field.entry.spec.form in ("file", "words")
            or path == "kind"
            or not path.startswith(first)
        ):
            continue
        together = ("carriers.0.e", "carriers.0.duty", "touch", "steps")
        if path.startswith(together) or "base_re" in path:
            continue  # What goes together with others has a test of its own.
        value = values_of(document.site.antennas[0])[path]
        new = changed(form, path, value)
        if new is None:
            stuck.append(path)
            continue
        got = values_of(document.site.antennas[0])[path]
        assert got == (pytest.approx(new) if isinstance(new, float | tuple) else new), path
    # An answer to the reader that does not suit the file is refused, and a data sheet may leave a gain no room.
    readers = {p for p, f in form.form.fields.items() if f.entry.spec.reader}
    assert set(stuck) <= readers | {"model.gain", "carriers.0.gain"}, stuck
    while document.stack.canUndo():
        document.stack.undo()
    assert site_text(document.site) == site_text(before)
    put_away(form)


def test_a_kind_nobody_knew_has_a_form(qt: QApplication, monkeypatch: pytest.MonkeyPatch) -> None:
    @dataclass(frozen=True)
    class Toy(WorstCase):
        KEY = "toy"
        TITLE = "toy"
        legs: int = parameter("count", "legs it stands on", default=3, low=1, high=9)

    monkeypatch.setitem(KINDS, "toy", Toy)
    antenna = replace(antenna_of("worst-case"), kind=Toy(gain=3.0))
    form = alone(replace(site_of("worst-case"), antennas=(antenna,)))
    legs = form.form.fields["model.legs"].editor
    assert legs.placeholderText() == "not said: 3"
    assert "legs it stands on; 1 to 9" in legs.toolTip()
    assert "1 to 9" in answer(form, "model.legs", "12")
    assert not answer(form, "model.legs", "5")
    assert form.document.site.antennas[0].kind == Toy(gain=3.0, legs=5)
    put_away(form)


def test_bearing_and_tilt_that_are_typed_turn_the_boresight(window: MainWindow) -> None:
    form = take(window, slight("panel"))
    assert not answer(form, "azimuth", "90")
    assert not answer(form, "tilt", "30°")
    site = window.document.site
    forward = site.frame_of(site.antennas[0])[:, 0]
    # Clockwise from north: east; tilted down.
    assert forward == pytest.approx([np.cos(np.radians(30.0)), 0.0, -0.5], abs=1e-12)
    assert window.document.stack.undoText() == "panel (invented): tilt"


REFUSED = (
    ("azimuth", "north", "Bearing: 'north' is not a number"),
    ("azimuth", "400", "Use -360° to 360°"),
    ("z", "tall", "is not a length"),
    ("name", "", "Give a name"),
    ("model.length", "", "Write a value from 0.05 m to 30 m"),
    ("model.bands.0.elements", "2.5", "is not a whole number"),
    ("carriers.0.frequency", "751", "has no unit"),
    ("carriers.0.frequency", "98.1 MHz", "MHz"),
    ("carriers.0.transmitter", "1,234 W", "two ways"),
    ("carriers.0.transmitter", "-3 W", "out of range"),
    ("carriers.0.duty", "0.5", "names no source"),
    ("carriers.0.loss", "99 dB", "0 dB to 60 dB"),
)


def test_what_is_refused_stays_with_one_error_at_its_field(qt: QApplication) -> None:
    form = alone(slight("panel"))
    before = site_text(form.document.site)
    for path, text, words in REFUSED:
        assert words in answer(form, path, text), (path, text)
        field = form.form.fields[path]
        assert (field.editor.text(), field.editor.property("refused")) == (text, True)
        assert [p for p, f in form.form.fields.items() if not f.error.isHidden()] == [path]
        assert site_text(form.document.site) == before
        # It outlives other edits, and Escape takes it back.
        assert not answer(form, "owner", "somebody")
        assert field.editor.text() == text
        QTest.keyClick(field.editor, Qt.Key.Key_Escape)
        assert field.error.isHidden()
        assert field.editor.text() != text
        form.document.stack.undo()
    put_away(form)


def test_values_that_contradict_what_stands_wait_for_each_other(qt: QApplication) -> None:
    form = alone(slight("whip"))
    antenna = form.document.site.antennas[0]
    carrier = replace(antenna.carriers[0], power=Power(transmitter=1e3), duty=1.0)
    put_away(form)
    form = alone(replace(slight("whip"), antennas=(replace(antenna, carriers=(carrier,)),)))
    assert "Correct one of them" in answer(form, "carriers.0.erp", "900 kW")
    assert not answer(form, "carriers.0.transmitter", "")
    assert form.document.site.antennas[0].carriers[0].power == Power(erp=9e5)
    assert not form.editing.draft.waits
    assert not answer(form, "steps", "50; 25; 0")
    assert form.document.site.antennas[0].allows == Allowance(steps=(50.0, 25.0, 0.0))
    assert "names no source" in answer(form, "carriers.0.duty", "0.75")
    assert not answer(form, "carriers.0.duty_source", "the operator's setting")
    assert form.document.site.antennas[0].carriers[0].duty == 0.75
    assert form.document.stack.count() == 3
    form = alone(slight("am-mast"))
    assert "Give both" in answer(form, "model.base_resistance", "40")
    assert not answer(form, "model.base_reactance", "-20")
    kind = form.document.site.antennas[0].kind
    assert (kind.base_resistance, kind.base_reactance) == (40.0, -20.0)  # type: ignore[attr-defined]
    put_away(form)


def test_another_kind_waits_until_all_it_needs_is_said(qt: QApplication) -> None:
    form = alone(slight("stack"))
    before = site_text(form.document.site)
    frequency = form.document.site.antennas[0].carriers[0].frequency
    choose(form, "kind", "dish")
    assert form.waiting.text() == "Not taken yet. Needed: diameter"
    assert site_text(form.document.site) == before
    form.leave.click()
    assert form.waiting.isHidden()
    assert "model.bays" in form.form.fields
    choose(form, "kind", "yagi")
    assert not answer(form, "model.gain", "9 dBd")
    assert form.form.fields["model.gain"].editor.text() == "9 dBd"
    assert not answer(form, "model.boom", "3 m")
    kind = form.document.site.antennas[0].kind
    assert (kind.KEY, kind.gain, kind.boom) == ("yagi", pytest.approx(9.0 + DIPOLE_DB), 3.0)  # type: ignore[attr-defined]
    assert form.document.site.antennas[0].carriers[0].frequency == frequency
    form.document.stack.undo()
    assert site_text(form.document.site) == before
    assert "model.bays" in form.form.fields
    put_away(form)


def test_carriers_and_bands_are_added_and_taken_away(qt: QApplication) -> None:
    form = alone(slight("stack"))
    count = len(form.document.site.antennas[0].carriers)
    form.findChild(QPushButton, "add carriers").click()
    group = f"carriers.{count}"
    assert "frequency" in form.waiting.text()
    first = form.document.site.antennas[0].carriers[0]
    assert not answer(form, f"{group}.frequency", f"{first.frequency / 1e6 + 0.4:.1f} MHz")
    assert len(form.document.site.antennas[0].carriers) == count
    assert not answer(form, f"{group}.erp", "500 W")
    added = form.document.site.antennas[0].carriers[count]
    assert (added.power, added.name) == (Power(erp=500.0), f"{first.frequency / 1e6 + 0.4:.1f} MHz")
    form.findChild(QPushButton, "remove carriers.0").click()
    assert first not in form.document.site.antennas[0].carriers
    assert form.document.stack.undoText().endswith("remove carrier 1")

    form = alone(slight("panel"))
    form.findChild(QPushButton, "add model.bands").click()
    for name, text in (
        ("low", "3.3 GHz"),
        ("high", "3.8 GHz"),
        ("elements", "8"),
        ("spacing", "60 mm"),
    ):
        assert not answer(form, f"model.bands.1.{name}", text)
    bands = form.document.site.antennas[0].kind.bands  # type: ignore[attr-defined]
    assert (bands[1].low, bands[1].elements, bands[1].spacing) == (3.3e9, 8, 0.06)
    form.findChild(QPushButton, "remove model.bands.1").click()
    assert len(form.document.site.antennas[0].kind.bands) == 1  # type: ignore[attr-defined]
    put_away(form)


def test_feet_are_shown_and_typed_where_the_user_has_feet(window: MainWindow) -> None:
    form = take(window, slight("whip"))
    window.panel("controls").feet.click()
    assert form.form.fields["z"].editor.text().endswith(" ft")
    assert not answer(form, "z", "33")
    assert window.document.site.antennas[0].position[2] == pytest.approx(33.0 * FOOT)
    assert form.form.fields["z"].editor.text() == "33 ft"


def test_notes_of_several_lines_are_taken_when_the_field_is_left(qt: QApplication) -> None:
    form = alone(slight("whip"))
    words = form.form.fields["remark"].editor
    assert isinstance(words, QPlainTextEdit)
    form.activateWindow()
    assert QTest.qWaitForWindowActive(form)
    words.setFocus()
    words.setPlainText("on the parapet\nask for the key")
    form.form.fields["owner"].editor.setFocus()
    assert form.document.site.antennas[0].remark == "on the parapet\nask for the key"
    put_away(form)


def test_a_pattern_file_is_brought_in_asked_about_drawn_and_copied_on_saving(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / "elsewhere" / "fm.csv"
    source.parent.mkdir()
    text = (PATTERNS / "demo-fm-directional-relative-field.csv").read_text("utf-8")
    source.write_text(text, "utf-8")
    form = take(window, slight("stack"))
    asked = []

    def choose_file(*args: object) -> tuple[str, str]:
        asked.append(args)
        return str(source), ""

    monkeypatch.setattr(QFileDialog, "getOpenFileName", choose_file)
    choose(form, "kind", "pattern")
    form.findChild(QPushButton, "choose model.file").click()
    assert asked
    assert "gain" not in form.waiting.text()
    error = answer(form, "model.length", "6 m")
    assert "has no gain" in error
    assert not answer(form, "model.gain", "3 dBd")
    kind = window.document.site.antennas[0].kind
    assert (kind.KEY, kind.file) == ("pattern", "fm.csv")  # type: ignore[attr-defined]
    wait_for(lambda: form.picture.cuts is not None and form.picture.isVisible())
    saved = tmp_path / "site" / "site.json"
    saved.parent.mkdir()
    assert window.files.save_to(saved)
    assert (saved.parent / "fm.csv").read_text("utf-8") == text
    assert site_text(load_site(saved)) == site_text(window.document.site)
    # Another file of that name stands beside it under a name of its own.
    source.write_text(text.replace("azimuth", "azimuth", 1) + "\n", "utf-8")
    form.findChild(QPushButton, "choose model.file").click()
    assert window.document.site.antennas[0].kind.file == "fm-2.csv"  # type: ignore[attr-defined]


def test_a_file_that_is_no_pattern_is_refused_by_name_and_what_was_there_stays(
    qt: QApplication, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    form = alone(slight("pattern"))
    before = form.document.site
    wrong = tmp_path / "notes.txt"
    wrong.write_text("nothing of a pattern\n", "utf-8")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(wrong), ""))
    form.findChild(QPushButton, "choose model.file").click()
    error = form.form.fields["model.file"].error.text()
    assert "notes.txt" in error
    assert "no pattern format" in error
    assert form.document.site == before
    put_away(form)


def test_what_is_not_said_is_said_with_what_it_would_bring_at_the_pin(window: MainWindow) -> None:
    site = site_of("generic")
    tilted = replace(site.antennas[0], tilt=0.0, carriers=(
        Carrier(name="98", frequency=98e6, power=Power(transmitter=5e3)),
    ))  # fmt: skip
    form = take(window, replace(site, antennas=(tilted,)))
    note = form.form.fields["model.entry"].note
    assert "Not said (usual:" in note.text()
    assert "The figure covers every usual shape" in note.text()
    assert "Pin a place" in note.text()
    assert "It counts as none" in form.form.fields["carriers.0.loss"].note.text()
    window.maps.look_at((6.0, 0.0, 0.0), True)
    wait_for(
        lambda: (
            "Known, the figure here would be"
            in form.form.fields["model.electrical_tilt"].note.text()
        )
    )
    assert "of FCC public, not" in note.text()
    assert not answer(form, "carriers.0.loss", "1 dB")
    wait_for(lambda: form.form.fields["carriers.0.loss"].note.isHidden())


def test_the_help_of_the_field_in_hand_has_meaning_range_and_what_counts(
    qt: QApplication,
) -> None:
    form = alone(slight("stack"))
    form.activateWindow()
    assert QTest.qWaitForWindowActive(form)
    form.form.fields["model.spacing"].editor.setFocus()
    assert form.help.text() == (
        "Spacing: bay spacing, centre to centre; 0.1 λ to 4 λ; counts where nothing is said: 1 λ"
    )
    put_away(form)


def test_pattern_and_errors_can_be_read_on_a_dark_desktop(qt: QApplication) -> None:
    form = alone(slight("dish"))
    antenna = form.document.site.antennas[0]
    form.picture.show_cuts(far_cuts(antenna.kind, antenna.carriers[0].frequency))
    answer(form, "azimuth", "north")
    light = QApplication.palette()
    dark = QPalette(light)
    for role in (QPalette.ColorRole.Window, QPalette.ColorRole.Base):
        dark.setColor(role, QColor("#14181e"))
    for role in (QPalette.ColorRole.WindowText, QPalette.ColorRole.Text):
        dark.setColor(role, QColor("#eef1f5"))
    qt.setPalette(dark)
    try:
        qt.processEvents()
        picture = form.picture.figure
        assert picture.get_facecolor()[0] < 0.2
        assert picture.axes[0].lines[0].get_color() == "#7fd0ec"
        ink = form.form.fields["azimuth"].error.palette().color(QPalette.ColorRole.WindowText)
        assert ink.lightnessF() > 0.6
    finally:
        qt.setPalette(light)
        put_away(form)


def test_a_pattern_that_is_not_saved_yet_survives_a_kill(
    qt: QApplication, tmp_path: Path, beside: None
) -> None:
    path = tmp_path / "site.json"
    save_site(slight("whip"), path)
    document, again = Document(), Document()
    document.open(path)
    form = AntennaForm(document)
    form.show_scene(Scene(document.site, selected=document.site.antennas[0].name))
    choose(form, "kind", "pattern")
    form.editing.bring(form.form.fields["model.file"].entry, PATTERNS / "demo-omni-0155.adf")
    form._show()
    assert not answer(form, "model.length", "34 m")
    assert not answer(form, "percent", "40")
    assert document.site.antennas[0].state.words == "reduced to 40 %"
    # Its window is gone without a word: the hold on the file goes with the process.
    assert document._claim is not None
    os.close(document._claim._handle)
    again.open(path)
    (left,) = again.left()
    again.recover(left)
    assert site_text(again.site) == site_text(document.site)
    again.save(path)
    assert (tmp_path / "demo-omni-0155.adf").is_file()
    assert load_site(path) is not None
    document._claim = None
    again.close()
    put_away(form)


def test_words_that_wrap_have_the_height_they_need(qt: QApplication) -> None:
    form = alone(slight("panel"))
    form.resize(330, 560)
    answer(form, "azimuth", "north")
    answer(form, "model.length", "1,234 m")
    QTest.qWait(60)
    for label in form.form.findChildren(QLabel):
        if label.isVisible() and label.text():
            needed = (
                label.heightForWidth(label.width())
                if label.wordWrap()
                else label.sizeHint().height()
            )
            assert label.height() + 1 >= needed, label.text()
    put_away(form)
