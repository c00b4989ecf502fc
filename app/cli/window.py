"""Opening the window, and what to do where there is none."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from app.cli.command import Command
from core.errors import InputError
from core.files.site_file import present
from core.site.site import Site

PACKAGES = (
    "libegl1 libgl1 libxkbcommon-x11-0 libdbus-1-3 libfontconfig1 libxcb-cursor0 libxcb-icccm4 "
    "libxcb-keysyms1 libxcb-shape0"
)


def open_window(site: str | None) -> int:
    """Open the window on a site; where no display can be had, draw to files and say so.

    A file that is not there is said on the command line, before a window stands in front of the words.
    """
    if site is not None:
        present(Path(site))
    reason = _no_display()
    if reason is None:
        try:
            from app.window.start import run_window
        except ImportError as error:
            reason = f"the window's libraries are missing ({error})"
        else:
            return run_window(site)
    return without_window(site, reason)


def _no_display() -> str | None:
    if sys.platform.startswith("linux") and not any(
        os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    ):
        return "there is no display"
    return None


def without_window(site: str | None, reason: str) -> int:
    """Write plan, elevation and one reading of a site to files beside the working folder."""
    from app.draw.sheet import save_map
    from app.draw.style import CONTOURS
    from core.exposure.raster import raster
    from core.files.atomic import write_file
    from core.files.site_file import load_site
    from core.reading.reading import read
    from core.reading.report import as_text
    from core.site.surfaces import standing_on
    from core.views.body import CLIMBING, STANDING
    from core.views.defaults import default_elevation, default_plan
    from core.views.views import Height
    from core.views.words import posture

    if site is None:
        raise InputError(
            f"{reason}, and no site was named", fix="Run: isofence SITE, or isofence --help"
        )
    path = Path(site)
    loaded = load_site(path)
    out = Path.cwd() / "out"
    try:
        out.mkdir(exist_ok=True)
    except OSError as error:
        raise InputError(
            f"cannot be made ({error.strerror})",
            source=str(out),
            fix="Go to a folder you may write in",
        ) from None
    print(f"No window: {reason}. Drawing to files instead.", flush=True)
    stem = path.stem
    plan = default_plan(loaded, Height(0.0, True), STANDING)
    elevation = default_elevation(loaded, 90.0, body=CLIMBING)
    for name, view in (("plan", plan), ("elevation", elevation)):
        file = out / f"{stem}-{name}.png"
        left_out = save_map(
            file,
            loaded,
            raster(loaded, view, (260, 260)),
            tier="public",
            contours=CONTOURS,
            folder=path.parent,
        )
        all_of_it = f"isofence map {site} -o {stem}.pdf"
        more = f" (its first sheet; {all_of_it} has all)" if left_out else ""
        print(f"{name}: {file}{more}", flush=True)
    x, y, z = _first_place(loaded)
    foot, _, _ = standing_on(loaded, x, y, z)
    place = (x, y, foot)
    text = as_text(read(loaded, place, STANDING, posture(loaded, place, STANDING)))
    write_file(out / f"{stem}-reading.txt", text)
    print(f"reading at x {x:g}, y {y:g}: {out / f'{stem}-reading.txt'}")
    print(
        "To get the window: run this on a machine with a screen (or a virtual one: xvfb-run). On a bare Debian or"
    )
    print(f"Ubuntu the window also needs: apt-get install {PACKAGES}")
    return 0


def _first_place(site: Site) -> tuple[float, float, float | None]:
    """The first access point, or the middle of the site on whatever is highest there."""
    from core.views.defaults import site_extent

    if site.access_points:
        return site.access_points[0].position
    west, south, east, north = site_extent(site)
    return (west + east) / 2.0, (south + north) / 2.0, None


def _options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("site", nargs="?", help="a site file")


def _run(args: argparse.Namespace) -> int:
    return open_window(args.site)


COMMAND = Command("window", "open the window (also: isofence SITE)", _options, _run)
