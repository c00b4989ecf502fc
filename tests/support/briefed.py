"""Small sites with a job, for what a crew's sheet says of them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from core.site.garment import Band, Garment
from core.site.job import HIGHER_CONTROLS, Job, Route, Stop, Work
from core.site.places import AccessPoint, Ladder
from core.site.site import Antenna, Site
from core.site.state import Condition, State
from support.simple_sites import FREE, ground, isotropic

LADDER = Ladder(name="ladder", points=((0.0, 0.0, 0.0), (0.0, 0.0, 40.0)))
GATE = AccessPoint(name="gate", kind="gate", position=(-20.0, 0.0, 0.0), public=True)
SUIT = Garment(
    name="set",
    source="card of an invented maker",
    bands=(Band(low=80e6, high=1e9, percent=1000.0),),
    inspected="2026-11-01",
    inspected_by="store",
    wear="Not above 30 °C.",
)
TOLD = tuple((control, f"{control} was not enough") for control in HIGHER_CONTROLS)
STOPS = (
    Stop(name="Gate", position=(-20.0, 0.0, 0.0)),
    Stop(name="Foot", ladder="ladder", height=1.0, dwell=60.0),
    Stop(name="Lamp", ladder="ladder", height=30.0, dwell=600.0),
)
LOCKED, OFF = State(Condition.LOCKED_OUT), State(Condition.OFF)


def emitter(name: str = "North FM", eirp: float = 3000.0, **more: Any) -> Antenna:
    """One emitter 4 m beside the ladder at 30 m, 100 MHz unless told otherwise."""
    frequency = more.pop("frequency", 100e6)
    at = more.pop("position", (4.0, 0.0, 30.0))
    one = isotropic(name, frequency, eirp, at)
    known = {"owner": "Owner (invented)", "contact": "555-0100"}
    return replace(one, **(known | more))


def job(**more: Any) -> Job:
    """A lamp change at 30 m of the ladder."""
    known: dict[str, Any] = {
        "name": "Lamp change",
        "route": Route(stops=STOPS),
        "work": Work(ladder="ladder", heights=(29.5, 30.5)),
        "when": "2026-12-01, 01:00 to 04:00",
    }
    return Job(**(known | more))


def in_suit(**more: Any) -> Job:
    """The same in the garment, with everything told."""
    return job(garment="set", garment_training="2026-09-01", higher_controls=TOLD, **more)


def mast(*antennas: Antenna, plan: Job | None = None, **more: Any) -> Site:
    """A ladder on level ground with emitters beside it and one job."""
    known: dict[str, Any] = {
        "name": "Mast",
        "revision": "B, 2026-11-20",
        "reflection": FREE,
        "surfaces": (ground(60.0),),
        "ladders": (LADDER,),
        "access_points": (GATE,),
        "garments": (SUIT,),
        "jobs": (plan or job(),),
        "limit_set": "FCC",
    }
    return Site(antennas=antennas or (emitter(),), **(known | more))
