"""The current site, its path and its history: the only place that changes a site."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from core.errors import InputError
from core.exposure.sources import sources
from core.files.companions import take_along
from core.files.seen import Seen, seen
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.site.places import Fence
from core.site.site import Antenna, Carrier, Power, Site, State

_MOVES, _STEPS, _CORNERS = 1_000, 1_000_000, 1_000
"""Where the keys of edits that merge begin: moves of antennas, steps of a fence's corner."""

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

    def __init__(self) -> None:
        super().__init__()
        self.site = EMPTY
        self.path: Path | None = None
        self._seen = Seen(None, None)
        self.stack = QUndoStack(self)

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
        self.path, self.site, self._seen = path, site, was
        self.stack.clear()
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
        if path == self.path and not overwrite and seen(path) not in (self._seen, Seen(None, None)):
            raise InputError(
                "was changed by another program since it was opened here",
                source=str(path),
                fix="Save under another name (Save as), or open it again",
            )
        if self.path is not None:
            take_along(self.site, self.path.parent, path.parent)
        save_site(self.site, path)
        self.path, self._seen = path, seen(path)
        self.stack.setClean()
        self.path_changed.emit(path)

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
            self.stack.push(_Edit(self, label, after, key))

    def set_state(self, index: int, state: State) -> None:
        """Set the state of one antenna."""
        name = self.site.antennas[index].name
        self.edit(f"{name}: {state.words}", lambda site: with_antenna(site, index, state=state))

    def set_power(self, index: int, carrier: int, power: Power) -> None:
        """Set the power of one carrier."""
        antenna = self.site.antennas[index]
        carriers = list(antenna.carriers)
        carriers[carrier] = replace(carriers[carrier], power=power)
        self.edit(
            f"{antenna.name}: power",
            lambda site: with_antenna(site, index, carriers=tuple(carriers)),
        )

    def move(self, index: int, position: tuple[float, float, float]) -> None:
        """Move one antenna; consecutive moves undo as one."""
        name = self.site.antennas[index].name
        self.edit(
            f"move {name}",
            lambda site: with_antenna(site, index, position=position),
            key=_MOVES + index,
        )

    def add(self, antenna: Antenna) -> None:
        """Add an antenna."""
        self.edit(
            f"add {antenna.name}", lambda site: replace(site, antennas=(*site.antennas, antenna))
        )

    def remove(self, index: int) -> None:
        """Remove an antenna."""
        gone = self.site.antennas[index]
        kept = tuple(a for a in self.site.antennas if a is not gone)
        self.edit(f"remove {gone.name}", lambda site: replace(site, antennas=kept))

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


def with_antenna(
    site: Site,
    index: int,
    *,
    state: State | None = None,
    position: tuple[float, float, float] | None = None,
    carriers: tuple[Carrier, ...] | None = None,
) -> Site:
    """Return the site with one antenna changed."""
    old = site.antennas[index]
    new: Antenna = replace(
        old,
        state=old.state if state is None else state,
        position=old.position if position is None else position,
        carriers=old.carriers if carriers is None else carriers,
    )
    antennas = (*site.antennas[:index], new, *site.antennas[index + 1 :])
    return replace(site, antennas=antennas)
