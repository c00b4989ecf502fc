"""The command line: a table of commands, one line an error, exit code 0 done, 1 a finding, 2 bad input."""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import sys
import traceback
from collections.abc import Sequence
from typing import NoReturn

from app import __version__
from app.cli import (
    brief,
    check,
    compare,
    entry,
    fences,
    fleet,
    map,
    plan,
    read,
    schedule,
    survey,
    validate,
    window,
    zones,
)
from app.cli.command import BAD_INPUT, DONE, Command
from core.errors import LONGEST_LINE, InputError, short
from core.files.atomic import check_target
from core.files.error_log import keep_report
from core.text import check_word

COMMANDS: tuple[Command, ...] = (
    window.COMMAND,
    check.COMMAND,
    read.COMMAND,
    map.COMMAND,
    zones.COMMAND,
    fences.COMMAND,
    entry.COMMAND,
    plan.COMMAND,
    brief.COMMAND,
    survey.COMMAND,
    compare.COMMAND,
    fleet.COMMAND,
    schedule.COMMAND,
    validate.COMMAND,
)
"""Every command, in the order of the help; the first is meant where none is named."""

UNEXPECTED = 70
"""Exit code of an error of the program itself (EX_SOFTWARE of sysexits.h)."""

_BY_NAME = {command.name: command for command in COMMANDS}
_PAIRED = (
    "--at",
    "--origin",
    "--region",
    "--up",
    "--elevation",
    "--height",
    "--above",
    "--span",
    "--box",
)


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
    for word in argv:
        check_word(word, "command line")
    words = _joined(argv)
    if not words or (words[0] not in _BY_NAME and not words[0].startswith("-")):
        if words and not words[0].endswith(".json") and not os.path.exists(words[0]):
            raise InputError(
                f"{words[0]!r} is neither a command nor a site file",
                fix=f"Commands are {', '.join(_BY_NAME)}",
            )
        words = [COMMANDS[0].name, *words]
    args = build_parser().parse_args(words)
    if getattr(args, "output", None):
        # Proofs take minutes: what cannot be written is said before. A site's files go along, and make its folder.
        check_target(args.output, makes_folder=args.output.endswith(".json"))
    return _BY_NAME[args.command].run(args)


def main(argv: Sequence[str] | None = None) -> int:
    """Entry point: one clear line for bad input, never a traceback for it."""
    for stream in (sys.stdout, sys.stderr):
        # π, λ and ² are not in every terminal's letters, nor need a path be UTF-8.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    try:
        code = run(sys.argv[1:] if argv is None else argv)
        sys.stdout.flush()
        return code
    except InputError as error:
        return _say(error.line())
    except MemoryError:
        return _say("not enough memory for this. Ask for fewer cells or points")
    except RecursionError:
        return _say("the input is nested too deeply")
    except BrokenPipeError:
        sys.stderr.close()
        return DONE
    except OSError as error:
        # Every file is opened where its own errors are said; what is left is the terminal, or what stands for it.
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115
        return _say(f"the output cannot be written ({error.strerror or type(error).__name__})")
    except KeyboardInterrupt:
        return 130
    except Exception as error:
        log = keep_report(traceback.format_exc())
        where = f"with {log}" if log is not None else f"({type(error).__name__}: {error})"
        return _say(f"unexpected error, nothing was written. Please report it {where}", UNEXPECTED)


def _say(line: str, code: int = BAD_INPUT) -> int:
    """Write one line of error, whatever becomes of it, and return the exit code."""
    with contextlib.suppress(OSError):
        print(f"isofence: {short(line, LONGEST_LINE)}", file=sys.stderr)
    return code
