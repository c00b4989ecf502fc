"""The ``map`` command: a plan or an elevation as a picture."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from app.cli.command import DONE, Command
from app.cli.options import (
    cells,
    number,
    percents,
    say_provisos,
    setup_of,
    sheet_options,
    site_of,
    site_options,
    view_of,
    view_options,
)
from core.errors import InputError
from core.exposure.raster import raster
from core.limits.tier import TIERS


def _options(parser: argparse.ArgumentParser) -> None:
    site_options(parser)
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--plan", action="store_true", help="a plan (the default)")
    which.add_argument(
        "--elevation", type=number, metavar="AZ", help="the vertical plane along an azimuth"
    )
    parser.add_argument(
        "-o", "--output", metavar="FILE", required=True, help="a .png, .svg or .pdf"
    )
    parser.add_argument("--tier", choices=TIERS, default="public", help="whose limit")
    parser.add_argument(
        "--contours",
        type=percents,
        default=(5.0, 20.0, 100.0, 1000.0),
        metavar="P,P,...",
        help="lines at these percents of the limit",
    )
    view_options(parser)
    parser.add_argument(
        "--cells", type=cells, default=(300, 300), metavar="COLSxROWS", help="resolution"
    )
    parser.add_argument("--width", type=int, default=1600, metavar="PX", help="width of a PNG")
    parser.add_argument("--feet", action="store_true", help="label in feet")
    sheet_options(parser)


def map_command(args: argparse.Namespace) -> int:
    """Draw a plan or an elevation to a file."""
    from app.draw.book import check_format
    from app.draw.picture import picture_doubt, picture_path
    from app.draw.sheet import check_fit, save_map

    if not 200 <= args.width <= 10_000:
        raise InputError(f"{args.width} px", field="--width", fix="Use 200 to 10000")
    path = Path(args.output)
    check_format(path)
    setup = setup_of(args)
    site = site_of(args)
    view = view_of(site, args)
    check_fit(view, setup)
    picture = raster(site, view, args.cells)
    left_out = save_map(
        path,
        site,
        picture,
        tier=args.tier,
        contours=args.contours,
        setup=setup,
        folder=Path(args.site).parent,
        width_px=args.width,
    )
    say_provisos(site)
    print(args.output)
    if left_out:
        print(f"isofence: {left_out}", file=sys.stderr)
    doubt = picture_doubt(site, picture_path(site, Path(args.site).parent))
    if doubt:
        print(f"isofence: {doubt}", file=sys.stderr)
    return DONE


COMMAND = Command("map", "draw a plan or an elevation as PNG, SVG or PDF", _options, map_command)
