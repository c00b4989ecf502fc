"""Writers of every kind of file the program writes, killed at random moments."""

from __future__ import annotations

import os
import random
import resource
import signal
import stat
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from app.draw.book import save_sheets
from app.draw.pages import pdf
from app.draw.sheet import save_map, zone_sheets
from core.errors import InputError
from core.exposure.batch import read_many
from core.exposure.raster import raster
from core.files.atomic import write_file
from core.files.geojson import feature_collection
from core.files.points import write_readings
from core.files.site_writer import save_site
from core.files.zone_features import about, zone_features
from core.site.site import Site
from core.validation.document import Section
from core.views.body import POINT
from core.views.defaults import default_plan
from core.views.views import Height
from core.zones.site_zones import SiteZones, site_zones
from support.simple_sites import FREE, isotropic

Write = Callable[[Path, int], None]
"""Writes one of two versions of a file."""


@dataclass(frozen=True)
class Job:
    """A kind of file: its ending, and how its two versions are written.

    ``end`` is how a whole file ends, for a kind whose bytes differ from one time to the next (marks inside an SVG).
    """

    ending: str
    write: Write
    end: bytes = b""

    def same(self, data: bytes, versions: set[bytes]) -> bool:
        """Return whether a file is whole and one of some versions."""
        return data.rstrip().endswith(self.end) if self.end else data in versions


def _site(version: int) -> Site:
    antenna = isotropic(f"source {version}", 98e6, 40.0 + version, (0.0, 0.0, 3.0))
    return Site(
        name=f"invented {version}", antennas=(antenna,), reflection=FREE, extent=(-8, -8, 8, 8),
        story="padding " * 400,
    )  # fmt: skip


def jobs() -> dict[str, Job]:
    """Return every kind of file the program writes; what is costly is computed here, once."""
    sites = (_site(0), _site(1))
    views = [default_plan(s, Height(1.0), POINT) for s in sites]
    pictures = [raster(s, v, (12, 12)) for s, v in zip(sites, views, strict=True)]
    zones: list[SiteZones] = [site_zones(s, v) for s, v in zip(sites, views, strict=True)]
    points = np.zeros((500, 3)) + np.arange(500)[:, None] * 0.01
    batches = [read_many(s, points, POINT) for s in sites]

    def drawn(path: Path, v: int) -> None:
        save_map(path, sites[v], pictures[v], tier="public", contours=(100.0,), width_px=300)

    def readings(path: Path, v: int) -> None:
        write_readings(path, points, points[:, 2], POINT, sites[v].limit_set, batches[v])

    def shapes(path: Path, v: int) -> None:
        features = zone_features(sites[v], zones[v], "test")
        write_file(path, feature_collection(sites[v], features, about(sites[v], "test")))

    def report(path: Path, v: int) -> None:
        write_file(path, pdf((Section(title=f"version {v}"),), "Report"))

    return {
        "site": Job(".json", lambda path, v: save_site(sites[v], path)),
        "readings": Job(".csv", readings),
        "zones": Job(".geojson", shapes),
        "zone picture": Job(
            ".png", lambda path, v: save_sheets(path, zone_sheets(sites[v], zones[v]))
        ),
        "map png": Job(".png", drawn),
        "map svg": Job(".svg", drawn, b"</svg>"),
        "map pdf": Job(".pdf", drawn),
        "report pdf": Job(".pdf", report),
        "report text": Job(".md", lambda path, v: write_file(path, f"# {v}\n" + "row\n" * 20_000)),
    }


def killed(job: Job, folder: Path, rng: random.Random) -> Iterator[str]:
    """Save over and over in a child, kill it at a random moment, and yield what is wrong afterwards.

    The file is reached through a link and has rights of its own.
    """
    folder.mkdir()
    real, link = folder / f"real{job.ending}", folder / f"link{job.ending}"
    job.write(real, 0)
    first = real.read_bytes()
    job.write(real, 1)
    whole = {first, real.read_bytes()}
    real.chmod(0o640)
    link.symlink_to(real.name)
    child = os.fork()
    if child == 0:
        try:
            while True:
                for version in (0, 1):
                    job.write(link, version)
        finally:
            os._exit(1)
    time.sleep(rng.uniform(0.0, 0.12))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    if not job.same(real.read_bytes(), whole):
        yield "not whole"
    job.write(link, 0)
    if not job.same(real.read_bytes(), {first}):
        yield "the next save is not what was saved"
    left = {p.name for p in folder.iterdir()} - {real.name, link.name}
    if left:
        yield f"left behind: {sorted(left)}"
    if not link.is_symlink():
        yield "the link is gone"
    if stat.S_IMODE(real.stat().st_mode) != 0o640:
        yield f"rights {stat.S_IMODE(real.stat().st_mode):o}"


def without_room(job: Job, folder: Path) -> Iterator[str]:
    """Save in a child whose files may have 200 bytes, and yield what is wrong afterwards."""
    folder.mkdir()
    path = folder / f"file{job.ending}"
    job.write(path, 0)
    before = path.read_bytes()
    child = os.fork()
    if child == 0:
        code = 1
        try:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (200, 200))
            job.write(path, 1)
        except InputError as error:
            code = 0 if str(path) in error.line() and "cannot be written" in error.line() else 2
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.waitstatus_to_exitcode(status) != 0:
        yield "no clear error"
    if path.read_bytes() != before:
        yield "the old file is not there any more"
    if len(list(folder.iterdir())) != 1:
        yield "left behind: " + ", ".join(p.name for p in folder.iterdir())
