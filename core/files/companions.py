"""The files that a site names beside it: which they are, and taking them along to another folder."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from core.errors import InputError
from core.files.atomic import write_file
from core.files.paths import is_file, same_file, within
from core.site.site import Site


def companions(site: Site) -> tuple[str, ...]:
    """Return the names of the pattern and picture files of a site, each once, in order."""
    names = [a.kind.file for a in site.antennas if hasattr(a.kind, "file")]
    if site.picture is not None:
        names.append(site.picture.file)
    return tuple(dict.fromkeys(names))


def free_file(name: str, content: bytes, folder: Path | None, brought: Mapping[str, bytes]) -> str:
    """Return the name under which a file that is brought in can stand beside the site.

    Its own, unless another file has that; one of the same content is the same file.

    Parameters
    ----------
    name : str
        Its own name.
    content : bytes
        What is in it.
    folder : Path or None
        Where the site is; None where it was never saved.
    brought : mapping of str to bytes
        What was brought in before and is not saved yet.
    """
    path, number = PurePosixPath(name), 1
    while True:
        wanted = name if number == 1 else f"{path.stem}-{number}{path.suffix}"
        there = brought.get(wanted)
        if there is None and folder is not None and (folder / wanted).exists():
            there = _bytes_of(folder / wanted) if is_file(folder / wanted) else b""
        if there is None or there == content:
            return wanted
        number += 1


def put_beside(site: Site, brought: Mapping[str, bytes], target: Path) -> tuple[str, ...]:
    """Write the files that were brought in and that the site names beside it. Returns the names written.

    Parameters
    ----------
    brought : mapping of str to bytes
        Names and contents.
    target : Path
        The folder of the site.

    Raises
    ------
    InputError
        If another file of that name is there, or one cannot be written; nothing was written in the first case.
    """
    wanted = [name for name in companions(site) if name in brought]
    for name in wanted:
        new = within(target, name, name)
        if new.exists() and not (is_file(new) and _bytes_of(new) == brought[name]):
            raise _taken(new, target)
    for name in wanted:
        _write(target / name, brought[name])
    return tuple(wanted)


def take_along(site: Site, source: Path, target: Path) -> tuple[str, ...]:
    """Copy the files of a site from its folder to another one, each whole. Returns the names copied.

    What is already there with the same content stays. A missing picture is no error, as for the site itself.

    Parameters
    ----------
    site : Site
        The site.
    source, target : Path
        The folder of the site and the new one.

    Raises
    ------
    InputError
        If another file of that name is there, or one cannot be read or written; nothing was copied in the first case.
    """
    if same_file(source, target):
        return ()
    contents: dict[str, bytes] = {}
    for name in companions(site):
        old, new = within(source, name, name), within(target, name, name)
        if not is_file(old):
            continue
        data = _bytes_of(old)
        if is_file(new) and _bytes_of(new) == data:
            continue
        if new.exists():
            raise _taken(new, target)
        contents[name] = data
    for name, data in contents.items():
        _write(target / name, data)
    return tuple(contents)


def _taken(new: Path, target: Path) -> InputError:
    return InputError(
        "is there already and is another file than the site's",
        source=str(new),
        fix=f"Move it away, or write the site into another folder than {target}",
    )


def _write(new: Path, data: bytes) -> None:
    try:
        new.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(
            f"cannot be made ({error.strerror or error})",
            source=str(new.parent),
            fix="Choose another folder",
        ) from None
    write_file(new, data)


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(
            f"cannot be read ({error.strerror or error})",
            source=str(path),
            fix="Check the rights of the file",
        ) from None
