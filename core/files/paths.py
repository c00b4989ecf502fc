"""Paths named in a site file."""

from __future__ import annotations

import os
from pathlib import Path

from core.errors import InputError


def within(folder: Path, name: str, field: str) -> Path:
    """Return the path that a site file names, in its own folder; nothing need be there.

    Parameters
    ----------
    field : str
        Where it stands, for the error.

    Raises
    ------
    InputError
        If it is absolute or leaves the site's folder.
    """
    if "\x00" in name or Path(name).is_absolute() or ".." in Path(name).parts or "\\" in name:
        raise InputError(
            f"{name!r} is not a path inside the site's folder",
            field=field,
            fix="Put the file beside the site file and name it from there, with forward slashes",
        )
    return folder / name


def inside(folder: Path, name: str, field: str) -> Path:
    """Return the path of a file named in a site file.

    Parameters
    ----------
    name : str
        As it is called in the data or the file.
    field : str
        Where it stands, for the error.

    Raises
    ------
    InputError
        If it is absolute, leaves the site's folder, or does not exist.
    """
    path = within(folder, name, field)
    if not is_file(path):
        raise InputError(
            f"no file {name!r} beside the site file",
            field=field,
            fix="Check the name, or add the file",
        )
    return path


def is_file(path: Path) -> bool:
    """Return whether there is an ordinary file; a name that no file can have is none.

    Parameters
    ----------
    path : Path
        The file.
    """
    return os.path.isfile(path)


def same_file(one: Path | str, other: Path | str) -> bool:
    """Return whether two paths lead to one file; where there is none, or none can be, they do not.

    Parameters
    ----------
    one, other : Path | str
        The paths.
    """
    try:
        return os.path.samefile(one, other)
    except (OSError, ValueError):
        return False
