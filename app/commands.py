"""What each command of the command line does. No Qt here."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from app.draw.picture import load_picture
from core.batch import read_many
from core.errors import InputError
from core.exposure import CLIMBING, POINT, STANDING, Body, not_covered, sources
from core.files.points import read_points, write_readings
from core.files.site_file import load_site
from core.framing import default_elevation, default_plan
from core.limits.sets import get_set
from core.reading import Reading, read
from core.report import as_data, as_text
from core.site import Condition, Site
from core.slices import raster
from core.surfaces import standing_on, surface_height
from core.units import to_db
from core.views import Height

DONE, FINDING, BAD_INPUT = 0, 1, 2


def check(args: argparse.Namespace) -> int:
    """Print every doubt about a site, or "ok"."""
    path = Path(args.site)
    site = load_site(path)
    doubts = problems(site, path.parent)
    if not doubts:
        print("ok")
        return DONE
    for doubt in doubts:
        print(doubt)
    return FINDING


def problems(site: Site, folder: Path) -> list[str]:
    """Return what a person should look at before trusting the figures.

    Raises
    ------
    InputError
        If the site cannot be computed at all.
    """
    found = sources(site)
    doubts = [
        f"{s.name}: outside the limit set {site.limit_set}: no verdict can be free of it"
        for s in not_covered(found, get_set(site.limit_set))
    ]
    for antenna in site.antennas:
        if antenna.state.condition in (Condition.STANDBY, Condition.UNKNOWN):
            doubts.append(
                f"{antenna.name}: state {antenna.state.condition.value}, counted at full power"
            )
        if antenna.state.condition is Condition.OFF:
            doubts.append(f"{antenna.name}: off but not locked out; it can come back")
        if not antenna.contact.strip() or antenna.contact.strip().lower() == "not known":
            doubts.append(f"{antenna.name}: no contact to call")
        for carrier in antenna.carriers:
            doubts += [
                f"{antenna.name}: {carrier.name}: {p}"
                for p in antenna.kind.problems(carrier.frequency)
            ]
    for s in found:
        gain = s.carrier.power.gain
        own = to_db(s.antenna.kind.directivity(s.carrier.frequency))
        if gain is not None and not s.antenna.kind.is_envelope and gain < own - 3.0:
            doubts.append(
                f"{s.name}: stated gain {gain:.4g} dBi is {own - gain:.1f} dB under the pattern's; dBd?"
            )
    if not site.surfaces:
        doubts.append("no surface is drawn: body columns stand on the site datum")
    if site.picture is not None:
        load_picture(folder / site.picture.file)
    return doubts


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
    """Return where the column stands and how that was chosen, in words."""
    x, y, z = at
    if body.heights == POINT.heights:
        return at, f"single point {z:g} m above the site datum"
    if body.heights == CLIMBING.heights:
        return at, f"climber at {z:g} m above the site datum, {body.words}"
    foot, name = standing_on(site, x, y)
    return (x, y, foot), f"standing on {name}, {body.words}"


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
    position, rule = place(site, args.at, body)
    reading = read(site, position, body, rule)
    text = (
        json.dumps(as_data(reading), indent=2, ensure_ascii=False) + "\n"
        if args.json
        else as_text(reading)
    )
    _out(args.output, text)
    return finding(reading)


def _read_points(site: Site, args: argparse.Namespace, body: Body) -> int:
    if not args.output:
        raise InputError("is missing", field="-o", fix="Name the CSV file to write")
    points = read_points(Path(args.points))
    where = points.copy()
    if body.heights == STANDING.heights:
        where[:, 2] = surface_height(site, points[:, :2])
    batch = read_many(site, where, body)
    write_readings(Path(args.output), points, batch)
    over = int((batch.category != 1).sum())
    print(f"{len(points)} points read, {over} not under the public limit: {args.output}")
    return FINDING if over else DONE


def _out(path: str | None, text: str) -> None:
    if path is None:
        sys.stdout.write(text)
        return
    from core.files.paths import write_atomically

    write_atomically(Path(path), text)
    print(path)


def map_command(args: argparse.Namespace) -> int:
    """Draw a plan or an elevation to a file."""
    from app.draw.sheet import FORMATS, save_map
    from core.views import ElevationView, PlanView

    path = Path(args.output)
    if path.suffix.lower() not in FORMATS:
        raise InputError(
            f"{path.suffix or 'no ending'} is not a picture format",
            source=args.output,
            fix="End it in .png, .svg or .pdf",
        )
    site = load_site(args.site)
    view: PlanView | ElevationView
    if args.elevation is not None:
        view = default_elevation(site, args.elevation, args.origin, body_of(args, CLIMBING))
        if args.up is not None:
            view = ElevationView(view.origin, view.azimuth, view.along, args.up, view.body)
    else:
        height = Height(0.0, True)
        if args.height is not None:
            height = Height(args.height, False)
        elif args.above is not None:
            height = Height(args.above, True)
        single = args.height is not None or args.above is not None
        view = default_plan(site, height, body_of(args, POINT if single else STANDING))
        if args.region is not None:
            view = PlanView(args.region, view.height, view.body)
    picture = raster(site, view, args.cells)
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
    return DONE
