"""The command line: one parser, one line an error, exit code 0 done, 1 a finding, 2 bad input."""

from __future__ import annotations

import argparse
import io
import math
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn

from app import __version__
from core.errors import InputError

_PAIRED = ("--at", "--origin", "--region", "--up", "--elevation", "--height", "--above")
_COMMANDS = ("check", "read", "map", "zones", "fences", "validate")


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise InputError(message, fix=f"See {self.prog} --help")


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


def _percents(text: str) -> tuple[float, ...]:
    try:
        values = tuple(float(part) for part in text.split(",") if part)
    except ValueError:
        values = ()
    if not values or not all(math.isfinite(v) and 0 < v <= 1e9 for v in values) or len(values) > 20:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not percents with commas between, like 20,100"
        )
    return values


def _cells(text: str) -> tuple[int, int]:
    try:
        columns, rows = (int(part) for part in text.lower().split("x"))
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a size like 320x240") from None
    return rows, columns


def _body_options(parser: argparse.ArgumentParser) -> None:
    group = parser.add_mutually_exclusive_group()
    group.add_argument(
        "--body", action="store_true", help="standing body, 0 to 2 m over the surface"
    )
    group.add_argument("--climber", action="store_true", help="climber, 1 m below to 1 m above")
    group.add_argument("--point", action="store_true", help="a single point")
    parser.add_argument(
        "--average", action="store_true", help="spatial average instead of spatial peak"
    )


