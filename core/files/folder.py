"""The site files of a folder."""

from __future__ import annotations

import json
import os
from pathlib import Path

from core.errors import InputError
from core.files.companions import companions
from core.files.site_file import LARGEST_FILE
from core.files.site_writer import FORMAT
from core.site.site import Site


def json_files(folder: Path) -> tuple[str, ...]:
    """Return the names of all .json files under a folder, in order, from the folder on with forward slashes.

    Hidden folders and files are left out; links to folders are not followed.

    Parameters
    ----------
    folder : Path
        The folder.

    Raises
    ------
    InputError
        If it is no folder.
    """
    if not folder.is_dir():
        said = "is no folder" if folder.exists() else "does not exist"
        raise InputError(said, source=str(folder), fix="Name the folder that the sites are in")
    found = []
    for place, inner, files in os.walk(folder):
        inner[:] = sorted(d for d in inner if not d.startswith("."))
        for name in files:
            if name.lower().endswith(".json") and not name.startswith("."):
                found.append((Path(place) / name).relative_to(folder).as_posix())
    return tuple(sorted(found))


def is_site(path: Path) -> bool:
    """Return whether a file is, or is meant to be, a site: what is broken counts as meant to be one.

    Other JSON files (antenna patterns, areas on a map) say what they are by their members.

    Parameters
    ----------
    path : Path
        The file.
    """
    try:
        if path.stat().st_size > LARGEST_FILE:
            return True
        value = json.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError):
        return True
    if not isinstance(value, dict):
        return False
    return value.get("format") == FORMAT or ("format" not in value and "antennas" in value)


def stamp(folder: Path, names: tuple[str, ...]) -> list[list[str | int]]:
    """Return name, size and time of change of files, to tell whether they are still the same.

    Parameters
    ----------
    folder : Path
        Where they are.
    names : tuple of str
        Which; one that is not there has no size and no time.
    """
    marks: list[list[str | int]] = []
    for name in names:
        try:
            found = (folder / name).stat()
            marks.append([name, found.st_size, found.st_mtime_ns])
        except (OSError, ValueError):
            marks.append([name])
    return marks


def files_of(name: str, site: Site) -> tuple[str, ...]:
    """Return the files that a site comes from: its own and those it names, as seen from the folder its name is in.

    Parameters
    ----------
    name : str
        The site file, from the folder on.
    site : Site
        What it holds.
    """
    beside = Path(name).parent
    return (name, *((beside / other).as_posix() for other in companions(site)))
