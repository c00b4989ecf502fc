"""The world file of a picture: six numbers that say where its pixels lie."""

from __future__ import annotations

import math
from pathlib import Path

from core.errors import InputError
from core.files.paths import is_file

_LARGEST = 10_000
"""Bytes: a world file has six short lines."""


def world_file_of(picture: Path) -> Path | None:
    """Return the world file beside a picture, None where there is none.

    Parameters
    ----------
    picture : Path
        The picture; for ``plan.png`` these are tried: ``plan.pgw``, ``plan.pngw``, ``plan.png.wld``, ``plan.wld``.
    """
    ending = picture.suffix
    short = f"{ending[:2]}{ending[-1:]}w"
    names = [picture.with_suffix(short), picture.with_suffix(f"{ending}w")]
    names += [picture.with_name(picture.name + ".wld"), picture.with_suffix(".wld")]
    return next((name for name in names if is_file(name)), None)


def read_world_file(path: Path) -> tuple[float, ...]:
    """Return the six numbers of a world file, in the order they stand.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    InputError
        If it cannot be read, or is not six numbers.
    """
    try:
        text = path.read_text("utf-8-sig") if path.stat().st_size <= _LARGEST else ""
        numbers = tuple(float(word) for word in text.split())
    except (OSError, ValueError):
        numbers = ()
    if len(numbers) != 6 or not all(math.isfinite(number) for number in numbers):
        raise InputError(
            "is not a world file",
            source=str(path),
            fix="A world file has six numbers, one a line; move this file away to place the picture by hand",
        )
    return numbers
