"""The files that a site names beside it: which they are, and taking them along to another folder."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from core.errors import InputError
from core.files.atomic import write_file
from core.files.paths import is_file, same_file, within
from core.site.site import Site

_NOTHING: Mapping[str, Path] = MappingProxyType({})


def companions(site: Site) -> tuple[str, ...]:
    """Return the names of the pattern and picture files of a site, each once, in order."""
    names = list(patterns(site))
    if site.picture is not None:
        names.append(site.picture.file)
    return tuple(dict.fromkeys(names))


def patterns(site: Site) -> tuple[str, ...]:
    """Return the names of the pattern files of a site."""
    return tuple(a.kind.file for a in site.antennas if hasattr(a.kind, "file"))


def take_along(
    site: Site, source: Path | None, target: Path, brought: Mapping[str, Path] = _NOTHING
) -> tuple[str, ...]:
    """Copy the files of a site from its folder to another one, each whole. Returns the names copied.

    What is already there with the same content stays. A missing picture is no error, as for the site itself.

    Parameters
    ----------
    site : Site
        The site.
    source, target : Path
        The folder of the site, None where it has none yet, and the new one.
    brought : mapping
        Files that were brought in from elsewhere and are not in the site's folder yet, by the name the site has for
        them. What is there is not looked for elsewhere.

    Raises
    ------
    InputError
        If another file of that name is there, or one cannot be read or written; nothing was copied in the first case.
    """
    contents = _to_copy(site, source, target, brought)
    for name, data in contents.items():
        new = target / name
        try:
            new.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise InputError(
                f"cannot be made ({error.strerror or error})",
                source=str(new.parent),
                fix="Choose another folder",
            ) from None
        write_file(new, data)
    return tuple(contents)


def check_along(site: Site, source: Path | None, target: Path) -> None:
    """Refuse what :func:`take_along` would refuse, before there is anything to write.

    Parameters
    ----------
    site, source, target
        As :func:`take_along`.

    Raises
    ------
    InputError
        If another file of that name is there, or one cannot be read.
    """
    _to_copy(site, source, target, _NOTHING)


def _to_copy(
    site: Site, source: Path | None, target: Path, brought: Mapping[str, Path]
) -> dict[str, bytes]:
    """Return what has to be copied, by name."""
    moves = source is not None and not same_file(source, target)
    contents: dict[str, bytes] = {}
    for name in companions(site):
        new = within(target, name, name)
        old = within(source, name, name) if source is not None and moves else None
        if old is None or not is_file(old):
            old = brought.get(name)
        if old is None or not is_file(old):
            if name in brought and name in patterns(site) and not is_file(new):
                raise InputError(
                    "was brought in and is gone",
                    source=str(brought[name]),
                    fix="Put it back, or choose a file again",
                )
            continue
        data = _bytes_of(old)
        if is_file(new) and _bytes_of(new) == data:
            continue
        if new.exists():
            raise InputError(
                "is there already and is another file than the site's",
                source=str(new),
                fix=f"Move it away, or write the site into another folder than {target}",
            )
        contents[name] = data
    return contents


def free_file(source: Path, folder: Path | None, brought: Mapping[str, Path]) -> str:
    """Return the name that a file which is brought in can have beside the site: its own, unless another file has that.

    Parameters
    ----------
    source : Path
        The file.
    folder : Path or None
        Where the site is; None where it was never saved.
    brought : mapping of str to Path
        What was brought in before, by name.

    Raises
    ------
    InputError
        If it, or one that has its name, cannot be read.
    """
    content, number = _bytes_of(source), 1
    while True:
        name = source.name if number == 1 else f"{source.stem}-{number}{source.suffix}"
        there = folder / name if folder is not None and (folder / name).exists() else None
        there = there or brought.get(name)
        if there is None or (is_file(there) and _bytes_of(there) == content):
            return name
        number += 1


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(
            f"cannot be read ({error.strerror or error})",
            source=str(path),
            fix="Check the rights of the file",
        ) from None
