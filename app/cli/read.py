"""The ``read`` command: one reading with its reasons, or many from a CSV."""

from __future__ import annotations

import argparse
import json
import shutil
import sys
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from app.cli.options import (
    body_of,
    body_options,
    numbers,
    setup_of,
    sheet_options,
    site_of,
    site_options,
)
from core.errors import InputError
from core.exposure.batch import read_many
from core.exposure.surveyed import raised_words
from core.files.atomic import write_file
from core.files.paths import same_file
from core.files.points import read_points, write_readings
from core.reading.data import Reading
from core.reading.reading import read
from core.reading.report import as_data, as_text
from core.site.site import Site
from core.site.surfaces import foot_height, standing_on
from core.views.body import POINT, STANDING, Body
from core.views.words import posture

_FILE = (100, 24)
"""Columns and rows where there is no terminal."""


def _options(parser: argparse.ArgumentParser) -> None:
    site_options(parser)
    parser.add_argument(
        "--at", type=numbers(3), metavar="X,Y,Z", help="m east, north, above the site datum"
    )
    parser.add_argument("--points", metavar="IN.csv", help="read every x,y,z of a CSV")
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        help="write here instead of to the terminal; a .pdf is a sheet of paper",
    )
    parser.add_argument("--json", action="store_true", help="print data instead of text")
    parser.add_argument(
        "--why", action="store_true", help="with the reasons of every emitter and all assumptions"
    )
    body_options(parser)
    sheet_options(parser)


def place(
    site: Site, at: tuple[float, float, float], body: Body
) -> tuple[tuple[float, float, float], str]:
    """Return where the column stands or hangs, and a warning when that is not at the given height."""
    if body.heights != STANDING.heights:
        return at, ""
    x, y, z = at
    foot, _, warning = standing_on(site, x, y, z)
    return (x, y, foot), warning


def finding(reading: Reading) -> int:
    """Return the exit code of a reading: a finding unless the place is under the public limit."""
    return DONE if reading.category == 1 else FINDING


def read_command(args: argparse.Namespace) -> int:
    """Print one reading, or write many."""
    site = site_of(args)
    body = body_of(args, POINT)
    if args.points:
        return _read_points(site, args, body)
    if args.at is None:
        raise InputError(
            "is missing", field="--at", fix="Give --at X,Y,Z or --points IN.csv -o OUT.csv"
        )
    position, warning = place(site, args.at, body)
    setup = setup_of(args)
    reading = read(site, position, body, posture(site, position, body, feet=setup.feet), warning)
    if args.output and args.output.lower().endswith(".pdf") and not args.json:
        from app.draw.book import save_sheets
        from app.draw.sheet import reading_sheets

        save_sheets(Path(args.output), reading_sheets(site, reading, setup=setup))
        print(args.output)
        return finding(reading)
    text = (
        json.dumps(as_data(reading), indent=2, ensure_ascii=False) + "\n"
        if args.json
        else _text(reading, why=args.why)
    )
    _out(args.output, text)
    return finding(reading)


def _text(reading: Reading, *, why: bool) -> str:
    text = as_text(reading, shutil.get_terminal_size(_FILE).columns, why=why)
    return text if why else f"{text}\nThe reasons, all assumptions and all cautions: add --why\n"


def _read_points(site: Site, args: argparse.Namespace, body: Body) -> int:
    if args.at is not None or args.json:
        raise InputError(
            "goes with one place only", field="--at, --json", fix="Leave it out beside --points"
        )
    if not args.output:
        raise InputError("is missing", field="-o", fix="Name the CSV file to write")
    output = Path(args.output)
    if output.suffix.lower() != ".csv":
        raise InputError("is not a CSV name", source=args.output, field="-o", fix="End it in .csv")
    if any(same_file(output, p) for p in (args.site, args.points)):
        raise InputError(
            "would overwrite what is read", source=args.output, field="-o", fix="Name another file"
        )
    points = read_points(Path(args.points))
    where = points.copy()
    if body.heights == STANDING.heights:
        where[:, 2] = foot_height(site, points)
    batch = read_many(site, where, body)
    write_readings(output, points, where[:, 2], body, site.limit_set, batch)
    over = int((batch.category != 1).sum())
    for line in raised_words(site):
        print(f"{line}.")
    print(f"{len(points)} points read, {over} not under the public limit: {args.output}")
    return FINDING if over else DONE


def _out(path: str | None, text: str) -> None:
    if path is None:
        sys.stdout.write(text)
        return
    write_file(Path(path), text)
    print(path)


COMMAND = Command(
    "read", "one reading with its reasons, or many from a CSV", _options, read_command
)
