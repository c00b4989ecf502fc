"""The ``compare`` command: what a change does to people, as text, data, areas on a map, or a page."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from app.cli.options import cells, number, view_of, view_options
from app.cli.zones import PICTURES, SOFTWARE
from core.changes.comparison import compare
from core.changes.difference_map import change_map
from core.changes.report import as_data, as_text
from core.errors import InputError
from core.exposure.sources import sources
from core.files.atomic import write_file
from core.files.change_features import about_changes, change_features
from core.files.geojson import feature_collection
from core.files.paths import same_file
from core.files.site_file import load_site
from core.limits.tier import TIERS
from core.proof.tolerance import Ceiling, Tolerance
from core.site.site import Site
from core.site.states import in_state


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("before")
    parser.add_argument("after", nargs="?", help="left out: the same file, in another named state")
    parser.add_argument(
        "--state",
        action="append",
        default=[],
        metavar="NAME",
        help="a named state: once for AFTER, twice for BEFORE and AFTER",
    )
    parser.add_argument("--json", action="store_true", help="print data instead of text")
    parser.add_argument(
        "-o", "--output", metavar="FILE", help="a page (.pdf, .png, .svg), or areas (.geojson)"
    )
    parser.add_argument(
        "--elevation", type=number, metavar="AZ", help="the page shows the vertical plane along an azimuth"
    )  # fmt: skip
    view_options(parser)
    parser.add_argument(
        "--tier", choices=TIERS, default="public", help="whose limit the page shows"
    )
    parser.add_argument(
        "--cells", type=cells, default=(200, 200), metavar="COLSxROWS", help="resolution of the page's maps"
    )  # fmt: skip
    parser.add_argument(
        "--percent", type=number, metavar="P", help="tolerance of zones, percent of the threshold"
    )
    parser.add_argument("--metres", type=number, metavar="M", help="tolerance of zones, metres")
    parser.add_argument(
        "--seconds", type=number, default=300.0, metavar="S", help="ceiling for each zone"
    )
    parser.add_argument("--feet", action="store_true", help="label in feet")


def compare_command(args: argparse.Namespace) -> int:
    """Compare two states of a site, print what changed and what it does, and write a page or the areas."""
    ending = _ending(args)
    if not 0.1 <= args.seconds <= 3600.0:
        raise InputError(f"{args.seconds:g}", field="--seconds", fix="Use 0.1 to 3600")
    before, after = _states(args)
    view = view_of(after, args)
    tolerance = None
    if args.percent is not None or args.metres is not None:
        tolerance = Tolerance(percent=args.percent, metres=args.metres)
    found = compare(before, after, tolerance, ceiling=Ceiling(seconds=args.seconds), feet=args.feet)
    if args.json:
        sys.stdout.write(json.dumps(as_data(found), indent=2, ensure_ascii=False) + "\n")
    else:
        sys.stdout.write(as_text(found, feet=args.feet))
    if args.output:
        path = Path(args.output)
        if ending == ".geojson":
            features = change_features(found, SOFTWARE)
            write_file(path, feature_collection(after, features, about_changes(found, SOFTWARE)))
        else:
            from app.draw.change_sheet import save_changes

            picture = change_map(before, after, view, args.cells)
            save_changes(
                path,
                found,
                picture,
                tier=args.tier,
                feet=args.feet,
                folder=Path(args.after or args.before).parent,
            )
        # Data on the output stay data.
        print(args.output, file=sys.stderr if args.json else sys.stdout)
    return FINDING if found.worse else DONE


def _ending(args: argparse.Namespace) -> str:
    """Return the ending of the file that is asked for; what cannot be written is refused before any work."""
    ending = Path(args.output).suffix.lower() if args.output else ""
    if args.output and ending not in (".geojson", *PICTURES):
        raise InputError(
            f"{ending or 'no ending'} is not known here",
            source=args.output,
            fix="End it in .geojson, .pdf, .png or .svg",
        )
    if args.output and any(
        same_file(args.output, p) for p in (args.before, args.after or args.before)
    ):
        raise InputError(
            "would overwrite what is read", source=args.output, field="-o", fix="Name another file"
        )
    if ending not in PICTURES:
        for option in ("elevation", "height", "above", "region", "origin", "up"):
            if getattr(args, option) is not None:
                raise InputError(
                    "says what the page shows", field=f"--{option}", fix="Add -o FILE.pdf, or leave it out"
                )  # fmt: skip
    return ending


def _states(args: argparse.Namespace) -> tuple[Site, Site]:
    """Return both states: of two files, or of one in named states."""
    if len(args.state) > 2:
        raise InputError(
            f"is given {len(args.state)} times", field="--state", fix="Give it once or twice"
        )
    if args.after is None and not args.state:
        raise InputError(
            "is missing", field="AFTER", fix="Name a second file, or --state of the same one"
        )
    first = args.state[0] if len(args.state) == 2 else None
    second = args.state[-1] if args.state else None
    return _state(args.before, first), _state(args.after or args.before, second)


def _state(name: str, state: str | None) -> Site:
    """Return a site that can be computed, in a named state where one is asked for; an error names its file."""
    site = load_site(name)
    try:
        site = site if state is None else in_state(site, state)
        sources(site)
    except InputError as error:
        raise error.within(source=name) from None
    return site


COMMAND = Command(
    "compare", "what changed between two states of a site, and what it does", _options, compare_command
)  # fmt: skip
