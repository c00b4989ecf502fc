"""A new name is one line of what changed, and does nothing to anybody."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.changes.comparison import compare
from core.changes.differences import differences, renamed
from core.changes.report import as_data, as_text
from core.site.places import Fence
from core.site.site import Site
from support.changed import raised, yard

LISTS = ("antennas", "access_points", "fences", "ladders", "surfaces")


def with_new_names(site: Site, *lists: str) -> Site:
    """Return a site in which every entry of some lists has a new name, and fences follow their ladders."""
    changed = {
        name: tuple(replace(one, name=f"{one.name}, new") for one in getattr(site, name))
        for name in lists
    }
    if "ladders" in lists:
        fences = changed.get("fences", site.fences)
        changed["fences"] = tuple(
            replace(f, ladder=f"{f.ladder}, new") if f.ladder else f for f in fences
        )
    return replace(site, **changed)


@pytest.fixture(scope="module")
def strong() -> Site:
    """A yard over its limits everywhere that matters, with a rule for its ladder."""
    stops = Fence(
        name="stops", tier="public", threshold=1.0, ladder="mast ladder", stops=((1.0, 3.0),)
    )
    site = raised(yard(), "north", 4.0)
    return replace(site, fences=(*site.fences, stops))


@pytest.mark.parametrize("name", LISTS)
def test_new_names_are_said_and_make_nothing_worse(strong: Site, name: str) -> None:
    after = with_new_names(strong, name)
    found = compare(strong, after)
    assert {d.what for d in found.differences} <= {"renamed", "ladder"}
    assert sum(d.what == "renamed" for d in found.differences) == len(getattr(strong, name))
    done = ("zones", "ladders", "access", "fences", "jobs", "newly_responsible", "rises")
    # A fence that keeps people off a ladder is another fence where that has another name.
    assert {k: getattr(found, k) for k in done if getattr(found, k)} == {}
    assert not found.worse


def test_what_got_worse_under_a_new_name_is_worse_all_the_same() -> None:
    before = yard()
    after = with_new_names(raised(before, "north", 4.0), "access_points", "fences", "ladders")
    found, plain = compare(before, after), compare(before, raised(before, "north", 4.0))
    assert [(a.name, a.was is not None, a.worse) for a in found.access] == [
        ("gate, new", True, True)
    ]
    assert [(f.name, f.was is not None, f.worse) for f in found.fences] == [
        ("chain, new", True, True)
    ]
    assert [(x.ladder, x.was, x.now, x.rose) for x in found.ladders] == [
        (f"{x.ladder}, new", x.was, x.now, x.rose) for x in plain.ladders
    ]
    assert found.ladders
    spans = as_data(found)["ladders"]
    assert all(one["from_spans"] is not None for one in spans)  # type: ignore[attr-defined]
    assert "not there" not in as_text(found)


def test_what_has_a_new_name_and_another_value_is_not_taken_for_the_same(strong: Site) -> None:
    (first, *rest) = strong.antennas
    moved = replace(first, name="other", position=(9.0, 9.0, 9.0))
    assert renamed(strong.antennas, (moved, *rest)) == {}
    twins = tuple(replace(first, name=n) for n in ("a", "b"))
    assert renamed((first,), twins) == {"a": first.name}
    assert renamed(twins, (replace(first, name="c"), replace(first, name="d"))) == {
        "c": "a",
        "d": "b",
    }


def test_a_list_in_feet_is_in_feet_and_what_differs_looks_different() -> None:
    before = yard()
    (first, *rest) = before.antennas
    x, y, z = first.position
    for way, unit in ((3.048, "ft"), (0.0001, "m")):
        after = replace(before, antennas=(replace(first, position=(x + way, y, z)), *rest))
        (one,) = differences(before, after, feet=True)
        assert one.what == "moved"
        assert one.was != one.now
        assert one.was.endswith(unit)
        assert one.now.endswith(unit)
    surface = before.surfaces[0]
    after = replace(before, surfaces=(replace(surface, height=surface.height + 0.3048),))
    (one,) = differences(before, after, feet=True)
    assert (one.was, one.now) == ("0 ft", "1 ft")
    assert "0 ft → 1 ft" in as_text(compare(before, after), feet=True)
    # Data stay in metres.
    (row,) = as_data(compare(before, after, feet=True))["differences"]  # type: ignore[misc]
    assert (row["from"], row["to"]) == ("0 m", "0.3048 m")
