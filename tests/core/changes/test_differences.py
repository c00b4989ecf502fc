"""What changed: every field of every entry, in the schedule's words, and turned round when the states are."""

from __future__ import annotations

import dataclasses
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from core.changes.content import file_content, fingerprint, sharing
from core.changes.differences import Difference, differences
from core.exposure.sources import sources
from core.files.site_file import load_site
from core.limits.sets import SETS
from core.site.allowance import Allowance
from core.site.job import Job, Work
from core.site.places import Anchor, Picture
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Condition, Power, Site, State
from core.site.state import NamedState
from support.changed import with_antenna, yard
from support.places import DEMOS

TOWER = DEMOS / "cold-ridge-tower" / "cold-ridge-tower.json"


def turned(found: tuple[Difference, ...]) -> set[tuple[str, str, str, str]]:
    swap = {" gone": " added", " added": " gone"}
    out = set()
    for d in found:
        ending = next((e for e in swap if d.what.endswith(e)), "")
        what = d.what.removesuffix(ending) + swap.get(ending, "")
        out.add((what, d.name, d.now, d.was))
    return out


def as_set(found: tuple[Difference, ...]) -> set[tuple[str, str, str, str]]:
    return {(d.what, d.name, d.was, d.now) for d in found}


def test_a_site_read_twice_has_no_difference(demo_path: Path) -> None:
    assert differences(load_site(demo_path), load_site(demo_path)) == ()


def test_two_readings_of_a_pattern_file_become_one_model_and_one_layer() -> None:
    before, again = load_site(TOWER), load_site(TOWER)
    assert before != again  # a pattern is compared as an object
    shared = sharing(before, again)
    assert shared == before
    assert [s.key for s in sources(shared)] == [s.key for s in sources(before)]


OTHER: dict[str, Any] = {
    "name": "another name", "story": "told anew", "revision": "Z", "limit_set": sorted(set(SETS) - {"FCC"})[0],
    "conservative": False, "reflection": Reflection(ReflectionKind.FULL),
    "picture": Picture(file="p.png", metres_per_pixel=0.1, origin=(0.0, 0.0)),
    "anchor": Anchor(latitude=1.0, longitude=2.0), "extent": (-1.0, -2.0, 3.0, 4.0), "position": (1.0, 2.0, 3.0),
    "azimuth": 12.5, "tilt": 1.5, "roll": 2.5, "state": State(Condition.REDUCED, 40.0),
    "tower_in_pattern": True, "owner": "Another Owner (invented)",
    "contact": "555-0100", "remark": "a remark", "frequency": 463.3e6, "power": Power(transmitter=3.0, loss=1.0),
    "duty": 0.5,
    "duty_source": "the operator (invented)", "height": 0.25, "outline": ((0.0, 0.0), (5.0, 0.0), (0.0, 5.0)),
    "holes": (((1.0, 1.0), (2.0, 1.0), (1.0, 2.0)),), "material": "concrete", "base": -1.0, "top": 77.0,
    "points": ((0.0, 0.0, 0.0), (0.0, 0.0, 9.0)), "public": False, "tier": "occupational", "threshold": 0.5,
    "ladder": "another ladder", "allows": Allowance(touch=False), "stops": ((1.0, 2.0),),
}  # fmt: skip
LISTS = (
    "surfaces", "structures", "ladders", "access_points", "fences", "antennas", "garments", "jobs", "states", "surveys",
    "carriers", "name", "kind",
)  # fmt: skip
"""Lists of entries, which have tests of their own, and what an entry is known by."""
KINDS = {"Surface": "roof", "Structure": "plant", "AccessPoint": "door"}


def entries(site: Site) -> list[tuple[str, Any]]:
    groups = ("surfaces", "structures", "ladders", "access_points", "fences", "antennas")
    found: list[tuple[str, Any]] = [("", site)]
    found += [(g, getattr(site, g)[0]) for g in groups]
    return [*found, ("carriers", site.antennas[0].carriers[0])]


def changed(site: Site, group: str, item: Any, field: str) -> Site | None:
    """Return the site with one field of one entry changed; None where the field is a list of entries."""
    value = KINDS[type(item).__name__] if field == "kind" and type(item).__name__ in KINDS else None
    if value is None:
        value = OTHER.get(field)
    if value is None or (group and field == "name"):
        return None
    fields = {field: value}
    if field == "duty":
        fields["duty_source"] = "the operator (invented)"
    if type(item).__name__ == "Fence" and field in ("ladder", "outline"):
        fields = (
            {"ladder": "L", "outline": ()} if field == "ladder" else {"outline": OTHER["outline"]}
        )
    new = replace(item, **fields)
    if not group:
        return new
    if group == "carriers":
        return with_antenna(site, site.antennas[0].name, lambda a: replace(a, carriers=(new,)))
    return replace(site, **{group: (new, *getattr(site, group)[1:])})


def test_no_field_of_a_site_can_change_unseen() -> None:
    tower = load_site(TOWER)
    site = yard(structures=tower.structures[:1])
    tried = 0
    for group, item in entries(site):
        for field in dataclasses.fields(item):
            new = changed(site, group, item, field.name)
            if new is None:
                assert field.name in LISTS, field.name
                continue
            found = differences(site, new)
            assert found, f"{group}.{field.name}"
            assert all(d.was != d.now for d in found), found
            assert as_set(differences(new, site)) == turned(found)
            tried += 1
    assert tried > 30


