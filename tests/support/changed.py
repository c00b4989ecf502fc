"""Small sites before and after a change, with zones that are quick to prove."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from core.site.places import AccessPoint, Fence, Ladder
from core.site.site import Antenna, Site
from support.simple_sites import FREE, ground, isotropic

SQUARE = ((-9.0, -9.0), (9.0, -9.0), (9.0, 9.0), (-9.0, 9.0))


def yard(eirp: float = 400.0, **changes: object) -> Site:
    """Return a mast of 4 m in a yard with one source, a gate, a ladder, and a fence that holds at 400 W of EIRP."""
    site = Site(
        name="yard (invented)",
        antennas=(isotropic("north", 460e6, eirp, (0.0, 0.0, 4.0)),),
        surfaces=(ground(60.0, name="yard"),),
        ladders=(Ladder(name="mast ladder", points=((0.0, 0.4, 0.0), (0.0, 0.4, 8.0))),),
        access_points=(AccessPoint(name="gate", kind="gate", position=(7.0, 0.0, 0.0)),),
        fences=(Fence(name="chain", tier="public", threshold=1.0, outline=SQUARE),),
        reflection=FREE,
        extent=(-15.0, -15.0, 15.0, 15.0),
    )
    return replace(site, **changes)  # type: ignore[arg-type]


def with_antenna(site: Site, name: str, change: Callable[[Antenna], Antenna]) -> Site:
    """Return a site with one antenna changed."""
    return replace(site, antennas=tuple(change(a) if a.name == name else a for a in site.antennas))


def raised(site: Site, name: str, factor: float) -> Site:
    """Return a site with the EIRP of one antenna's carriers times a factor."""

    def more(antenna: Antenna) -> Antenna:
        carriers = tuple(
            replace(c, power=replace(c.power, eirp=c.power.eirp * factor))  # type: ignore[operator]
            for c in antenna.carriers
        )
        return replace(antenna, carriers=carriers)

    return with_antenna(site, name, more)
