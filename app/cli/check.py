"""The ``check`` command: every doubt about a site file."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.cli.command import DONE, FINDING, Command
from app.cli.options import site_of, site_options
from app.draw.picture import picture_doubt
from core.reading.doubts import doubts


def _options(parser: argparse.ArgumentParser) -> None:
    site_options(parser)


def check(args: argparse.Namespace) -> int:
    """Print every doubt about a site, or "ok"."""
    path = Path(args.site)
    site = site_of(args)
    lines = [*doubts(site), *filter(None, [picture_doubt(site, path.parent)])]
    if not lines:
        print("ok")
        return DONE
    for line in lines:
        print(line)
    return FINDING


COMMAND = Command("check", "every doubt about a site file, or ok", _options, check)
