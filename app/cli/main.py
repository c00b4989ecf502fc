"""The command line: a table of commands, one line an error, exit code 0 done, 1 a finding, 2 bad input."""

from __future__ import annotations

import argparse
import io
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from app import __version__
from app.cli import check, fences, map, read, validate, window, zones
from app.cli.command import BAD_INPUT, DONE, Command
from core.errors import InputError

COMMANDS: tuple[Command, ...] = (
    window.COMMAND,
    check.COMMAND,
    read.COMMAND,
    map.COMMAND,
    zones.COMMAND,
    fences.COMMAND,
    validate.COMMAND,
)
"""Every command, in the order of the help; the first is meant where none is named."""

_BY_NAME = {command.name: command for command in COMMANDS}
_PAIRED = ("--at", "--origin", "--region", "--up", "--elevation", "--height", "--above")


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise InputError(message, fix=f"See {self.prog} --help")


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of every command."""
    parser = _Parser(
        prog="isofence",
        description="Percent of the RF exposure limit over a site: calculated, with reasons. "
        "isofence SITE opens the window.",
    )
    parser.add_argument("--version", action="version", version=f"isofence {__version__}")
    commands = parser.add_subparsers(dest="command", parser_class=_Parser, metavar="COMMAND")
    for command in COMMANDS:
        command.options(commands.add_parser(command.name, help=command.help))
    return parser


def _joined(argv: Sequence[str]) -> list[str]:
    """Join ``--at -3,2,1`` to ``--at=-3,2,1``: a value that begins with a minus is no option."""
    out: list[str] = []
    for word in argv:
        if out and out[-1] in _PAIRED:
            if word == "--":
                raise InputError("has no value", field=out[-1], fix="Give its number or numbers")
            out[-1] = f"{out[-1]}={word}"
        else:
            out.append(word)
    return out


def run(argv: Sequence[str]) -> int:
    """Run one command and return its exit code; errors are raised."""
    words = _joined(argv)
    if not words or (words[0] not in _BY_NAME and not words[0].startswith("-")):
        if words and not words[0].endswith(".json") and not Path(words[0]).exists():
            raise InputError(
                f"{words[0]!r} is neither a command nor a site file",
                fix=f"Commands are {', '.join(_BY_NAME)}",
            )
        words = [COMMANDS[0].name, *words]
    args = build_parser().parse_args(words)
    return _BY_NAME[args.command].run(args)


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
        return BAD_INPUT
    except MemoryError:
        print(
            "isofence: not enough memory for this. Ask for fewer cells or points", file=sys.stderr
        )
        return BAD_INPUT
    except RecursionError:
        print("isofence: the input is nested too deeply", file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        sys.stderr.close()
        return DONE
    except KeyboardInterrupt:
        return 130
