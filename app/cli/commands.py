"""What each command of the command line does. No Qt here."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import replace
from pathlib import Path

from app.draw.picture import picture_doubt
from core.errors import InputError
from core.exposure.batch import read_many
from core.exposure.raster import raster
from core.files.points import read_points, write_readings
from core.files.site_file import load_site
from core.reading.doubts import doubts
from core.reading.reading import Reading, read
from core.reading.report import as_data, as_text
from core.site.site import Site
from core.site.surfaces import foot_height, standing_on
from core.views.body import CLIMBING, POINT, STANDING, Body
from core.views.defaults import default_elevation, default_plan
from core.views.views import Height, View
from core.views.words import posture

DONE, FINDING, BAD_INPUT = 0, 1, 2


def check(args: argparse.Namespace) -> int:
    """Print every doubt about a site, or "ok"."""
    path = Path(args.site)
    site = load_site(path)
    lines = [*doubts(site), *filter(None, [picture_doubt(site, path.parent)])]
    if not lines:
        print("ok")
        return DONE
    for line in lines:
        print(line)
    return FINDING


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
    site = load_site(args.site)
    body = body_of(args, POINT)
    if args.points:
        return _read_points(site, args, body)
    if args.at is None:
        raise InputError(
            "is missing", field="--at", fix="Give --at X,Y,Z or --points IN.csv -o OUT.csv"
        )
    position, warning = place(site, args.at, body)
    reading = read(site, position, body, posture(site, position, body), warning)
    text = (
        json.dumps(as_data(reading), indent=2, ensure_ascii=False) + "\n"
        if args.json
        else as_text(reading)
    )
    _out(args.output, text)
    return finding(reading)


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
    if output.exists() and any(output.samefile(p) for p in (args.site, args.points)):
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
    print(f"{len(points)} points read, {over} not under the public limit: {args.output}")
    return FINDING if over else DONE


def _out(path: str | None, text: str) -> None:
    if path is None:
        sys.stdout.write(text)
        return
    from core.files.atomic import write_file

    write_file(Path(path), text)
    print(path)


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


def map_command(args: argparse.Namespace) -> int:
    """Draw a plan or an elevation to a file."""
    from app.draw.sheet import FORMATS, save_map

    path = Path(args.output)
    if path.suffix.lower() not in FORMATS:
        raise InputError(
            f"{path.suffix or 'no ending'} is not a picture format",
            source=args.output,
            fix="End it in .png, .svg or .pdf",
        )
    site = load_site(args.site)
    picture = raster(site, view_of(site, args), args.cells)
    save_map(
        path,
        site,
        picture,
        tier=args.tier,
        contours=args.contours,
        feet=args.feet,
        folder=Path(args.site).parent,
        width_px=args.width,
    )
    print(args.output)
    say_of_picture(site, Path(args.site).parent)
    return DONE


def say_of_picture(site: Site, folder: Path) -> None:
    """Say on the error stream that a map was drawn without its picture, and why."""
    doubt = picture_doubt(site, folder)
    if doubt:
        print(f"isofence: {doubt}", file=sys.stderr)
