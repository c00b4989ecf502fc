"""The ``fences`` command: check the fences of a site against proven zones, or fit new ones."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from app.cli.options import number
from core.errors import InputError
from core.fences.site_fences import Fit, check_site, fit_ladders, fit_plan
from core.files.companions import take_along
from core.files.paths import same_file
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.proof.tolerance import Ceiling
from core.site.site import Site
from core.views.defaults import default_plan
from core.zones.zone import zone


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("site")
    parser.add_argument(
        "--fit", action="store_true", help="fit fences and write the site with them"
    )
    parser.add_argument("-o", "--output", metavar="FILE.json")
    parser.add_argument("--tier", choices=("public", "occupational"), default="public")
    parser.add_argument(
        "--threshold", type=number, default=100.0, metavar="P", help="percent of the limit"
    )
    parser.add_argument(
        "--margin", type=number, default=0.5, metavar="M", help="metres from the zone"
    )
    parser.add_argument(
        "--slack", type=number, default=1.0, metavar="M", help="metres farther, to save corners"
    )
    parser.add_argument(
        "--corners", type=int, default=8, metavar="N", help="most corners of a fence"
    )
    parser.add_argument(
        "--seconds", type=number, default=60.0, metavar="S", help="ceiling for each zone"
    )
    parser.add_argument("--feet", action="store_true", help="stop heights in whole feet")


def fences_command(args: argparse.Namespace) -> int:
    """Check every fence, or fit fences and write the site that has them."""
    site = load_site(args.site)
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
    checks = check_site(site, ceiling=ceiling)
    for name, one in checks.items():
        print(f"{name}: {one.words()}")
    return DONE if all(one.holds for one in checks.values()) else FINDING


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
    threshold = args.threshold / 100.0
    settings = Fit(margin=args.margin, slack=args.slack, corners=args.corners)
    found = zone(site, threshold, args.tier, default_plan(site), ceiling=ceiling).on_surfaces(site)
    made = fit_plan(site, found, settings)
    made += fit_ladders(
        site, args.tier, threshold, margin=args.margin, feet=args.feet, ceiling=ceiling
    )
    fenced = replace(site, fences=(*site.fences, *made))
    copied = take_along(site, Path(args.site).parent, output.parent)
    save_site(fenced, output)
    for fence in made:
        if fence.outline:
            print(f"{fence.name}: {len(fence.outline)} corners")
        else:
            spans = ", ".join(f"{low:.2f} to {high:.2f} m" for low, high in fence.stops)
            print(f"{fence.name}: nobody stops from {spans}")
    for name in copied:
        print(output.parent / name)
    print(output)
    return DONE


COMMAND = Command(
    "fences", "check the site's fences against proven zones, or fit some", _options, fences_command
)
