"""Readings of a meter in the window: imported, pasted, beside their prediction, explained, undone."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.window.main_window import MainWindow
from app.window.panels.survey_panel import SurveyPanel
from core.exposure.surveyed import raises
from core.files.site_writer import save_site
from support.entry_window import cell
from support.surveyed import open_ground
from support.windows import settle, wait_for

LEFT = Qt.MouseButton.LeftButton
TABLE = (
    "name\tx\ty\tz\tvalue\tunit\tstates\n"
    "far\t60\t0\t1.5\t0.5\tV/m\tsource: on\n"
    "near\t20\t0\t1.5\t80\tV/m\tsource: on\n"
    "odd\t20\t0\t1.5\tmuch\tV/m\tsource: on\n"
)


def opened(window: MainWindow, path: Path) -> SurveyPanel:
    save_site(open_ground(), path)
    assert window.open(path)
    settle(window)
    QTest.keyClick(window, Qt.Key.Key_F4)
    panel = window.panel("survey")
    assert isinstance(panel, SurveyPanel)
    return panel


def pasted(panel: SurveyPanel, text: str) -> None:
    QApplication.clipboard().setText(text)
    QTest.mouseClick(panel.paste, LEFT)


def test_readings_are_pasted_compared_explained_and_taken_back(
    window: MainWindow, tmp_path: Path
) -> None:
    panel = opened(window, tmp_path / "s.json")
    pasted(panel, TABLE)
    wait_for(lambda: panel.report is not None)
    assert panel.table.rowCount() == 2
    assert "row 4" in panel.bad.text(), "the row that cannot be used is named"
    assert "1 above the prediction" in panel.words.text()
    assert cell(panel.table, 1, 7).text() == "ABOVE, raised"
    assert not cell(panel.table, 0, 6).flags() & Qt.ItemFlag.ItemIsEditable
    assert len(raises(window.document.site)) == 1
    (raised,) = (a for a in panel.plot.figure.axes[0].lines if a.get_gid() == "raised")
    assert len(raised.get_xdata()) == 1
    cell(panel.table, 1, 6).setText("a handset was on beside it")
    wait_for(lambda: cell(panel.table, 1, 7).text().startswith("above:"))
    assert raises(window.document.site) == ()
    window.document.stack.undo()
    assert len(raises(window.document.site)) == 1
    panel.table.setCurrentCell(1, 0)
    QTest.mouseClick(panel.show_it, LEFT)
    assert window.maps.scene.pin is not None
    assert window.maps.scene.pin.place == (20.0, 0.0, 1.5)
    QTest.mouseClick(panel.remove, LEFT)
    assert window.document.site.surveys == ()
    window.document.stack.undo()
    window.document.stack.undo()
    assert window.document.site.surveys == ()
    wait_for(lambda: panel.report is None)


def test_the_panel_says_what_it_takes_and_cuts_nothing_off(
    window: MainWindow, tmp_path: Path
) -> None:
    window.resize(1440, 900)
    panel = opened(window, tmp_path / "s.json")
    window.middle._tabs["below"].setCurrentWidget(panel)
    for word in ("x (m)", "E (V/m)", "uncertainty", "states"):
        assert word in panel.words.text()
    pasted(panel, TABLE.replace("\tx\ty\tz\tvalue\tunit", "\tX (m)\tY (m)\tZ (m)\tvalue\tunit"))
    wait_for(lambda: panel.report is not None)
    assert "about 1 place, most" in panel.words.text()
    for label in (panel.words, panel.bad):
        wait_for(lambda label=label: label.height() >= label.heightForWidth(label.width()))  # type: ignore[misc]
    rows = panel.table.viewport().height() // panel.table.rowHeight(0)
    assert rows >= 3
    axes = panel.plot.figure.axes[0]
    assert "occupational" in axes.get_xlabel()
    panel.plot.draw()
    for text in (axes.xaxis.label, axes.yaxis.label, *axes.get_yticklabels()):
        box = text.get_window_extent()
        assert box.x0 >= 0.0
        assert box.y0 >= 0.0
    (name,) = (t for t in axes.texts if t.get_text() == "near")
    markers = [axes.transData.transform(p) for line in axes.lines[-2:] for p in line.get_xydata()]
    assert not any(name.get_window_extent().contains(*at) for at in markers)


def test_a_file_is_imported_and_nonsense_is_one_line(window: MainWindow, tmp_path: Path) -> None:
    panel = opened(window, tmp_path / "s.json")
    file = tmp_path / "spring.csv"
    file.write_text(TABLE.replace("\t", ","), encoding="utf-8")
    panel.take_file(file)
    assert [s.name for s in window.document.site.surveys] == ["spring"]
    panel.take_file(file)
    assert [s.name for s in window.document.site.surveys] == ["spring", "spring 2"]
    pasted(panel, "hello")
    assert window.message.isVisible()
    assert len(window.document.site.surveys) == 2
    pasted(panel, "")
    assert "nothing to paste" in window.message.text()
    panel.take_file(tmp_path / "gone.csv")
    assert "does not exist" in window.message.text()
