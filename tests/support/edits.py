"""Random edits of a document, as a user makes them: states, powers, places, antennas, fences, a schedule."""

from __future__ import annotations

import random
from dataclasses import replace

from app.window.document import Document
from core.files.schedule.taking import take
from core.site.arranging import without
from core.site.places import Fence
from core.site.site import Condition, State

WORDS = tuple(c for c in Condition if c is not Condition.REDUCED)


def random_edit(document: Document, rng: random.Random) -> None:
    """Make one edit that changes something."""
    before = document.stack.index(), document.site
    while (document.stack.index(), document.site) == before:
        _try(document, rng)


def _try(document: Document, rng: random.Random) -> None:
    site = document.site
    some = rng.randrange(len(site.antennas)) if site.antennas else -1
    what = rng.choice(
        ("state", "power", "move", "move", "add", "remove", "fence", "unfence", "schedule")
    )
    if what == "add" and len(site.antennas) < 12 and site.antennas:
        document.add(replace(site.antennas[some], name=f"copy {rng.randrange(10**9)}"))
    elif what == "fence" and len(site.fences) < 6:
        x, y = rng.uniform(-9, 9), rng.uniform(-9, 9)
        fence = Fence(
            name=f"fence {rng.randrange(10**9)}", tier="public", threshold=1.0,
            outline=((x, y), (x + 1, y), (x, y + 2)),
        )  # fmt: skip
        document.set_fences((*site.fences, fence), f"draw {fence.name}")
    elif what == "unfence" and site.fences:
        document.set_fences(site.fences[:-1], "remove a fence")
    elif some < 0:
        return
    elif what == "remove" and len(site.antennas) > 2:
        document.edit("remove", lambda before: without(before, [some]))
    elif what == "state":
        reduced = State(Condition.REDUCED, rng.uniform(1, 100))
        document.set_state(some, rng.choice([reduced, *map(State, WORDS)]))
    elif what == "power":
        power = site.antennas[some].carriers[0].power
        key = next(k for k in ("transmitter", "erp", "eirp") if getattr(power, k) is not None)
        scale = rng.uniform(0.9, 1.1)
        vertical = None if power.erp_vertical is None else power.erp_vertical * scale
        new = replace(power, **{key: getattr(power, key) * scale}, erp_vertical=vertical)
        document.set_power(some, 0, new)
    elif what == "move":
        x, y, z = site.antennas[some].position
        document.move(some, (x + rng.uniform(-1, 1), y, z))
    elif what == "schedule":
        name = site.antennas[some].name
        taken = take(site, f"antenna,azimuth\n{name},{rng.uniform(0, 360)!r}\n", document.folder)
        document.edit("take a schedule (0 new, 1 changed)", lambda _: taken.site)
