"""A short name of everything a sheet was computed from, so that paper and file can be matched."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from core.files.companions import companions
from core.files.paths import is_file, within
from core.files.site_writer import site_to_json
from core.site.site import Site

_LETTERS, _GROUP = 12, 4


def fingerprint(site: Site, folder: Path, *words: str) -> str:
    """Return the first letters of the SHA-256 of a site, of the files it names, and of some words, in groups.

    How the site file is laid out does not matter, what it says does.

    Parameters
    ----------
    site : Site
        The site.
    folder : Path
        Where its pattern and picture files are.
    words : str
        What else decides, like the job and the version of the program.
    """
    whole = hashlib.sha256()

    def add(data: bytes) -> None:
        whole.update(len(data).to_bytes(8, "big"))
        whole.update(data)

    add(json.dumps(site_to_json(site), sort_keys=True, ensure_ascii=False).encode())
    for name in companions(site):
        path = within(folder, name, name)
        add(name.encode())
        add(path.read_bytes() if is_file(path) else b"")
    for word in words:
        add(word.encode())
    short = whole.hexdigest()[:_LETTERS]
    return " ".join(short[i : i + _GROUP] for i in range(0, _LETTERS, _GROUP))


def matches(asked: str, own: str) -> bool:
    """Return whether a fingerprint that somebody typed is this one, however it is spaced.

    Parameters
    ----------
    asked, own : str
        As typed, and as :func:`fingerprint` gives it.
    """
    return "".join(asked.split()).lower() == own.replace(" ", "")
