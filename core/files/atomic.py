"""Every file that is written, is written here: whole or not at all.

A new file is made beside the old one, brought to the disk, and takes its place in one step. So a crash, a kill
or a full disk leaves the old file or the new one. Rights are those of the old file, or the user's own mask; a
symbolic link stays and its target is replaced. What a killed write leaves behind goes with the next one.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import re
import socket
import stat
import time
from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import IO

from core.errors import InputError

_LEFT_OVER = re.compile(r"\.isofence-([0-9a-f]{16})-([0-9a-f]{8})-(\d+)-(\d+)\.tmp")
_DAY = 86_400.0
_numbers = count()


def write_file(path: Path | str, content: str | bytes) -> None:
    """Write a file whole; text in UTF-8 with line feeds.

    Parameters
    ----------
    path : Path | str
        The file.
    content : str | bytes
        Text or bytes.

    Raises
    ------
    InputError
        If it cannot be written; what was there before is still there.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    write_with(path, lambda file: file.write(data))


def write_with(path: Path | str, write: Callable[[IO[bytes]], object]) -> None:
    """Write a file whole by a function that writes into an open binary file.

    Parameters
    ----------
    path : Path | str
        The file.

    Raises
    ------
    InputError
        If it cannot be written; what was there before is still there.
    """
    try:
        _replace(Path(os.path.realpath(path)), write)
    except (OSError, UnicodeEncodeError, ValueError) as error:
        if isinstance(error, InputError):
            raise
        raise _cannot(path, error) from None


def check_target(path: Path | str, *, makes_folder: bool = False) -> None:
    """Refuse a file that cannot be written, before there is anything to write; a full disk shows only then.

    Parameters
    ----------
    path : Path | str
        The file.
    makes_folder : bool
        Its folder may be missing: it is made when the file is written.

    Raises
    ------
    InputError
        As :func:`write_file`, for what can be seen beforehand.
    """
    try:
        target = Path(os.path.realpath(path))
        _check_old(target, target.stat() if target.exists() else None)
        _check_folder(target.parent, missing=makes_folder)
    except (OSError, ValueError) as error:
        raise _cannot(path, error) from None


def _check_folder(folder: Path, *, missing: bool) -> None:
    if missing and not folder.exists():
        return
    if not folder.is_dir():
        number = errno.ENOTDIR if folder.exists() else errno.ENOENT
        raise OSError(number, os.strerror(number))
    if not os.access(folder, os.W_OK | os.X_OK):
        raise OSError(errno.EACCES, os.strerror(errno.EACCES))


def _check_old(target: Path, old: os.stat_result | None) -> None:
    if old is not None and not stat.S_ISREG(old.st_mode):
        raise OSError(0, "it is no ordinary file")
    if old is not None and not os.access(target, os.W_OK):
        raise OSError(0, "it is for reading only")


def _cannot(path: Path | str, error: Exception) -> InputError:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return InputError(
        f"cannot be written ({reason})",
        source=str(path),
        fix="Choose another folder or name, or make room on the disk",
    )


def _replace(target: Path, write: Callable[[IO[bytes]], object]) -> None:
    old = target.stat() if target.exists() else None
    _check_old(target, old)
    sweep(target)
    new = target.with_name(f".isofence-{_key(target)}-{_host()}-{os.getpid()}-{next(_numbers)}.tmp")
    # Made with the user's own mask, as any new file.
    handle = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        with os.fdopen(handle, "wb") as file:
            write(file)
            file.flush()
            os.fsync(file.fileno())
        if old is not None:
            _as_it_was(new, old)
        os.replace(new, target)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    _to_disk(target.parent)


def _as_it_was(new: Path, old: os.stat_result) -> None:
    """Give a new file the rights of the old one, and its owner where that can be had."""
    now = new.stat()
    if (now.st_uid, now.st_gid) != (old.st_uid, old.st_gid):
        with contextlib.suppress(OSError, AttributeError):
            os.chown(new, old.st_uid, old.st_gid)
    os.chmod(new, stat.S_IMODE(old.st_mode))


def _to_disk(folder: Path) -> None:
    """Bring the change of a name to the disk, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def sweep(target: Path) -> None:
    """Remove what killed writes of a ``target`` have left behind."""
    with contextlib.suppress(OSError):
        for entry in os.scandir(target.parent):
            found = _LEFT_OVER.fullmatch(entry.name)
            if found is None or found[1] != _key(target):
                continue
            with contextlib.suppress(OSError):
                old = time.time() - entry.stat().st_mtime > _DAY
                if old or (found[2] == _host() and not _running(int(found[3]))):
                    os.unlink(entry.path)


def _running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def _key(target: Path) -> str:
    return hashlib.sha256(os.fsencode(target.name)).hexdigest()[:16]


def _host() -> str:
    return hashlib.sha256(socket.gethostname().encode()).hexdigest()[:8]