@pytest.mark.parametrize(
    ("change", "what", "was", "now"),
    [
        ({"position": (2.1, -0.5, 113.0)}, "moved", "x 2.1, y -0.5, z 112 m", "x 2.1, y -0.5, z 113 m"),
        ({"azimuth": 100.0}, "turned", "90°", "100°"),
        ({"tilt": 1.5}, "re-tilted", "0°", "1.5°"),
        ({"state": State(Condition.LOCKED_OUT)}, "state", "on", "locked out"),
    ],
)  # fmt: skip
def test_an_antenna_s_changes_have_the_schedule_s_words(
    change: dict[str, Any], what: str, was: str, now: str
) -> None:
    tower = load_site(TOWER)
    found = differences(tower, with_antenna(tower, "FM main", lambda a: replace(a, **change)))
    assert found == (Difference(what, "FM main", was, now),)


def test_power_and_frequency_are_those_of_the_carrier() -> None:
    tower = load_site(TOWER)
    more = with_antenna(
        tower, "Dispatch stick",
        lambda a: replace(
            a, carriers=(replace(a.carriers[0], frequency=461e6, power=Power(transmitter=200.0, loss=2.1)),)
        ),
    )  # fmt: skip
    assert {(d.what, d.name, d.was, d.now) for d in differences(tower, more)} == {
        ("frequency", "Dispatch stick: 460.325", "460.325 MHz", "461 MHz"),
        ("power", "Dispatch stick: 460.325", "transmitter 100 W, loss 2.1 dB", "transmitter 200 W, loss 2.1 dB"),
    }  # fmt: skip


def test_came_went_renamed_and_another_model() -> None:
    tower = load_site(TOWER)
    antennas = {a.name: a for a in tower.antennas}
    stick = antennas.pop("Dispatch stick")
    antennas["new stick"] = replace(stick, name="new stick")
    antennas.pop("Highways whip")
    antennas["FM main"] = replace(
        antennas["FM main"],
        kind=replace(antennas["FM main"].kind, bays=12),  # type: ignore[call-arg]
    )
    antennas["County stick"] = replace(
        antennas["County stick"], kind=antennas["UHF television"].kind
    )
    new = replace(tower, antennas=tuple(antennas.values()))
    found = differences(tower, new)
    said = {(d.what, d.name) for d in found}
    assert said == {
        ("renamed", "antenna"),
        ("antenna gone", "Highways whip"),
        ("model, bays", "FM main"),
        ("exchanged", "County stick"),
    }
    assert as_set(differences(new, tower)) == turned(found)


def test_a_model_is_told_parameter_by_parameter_with_its_units() -> None:
    roof = load_site(DEMOS / "harrow-lane-roof" / "harrow-lane-roof.json")

    def longer(antenna: Any) -> Any:
        low, high = antenna.kind.bands
        bands = (replace(low, elements=8, electrical_tilt=2.5), replace(high, front_to_back=25.0))
        return replace(antenna, kind=replace(antenna.kind, length=2.69, bands=bands))

    after = with_antenna(roof, "Sector north", longer)
    assert [(d.what, d.was, d.now) for d in differences(roof, after)] == [
        ("model, length", "2.05 m", "2.69 m"),
        ("model, bands 1, elements", "6", "8"),
        ("model, bands 1, electrical tilt", "4°", "2.5°"),
        ("model, bands 2, front to back", "28.0 dB", "25.0 dB"),
    ]
    fewer = with_antenna(
        roof, "Sector north", lambda a: replace(a, kind=replace(a.kind, bands=a.kind.bands[:1]))
    )
    (one,) = differences(roof, fewer)
    assert (one.what, one.was, one.now) == ("model, bands", "2 of them", "1 of them")


def test_the_content_of_a_pattern_file_counts_not_its_name(tmp_path: Path) -> None:
    shutil.copytree(TOWER.parent, tmp_path / "a")
    shutil.copytree(TOWER.parent, tmp_path / "b")
    file = tmp_path / "b" / "patterns" / "demo-omni-0155.adf"
    text = file.read_text("utf-8")
    old, new = (load_site(tmp_path / f / TOWER.name) for f in "ab")
    assert differences(old, new) == ()
    line = next(row for row in text.splitlines() if row.startswith("MDGAIN"))
    file.write_text(text.replace(line, "MDGAIN:,6.6"), "utf-8")
    new = load_site(tmp_path / "b" / TOWER.name)
    (one,) = differences(old, new)
    assert (one.what, one.name) == ("pattern file's content", "Highways whip")
    assert one.was != one.now
    renamed = with_antenna(
        new, "Highways whip",
        lambda a: replace(a, kind=replace(a.kind, data=replace(a.kind.data, source="copy.adf"))),
    )  # fmt: skip
    assert file_content(renamed.antennas[-1].kind) == file_content(new.antennas[-1].kind)


def test_a_fingerprint_tells_what_is_in_a_value() -> None:
    tower = load_site(TOWER)
    marks = {fingerprint(a.kind) for a in tower.antennas}
    assert len(marks) == len(tower.antennas)
    with pytest.raises(TypeError, match="object is not known"):
        fingerprint([object()])


@pytest.mark.parametrize(
    ("field", "entry", "said"),
    [
        (
            "jobs",
            Job(name="lamp", work=Work(ladder="mast ladder", heights=(2.0, 3.0))),
            "job added",
        ),
        (
            "states",
            NamedState(name="quiet", states=(("north", State(Condition.OFF)),)),
            "state added",
        ),
    ],
)
def test_what_is_planned_is_compared_too(field: str, entry: Any, said: str) -> None:
    site = yard(**{field: (entry,)})
    (one,) = differences(yard(), site)
    assert (one.what, one.name) == (said, entry.name)
    assert as_set(differences(site, yard())) == turned((one,))
