"""Menus and shortcuts as one table."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu

if TYPE_CHECKING:
    from app.window.main_window import MainWindow

_STEP = 0.5
"""m the pin moves with one key."""

_Key = str | QKeySequence.StandardKey


def build_menus(window: MainWindow) -> QAction:
    """Make the window's menus; returns the tool that lets the mouse move antennas."""
    std = QKeySequence.StandardKey
    file, edit, view = (window.menuBar().addMenu(n) for n in ("&File", "&Edit", "&View"))
    files: tuple[tuple[str, _Key, Callable[[], object]], ...] = (
        ("&Open site…", std.Open, window.ask_open),
        ("&Save", std.Save, window.save),
        ("Save &as…", std.SaveAs, window.ask_save),
        ("Export &plan…", "Ctrl+P", partial(window.ask_export, window.plan)),
        ("Export &elevation…", "Ctrl+Shift+P", partial(window.ask_export, window.elevation)),
        ("&Quit", std.Quit, window.close),
    )
    for text, key, slot in files:
        _connect(file.addAction(text), key, slot)
    undo = window.document.stack.createUndoAction(window, "&Undo")
    undo.setShortcut(std.Undo)
    redo = window.document.stack.createRedoAction(window, "&Redo")
    redo.setShortcut(std.Redo)
    edit.addActions([undo, redo])
    _connect(edit.addAction("&Add an antenna…"), "Ctrl+N", window.ask_add)
    _connect(edit.addAction("&Remove the selected antenna"), "Ctrl+Del", window.remove_selected)
    move, draw, reshape = (
        _mode(edit, text, key, slot)
        for text, key, slot in (
            ("&Move antennas with the mouse", "Ctrl+M", window.set_movable),
            ("&Draw a fence on the plan", "Ctrl+D", window.fences.draw),
            ("&Change fences on the plan", "Ctrl+E", window.fences.reshape),
        )
    )
    # One hand on the mouse: at most one of these is on.
    modes = QActionGroup(window)
    modes.setExclusionPolicy(QActionGroup.ExclusionPolicy.ExclusiveOptional)
    for mode in (move, draw, reshape):
        modes.addAction(mode)
    window.fences.drawing_ended.connect(lambda: draw.setChecked(False))
    window.fences.reshaping_ended.connect(lambda: reshape.setChecked(False))
    zones = view.addAction("Show &proven zones instead of shading")
    zones.setCheckable(True)
    zones.setShortcut("Ctrl+B")
    zones.toggled.connect(window.set_zones)
    _connect(edit.addAction("&Fit fences around the proven zone"), "Ctrl+F", window.fences.fit)
    _connect(edit.addAction("Remove all fences"), "Ctrl+Shift+F", window.fences.remove_all)
    for word, arrow, step in (
        ("left", "Left", (-_STEP, 0.0)),
        ("right", "Right", (_STEP, 0.0)),
        ("up", "Up", (0.0, _STEP)),
        ("down", "Down", (0.0, -_STEP)),
    ):
        action = view.addAction(f"Move the pin {word} by {_STEP:g} m")
        _connect(action, f"Alt+{arrow}", partial(window.maps.nudge, *step))
    return move


def _mode(menu: QMenu, text: str, key: str, slot: Callable[[bool], object]) -> QAction:
    action = menu.addAction(text)
    action.setCheckable(True)
    action.setShortcut(key)
    action.toggled.connect(slot)
    return action


def _connect(action: QAction, key: _Key, slot: Callable[[], object]) -> None:
    action.setShortcut(key)
    action.triggered.connect(lambda _=False: slot())
