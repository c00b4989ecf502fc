"""The current site, its path and its history: the only place that changes a site."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from core.errors import InputError
from core.exposure.sources import sources
from core.files.antenna_file import read_antenna
from core.files.beside import Claim, Left, claim, discard, put_off
from core.files.companions import companions, free_file, take_along
from core.files.error_log import state_folder
from core.files.kinds import pattern_of
from core.files.paths import is_file, same_file
from core.files.seen import Seen, seen
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.patterns.model import PatternData
from core.site.arranging import with_antenna
from core.site.places import Fence
from core.site.site import Antenna, Power, Site, State

_MOVES, _STEPS, _CORNERS = 1_000, 1_000_000, 1_000
"""Where the keys of edits that merge begin: moves of antennas, steps of a fence's corner."""

_QUIET = 500
"""ms without a step of a movement until what it came to is kept; every other edit is kept at once."""
_UNTITLED = "untitled.json"

EMPTY = Site(name="Untitled site", antennas=())


class _Edit(QUndoCommand):
    """One change as (before, after); a drag merges into one by its key."""

    def __init__(self, document: Document, label: str, after: Site, key: int) -> None:
        super().__init__(label)
        self._document, self._before, self._after, self._key = document, document.site, after, key

    def id(self) -> int:
        return self._key

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, _Edit) or other._key != self._key:
            return False
        self._after = other._after
        return True

    def undo(self) -> None:
        self._document._show(self._before)

    def redo(self) -> None:
        self._document._show(self._after)


