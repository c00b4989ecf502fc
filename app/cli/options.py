"""Options that several commands share: numbers, the body, the view; and what they ask for."""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from core.errors import InputError
from core.exposure.surveyed import raises
from core.files.site_file import load_site
from core.reading.provisos import provisos, silent, uncounted
from core.site.site import Site
from core.site.states import in_state
from core.views.body import CLIMBING, POINT, STANDING, Body
from core.views.defaults import default_elevation, default_plan
from core.views.views import Height, View

if TYPE_CHECKING:
    from app.draw.furniture import Setup

LARGEST = 1e6
"""Largest number on the command line: metres, degrees, percents and seconds all stay below."""


def numbers(count: int) -> Callable[[str], tuple[float, ...]]:
    """Return an argparse type for ``count`` numbers with commas between, none beyond :data:`LARGEST`."""

    def parse(text: str) -> tuple[float, ...]:
        try:
            values = tuple(float(part) for part in text.split(","))
        except ValueError:
            values = ()
        if len(values) != count or not all(abs(v) <= LARGEST for v in values):
            raise argparse.ArgumentTypeError(
                f"{text!r} is not {count} numbers with commas between, like 1.5,-2,0"
            )
        return values

    return parse


def number(text: str) -> float:
    """Return a number that is not beyond :data:`LARGEST`, for argparse."""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not abs(value) <= LARGEST:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number from -1e6 to 1e6")
    return value


def percents(text: str) -> tuple[float, ...]:
    """Return percents with commas between, for argparse."""
    try:
        values = tuple(float(part) for part in text.split(",") if part)
    except ValueError:
        values = ()
    if not values or not all(math.isfinite(v) and 0 < v <= 1e9 for v in values) or len(values) > 20:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not percents with commas between, like 20,100"
        )
    return values


def cells(text: str) -> tuple[int, int]:
    """Return (rows, columns) of text like 320x240, for argparse."""
    try:
        columns, rows = (int(part) for part in text.lower().split("x"))
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a size like 320x240") from None
    if min(rows, columns) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} has no cells. Ask for at least 1x1")
    return rows, columns


def site_options(parser: argparse.ArgumentParser) -> None:
    """Add the site file and the named state that :func:`site_of` reads."""
    parser.add_argument("site", help="a site file")
    parser.add_argument(
        "--state",
        metavar="NAME",
        help="the site in one of its named states, not as its antennas are",
    )


def site_of(args: argparse.Namespace) -> Site:
    """Return the site of a command's file, in the named state that is asked for."""
    site = load_site(args.site)
    if args.state is None:
        return site
    try:
        return in_state(site, args.state)
    except InputError as error:
        raise error.within(source=args.site) from None


def body_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that :func:`body_of` reads."""
    group = parser.add_mutually_exclusive_group()
    group.add_argument(
        "--body", action="store_true", help="standing body, 0 to 2 m over the surface"
    )
    group.add_argument("--climber", action="store_true", help="climber, 1 m below to 1 m above")
    group.add_argument("--point", action="store_true", help="a single point")
    parser.add_argument(
        "--average", action="store_true", help="spatial average instead of spatial peak"
    )


def view_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that :func:`view_of` reads."""
    height = parser.add_mutually_exclusive_group()
    height.add_argument(
        "--height", type=number, metavar="Z", help="plan at Z m above the site datum"
    )
    height.add_argument(
        "--above", type=number, metavar="H", help="plan H m above the surface under each point"
    )
    parser.add_argument("--region", type=numbers(4), metavar="W,S,E,N", help="piece of the plan, m")
    parser.add_argument(
        "--origin", type=numbers(2), metavar="X,Y", help="where an elevation cuts, m"
    )
    parser.add_argument(
        "--up", type=numbers(2), metavar="LOW,HIGH", help="heights of an elevation, m"
    )
    body_options(parser)


def sheet_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that :func:`setup_of` reads."""
    parser.add_argument("--paper", default="A4", metavar="SIZE", help="A4, Letter or A3, across")
    parser.add_argument(
        "--scale", metavar="1:N", help="the drawing's scale (the largest that fits, if left out)"
    )
    parser.add_argument("--job", default="", metavar="TEXT", help="the job, for the title block")
    parser.add_argument(
        "--date", default="", metavar="YYYY-MM-DD",
        help="the date in the title block (that of the site's revision, if left out)",
    )  # fmt: skip


def setup_of(args: argparse.Namespace) -> Setup:
    """Return how the sheets are made that the options ask for."""
    from app.draw.furniture import Setup
    from app.draw.paper import paper_of, scale_of
    from app.draw.titles import check_setup

    try:
        paper, scale = paper_of(args.paper), None if args.scale is None else scale_of(args.scale)
        check_setup(args.job, args.date)
    except InputError as error:
        raise InputError(error.message, field=f"--{error.field}", fix=error.fix) from None
    feet = getattr(args, "feet", False)
    return Setup(paper=paper, scale=scale, job=args.job, date=args.date, feet=feet)


def body_of(args: argparse.Namespace, default: Body) -> Body:
    """Return the body column that the options ask for."""
    column = (
        STANDING if args.body else CLIMBING if args.climber else POINT if args.point else default
    )
    if args.average:
        if len(column.heights) < 2:
            raise InputError(
                "needs a body column", field="--average", fix="Add --body or --climber"
            )
        return Body(column.heights, average=True)
    return column


def view_of(site: Site, args: argparse.Namespace) -> View:
    """Return the plan or elevation that the options of a command ask for."""
    flat = {"--height": args.height, "--above": args.above, "--region": args.region}
    upright = {"--up": args.up, "--origin": args.origin}
    for option, value in (flat if args.elevation is not None else upright).items():
        if value is not None:
            what = "an elevation" if args.elevation is not None else "a plan"
            raise InputError(f"does not go with {what}", field=option, fix="Leave one of them out")
    if args.elevation is not None:
        upright_view = default_elevation(site, args.elevation, args.origin, body_of(args, CLIMBING))
        return upright_view if args.up is None else replace(upright_view, up=args.up)
    height = Height(0.0, True)
    if args.height is not None:
        height = Height(args.height, False)
    elif args.above is not None:
        height = Height(args.above, True)
    single = args.height is not None or args.above is not None
    plan = default_plan(site, height, body_of(args, POINT if single else STANDING))
    return plan if args.region is None else replace(plan, region=args.region)


def say_provisos(site: Site) -> bool:
    """Print what no figure counts, counts on trust or is raised by; say whether anything is not counted or raised."""
    for line in provisos(site):
        print(line)
    return bool(uncounted(site) or silent(site) or raises(site))
