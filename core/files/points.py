"""Points in, readings out, as CSV."""

from __future__ import annotations

import csv
import io
import math
from array import array
from pathlib import Path
from typing import IO, Any

import numpy as np

from core.arrays import Floats, Points
from core.errors import InputError
from core.exposure.batch import Batch
from core.files.atomic import write_with
from core.files.paths import is_file
from core.site.places import FARTHEST
from core.text import cell
from core.views.body import Body

MOST_POINTS = 5_000_000
LARGEST_FILE = 500_000_000


def read_points(path: Path) -> Points:
    """Return points (n, 3) of a CSV with columns x, y and z in m; more columns are ignored.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    InputError
        If the file or a line of it cannot be used.
    """
    source = str(path)
    try:
        if not is_file(path) and path.exists():
            raise InputError("is no ordinary file", source=source, fix="Give a CSV file")
        if is_file(path) and path.stat().st_size > LARGEST_FILE:
            raise InputError("is too large", source=source, fix="Split it")
        with path.open(encoding="utf-8-sig", newline="") as lines:
            return _points(csv.reader(lines), source)
    except FileNotFoundError:
        raise InputError("does not exist", source=source, fix="Check the path") from None
    except InputError:
        raise
    except (OSError, ValueError):
        raise InputError("cannot be read as text", source=source, fix="Give a CSV file") from None
    except csv.Error as error:
        raise InputError(f"is no CSV ({error})", source=source, fix="Give a CSV file") from None


def _points(rows: Any, source: str) -> Points:
    header = [h.strip().lower() for h in next(rows, [])]
    try:
        columns = [header.index(name) for name in ("x", "y", "z")]
    except ValueError:
        raise InputError(
            "has no columns x, y, z in its first line",
            source=source,
            fix="Begin with the line: x,y,z",
        ) from None
    # Numbers one after the other: a tuple a point would take six times the memory.
    points = array("d")
    for row in rows:
        if not any(cell.strip() for cell in row):
            continue
        points.extend(_point(row, columns, source, rows.line_num))
        if len(points) > 3 * MOST_POINTS:
            raise InputError(f"has more than {MOST_POINTS} points", source=source, fix="Split it")
    if not points:
        raise InputError("has no points", source=source, fix="Add lines of x,y,z")
    return np.array(points, dtype=np.float64).reshape(-1, 3)


def _point(
    row: list[str], columns: list[int], source: str, line: int
) -> tuple[float, float, float]:
    try:
        x, y, z = (float(row[c]) for c in columns)
    except (ValueError, IndexError):
        raise InputError(
            "does not hold three numbers",
            source=source,
            field=f"line {line}",
            fix="Write x,y,z in m with decimal points",
        ) from None
    if not all(math.isfinite(v) and abs(v) <= FARTHEST for v in (x, y, z)):
        raise InputError(
            "is not a place on a site",
            source=source,
            field=f"line {line}",
            fix="Use metres within 100 km of the datum",
        )
    return x, y, z


def write_readings(
    path: Path, points: Points, foot: Floats, body: Body, limit_set: str, batch: Batch
) -> None:
    """Write one line a point: place, percents, category, flag, strongest emitter, and how it was read.

    ``foot`` (n,) is the height at which each column stands or hangs, which need not be the point's z.

    Parameters
    ----------
    path : Path
        The file.
    body : Body
        The column of heights that is exposed.
    limit_set : str
        The limits in force.
    batch : Batch
        The readings.

    Raises
    ------
    InputError
        If the file cannot be written.
    """
    words = ("undetermined", "One", "Two", "Three", "Four")
    rule = body.words if len(body.heights) > 1 else "single point"

    def write(file: IO[bytes]) -> None:
        # As it goes: the text of millions of lines would fill the memory.
        out = io.TextIOWrapper(file, "utf-8", newline="")
        table = csv.writer(out, lineterminator="\n")
        table.writerow(
            [
                "x", "y", "z", "percent_public", "percent_occupational", "category", "no_figure",
                "strongest_emitter", "read_at_z", "body", "limit_set",
            ]
        )  # fmt: skip
        for i, (x, y, z) in enumerate(points.tolist()):
            table.writerow(
                [
                    x, y, z, 100.0 * float(batch.public[i]), 100.0 * float(batch.occupational[i]),
                    words[int(batch.category[i])], str(bool(batch.reactive[i])).lower(),
                    cell(batch.names[int(batch.strongest[i])]) if batch.names else "",
                    float(foot[i]), rule, limit_set,
                ]
            )  # fmt: skip
        out.flush()
        out.detach()

    write_with(path, write)
