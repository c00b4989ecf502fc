"""Small sites with readings of a meter."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from core.site.site import Site
from core.site.state import State
from core.site.surveys import Measured, Survey
from support.simple_sites import FREE, ground, isotropic

PLACE = (20.0, 0.0, 1.5)
ON = State()


def open_ground(eirp: float = 4000.0) -> Site:
    """One source 12 m over level ground, nothing reflected: 4000 W at 900 MHz."""
    return Site(
        name="s",
        antennas=(isotropic("source", 900e6, eirp, (0.0, 0.0, 12.0)),),
        surfaces=(ground(),),
        reflection=FREE,
        limit_set="FCC",
    )


def measured(value: float, unit: str = "V/m", **more: Any) -> Measured:
    """One reading at :data:`PLACE` with the source on, 0 dB of uncertainty."""
    known: dict[str, Any] = {
        "name": "one", "position": PLACE, "states": (("source", ON),), "uncertainty": 0.0,
    }  # fmt: skip
    return Measured(value=value, unit=unit, **{**known, **more})


def with_readings(site: Site, *readings: Measured) -> Site:
    """Return the site with one survey."""
    named = tuple(replace(r, name=f"{r.name} {i}") for i, r in enumerate(readings))
    return replace(site, surveys=(Survey(name="survey", readings=named),) if named else ())
