"""Where people stand: the highest surface under them, or the one that is meant."""

from __future__ import annotations

import numpy as np
import pytest

from core.site.site import Site
from core.site.surfaces import foot_height, has_surface, standing_on, surface_height
from support.simple_sites import ground


@pytest.mark.parametrize("order", [(0, 1, 2), (2, 1, 0), (1, 2, 0)])
def test_the_highest_surface_counts_whatever_the_order(order: tuple[int, ...]) -> None:
    stack = (ground(50.0), ground(10.0, 16.0, "roof"), ground(3.0, 19.5, "penthouse"))
    site = Site(name="s", antennas=(), surfaces=tuple(stack[i] for i in order))
    at = np.array([[0.0, 0.0], [5.0, 0.0], [20.0, 0.0], [80.0, 0.0]])
    assert surface_height(site, at).tolist() == [19.5, 16.0, 0.0, 0.0]
    assert [has_surface(site, x, y) for x, y in at.tolist()] == [True, True, True, False]


def test_a_height_near_a_surface_means_that_surface() -> None:
    site = Site(name="s", antennas=(), surfaces=(ground(50.0), ground(10.0, 16.0, "roof")))
    wanted = np.array([[0.0, 0.0, 0.3], [0.0, 0.0, 16.3], [0.0, 0.0, 8.0]])
    assert foot_height(site, wanted).tolist() == [0.0, 16.0, 16.0]
    assert standing_on(site, 0.0, 0.0, 8.0)[2]
    assert not standing_on(site, 0.0, 0.0, 0.3)[2]
