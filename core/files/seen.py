"""What a file was when it was last seen, so that a change by somebody else is noticed before it is overwritten."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from core.files.paths import is_file


@dataclass(frozen=True, slots=True)
class Seen:
    """Size and digest of a file's bytes; both None where there is no file."""

    size: int | None
    digest: str | None


def seen(path: Path) -> Seen:
    """Return what a file is now.

    Parameters
    ----------
    path : Path
        The file.
    """
    if not is_file(path):
        return Seen(None, None)
    try:
        data = path.read_bytes()
    except OSError:
        return Seen(None, None)
    return Seen(len(data), hashlib.sha256(data).hexdigest())
