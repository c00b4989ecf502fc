"""The ``zones`` command: proven zones as GeoJSON, picture or ladder table, and the sign schedule."""

from __future__ import annotations

import argparse
import csv
import io
import math
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from app import __version__
from app.cli.command import DONE, FINDING, Command
from app.cli.options import (
    number,
    say_provisos,
    setup_of,
    sheet_options,
    site_of,
    site_options,
    view_of,
    view_options,
)
from core.errors import InputError
from core.exposure.garment_use import ratings
from core.exposure.sources import sources
from core.files.atomic import write_file
from core.files.geojson import feature_collection
from core.files.zone_features import about, zone_features
from core.limits.sets import get_set
from core.proof.tolerance import Ceiling, Tolerance
from core.reading.signs import SignLine, sign_schedule
from core.site.site import Site
from core.text import cell
from core.views.views import View
from core.zones.ladders import LadderZone
from core.zones.site_zones import SiteZones, ladder_zones, site_zones
from core.zones.steps import STEPS, Step, step_asked, with_garment

SOFTWARE = f"Isofence {__version__}"
PICTURES = (".png", ".svg", ".pdf")
SHEETS = ("zones", "door", "ladders", "signs")


def _sheets(text: str) -> tuple[str, ...]:
    """Return kinds of sheets with commas between, for argparse."""
    kinds = tuple(dict.fromkeys(part.strip() for part in text.split(",")))
    if not set(kinds) <= set(SHEETS):
        raise argparse.ArgumentTypeError(f"{text!r} is not some of {','.join(SHEETS)}")
    return kinds


def _options(parser: argparse.ArgumentParser) -> None:
    site_options(parser)
    parser.add_argument(
        "-o", "--output", metavar="FILE", required=True, help=".geojson, .csv or a picture"
    )
    parser.add_argument(
        "--elevation", type=number, metavar="AZ", help="a vertical plane (pictures only)"
    )
    view_options(parser)
    parser.add_argument(
        "--threshold", type=number, metavar="P", help="one zone over P percent of a limit instead"
    )
    parser.add_argument(
        "--garment", metavar="NAME", help="also where this garment of the site is not enough"
    )
    parser.add_argument(
        "--tier", choices=("public", "occupational"), help="whose limit (with --threshold)"
    )
    parser.add_argument(
        "--percent", type=number, metavar="P", help="tolerance, percent of the threshold"
    )
    parser.add_argument("--metres", type=number, metavar="M", help="tolerance, metres")
    parser.add_argument(
        "--seconds", type=number, default=300.0, metavar="S", help="ceiling for each zone"
    )
    parser.add_argument("--feet", action="store_true", help="label in feet")
    parser.add_argument(
        "--sheets", type=_sheets, metavar="KIND,...",
        help="what is drawn: zones; door (one corner a sheet, to hang up); ladders; signs. A PDF of the plan has "
        "zones, ladders and signs, if left out",
    )  # fmt: skip
    sheet_options(parser)


def zones_command(args: argparse.Namespace) -> int:
    """Write proven zones to a file and print what they say."""
    path = Path(args.output)
    ending = path.suffix.lower()
    if ending not in (".geojson", ".csv", *PICTURES):
        raise InputError(
            f"{path.suffix or 'no ending'} is not known here",
            source=args.output,
            fix="End it in .geojson, .csv, .png, .svg or .pdf",
        )
    if args.elevation is not None and ending not in PICTURES:
        raise InputError(
            "goes with pictures only", field="--elevation", fix="End the file in .png, .svg or .pdf"
        )
    if args.sheets is not None and ending not in PICTURES:
        raise InputError(
            "goes with pictures only", field="--sheets", fix="End the file in .pdf, .png or .svg"
        )
    if ending == ".csv":
        _not_with_ladders(args)
    if args.tier is not None and args.threshold is None:
        raise InputError("goes with --threshold only", field="--tier", fix="Add --threshold 100")
    if args.garment is not None and args.threshold is not None:
        raise InputError(
            "does not go with --threshold", field="--garment", fix="Leave one of them out"
        )
    if args.threshold is not None and not 1e-4 <= args.threshold <= 1e6:
        raise InputError(f"{args.threshold:g}", field="--threshold", fix="Use 0.0001 to 1000000 %")
    if not 0.1 <= args.seconds <= 3600.0:
        raise InputError(f"{args.seconds:g}", field="--seconds", fix="Use 0.1 to 3600")
    site = site_of(args)
    tolerance = None
    if args.percent is not None or args.metres is not None:
        tolerance = Tolerance(percent=args.percent, metres=args.metres)
    ceiling = Ceiling(seconds=args.seconds)
    steps: tuple[Step, ...] = STEPS
    if args.threshold is not None:
        steps = (step_asked(args.tier or "public", args.threshold / 100.0),)
    elif args.garment is not None:
        steps = _with_garment(site, args.garment)
    if ending == ".csv":
        return _ladders(site, path, tolerance, ceiling, feet=args.feet, steps=steps)
    view = view_of(site, args)
    within = args.region is not None or args.up is not None

    def prove() -> SiteZones:
        return site_zones(site, view, tolerance, steps=steps, within=within, ceiling=ceiling)

    if ending != ".geojson":
        return _draw(site, view, path, args, prove, tolerance, ceiling)
    found = prove()
    features = zone_features(site, found, SOFTWARE)
    write_file(path, feature_collection(site, features, about(site, SOFTWARE, found)))
    missing = _say(site, found)
    print(args.output)
    if args.threshold is None:
        _say_signs(site)
    return _code(found, missing=missing)


