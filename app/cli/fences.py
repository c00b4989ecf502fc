"""The ``fences`` command: check the fences of a site against proven zones, or fit new ones."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from app.cli.command import DONE, FINDING, Command
from app.cli.options import (
    number,
    numbers,
    say_provisos,
    setup_of,
    sheet_options,
    site_of,
    site_options,
)
from core.errors import InputError
from core.fences.around import CORNERS, MARGIN, SLACK
from core.fences.fence import Check
from core.fences.fitting import fit_site
from core.fences.held import check_with_zones
from core.fences.site_fences import Fit, chain, check_plan, fence_view
from core.files.companions import check_along, take_along
from core.files.paths import same_file
from core.files.site_writer import save_site
from core.limits.tier import Tier
from core.proof.tolerance import Ceiling
from core.reading.cautions import SHORT
from core.site.site import Site
from core.site.terraces import DROP
from core.units import show_length
from core.zones.site_zones import SiteZones, unknown_sides, unknown_words

if TYPE_CHECKING:
    from app.draw.furniture import Setup


def _options(parser: argparse.ArgumentParser) -> None:
    site_options(parser)
    parser.add_argument(
        "--fit", action="store_true", help="fit fences and write the site with them"
    )
    parser.add_argument(
        "-o", "--output", metavar="FILE",
        help="the new site (.json, with --fit), or sheets of the fences (.pdf, .png or .svg)",
    )  # fmt: skip
    parser.add_argument(
        "--tier", choices=("public", "occupational"), default="public", help="whose limit"
    )
    parser.add_argument(
        "--threshold", type=number, default=100.0, metavar="P", help="percent of the limit"
    )
    parser.add_argument(
        "--margin", type=number, metavar="M",
        help=f"metres from the zone, on ladders too (as it is: {MARGIN:g}, on ladders {Fit().on_ladders:g})",
    )  # fmt: skip
    parser.add_argument(
        "--slack", type=number, default=SLACK, metavar="M", help="metres farther, to save corners"
    )
    parser.add_argument(
        "--corners", type=int, default=CORNERS, metavar="N", help="most corners of a fence"
    )
    parser.add_argument(
        "--seconds", type=number, default=300.0, metavar="S", help="ceiling for each zone"
    )
    parser.add_argument(
        "--drop", type=number, default=DROP, metavar="M", help="least drop that is an edge, metres"
    )
    parser.add_argument(
        "--region", type=numbers(4), metavar="W,S,E,N", help="fit only in a piece of the plan, m"
    )
    parser.add_argument("--feet", action="store_true", help="lengths in feet")
    sheet_options(parser)


def fences_command(args: argparse.Namespace) -> int:
    """Check every fence, or fit fences and write the site that has them."""
    if not 0.1 <= args.drop <= 100.0:
        raise InputError(f"{args.drop:g}", field="--drop", fix="Use 0.1 to 100 m")
    if args.region is not None and not args.fit:
        raise InputError(
            "goes with --fit only", field="--region", fix="A check follows every zone to its end"
        )
    site = site_of(args)
    ceiling = Ceiling(seconds=args.seconds)
    if args.fit:
        return _fit(site, args, ceiling)
    if not site.fences:
        raise InputError(
            "has no fence",
            source=args.site,
            field="fences",
            fix="Add --fit -o NEW.json to make some",
        )
    setup = setup_of(args)
    if args.output:
        from app.draw.book import check_format
        from app.draw.sheet import check_fit

        check_format(Path(args.output))
        check_fit(fence_view(site), setup)
    checks, zones = check_with_zones(site, ceiling=ceiling, drop=args.drop)
    holds = _say(site, checks, args)
    _say_unknown(site, [(f.threshold, f.tier) for f in site.fences])
    uncounted = say_provisos(site)
    if args.output:
        _draw(site, zones, checks, setup, args)
    return DONE if holds and not uncounted else FINDING


def _draw(
    site: Site,
    zones: SiteZones | None,
    checks: dict[str, Check],
    setup: Setup,
    args: argparse.Namespace,
) -> None:
    """Write sheets of the fences with the zones that they were checked against."""
    from app.draw.book import save_sheets
    from app.draw.sheet import fence_sheets

    folder = Path(args.site).parent
    sheets = fence_sheets(site, zones, checks, setup=setup, folder=folder, drop=args.drop)
    left_out = save_sheets(Path(args.output), sheets)
    print(args.output)
    if left_out:
        print(f"isofence: {left_out}", file=sys.stderr)


def _say(site: Site, checks: dict[str, Check], args: argparse.Namespace) -> bool:
    """Print a line for each check, with what the fence takes; say whether all hold."""
    by_name = {f.name: f for f in site.fences}
    for name, one in checks.items():
        fence = by_name.get(name)
        if fence is not None and fence.outline:
            takes = f"; {chain(site, fence, args.drop).words(feet=args.feet)}"
        else:
            takes = ""
        print(f"{name}: {one.words(feet=args.feet)}{takes}")
    print(f"Edges are drops of {show_length(args.drop, feet=args.feet)} or more. {SHORT}")
    return all(one.holds for one in checks.values())


def _say_unknown(site: Site, asked: Sequence[tuple[float, Tier]]) -> None:
    """Print on which sides there is ground that no fence was checked on, because nobody drew it."""
    public_first = min(asked, key=lambda one: (one[1] != "public", one[0]))
    words = unknown_words(unknown_sides(site, *public_first))
    if words:
        print(f"{words}.")


def _fit(site: Site, args: argparse.Namespace, ceiling: Ceiling) -> int:
    if not args.output or not args.output.endswith(".json"):
        raise InputError(
            "is missing", field="-o", fix="Name the .json file for the site with its fences"
        )
    output = Path(args.output)
    if same_file(output, args.site):
        raise InputError(
            "is the site that is read", source=args.output, field="-o", fix="Name a new file"
        )
    check_along(site, Path(args.site).parent, output.parent)
    threshold = args.threshold / 100.0
    settings = Fit(slack=args.slack, corners=args.corners, drop=args.drop)
    if args.margin is not None:
        settings = replace(settings, margin=args.margin, on_ladders=args.margin)
    fitted = fit_site(
        site, args.tier, threshold, settings, region=args.region, feet=args.feet, ceiling=ceiling
    )
    made, found, fenced = fitted.made, fitted.zone, fitted.site
    lines = tuple(f for f in made if f.outline)
    checks = check_plan(replace(site, fences=lines), lines, found, args.drop)
    copied = take_along(site, Path(args.site).parent, output.parent)
    save_site(fenced, output)
    if fitted.replaced:
        print(f"in the place of: {', '.join(fitted.replaced)}")
    for fence in made:
        if fence.outline:
            print(f"{fence.name}: {len(fence.outline)} corners")
        else:
            spans = ", ".join(f"{low:.2f} to {high:.2f} m" for low, high in fence.stops)
            print(f"{fence.name}: nobody stops from {spans}")
    holds = _say(fenced, checks, args)
    if not found.complete:
        print(f"NOT PROVEN: {found.message}")
    if found.undrawn.area:
        print(
            f"NOTE: {found.undrawn.area:.1f} m² of the zone lie where no surface is drawn; the datum counts as ground"
        )
    _say_unknown(site, [(threshold, args.tier)])
    uncounted = say_provisos(site)
    for name in copied:
        print(output.parent / name)
    if args.state is not None:
        print(f"The site that was written is in the state '{args.state}'")
    print(output)
    return DONE if holds and found.complete and not uncounted else FINDING


COMMAND = Command(
    "fences", "check the site's fences against proven zones, or fit some", _options, fences_command
)
