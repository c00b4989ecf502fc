"""The ``check`` command: every doubt about a site file."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from app.cli.options import body_of, body_options, numbers, site_of, site_options
from app.cli.read import place
from core.entry.way import way_of
from core.entry.way_cautions import way_cautions
from core.errors import InputError
from core.reading.data import NO_SURFACE
from core.reading.doubts import doubts
from core.reading.reading import no_surface
from core.reading.unsaid import unsaid
from core.site.site import Site
from core.views.body import POINT


def _options(parser: argparse.ArgumentParser) -> None:
    site_options(parser)
    parser.add_argument(
        "--at",
        type=numbers(3),
        metavar="X,Y,Z",
        help="also what nobody has said about the emitters, and what it makes of the figure there",
    )
    body_options(parser)


def check(args: argparse.Namespace) -> int:
    """Print every doubt about a site, or "ok"; with a place what nobody has said that matters there."""
    path = Path(args.site)
    site = site_of(args)
    lines = doubts(site)
    lines += [*_of_the_picture(site, path), *_of_the_ways(site, lines)]
    if args.at is None and (args.body or args.climber or args.point or args.average):
        raise InputError("goes with --at only", field="body", fix="Add --at X,Y,Z")
    if args.at is not None:
        body = body_of(args, POINT)
        here, warning = place(site, args.at, body)
        lines += [warning] if warning else []
        if no_surface(site, here, body):
            lines.append(
                f"at {here[0]:g}, {here[1]:g}, {here[2]:g} m: {NO_SURFACE}, so there is no verdict"
            )
        lines += [one.words(site.limit_set) for one in unsaid(site, here, body)]
    if not lines:
        print("ok")
        return DONE
    for line in lines:
        print(line)
    return FINDING


def _of_the_picture(site: Site, path: Path) -> list[str]:
    if site.picture is None:
        return []
    # What draws takes a third of the time of a start; most checks need none of it.
    from app.draw.picture import picture_doubt, picture_path

    return [line for line in [picture_doubt(site, picture_path(site, path.parent))] if line]


def _of_the_ways(site: Site, told: Sequence[str]) -> list[str]:
    """Return what the ways of jobs take for granted, or why one is none where that is not told yet."""
    lines: list[str] = []
    for job in site.jobs:
        if job.route is None:
            continue
        head = f"job {job.name}: "
        try:
            lines += [f"{head}{text}" for text in way_cautions(site, way_of(site, job))]
        except InputError as error:
            if not any(line.startswith(head) for line in told):
                lines.append(error.line())
    return lines


COMMAND = Command("check", "every doubt about a site file, or ok", _options, check)
