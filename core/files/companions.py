"""The files that a site names beside it: which they are, and taking them along to another folder."""

from __future__ import annotations

from pathlib import Path

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


def take_along(site: Site, source: Path, target: Path) -> tuple[str, ...]:
    """Copy the files of a site from its folder to another one, each whole; returns the names copied.

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
            raise InputError(
                "is there already and is another file than the site's",
                source=str(new),
                fix=f"Move it away, or write the site into another folder than {target}",
            )
        contents[name] = data
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


def _bytes_of(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(
            f"cannot be read ({error.strerror or error})",
            source=str(path),
            fix="Check the rights of the file",
        ) from None
