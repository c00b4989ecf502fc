"""A schedule pasted into the real dialog: every row says what it does, nothing changes until it is accepted."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.window.dialogs.take_schedule import TakeSchedule
from app.window.main_window import MainWindow
from core.files.schedule.writer import schedule_text
from core.files.site_writer import save_site, site_text
from core.site.site import Site
from support.simple_sites import FREE, isotropic
from support.windows import wait_for

TABLE = (
    "Antenna\tType\tx (m)\ty (m)\tz (m)\tAz\tFreq (MHz)\tTPO (W)\n"
    "Sector north\t\t\t\t\t10\t\t\n"
    "Paging stick\t\t\t\t\t\t\t5 hp\n"
    "<b>New</b>\tsector-700\t3\t4\t20\t90\t745\t40\n"
)


def small(folder: Path) -> Path:
    """Write a site of two antennas whose maps are quick."""
    antennas = tuple(
        isotropic(name, 98e6, 1000.0, (0.0, y, 20.0))
        for name, y in (("Sector north", 9.0), ("Paging stick", 0.0))
    )
    path = folder / "site.json"
    save_site(Site(name="s", antennas=antennas, reflection=FREE, extent=(-9, -9, 9, 9)), path)
    return path


def dialog_on(window: MainWindow, text: str) -> TakeSchedule:
    """Paste a table into a dialog as a user does, and wait until it is read."""
    dialog = TakeSchedule(window.document.site, window.document.folder, window)
    dialog.show()
    clipboard = QApplication.clipboard()
    clipboard.setText(text)
    dialog.text.setFocus()
    QTest.keyClick(dialog.text, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    wait_for(lambda: "Reading" not in dialog.message.text() and not dialog._later.isActive())
    return dialog


def says(dialog: TakeSchedule) -> list[tuple[str, str]]:
    preview = dialog.preview
    cells = [[preview.item(r, c) for c in (0, 1)] for r in range(preview.rowCount())]
    return [(a.text(), b.text()) for a, b in cells if a is not None and b is not None]


def test_every_row_says_what_it_does_and_one_undo_takes_it_all_back(
    window: MainWindow, tmp_path: Path
) -> None:
    window.open(small(tmp_path))
    before = site_text(window.document.site)
    dialog = dialog_on(window, TABLE)
    rows = says(dialog)
    assert rows[0] == ("2", "azimuth (deg) 0.0 → 10.0")
    assert rows[1][0] == "3"
    assert rows[1][1].startswith("NOT TAKEN, TPO (W): 'hp' is not a unit of power. Use one of")
    assert rows[2] == ("4", "new: generic class from the catalogue at 3; 4; 20 m, 1 carrier")
    wrong = dialog.preview.item(1, 9)
    right = dialog.preview.item(0, 9)
    assert wrong is not None
    assert right is not None
    assert wrong.text() == "5 hp"
    assert wrong.background() != right.background()
    assert "no line loss is said" in dialog.notes.toPlainText()
    assert dialog.accepts.text() == "Take 2 antennas"
    # Nothing has changed so far.
    assert site_text(window.document.site) == before
    QTest.mouseClick(dialog.accepts, Qt.MouseButton.LeftButton)
    assert dialog.result() == TakeSchedule.DialogCode.Accepted
    assert dialog.taken is not None
    window.schedules.take(dialog.taken)
    assert window.document.site.antenna("<b>New</b>").azimuth == 90.0
    assert window.document.site.antenna("Sector north").azimuth == 10.0
    assert "schedule: row 3. These" in window.message.text()
    assert window.document.stack.undoText() == "take a schedule (1 new, 1 changed)"
    window.document.stack.undo()
    assert site_text(window.document.site) == before


def test_a_dialog_that_is_left_changes_nothing(window: MainWindow, tmp_path: Path) -> None:
    window.open(small(tmp_path))
    before = window.document.site
    dialog = dialog_on(window, TABLE)
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.result() == TakeSchedule.DialogCode.Rejected
    assert not dialog.worker.isRunning()
    assert window.document.site is before
    assert not window.document.dirty


@pytest.mark.parametrize("text", ["hello", "kind\tx\npanel\t1\n"])
def test_text_that_is_no_table_is_said_and_stays(window: MainWindow, text: str) -> None:
    dialog = dialog_on(window, text)
    assert "row of headers" in dialog.message.text()
    assert dialog.text.toPlainText() == text
    assert not dialog.accepts.isEnabled()
    dialog.reject()


def test_a_table_that_changes_nothing_cannot_be_taken(window: MainWindow, tmp_path: Path) -> None:
    window.open(small(tmp_path))
    dialog = dialog_on(window, schedule_text(window.document.site))
    assert "0 new, 0 changed" in dialog.message.text()
    assert {what for _, what in says(dialog)} == {"no change"}
    assert not dialog.accepts.isEnabled()
    dialog.reject()


def test_the_decimal_sign_settles_what_the_table_leaves_open(
    window: MainWindow, tmp_path: Path
) -> None:
    window.open(small(tmp_path))
    dialog = dialog_on(window, "antenna\teirp\nPaging stick\t1,250 W\n")
    assert "could be 1250 or 1.250" in says(dialog)[0][1]
    dialog.sign.setCurrentText("comma")
    wait_for(lambda: dialog.accepts.isEnabled())
    assert says(dialog) == [("2", "only: eirp 1 kW → 1.25 W")]
    dialog.reject()


def test_a_file_is_opened_and_one_that_is_not_there_keeps_what_was_typed(
    window: MainWindow, tmp_path: Path
) -> None:
    window.open(small(tmp_path))
    path = tmp_path / "table.csv"
    window.schedules.write(path)
    assert path.read_text("utf-8") == schedule_text(window.document.site)
    dialog = dialog_on(window, "antenna\taz\n")
    dialog.load(tmp_path / "none.csv")
    assert "does not exist" in dialog.message.text()
    assert dialog.text.toPlainText() == "antenna\taz\n"
    dialog.load(path)
    wait_for(lambda: dialog.preview.rowCount() == 2)
    dialog.reject()


def test_the_dialog_lists_the_classes_that_a_type_may_be(
    window: MainWindow, tmp_path: Path
) -> None:
    window.open(small(tmp_path))
    dialog = dialog_on(window, "")
    at = dialog.classes.findData("sector-700")
    dialog.classes.setFocus()
    dialog.classes.setCurrentIndex(at)
    dialog.classes.activated.emit(at)
    name = QApplication.clipboard().text()
    assert name in dialog.message.text()
    dialog.reject()
    dialog = dialog_on(window, TABLE.replace("sector-700", name))
    assert says(dialog)[2] == (
        "4",
        "new: generic class from the catalogue at 3; 4; 20 m, 1 carrier",
    )
    dialog.reject()


def test_what_was_said_of_the_state_before_goes_with_an_edit(
    window: MainWindow, tmp_path: Path
) -> None:
    path = small(tmp_path)
    window.open(path)
    assert window.files.save()
    assert str(path.name) in window.statusBar().currentMessage()
    dialog = dialog_on(window, TABLE)
    assert dialog.taken is not None
    window.schedules.take(dialog.taken)
    dialog.reject()
    assert window.document.dirty
    assert "Saved" not in window.statusBar().currentMessage()


def test_a_table_that_was_left_is_there_again(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Esc loses nothing, rows to mend come back; a table that was taken whole, and another site, begin anew."""
    window.open(small(tmp_path))
    shown: list[str] = []
    answers: list[tuple[str, bool]] = []

    def answer(dialog: TakeSchedule) -> int:
        shown.append(dialog.text.toPlainText())
        text, takes = answers[len(shown) - 1]
        dialog.text.setPlainText(text)
        dialog.show()
        wait_for(lambda: "Reading" not in dialog.message.text() and not dialog._later.isActive())
        (dialog.accept if takes else dialog.reject)()
        return int(takes)

    monkeypatch.setattr(TakeSchedule, "exec", answer)
    whole = TABLE.replace("5 hp", "5 W")
    answers += [(TABLE, False), (TABLE, True), (whole, True), (TABLE, False), ("", False)]
    for _ in range(4):
        window.schedules.ask_take()
    assert shown == ["", TABLE, TABLE, ""]
    assert len(window.document.site.antennas) == 3
    window.document.stack.setClean()
    window.open(small(tmp_path))
    window.schedules.ask_take()
    assert shown[-1] == ""
