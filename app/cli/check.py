"""The ``check`` command: every doubt about a site file."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from app.draw.picture import picture_doubt
from core.files.site_file import load_site
from core.reading.doubts import doubts


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("site")


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


COMMAND = Command("check", "every doubt about a site file, or ok", _options, check)
