"""A site may reach to the border of what places there are: its own views do not go beyond."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.site.places import FARTHEST, Structure
from core.site.site import Site
from core.views.defaults import default_elevation, default_plan, site_extent
from support.simple_sites import isotropic

TOWER = Structure(
    name="t", kind="tower", base=0.0, top=10.0, outline=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))
)


@pytest.mark.parametrize("top", [92_000.0, 95_000.0, FARTHEST])
def test_a_structure_as_high_as_may_be_has_an_elevation(top: float) -> None:
    view = default_elevation(Site(name="s", antennas=(), structures=(replace(TOWER, top=top),)))
    assert view.up[1] >= top
    assert view.up[1] <= FARTHEST


@pytest.mark.parametrize("x", [-FARTHEST, FARTHEST])
@pytest.mark.parametrize("z", [-FARTHEST, 0.0, FARTHEST])
def test_an_antenna_as_far_as_may_be_is_on_both_views(x: float, z: float) -> None:
    site = Site(name="s", antennas=(isotropic("a", 98e6, 10.0, (x, x, z)),), structures=(TOWER,))
    west, south, east, north = site_extent(site)
    assert west <= x <= east
    assert south <= x <= north
    assert default_plan(site).region == (west, south, east, north)
    low, high = default_elevation(site, 45.0).up
    # The elevation begins at the lowest surface, or the datum.
    assert low <= max(z, 0.0) <= high