def _say(site: Site, found: SiteZones) -> bool:
    """Print what the zones say; return whether a carrier is not counted."""
    for step, one in found.zones:
        count = len(one.region.geoms)
        pieces = f"{count} piece{'' if count == 1 else 's'}"
        print(f"{step.label(site.limit_set)}: {one.area:.1f} m² in {pieces}; {one.message}")
    for note in found.notes:
        print(f"{note}.")
    return say_provisos(site)


def _say_signs(site: Site) -> None:
    for line in sign_schedule(site):
        print(sign_words(line))


def _code(found: SiteZones, *, missing: bool) -> int:
    empty = all(one.region.is_empty for _, one in found.zones)
    return DONE if empty and not missing and not found.notes else FINDING


def _with_garment(site: Site, name: str) -> tuple[Step, ...]:
    """Return the usual steps with the end of a garment; print why it gives no credit, where it gives none."""
    garment = site.garment(name)
    for reason in ratings(garment, sources(site), get_set(site.limit_set)).reasons:
        print(f"NO CREDIT for {garment.name}: {reason}.")
    return with_garment(garment)


def _draw(
    site: Site,
    view: View,
    path: Path,
    args: argparse.Namespace,
    prove: Callable[[], SiteZones],
    tolerance: Tolerance | None,
    ceiling: Ceiling,
) -> int:
    """Write sheets of what is asked for, and print what they say."""
    from app.draw.book import save_sheets
    from app.draw.ladder_sheet import ladder_sheets
    from app.draw.sheet import check_fit, door_sheets, sign_sheets, zone_sheets

    setup, folder = setup_of(args), Path(args.site).parent
    whole = args.elevation is None and args.threshold is None
    kinds = args.sheets
    if kinds is None:
        kinds = ("zones",)
        if whole and path.suffix.lower() == ".pdf":
            kinds += ("ladders",) if site.ladders else ()
            kinds += ("signs",) if site.access_points else ()
    code, missing, sheets = DONE, False, []
    if "zones" in kinds:
        check_fit(view, setup)
    if {"zones", "door"} & set(kinds):
        found = prove()
        missing = _say(site, found)
        code = _code(found, missing=missing)
        if "zones" in kinds:
            sheets += zone_sheets(site, found, setup=setup, folder=folder)
        if "door" in kinds:
            sheets += door_sheets(site, found, setup=setup, folder=folder)
    else:
        missing = say_provisos(site)
    if "ladders" in kinds:
        spans = ladder_zones(site, tolerance, feet=args.feet, ceiling=ceiling)
        for _, one in spans:
            print(f"{one.ladder}: {one.words}")
        code = FINDING if any(one.intervals for _, one in spans) else code
        sheets += ladder_sheets(site, spans, setup=replace(setup, scale=None))
    if "signs" in kinds:
        sheets += sign_sheets(site, sign_schedule(site), setup=setup)
    left_out = save_sheets(path, sheets, width_px=1600)
    print(args.output)
    if left_out:
        print(f"isofence: {left_out}", file=sys.stderr)
    if whole:
        _say_signs(site)
    return FINDING if missing else code


def _not_with_ladders(args: argparse.Namespace) -> None:
    """Refuse what says which plan is meant: a ladder is searched along itself, for a climber."""
    for option in ("height", "above", "region", "origin", "up", "body", "point"):
        if getattr(args, option) not in (None, False):
            raise InputError(
                "does not go with ladder heights", field=f"--{option}", fix="Leave it out"
            )
    if args.average:
        raise InputError("does not go with ladder heights", field="--average", fix="Leave it out")


def sign_words(line: SignLine) -> str:
    """Return one line of the sign schedule."""
    category = (
        "no verdict" if line.category is None else f"Category {line.category.name.capitalize()}"
    )
    note = f" {line.note}" if line.note else ""
    return f"sign at {line.access.name}: {category}, {line.word}. {line.requires}{note}"


def _ladders(
    site: Site,
    path: Path,
    tolerance: Tolerance | None,
    ceiling: Ceiling,
    steps: tuple[Step, ...],
    *,
    feet: bool,
) -> int:
    if not site.ladders:
        raise InputError(
            "has no ladder", source=site.name, field="ladders", fix="Draw one, or write .geojson"
        )
    lines = ladder_zones(site, tolerance, feet=feet, steps=steps, ceiling=ceiling)
    write_file(path, ladder_table(site, lines))
    for _, one in lines:
        print(f"{one.ladder}: {one.words}")
    missing = say_provisos(site)
    print(path)
    return FINDING if missing or any(one.intervals for _, one in lines) else DONE


def _down(metres: float) -> float:
    """Return a height in whole millimetres, never above it: written spans contain the proven ones."""
    return math.floor(round(1e3 * metres, 6)) / 1e3


def ladder_table(site: Site, lines: tuple[tuple[Step, LadderZone], ...]) -> str:
    """Return the ladder intervals as CSV text, heights in m above the site datum."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(
        ["ladder", "zone", "limit_set", "tier", "threshold_percent", "from_m", "to_m", "proven", "complete",
         "software", "site_revision"]
    )  # fmt: skip
    for step, one in lines:
        for interval in one.intervals:
            table.writerow(
                [cell(one.ladder), cell(step.words), site.limit_set, step.tier, step.threshold_percent,
                 _down(interval.low), -_down(-interval.high), "true", str(one.complete).lower(),
                 SOFTWARE, cell(site.edition)]
            )  # fmt: skip
    return out.getvalue()


COMMAND = Command(
    "zones",
    "proven zones: GeoJSON, pictures, ladder heights as CSV, signs",
    _options,
    zones_command,
)
