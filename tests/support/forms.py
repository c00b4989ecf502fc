"""Filling in the antenna form as people do: a text and Enter, a word chosen."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit

from app.window.document import Document
from app.window.forms.texts import Units, shown
from app.window.main_window import MainWindow
from app.window.panels.antenna_form import AntennaForm
from app.window.scene import Scene
from core.files.entries import Entry
from core.site.site import Site


def take(window: MainWindow, site: Site, index: int = 0) -> AntennaForm:
    """Let the window show a site, and the form an antenna of it."""
    window.document.site = site
    window.document.stack.clear()
    window.document.opened.emit()
    window.document.site_changed.emit(site)
    window.show_task("site")
    window.panel("emitters").select([index])
    form = window.panel("antenna")
    assert isinstance(form, AntennaForm)
    return form


def alone(site: Site) -> AntennaForm:
    """Return the form of a site's first antenna without a window: nothing is drawn while it is filled in."""
    document = Document()
    document.site = site
    form = AntennaForm(document)

    def follow(now: Site) -> None:
        form.show_scene(Scene(now, selected=now.antennas[0].name))

    document.site_changed.connect(follow)
    follow(site)
    form.show()
    return form


def put_away(form: AntennaForm) -> None:
    """Close a form that stands alone."""
    form.stop()
    form.close()
    form.document.close()
    form.deleteLater()


def answer(form: AntennaForm, path: str, text: str) -> str:
    """Type a text into a field and press Enter. Return the error that then stands beneath it."""
    line = form.form.fields[path].editor
    assert isinstance(line, QLineEdit), path
    line.selectAll()
    QTest.keyClick(line, Qt.Key.Key_Delete)
    # Not every keyboard has these two.
    QTest.keyClicks(line, text.replace("λ", "wl").replace("°", "deg"))
    QTest.keyClick(line, Qt.Key.Key_Return)
    return form.form.fields[path].error.text()


def choose(form: AntennaForm, path: str, value: Any) -> str:
    """Choose a word. Return the error that then stands beneath it."""
    box = form.form.fields[path].editor
    assert isinstance(box, QComboBox), path
    index = next(i for i in range(box.count()) if box.itemData(i) == value)
    box.setCurrentIndex(index)
    box.activated.emit(index)
    return form.form.fields[path].error.text()


def others(entry: Entry, value: Any, box: QComboBox | None) -> list[Any]:
    """Return other values that an entry could have, the likeliest first."""
    spec = entry.spec
    if box is not None:
        return [d for d in map(box.itemData, range(box.count())) if d != value and d is not None]
    if spec.form == "numbers":
        return [tuple(0.9 * one for one in value)] if value else [(1.0, 0.5), (1.0,) * 3, (1.0,)]
    if spec.form in ("text", "words"):
        return [f"{value} anew".strip()]
    if value is None:
        low, high = max(spec.low, -1e3), min(spec.high, 1e3)
        return [low + part * (high - low) for part in (0.3, 0.1, 0.6)]
    if spec.form == "count":
        return [value + 1, value - 1]
    step = [1.01 * value, 0.99 * value, 1.1 * value, 0.9 * value, value + 1.0, 0.5 * value]
    near = [spec.low + 0.1, 0.1, 0.0]
    return [one for one in (*step, *near) if spec.low <= one <= spec.high and one != value]


def changed(form: AntennaForm, path: str, value: Any) -> Any:
    """Change a field to another valid value, as typed or chosen. Return it, None where none is taken."""
    field = form.form.fields[path]
    box = field.editor if isinstance(field.editor, QComboBox) else None
    for other in others(field.entry, value, box):
        if box is not None:
            error = choose(form, path, other)
        else:
            error = answer(form, path, shown(other, field.entry.spec, Units()))
        if not error and not form.editing.draft.waits:
            return other
        form.leave.click()
    return None
