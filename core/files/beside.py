"""What a window keeps beside the file it works on: a mark that the file is open, and changes that were never saved.

The mark is a lock that the system lets go of when its process ends, however it ends. So a mark that can be locked
belongs to nobody, and changes beside it are those of a window that was killed. Each window of a file has a slot of
its own; nothing else is left behind, and what was left is taken over by the next window.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
import time
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from core.errors import InputError
from core.files.atomic import sweep, write_file
from core.files.seen import Seen
from core.files.site_file import read_site
from core.files.site_writer import site_text
from core.site.site import Site

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

FORMAT = "isofence-unsaved"
_TRIES = 20
MOST = 8
"""Windows of one file that are told apart."""


@dataclass(frozen=True, slots=True)
class Left:
    """Changes that a window left behind unsaved: their file, the site, when, and what the site's file was then.

    ``brought`` are files that the site names and that were not copied beside it yet, by name.
    """

    file: Path
    site: Site
    when: float
    seen: Seen
    brought: Mapping[str, Path] = field(default_factory=dict)


@dataclass(slots=True)
class Claim:
    """A window's hold on a file.

    Attributes
    ----------
    path : Path
        The file, as it was named.
    slot : int
        Which of the file's windows this is.
    others : tuple of str
        The other windows that have it open, in words.
    """

    path: Path
    slot: int
    others: tuple[str, ...]
    _handle: int
    _kept: bool = False

    @property
    def unsaved(self) -> Path:
        """Where this window keeps what is not saved."""
        return _unsaved(self.path, self.slot)

    def keep(self, site: Site, seen: Seen, brought: Mapping[str, Path] | None = None) -> None:
        """Keep a site whose changes are not saved; ``seen`` is what its file was when it was opened or saved.

        ``brought`` are files that it names and that are not beside it yet, by name.

        Raises
        ------
        InputError
            If it cannot be written.
        """
        self._kept = True
        head = json.dumps(
            {"format": FORMAT, "version": 1, "size": seen.size, "digest": seen.digest}
            | ({"brought": {k: str(v) for k, v in brought.items()}} if brought else {})
        )
        write_file(self.unsaved, f'{head[:-1]}, "site": {site_text(site)}}}\n')

    def drop(self) -> None:
        """Keep nothing any more: all is saved, or given up."""
        _remove(self.unsaved)
        sweep(self.unsaved)

    def left(self) -> tuple[Left, ...]:
        """Return what windows that are gone have left unsaved, the newest first; what cannot be read is none."""
        found = []
        for slot in range(1, MOST + 1):
            if not self._kept if slot == self.slot else not _is_held(_mark(self.path, slot)):
                found += [one for one in (_read(_unsaved(self.path, slot), self.path),) if one]
        return tuple(sorted(found, key=lambda one: -one.when))

    def release(self) -> None:
        """Let go of the file; nothing is left beside it."""
        if self._handle < 0:
            return
        self.drop()
        # Away before it is unlocked: nobody can lock a mark that is about to go.
        _remove(_mark(self.path, self.slot))
        os.close(self._handle)
        if sys.platform == "win32":
            # There an open file cannot be removed.
            _remove(_mark(self.path, self.slot))
        self._handle = -1


def claim(path: Path) -> Claim | None:
    """Return this window's hold on a file; None where nothing can be kept beside it (a folder for reading only).

    Parameters
    ----------
    path : Path
        The file; it need not be there yet.
    """
    for slot in range(1, MOST + 1):
        try:
            handle = _locked(_mark(path, slot))
        except OSError:
            return None
        if handle is None:
            continue
        others = tuple(
            _words(mark)
            for mark in (_mark(path, s) for s in range(1, MOST + 1) if s != slot)
            if _is_held(mark)
        )
        with contextlib.suppress(OSError):
            os.ftruncate(handle, 0)
            said = f"process {os.getpid()}, since {time.strftime('%Y-%m-%d %H:%M')}"
            os.write(handle, said.encode())
        for target in (Path(os.path.realpath(path)), _unsaved(path, slot)):
            sweep(target)
        return Claim(path, slot, others, handle)
    return None


def discard(left: Left) -> None:
    """Remove what was left; see :meth:`Claim.left`."""
    _remove(left.file)


def put_off(left: Left, path: Path) -> Left:
    """Move what was left out of the way of every window: it is offered with the next one.

    Parameters
    ----------
    left : Left
        What was left.
    path : Path
        The file it belongs to, as in :attr:`Claim.path`.

    Returns
    -------
    Left
        The same, with where it is now.

    Raises
    ------
    InputError
        If there is no room for it beside the file.
    """
    # From the last slot on: windows take them from the first.
    for slot in range(MOST, 1, -1):
        to = _unsaved(path, slot)
        if to == left.file:
            return left
        if not to.exists() and not _is_held(_mark(path, slot)):
            try:
                os.rename(left.file, to)
            except OSError:
                break
            return replace(left, file=to)
    raise InputError(
        "the unsaved changes cannot be put off: nothing more can be kept beside the file",
        fix="Recover or discard them",
    )


def _locked(mark: Path) -> int | None:
    """Return an open handle of a mark that is locked now; None where somebody else has it."""
    for _ in range(_TRIES):
        try:
            flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
            handle = os.open(mark, flags, 0o666)
        except PermissionError:
            if mark.exists():
                # Of another user of the folder, whose lock cannot be tried.
                return None
            raise
        try:
            _lock(handle)
        except BlockingIOError:
            os.close(handle)
            return None
        except OSError:
            os.close(handle)
            raise
        with contextlib.suppress(OSError):
            if os.path.samestat(os.fstat(handle), os.stat(mark)):
                return handle
        # It was taken away between the two steps.
        os.close(handle)
    raise OSError(0, "the mark does not stay")


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        try:
            # Beyond the words, which others read.
            os.lseek(handle, 1 << 20, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            raise BlockingIOError from None
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _is_held(mark: Path) -> bool:
    """Return whether a running window holds a mark; one that nobody holds is taken away."""
    if not mark.exists():
        return False
    try:
        handle = _locked(mark)
    except OSError:
        return False
    if handle is None:
        return True
    _remove(mark)
    os.close(handle)
    return False


def _words(mark: Path) -> str:
    try:
        return mark.read_text("utf-8", errors="replace")[:60].strip() or "just now"
    except OSError:
        return "of another user"


def _read(file: Path, path: Path) -> Left | None:
    try:
        when = file.stat().st_mtime
        value = json.loads(file.read_text("utf-8"))
        if value["format"] != FORMAT or value["version"] != 1:
            return None
        seen = Seen(value["size"], value["digest"])
        brought = {str(k): Path(str(v)) for k, v in value.get("brought", {}).items()}
        return Left(file, read_site(value["site"], path.parent, brought), when, seen, brought)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError, InputError):
        return None


def _remove(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()


def _beside(path: Path, what: str, slot: int) -> Path:
    # The file itself, wherever links to it are: two of them are one file.
    real = Path(os.path.realpath(path))
    return real.with_name(f".{real.name}.isofence-{what}{'' if slot == 1 else f'-{slot}'}")


def _mark(path: Path, slot: int) -> Path:
    return _beside(path, "open", slot)


def _unsaved(path: Path, slot: int) -> Path:
    return _beside(path, "unsaved", slot)
