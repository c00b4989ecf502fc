"""Folders of generated sites, small and quick, and some that are broken in a way a person could break them."""

from __future__ import annotations

import os
import signal
from collections.abc import Generator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from core.antennas.stack import Stack
from core.files.site_writer import save_site
from core.fleet.assess import assess
from core.fleet.plan import Answer, Plan
from core.site.places import AccessPoint, Fence, Ladder, Surface
from core.site.site import Antenna, Carrier, Power, Site
from support.simple_sites import FREE, ground, isotropic

BROKEN = {
    "broken-comma.json": '{"format": "isofence-site", "version": 1 "name": "x"}',
    "broken-power.json": '{"format": "isofence-site", "version": 1, "name": "x", "antennas": [{"name": "a", '
    '"kind": "worst-case", "model": {"gain": "0 dBi", "size": "0.1 m"}, "position": [0, 0, 3], '
    '"carriers": [{"name": "c", "frequency": "98 MHz", "eirp": "1 furlong"}]}]}',
    "deeper/broken-key.json": '{"antennas": [], "nmae": "x"}',
}
"""Three sites that cannot be read, by their names."""
OTHERS = {"areas.json": '{"type": "FeatureCollection", "features": []}', "list.json": "[1, 2]"}
"""JSON files that are no sites."""


DEADLY = "site-001.json"
"""Ending of the file whose work ends its process, in :func:`deadly_work`."""


def deadly_work(plan: Plan, name: str) -> Answer:
    """Answer for a file, but for one kill the own process as a lack of memory would."""
    if name.endswith(DEADLY):
        os.kill(os.getpid(), signal.SIGKILL)
    return assess(plan, name)


def one_by_one(plan: Plan, names: Sequence[str]) -> Generator[Answer, None, None]:
    """Answer for one file after another in this process: the plain loop."""
    for name in names:
        yield assess(plan, name)


def site(seed: int) -> Site:
    """Return an invented site with one to three sources, a roof, a gate, a ladder and perhaps a fence."""
    rng = np.random.default_rng(seed)
    antennas = [
        isotropic(
            f"source {i}", float(rng.choice([98e6, 460e6, 900e6, 2.1e9])), float(rng.uniform(20.0, 300.0)),
            (float(rng.uniform(-4, 4)), float(rng.uniform(-4, 4)), float(rng.uniform(4, 7))),
        )
        for i in range(1 + int(rng.integers(0, 3)))
    ]  # fmt: skip
    side = float(rng.uniform(6.0, 12.0))
    square = ((-side, -side), (side, -side), (side, side), (-side, side))
    fences = (
        (Fence(name="chain", tier="public", threshold=1.0, outline=square),) if seed % 3 else ()
    )
    return Site(
        name=f"site {seed} (invented)",
        antennas=tuple(antennas),
        surfaces=(ground(60.0, name="yard"),),
        ladders=(Ladder(name="ladder", points=((5.0, 0.0, 0.0), (5.0, 0.0, 6.0))),),
        access_points=(AccessPoint(name="gate", kind="gate", position=(side, 0.0, 0.0)),),
        fences=fences,
        reflection=FREE,
        extent=(-15.0, -15.0, 15.0, 15.0),
    )


def busy_site(seed: int) -> Site:
    """Return an invented roof with four sticks that reflects: a second of work or so."""
    rng = np.random.default_rng(seed)
    kind = Stack(bay="vertical-dipole", bays=4, design_frequency=460e6, spacing=0.85)
    sticks = tuple(
        Antenna(
            name=f"stick {i}", kind=kind, position=(float(rng.uniform(-8, 8)), float(rng.uniform(-8, 8)), 14.0),
            carriers=(
                Carrier(name="c", frequency=455e6 + 1e6 * i, power=Power(transmitter=float(rng.uniform(20, 100)))),
            ),
        )
        for i in range(4)
    )  # fmt: skip
    corners = ((-12.0, -12.0), (12.0, -12.0), (12.0, 12.0), (-12.0, 12.0))
    roof = Surface(name="roof", kind="roof", height=10.0, outline=corners)
    one = site(seed)
    return replace(
        one, antennas=sticks, surfaces=(*one.surfaces, roof), ladders=(), reflection=FREE
    )


def write_fleet(folder: Path, count: int, *, broken: bool = False, busy: bool = False) -> list[str]:
    """Write a folder of sites, some of them deeper, and return their names from the folder on, in order."""
    names = [f"area {i % 3}/site-{i:03}.json" for i in range(count)]
    for i, name in enumerate(names):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        save_site(busy_site(i) if busy else site(i), folder / name)
    for name, text in (*BROKEN.items(), *OTHERS.items()) if broken else ():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, "utf-8")
    return sorted([*names, *(BROKEN if broken else ())])