class Document(QObject):
    """Holds one immutable site; every edit replaces it and can be undone."""

    site_changed = Signal(object)
    path_changed = Signal(object)
    opened = Signal()
    unkept = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.site = EMPTY
        self.path: Path | None = None
        self._brought: dict[str, Path] = {}
        self._seen = Seen(None, None)
        self.stack = QUndoStack(self)
        self._merging, self._told = False, False
        self._claim: Claim | None = None
        self._moving = QTimer(self)
        self._moving.setSingleShot(True)
        self._moving.setInterval(_QUIET)
        self._moving.timeout.connect(self._keep)
        self.stack.indexChanged.connect(self._changed)

    @property
    def folder(self) -> Path | None:
        """Where the site's patterns and pictures are."""
        return self.path.parent if self.path else None

    @property
    def dirty(self) -> bool:
        """Whether there is something to save."""
        return not self.stack.isClean()

    def open(self, path: Path) -> None:
        """Open a site file; on an error what was there stays.

        Raises
        ------
        InputError
            If the file cannot be used.
        """
        was = seen(path)
        site = load_site(path)
        sources(site)
        self.path, self.site, self._seen, self._brought = path, site, was, {}
        self.stack.clear()
        # After it: a cleared history lets go of what is unsaved, and what another window left is not ours yet.
        self._hold(path)
        self.path_changed.emit(path)
        self.opened.emit()
        self._show(site)

    def save(self, path: Path, *, overwrite: bool = False) -> None:
        """Save, atomically; ``overwrite`` also over what another program has written since.

        Raises
        ------
        InputError
            If the file cannot be written, was changed by another program since it was opened or saved here, or
            other files of the names of its pattern files are where they would go.
        """
        ours = self.path is not None and (path == self.path or same_file(path, self.path))
        if ours and not overwrite and seen(path) not in (self._seen, Seen(None, None)):
            raise InputError(
                "was changed by another program since it was opened here",
                source=str(path),
                fix="Save under another name (Save as), or open it again",
            )
        self.take_along(path.parent)
        save_site(self.site, path)
        # What is beside the site now is the site's; its source may change, or go.
        self._brought = {n: p for n, p in self._brought.items() if not is_file(path.parent / n)}
        if path != self.path:
            self._hold(path)
        self.path, self._seen = path, seen(path)
        self.stack.setClean()
        self._keep()
        self.path_changed.emit(path)

    def begin(self) -> None:
        """Take up an empty site that has no file yet, in the place of what was there."""
        self.path, self.site, self._seen, self._brought = None, EMPTY, Seen(None, None), {}
        self.stack.clear()
        self._hold(None)
        self._hold_untitled()
        self.path_changed.emit(None)
        self.opened.emit()
        self._show(EMPTY)

    # files that the site names -------------------------------------------------------------------------

    def bring(self, name: str, source: Path) -> None:
        """Let a file that the site names be found where it is, until a save copies it beside the site."""
        self._brought[name] = source.absolute()

    def bring_pattern(self, source: Path) -> str:
        """Bring a pattern file in, and return the name that it will have beside the site.

        Raises
        ------
        InputError
            If it cannot be read.
        """
        name = free_file(source, self.folder, self._brought)
        self.bring(name, source)
        return name

    def path_of(self, name: str) -> Path:
        """Return where a file that the site names is."""
        beside = (self.folder or Path()) / name
        return beside if is_file(beside) else self._brought.get(name, beside)

    def read_antenna(self, value: object) -> Antenna:
        """Return the antenna of a JSON object, as it stands in a site file.

        Raises
        ------
        InputError
            If it cannot be used.
        """
        return read_antenna("", value, self.folder or Path(), self._brought)

    def pattern(self, name: str, answers: dict[str, Any]) -> PatternData:
        """Return the pattern in a file that the site names; ``answers`` are for its reader.

        Raises
        ------
        InputError
            If it cannot be used.
        """
        return pattern_of(name, answers, "file", self.folder or Path(), self._brought)

    @property
    def pictured(self) -> Path | None:
        """Where the file of the site's picture is."""
        picture = self.site.picture
        if picture is None:
            return None
        beside = self.folder / picture.file if self.folder is not None else None
        brought = self._brought.get(picture.file)
        return beside if brought is None or (beside is not None and is_file(beside)) else brought

    def take_along(self, folder: Path) -> tuple[str, ...]:
        """Copy the files that the site names into a folder; returns the names of those copied.

        Raises
        ------
        InputError
            As :func:`core.files.companions.take_along`.
        """
        return take_along(self.site, self.folder, folder, self._brought)

    def _missing(self) -> dict[str, Path]:
        """Return the files that the site names and that are not beside it yet."""
        names = companions(self.site) if self._brought else ()
        return {n: self._brought[n] for n in names if n in self._brought}

    def close(self) -> None:
        """Let go of the file; what is not saved is given up."""
        self._hold(None)

    # what is not saved -----------------------------------------------------------------------------

    def others(self) -> tuple[str, ...]:
        """Return the other windows that had the file open when it was opened here, in words."""
        return self._claim.others if self._claim is not None else ()

    def left(self) -> tuple[Left, ...]:
        """Return what windows of this file that are gone have left unsaved; of an untitled site before any edit."""
        if self._claim is None and self.path is None:
            self._hold_untitled()
        return self._claim.left() if self._claim is not None else ()

    def put_off(self, left: Left) -> None:
        """Keep what a window left unsaved for another time; no edit of this one touches it.

        Raises
        ------
        InputError
            If there is no room for it.
        """
        if self._claim is not None:
            put_off(left, self._claim.path)

    def recover(self, left: Left) -> None:
        """Take up what a window left unsaved, as one edit.

        Raises
        ------
        InputError
            If that site is not consistent.
        """
        self._brought |= left.brought
        self.edit("recover unsaved changes", lambda _: left.site)
        # From here on it is kept as what is unsaved here, unless it is what was saved after all.
        if self._claim is None or left.file != self._claim.unsaved or not self.dirty:
            discard(left)

    def _changed(self) -> None:
        """Keep what is unsaved; the steps of a movement when it pauses, and at the latest with the next edit."""
        if self._merging:
            self._moving.start()
        else:
            self._keep()

    def _keep(self) -> None:
        self._moving.stop()
        if self._claim is None and self.path is None and self.dirty:
            self._hold_untitled()
        if not self.dirty:
            if self._claim is not None:
                self._claim.drop()
            return
        try:
            if self._claim is None:
                raise InputError("nothing can be written beside the file", fix="Save often")
            self._claim.keep(self.site, self._seen, self._missing())
        except InputError as error:
            if not self._told:
                self.unkept.emit(f"Unsaved changes cannot be kept for a crash: {error.line()}")
            self._told = True

    def _hold(self, path: Path | None) -> None:
        if self._claim is not None:
            self._claim.release()
        self._claim, self._told = claim(path) if path is not None else None, False

    def _hold_untitled(self) -> None:
        folder = state_folder()
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError:
            return
        self._hold(folder / _UNTITLED)

    # edits -----------------------------------------------------------------------------------------

    def edit(self, label: str, change: Callable[[Site], Site], key: int = -1) -> None:
        """Replace the site; nothing is kept of a change that the checks refuse.

        Raises
        ------
        InputError
            If the changed site is not consistent.
        """
        after = change(self.site)
        sources(after)
        if after != self.site:
            top = self.stack.command(self.stack.index() - 1) if self.stack.index() else None
            self._merging = key >= 0 and top is not None and top.id() == key and self.dirty
            self.stack.push(_Edit(self, label, after, key))
            self._merging = False

    def set_state(self, index: int, state: State) -> None:
        """Set the state of one antenna."""
        self._put(index, f"{self.site.antennas[index].name}: {state.words}", state=state)

    def set_power(self, index: int, carrier: int, power: Power) -> None:
        """Set the power of one carrier."""
        antenna = self.site.antennas[index]
        carriers = list(antenna.carriers)
        carriers[carrier] = replace(carriers[carrier], power=power)
        self._put(index, f"{antenna.name}: power", carriers=tuple(carriers))

    def move(self, index: int, position: tuple[float, float, float]) -> None:
        """Move one antenna; consecutive moves undo as one."""
        name = self.site.antennas[index].name
        self._put(index, f"move {name}", _MOVES + index, position=position)

    def _put(self, index: int, label: str, key: int = -1, **values: Any) -> None:
        changed = replace(self.site.antennas[index], **values)
        self.edit(label, lambda site: with_antenna(site, index, changed), key)

    def add(self, antenna: Antenna) -> None:
        """Add an antenna."""
        self.edit(
            f"add {antenna.name}", lambda site: replace(site, antennas=(*site.antennas, antenna))
        )

    def set_fences(
        self, fences: tuple[Fence, ...], label: str, stepped: tuple[int, int] | None = None
    ) -> None:
        """Replace the site's fences; ``label`` says what was done to them.

        ``stepped`` is the place of a fence and of its corner that was moved by a step; steps in a row undo as
        one.
        """
        key = -1 if stepped is None else _STEPS + _CORNERS * stepped[0] + stepped[1]
        self.edit(label, lambda site: replace(site, fences=fences), key)

    def _show(self, site: Site) -> None:
        self.site = site
        self.site_changed.emit(site)