def _view_options(parser: argparse.ArgumentParser) -> None:
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
    _body_options(parser)


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of every command."""
    parser = _Parser(
        prog="isofence",
        description="Percent of the RF exposure limit over a site: calculated, with reasons. "
        "isofence SITE opens the window.",
    )
    parser.add_argument("--version", action="version", version=f"isofence {__version__}")
    commands = parser.add_subparsers(dest="command", parser_class=_Parser, metavar="COMMAND")

    one = commands.add_parser("window", help="open the window (also: isofence SITE)")
    one.add_argument("site", nargs="?")

    one = commands.add_parser("check", help="every doubt about a site file, or ok")
    one.add_argument("site")

    one = commands.add_parser("read", help="one reading with its reasons, or many from a CSV")
    one.add_argument("site")
    one.add_argument(
        "--at", type=numbers(3), metavar="X,Y,Z", help="m east, north, above the site datum"
    )
    one.add_argument("--points", metavar="IN.csv", help="read every x,y,z of a CSV")
    one.add_argument("-o", "--output", metavar="FILE")
    one.add_argument("--json", action="store_true", help="print data instead of text")
    _body_options(one)

    one = commands.add_parser("map", help="draw a plan or an elevation as PNG, SVG or PDF")
    one.add_argument("site")
    which = one.add_mutually_exclusive_group()
    which.add_argument("--plan", action="store_true", help="a plan (the default)")
    which.add_argument(
        "--elevation", type=number, metavar="AZ", help="the vertical plane along an azimuth"
    )
    one.add_argument("-o", "--output", metavar="FILE", required=True)
    one.add_argument("--tier", choices=("public", "occupational"), default="public")
    one.add_argument(
        "--contours", type=_percents, default=(5.0, 20.0, 100.0, 1000.0), metavar="P,P,..."
    )
    _view_options(one)
    one.add_argument(
        "--cells", type=_cells, default=(300, 300), metavar="COLSxROWS", help="resolution"
    )
    one.add_argument("--width", type=int, default=1600, metavar="PX", help="width of a PNG")
    one.add_argument("--feet", action="store_true", help="label in feet")

    one = commands.add_parser(
        "zones", help="proven zones: GeoJSON, pictures, ladder heights as CSV, signs"
    )
    one.add_argument("site")
    one.add_argument(
        "-o", "--output", metavar="FILE", required=True, help=".geojson, .csv or a picture"
    )
    one.add_argument(
        "--elevation", type=number, metavar="AZ", help="a vertical plane (pictures only)"
    )
    _view_options(one)
    one.add_argument(
        "--threshold", type=number, metavar="P", help="one zone over P percent of a limit instead"
    )
    one.add_argument(
        "--tier", choices=("public", "occupational"), help="whose limit (with --threshold)"
    )
    one.add_argument(
        "--percent", type=number, metavar="P", help="tolerance, percent of the threshold"
    )
    one.add_argument("--metres", type=number, metavar="M", help="tolerance, metres")
    one.add_argument(
        "--seconds", type=number, default=60.0, metavar="S", help="ceiling for each zone"
    )
    one.add_argument("--feet", action="store_true", help="label in feet")

    one = commands.add_parser(
        "fences", help="check the site's fences against proven zones, or fit some"
    )
    one.add_argument("site")
    one.add_argument("--fit", action="store_true", help="fit fences and write the site with them")
    one.add_argument("-o", "--output", metavar="FILE.json")
    one.add_argument("--tier", choices=("public", "occupational"), default="public")
    one.add_argument(
        "--threshold", type=number, default=100.0, metavar="P", help="percent of the limit"
    )
    one.add_argument("--margin", type=number, default=0.5, metavar="M", help="metres from the zone")
    one.add_argument(
        "--slack", type=number, default=1.0, metavar="M", help="metres farther, to save corners"
    )
    one.add_argument("--corners", type=int, default=8, metavar="N", help="most corners of a fence")
    one.add_argument(
        "--seconds", type=number, default=60.0, metavar="S", help="ceiling for each zone"
    )
    one.add_argument("--feet", action="store_true", help="stop heights in whole feet")

    one = commands.add_parser(
        "validate", help="how far the models are from published and exact values"
    )
    one.add_argument("-o", "--output", metavar="FILE", help="the whole report, as .pdf or .md")
    return parser


def _joined(argv: Sequence[str]) -> list[str]:
    """Join ``--at -3,2,1`` to ``--at=-3,2,1``: a value that begins with a minus is no option."""
    out: list[str] = []
    for word in argv:
        if out and out[-1] in _PAIRED:
            out[-1] = f"{out[-1]}={word}"
        else:
            out.append(word)
    return out


def _command_or_file(word: str) -> None:
    """Say which word is unknown when it is neither a command nor a file."""
    if not Path(word).exists() and not word.endswith(".json"):
        raise InputError(
            f"{word!r} is neither a command nor a site file",
            fix=f"Commands are {', '.join(_COMMANDS)}",
        )


def run(argv: Sequence[str]) -> int:
    """Run one command and return its exit code; errors are raised."""
    words = _joined(argv)
    if not words or (words[0] not in (*_COMMANDS, "window") and not words[0].startswith("-")):
        words = ["window", *words]
    if words[0] == "window" and len(words) > 1 and not words[1].startswith("-"):
        _command_or_file(words[1])
    args = build_parser().parse_args(words)
    if args.command == "window":
        from app.cli.window import open_window

        return open_window(args.site)
    from app.cli import commands, fences, validate, zones

    if args.command == "map" and not 200 <= args.width <= 10_000:
        raise InputError(f"{args.width} px", field="--width", fix="Use 200 to 10000")
    call: dict[str, Callable[[argparse.Namespace], int]] = {
        "check": commands.check,
        "read": commands.read_command,
        "map": commands.map_command,
        "validate": validate.validate_command,
        "zones": zones.zones_command,
        "fences": fences.fences_command,
    }
    return call[args.command](args)


def main(argv: Sequence[str] | None = None) -> int:
    """Entry point: one clear line for bad input, never a traceback for it."""
    for stream in (sys.stdout, sys.stderr):
        # π, λ and ² are not in every terminal's letters, nor need a path be UTF-8.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    try:
        return run(sys.argv[1:] if argv is None else argv)
    except InputError as error:
        print(f"isofence: {error.line()}", file=sys.stderr)
        return 2
    except MemoryError:
        print(
            "isofence: not enough memory for this. Ask for fewer cells or points", file=sys.stderr
        )
        return 2
    except RecursionError:
        print("isofence: the input is nested too deeply", file=sys.stderr)
        return 2
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except KeyboardInterrupt:
        return 130
