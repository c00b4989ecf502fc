"""Paths named in a site file, and the atomic write."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from core.errors import InputError


def inside(folder: Path, name: str, field: str) -> Path:
    """Return the path of a file named in a site file.

    Raises
    ------
    InputError
        If it is absolute, leaves the site's folder, or does not exist.
    """
    if "\x00" in name or Path(name).is_absolute() or ".." in Path(name).parts or "\\" in name:
        raise InputError(
            f"{name!r} is not a path inside the site's folder",
            field=field,
            fix="Put the file beside the site file and name it from there, with forward slashes",
        )
    path = folder / name
    if not path.is_file():
        raise InputError(
            f"no file {name!r} beside the site file",
            field=field,
            fix="Check the name, or add the file",
        )
    return path


def write_atomically(path: Path, text: str) -> None:
    """Write a text file so that a crash leaves either the old file or the new one, whole.

    Raises
    ------
    InputError
        If the folder does not exist or cannot be written.
    """
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".tmp")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
                file.flush()
                os.fsync(file.fileno())
            os.replace(name, path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise InputError(
            f"cannot be written ({error.strerror or error})",
            source=str(path),
            fix="Choose another folder or name",
        ) from None
