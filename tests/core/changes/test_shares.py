"""The five-percent rule of shared responsibility: of the limit, not of the total; only at places over it; newly."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.changes.comparison import Comparison
from core.changes.places import Look, Spot, along
from core.changes.report import as_data, as_text
from core.changes.shares import largest_rises, newly_responsible
from core.limits.tier import TIERS
from core.site.site import Site
from core.views.body import CLIMBING, STANDING
from support.changed import yard
from support.simple_sites import isotropic

EDGE = 0.05


def site(**owners: str) -> Site:
    """A site with antennas of these names and owners; what they radiate does not matter here."""
    antennas = tuple(replace(isotropic(n, 460e6, 1.0), owner=o) for n, o in owners.items())
    return yard(antennas=antennas)


def look(names: tuple[str, ...], rows: list[list[float]]) -> Look:
    """What antennas (rows) make at places (columns), the same for both tiers."""
    shares = np.array(rows)[:, None, :].repeat(len(TIERS), axis=1)
    return Look(names, shares.sum(axis=0), shares, np.zeros(len(rows[0]), bool))


def spot(count: int, where: str = "roof") -> Spot:
    points = np.column_stack([np.arange(count), np.zeros(count), np.zeros(count)]).astype(float)
    return Spot(where, points, STANDING, 1.0)


def names_of(before: list[list[float]], after: list[list[float]], **owners: str) -> dict[str, bool]:
    one = site(**owners)
    names = tuple(owners)
    seen = [(spot(len(before[0])), look(names, before), look(names, after))]
    found = newly_responsible(one, one, seen)
    return {r.name: r.elsewhere for r in found if r.tier == "public"}


@pytest.mark.parametrize(
    ("was", "now", "other", "said"),
    [
        (0.04, 0.06, 1.0, True),  # over five percent of the limit, at a place over it
        (0.04, 0.06, 0.5, False),  # the place is under the limit
        (0.04, EDGE, 1.0, False),  # exactly five percent is not enough
        (0.06, 0.30, 1.0, False),  # it was responsible already
        (0.06, 0.04, 1.0, False),  # it fell
        (0.04, 0.06, 40.0, True),  # five percent of the limit is little of the total, and counts
    ],
)
def test_more_than_five_percent_of_the_limit_where_it_is_exceeded(
    was: float, now: float, other: float, said: bool
) -> None:
    found = names_of([[was], [other]], [[now], [other]], small="", large="")
    assert ("small" in found) == said
    assert "large" not in found


def test_one_that_another_has_brought_over_the_limit_is_responsible_too() -> None:
    found = names_of([[0.3], [0.5]], [[0.3], [0.9]], steady="", raised="")
    assert set(found) == {"steady", "raised"}


def test_elsewhere_is_said() -> None:
    found = names_of([[0.06, 0.01], [1.0, 1.0]], [[0.06, 0.06], [1.0, 1.0]], small="", large="")
    assert found == {"small": True}
    found = names_of([[0.01, 0.01], [1.0, 1.0]], [[0.01, 0.06], [1.0, 1.0]], small="", large="")
    assert found == {"small": False}


def test_what_one_owner_s_antennas_make_together_counts() -> None:
    one = {"a": "Owner (invented)", "b": "Owner (invented)", "c": ""}
    assert set(names_of([[0.02], [0.02], [1.0]], [[0.03], [0.03], [1.0]], **one)) == {"a + b"}
    apart = {"a": "One (invented)", "b": "Another (invented)", "c": ""}
    assert names_of([[0.02], [0.02], [1.0]], [[0.03], [0.03], [1.0]], **apart) == {}
    # One that passes alone is named alone.
    assert set(names_of([[0.02], [0.02], [1.0]], [[0.07], [0.03], [1.0]], **one)) == {"a"}


def test_an_antenna_that_was_not_there_is_new_everywhere() -> None:
    before, after = site(large=""), site(small="", large="")
    was, now = look(("large",), [[1.2]]), look(("small", "large"), [[0.2], [1.2]])
    found = newly_responsible(before, after, [(spot(1), was, now)])
    assert {(r.name, r.tier, r.was) for r in found} == {("small", t, 0.0) for t in TIERS}


@settings(deadline=None)
@given(st.lists(st.floats(0.0, 3.0), min_size=12, max_size=12))
def test_it_is_the_rule_of_every_place(values: list[float]) -> None:
    was, now = (np.reshape(v, (3, 2)) for v in (values[:6], values[6:]))
    found = names_of(was.tolist(), now.tolist(), a="", b="", c="")
    for row, name in enumerate("abc"):
        did = (was[row] > EDGE) & (was.sum(axis=0) > 1.0)
        does = (now[row] > EDGE) & (now.sum(axis=0) > 1.0)
        assert (name in found) == bool((does & ~did).any())


def test_the_largest_rise_of_each_spot_and_a_reactive_one_first() -> None:
    names = ("a",)
    calm = (spot(3), look(names, [[0.1, 0.2, 0.3]]), look(names, [[0.1, 0.6, 0.5]]))
    ladder = Spot("ladder", np.zeros((1, 3)), CLIMBING, 0.5)
    near = look(names, [[100.0]])
    near = replace(near, reactive=np.array([True]))
    rises = largest_rises([calm, (ladder, look(names, [[0.9]]), near)])
    assert [(r.where, r.reactive, r.tier) for r in rises] == [
        ("ladder", True, "occupational"), ("roof", False, "public"),
    ]  # fmt: skip
    assert (rises[1].place[0], rises[1].was, rises[1].now) == (1.0, 0.2, 0.6)
    one, other = [[0.1, 2.0]], [[0.9, 2.1]]
    both = largest_rises([(spot(2), look(names, one), look(names, other))])
    assert [(r.was, r.now, r.over) for r in both] == [(0.1, 0.9, False), (2.0, 2.1, True)]
    assert largest_rises([(spot(1), look(names, [[0.3]]), look(names, [[0.2]]))]) == ()


def test_places_along_a_line_have_its_corners_and_are_no_farther_apart() -> None:
    places = along(((0.0, 0.0, 0.0), (0.0, 0.0, 3.1), (4.0, 0.0, 3.1)), 0.5)
    steps = np.linalg.norm(np.diff(places, axis=0), axis=1)
    assert steps.max() <= 0.5 + 1e-12
    for corner in ((0.0, 0.0, 0.0), (0.0, 0.0, 3.1), (4.0, 0.0, 3.1)):
        assert (np.abs(places - corner).max(axis=1) == 0.0).any()


def test_a_share_has_its_figure_inside_the_reactive_region_of_another() -> None:
    """What another emitter hides is the total; the share itself is known."""
    one = site(small="", near="")
    was, now = (
        look(("small", "near"), [[0.04], [100.0]]),
        look(("small", "near"), [[0.06], [100.0]]),
    )
    hidden = np.array([True])
    seen = [(spot(1), replace(was, reactive=hidden), replace(now, reactive=hidden))]
    found = [r for r in newly_responsible(one, one, seen) if r.tier == "public"]
    assert [(r.name, r.was, r.now, r.reactive) for r in found] == [("small", 0.04, 0.06, True)]
    comparison = Comparison(
        before=one, after=one, differences=(), zones=(), ladders=(), access=(), fences=(),
        newly_responsible=tuple(found), rises=(), notes=(), newly_uncounted=(),
    )  # fmt: skip
    text = as_text(comparison)
    assert "small: 4.00 % → 6.00 % of FCC public, where there is no figure for all together" in text
    (row,) = as_data(comparison)["newly_over_five_percent"]  # type: ignore[misc]
    assert (row["percent_before"], row["percent_after"]) == (4.0, 6.0)
    assert row["total_percent_after"] is None
