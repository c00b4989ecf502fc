"""Every action of the menus as one row of a table; adding one is adding a row."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from operator import attrgetter

from PySide6.QtGui import QAction, QActionGroup, QKeySequence, QUndoStack
from PySide6.QtWidgets import QMainWindow
from shiboken6 import isValid

from app.modes.shape_kinds import DRAWN
from app.window.tasks import TASKS

_STEP = 0.5
"""m the pin moves with one key."""

_Std = QKeySequence.StandardKey


@dataclass(frozen=True)
class Row:
    """One action.

    Attributes
    ----------
    menu, text : str
    key : str or standard key
    does : str
        What of the window it calls, with dots: ``fences.fit``.
    args : tuple
        What it is called with.
    toggles : bool
        It is on or off, and calls with that.
    on : bool
        It is on from the start.
    fills : bool
        It is a menu of its own: what it calls fills it, each time it is opened.
    hand : bool
        It takes the mouse: at most one of these is on.
    ends : str
        Signal of the window, with dots, that switches it off.
    name : str
        How other parts of the window find the action.
    """

    menu: str
    text: str
    key: str | _Std
    does: str
    args: tuple[object, ...] = ()
    toggles: bool = False
    on: bool = False
    fills: bool = False
    hand: bool = False
    ends: str = ""
    name: str = ""


def lettered(texts: Sequence[str], taken: str) -> list[str]:
    """Return the texts of a menu, each with a letter of its own that is not among those taken."""
    out, used = [], set(taken.casefold())
    for text in texts:
        at = next((i for i, c in enumerate(text) if c.isalpha() and c.casefold() not in used), None)
        if at is None:
            out.append(text)
            continue
        used.add(text[at].casefold())
        out.append(f"{text[:at]}&{text[at:]}")
    return out


SHEETS = (
    ("plan", "the &plan", "Ctrl+P", "Ctrl+Alt+P"),
    ("elevation", "the &elevation", "Ctrl+Shift+P", "Ctrl+Alt+Shift+P"),
    ("fences", "the &fences", "", ""),
    ("ladders", "the spans of &ladders", "", ""),
    ("signs", "the &sign schedule", "", ""),
    ("reading", "the &reading", "", ""),
)
"""Kind, words, key to print and key to export of everything that goes on paper."""

ROWS = (
    Row("&File", "&New site…", "Ctrl+Shift+N", "desk.beginning.ask"),
    Row("&File", "&Open site…", _Std.Open, "files.ask_open"),
    Row("&File", "Open a &recent site", "", "files.fill_recent", fills=True),
    Row("&File", "&Save", _Std.Save, "files.save"),
    Row("&File", "Save &as…", "Ctrl+Shift+S", "files.ask_save"),
    Row("&File", "Save a &copy with its files…", "", "files.ask_copy"),
    Row("&File", "Place a plan p&icture…", "Ctrl+I", "desk.pictures.ask_picture"),
    Row("&File", "Export the antenna s&chedule…", "Ctrl+Shift+T", "schedules.ask_write"),
    Row("&File", "&Quit", _Std.Quit, "close"),
    Row("&Edit", "&Undo", _Std.Undo, "document.stack.undo", name="undo"),
    Row("&Edit", "&Redo", _Std.Redo, "document.stack.redo", name="redo"),
    Row("&Edit", "&Add an antenna…", "Ctrl+N", "antennas.ask_add"),
    Row("&Edit", "&Take an antenna schedule…", "Ctrl+T", "schedules.ask_take"),
    Row("&Edit", "&Remove the chosen antennas", "Ctrl+Del", "antennas.remove"),
    Row("&Edit", "&Copy the chosen antennas", "Ctrl+Shift+C", "antennas.copy"),
    Row("&Edit", "&Paste antennas", "Ctrl+Shift+V", "antennas.paste"),
    Row("&Edit", "Dup&licate the chosen antennas", "Ctrl+Shift+A", "antennas.duplicate"),
    Row(
        "&Edit", "Put the antenna where you cl&ick", "Ctrl+Alt+K", "antennas.put_by_click",
        toggles=True, hand=True, ends="antennas.putting.ended", name="put",
    ),
    Row("&Edit", "Put the antenna at a s&tructure…", "", "antennas.ask_structure"),
    Row("&Edit", "The &same at other bearings…", "", "antennas.ask_sectors"),
    Row(
        "&Edit", "&Move antennas with the mouse", "Ctrl+M", "set_movable",
        toggles=True, hand=True, name="move",
    ),
    Row(
        "&Edit", "&Draw a fence on the plan", "Ctrl+D", "fences.draw",
        toggles=True, hand=True, ends="fences.drawing_ended",
    ),
    Row(
        "&Edit", "&Change fences on the plan", "Ctrl+E", "fences.reshape",
        toggles=True, hand=True, ends="fences.reshaping_ended",
    ),
    Row(
        "&Edit", "Draw the &way of the job on the maps", "Ctrl+W", "entries.route.draw",
        toggles=True, hand=True, ends="entries.route.ended", name="route",
    ),
    Row("&Edit", "&Fit fences and stops of ladders", "Ctrl+F", "fences.fit"),
    Row("&Edit", "Remove all fences", "Ctrl+Shift+F", "fences.remove_all"),
    *(
        Row(
            "&Draw", text, "", "desk.shapes.draw", (kind.key,),
            toggles=True, hand=True, ends="desk.shapes.drawing_ended", name=f"draw {kind.key}",
        )
        for kind, text in zip(DRAWN, lettered([k.title for k in DRAWN], "yxvzn"), strict=True)
    ),
    Row("&Draw", "The same ki&nd again", "Ctrl+J", "desk.draw_again"),
    Row(
        "&Draw", "Place the plan picture b&y two points", "Ctrl+Shift+I", "desk.shapes.set_picture",
        toggles=True, hand=True, ends="desk.shapes.drawing_ended", name="draw picture",
    ),
    Row(
        "&Draw", "Take shapes into the hand (&x)", "Ctrl+Shift+M", "desk.handle",
        toggles=True, hand=True, ends="desk.shapes.handling_ended", name="handle",
    ),
    Row("&Draw", "Copy what is chosen (&v)", "Ctrl+Shift+D", "desk.shapes.copy"),
    Row("&Draw", "Remove what is chosen (&z)", "Ctrl+Shift+Del", "desk.shapes.remove_chosen"),
    *(
        Row("&Sheets", f"Print {words}…", key, "printing.ask_print", (kind,))
        for kind, words, key, _ in SHEETS
    ),
    *(
        Row("&Sheets", f"Export {words}…", key, "printing.ask_export", (kind,))
        for kind, words, _, key in SHEETS
    ),
    Row("&Sheets", "Print the sheet of the cre&w…", "", "entries.briefs.ask_print"),
    Row("&Sheets", "Export the sheet of the &crew…", "", "entries.briefs.ask_export"),
    *(
        Row("&Task", f"{named.text}: {named.purpose}", named.key, "show_task", (named.task,))
        for named in TASKS
    ),
    Row("&Changes", "S&witch between before and after", "F8", "changes.switch"),
    Row("&Changes", "Show both &side by side", "F9", "changes.show_way", ("side by side",)),
    Row("&Changes", "Show a &wipe between them", "Shift+F9", "changes.show_way", ("wipe",)),
    Row("&Changes", "Move the wipe's edge &left", "Ctrl+,", "changes.move_edge", (-1,)),
    Row("&Changes", "Move the wipe's edge &right", "Ctrl+.", "changes.move_edge", (1,)),
    Row("&Changes", "Show the &difference", "F7", "changes.show_way", ("difference",)),
    Row("&Changes", "Difference in dB or in percent &points", "Shift+F7", "changes.turn_unit"),
    Row("&Changes", "E&xchange before and after", "Ctrl+Shift+X", "changes.swap"),
    Row("&Changes", "&Compare with another file…", "Ctrl+Shift+O", "changes.ask_file", (1,)),
    Row("&Changes", "&Print the change page…", "", "change_writing.ask_print"),
    Row("&Changes", "&Export the change page…", "", "change_writing.ask_page"),
    Row("&Changes", "Export &gained and lost zones…", "", "change_writing.ask_areas"),
    Row("&View", "Show &proven zones instead of shading", "Ctrl+B", "maps.show_zones", toggles=True),
    Row("&View", "Zoom &in", "Ctrl++", "front.zoom", (1,)),
    Row("&View", "Zoom &out", "Ctrl+-", "front.zoom", (-1,)),
    Row("&View", "Show &all of the site", "Ctrl+0", "front.show_all"),
    Row("&View", "Show the &selection", "Ctrl+1", "front.show_selection"),
    Row("&View", "&Back to what was seen before", "Ctrl+Backspace", "front.back"),
    Row("&View", "&Go to a place", "Ctrl+G", "focus", ("go to",)),
    Row(
        "&View", "&Measure distances", "Ctrl+R", "measuring.measure",
        toggles=True, hand=True, ends="measuring.ended",
    ),
    Row("&View", "&Cut through the pin", "Ctrl+K", "front.cut_here"),
    Row(
        "&View", "Show the &ladder strip", "Ctrl+L", "show_ladders",
        toggles=True, on=True, name="ladder strip",
    ),
    Row(
        "&View", "Stron&g contrast", "", "set_contrast", toggles=True, name="strong contrast",
    ),
    Row("&View", f"Move the pin left by {_STEP:g} m", "Alt+Left", "front.nudge", (-_STEP, 0.0)),
    Row("&View", f"Move the pin right by {_STEP:g} m", "Alt+Right", "front.nudge", (_STEP, 0.0)),
    Row("&View", f"Move the pin up by {_STEP:g} m", "Alt+Up", "front.nudge", (0.0, _STEP)),
    Row("&View", f"Move the pin down by {_STEP:g} m", "Alt+Down", "front.nudge", (0.0, -_STEP)),
    Row("&Help", "&Help: method, words, cautions, keys", "F1", "guide.show_help"),
    Row("&Help", "&About Isofence", "", "guide.show_about"),
)  # fmt: skip


def build_menus(window: QMainWindow) -> dict[str, QAction]:
    """Make the window's menus from :data:`ROWS`; returns the actions that have a name, by it."""
    menus = {name: window.menuBar().addMenu(name) for name in dict.fromkeys(r.menu for r in ROWS)}
    hands = QActionGroup(window)
    hands.setExclusionPolicy(QActionGroup.ExclusionPolicy.ExclusiveOptional)
    named: dict[str, QAction] = {}
    for row in ROWS:
        does: Callable[..., object] = partial(attrgetter(row.does)(window), *row.args)
        if row.fills:
            inner = menus[row.menu].addMenu(row.text)
            inner.aboutToShow.connect(partial(does, inner))
            continue
        action = menus[row.menu].addAction(row.text)
        action.setShortcut(row.key)
        if row.toggles:
            action.setCheckable(True)
            action.setChecked(row.on)
            action.toggled.connect(does)
        else:
            action.triggered.connect(lambda _=False, does=does: does())
        if row.hand:
            hands.addAction(action)
        if row.ends:
            attrgetter(row.ends)(window).connect(partial(action.setChecked, False))
        if row.name:
            named[row.name] = action
    return named


def follow_stack(stack: QUndoStack, actions: Mapping[str, QAction]) -> None:
    """Let undo and redo say what they would do, and be off where there is nothing."""
    undo, redo = actions["undo"], actions["redo"]

    def say(_: object = None) -> None:
        # A stack that ends clears itself, and says so.
        if not isValid(stack):
            return
        undo.setEnabled(stack.canUndo())
        undo.setText(f"&Undo {stack.undoText()}".strip())
        redo.setEnabled(stack.canRedo())
        redo.setText(f"&Redo {stack.redoText()}".strip())

    for signal in (stack.indexChanged, stack.canUndoChanged, stack.canRedoChanged):
        signal.connect(say)
    say()
