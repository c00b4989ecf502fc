"""On what a traced shape stands: beside edges and walls, where hands and drawings are not exact."""

from __future__ import annotations

import pytest

from app.modes.making import foot_of
from app.modes.shape_kinds import BY_KEY
from core.site.parts import with_added
from core.site.places import Structure, Surface
from core.site.roofs import with_roof
from core.site.site import Site

Line = tuple[tuple[float, float], ...]


def box(x: float, y: float, east: float, north: float) -> Line:
    return ((x, y), (east, y), (east, north), (x, north))


def hall() -> Site:
    """A hall of 30 by 20 m on a yard, with a penthouse."""
    site = Site(name="s", antennas=(), surfaces=(
        Surface(name="Yard", kind="ground", height=0.0, outline=box(-50.0, -50.0, 50.0, 50.0)),
    ))  # fmt: skip
    for one in (
        Structure(name="Hall", kind="building", base=0.0, top=12.0, outline=box(-15.0, -10.0, 15.0, 10.0)),
        Structure(name="House", kind="penthouse", base=12.0, top=15.0, outline=box(-4.0, -3.0, 4.0, 3.0)),
    ):  # fmt: skip
        site = with_roof(with_added(site, one), one)
    return site


@pytest.mark.parametrize(
    ("key", "corners", "foot"),
    [
        ("wall", ((-15.0, 10.0), (15.0, 10.0)), 12.0),
        ("wall", ((-15.0, 10.02), (15.0, 10.02)), 12.0),
        ("wall", ((-15.05, -9.0), (-15.2, 9.0)), 12.0),
        ("wall", ((-15.0, 11.0), (15.0, 11.0)), 0.0),
        ("wall", ((-30.0, 20.0), (-20.0, 20.0)), 0.0),
        ("wall", ((-3.0, 2.0), (3.0, 2.0)), 15.0),
        ("door", ((0.0, -3.0),), 12.0),
        ("door", ((0.0, -10.0),), 0.0),
        ("gate", ((0.0, -10.0),), 12.0),
        ("door", ((8.0, 8.0),), 12.0),
        ("penthouse", box(6.0, 4.0, 12.0, 9.0), 12.0),
    ],
)
def test_what_is_traced_stands_on_what_is_meant(key: str, corners: Line, foot: float) -> None:
    assert foot_of(hall(), BY_KEY[key], corners) == foot
