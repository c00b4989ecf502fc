"""The command that holds the models against published and exact values. No Qt here."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from core.errors import InputError

FORMATS = (".md", ".pdf")
TITLE = "Isofence validation report"


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("-o", "--output", metavar="FILE", help="the whole report, as .pdf or .md")


def validate_command(args: argparse.Namespace) -> int:
    """Print the summary, or write the whole report; 1 if anything is not within what is allowed."""
    path = None if args.output is None else _writable(Path(args.output))
    from core.validation import report, suite

    if path is None:
        sys.stdout.write(report.summary_markdown())
    elif path.suffix.lower() == ".md":
        from core.files.atomic import write_file

        write_file(path, report.as_markdown())
    else:
        from app.draw.pages import pdf
        from core.files.atomic import write_file

        write_file(path, pdf(report.document(), TITLE))
    failed = suite.misses()
    if path is not None:
        print(f"{args.output}: {len(failed)} not within what is allowed")
    return FINDING if failed else DONE


def _writable(path: Path) -> Path:
    """Refuse what cannot be written before a minute is spent."""
    if path.suffix.lower() not in FORMATS:
        raise InputError(
            f"{path.suffix or 'no ending'} is not a report format",
            source=str(path),
            fix="End it in .pdf or .md",
        )
    if not os.path.isdir(path.parent):
        raise InputError(
            "cannot be written (no such folder)", source=str(path), fix="Choose another folder"
        )
    if path.is_dir():
        raise InputError(
            "cannot be written (a folder stands there)",
            source=str(path),
            fix="Choose another name",
        )
    return path


COMMAND = Command(
    "validate",
    "how far the models are from published and exact values",
    _options,
    validate_command,
)
