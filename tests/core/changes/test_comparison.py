"""What a change does: zones, ladders, ways in, fences, shares; nothing for nothing, mirrored when turned round."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from core.changes.comparison import Comparison, compare, of_states, proven
from core.changes.jobs import job_changes
from core.changes.report import as_data, as_text, verdict
from core.changes.zones import _broad, without
from core.entry.entry import plan_entry
from core.proof.tolerance import Ceiling, Tolerance
from core.site.job import Job, Work
from core.site.places import AccessPoint, Fence, Surface
from core.site.site import Condition, Site, State
from core.zones.steps import STEPS
from support import fleets
from support.changed import SQUARE, raised, with_antenna, yard
from support.simple_sites import isotropic

LISTS = ("differences", "zones", "ladders", "access", "fences", "newly_responsible", "rises")


@pytest.fixture(scope="module")
def doubled() -> tuple[Comparison, Comparison]:
    """A source made four times as strong, and the way back."""
    before, after = yard(), raised(yard(), "north", 4.0)
    return compare(before, after), compare(after, before)


def test_a_site_against_itself_is_nothing() -> None:
    found = compare(yard(), yard())
    assert [getattr(found, name) for name in LISTS] == [()] * len(LISTS)
    assert not found.worse
    assert verdict(found) == "Nothing changed."


def test_turned_round_everything_is_mirrored(doubled: tuple[Comparison, Comparison]) -> None:
    there, back = doubled
    assert [(d.what, d.name, d.was, d.now) for d in there.differences] == [
        (d.what, d.name, d.now, d.was) for d in back.differences
    ]
    assert [(z.step, z.surface, z.gained, z.lost) for z in there.zones] == [
        (z.step, z.surface, z.lost, z.gained) for z in back.zones
    ]
    assert [(x.ladder, x.step, x.was, x.now) for x in there.ladders] == [
        (x.ladder, x.step, x.now, x.was) for x in back.ladders
    ]
    for name in ("access", "fences"):
        one, other = getattr(there, name), getattr(back, name)
        assert one
        assert [(x.name, x.was, x.now) for x in one] == [(x.name, x.now, x.was) for x in other]
    assert there.worse
    assert not back.worse
    assert not back.rises
    assert not back.newly_responsible


def test_gained_and_lost_are_the_differences_of_the_two_regions(
    doubled: tuple[Comparison, Comparison],
) -> None:
    there = doubled[0]
    was, now = (proven(s) for s in (yard(), raised(yard(), "north", 4.0)))
    for step, (_, old), (_, new) in zip(STEPS, was.zones.zones, now.zones.zones, strict=True):
        gained = sum(z.gained.area for z in there.zones if z.step is step)
        lost = sum(z.lost.area for z in there.zones if z.step is step)
        assert gained == pytest.approx(shapely.difference(new.region, old.region).area, abs=1e-9)
        assert lost == pytest.approx(shapely.difference(old.region, new.region).area, abs=1e-9)
    assert sum(z.gained.area for z in there.zones) > 50.0


def test_an_edge_that_moved_within_its_exactness_is_said_both_ways() -> None:
    """Zones asked for less exactly have other edges, of the same field."""
    coarse, fine = (
        proven(yard(), tolerance=Tolerance(percent=p, metres=m))
        for p, m in ((20.0, 0.5), (1.0, 0.05))
    )
    grown, shrunk = of_states(fine, coarse), of_states(coarse, fine)
    assert any(not z.gained.is_empty for z in grown.zones)
    assert any(not z.lost.is_empty for z in shrunk.zones)
    assert not any(z.rose or z.fell for z in (*grown.zones, *shrunk.zones))
    text = as_text(shrunk)
    assert "the exposure did not fall there)" in text
    assert "the exposure did not rise there)" in as_text(grown)
    # Where it fell, that is no matter of the edge.
    assert any(z.fell for z in compare(raised(yard(), "north", 4.0), yard()).zones)


def test_both_limit_sets_are_named_where_each_state_has_its_own() -> None:
    before = yard()
    after = replace(before, limit_set="ICNIRP2020")
    found = compare(before, after)
    assert found.ladders
    text = as_text(found)
    lines = [
        x for x in text.splitlines() if x.startswith("  ") and ("mast ladder" in x or "yard" in x)
    ]
    assert any("each limit set" in x for x in lines)
    assert not any("ICNIRP2020" in x for x in lines)


def test_what_rounding_leaves_between_two_edges_is_no_area() -> None:
    whole = shapely.box(0.0, 0.0, 10.0, 10.0)
    hair = shapely.box(0.0, 0.0, 10.0, 10.0 + 1e-12).difference(whole)
    assert 0.0 < hair.area < 1e-10
    assert _broad(hair).is_empty
    square = shapely.box(20.0, 0.0, 20.01, 0.01)
    assert _broad(shapely.union(hair, square)).area == pytest.approx(1e-4)


def test_areas_are_those_of_each_floor_one_above_another() -> None:
    roof = Surface(name="roof", kind="roof", height=2.0, outline=SQUARE, material="other")
    before = replace(yard(), surfaces=(*yard().surfaces, roof), fences=(), ladders=())
    after = raised(before, "north", 2.0)
    found = compare(before, after)
    public = [z for z in found.zones if z.step.key == "public"]
    assert [(z.surface, z.height) for z in public] == [("roof", 2.0), ("yard", 0.0)]
    for z in public:
        assert z.rose
        assert z.gained.area > 1.0
        assert z.lost.is_empty


def test_a_fence_that_holds_no_more_a_gate_that_changes_and_a_ladder_that_closes(
    doubled: tuple[Comparison, Comparison],
) -> None:
    there = doubled[0]
    (fence,) = there.fences
    assert (fence.name, fence.was.holds, fence.now.holds, fence.worse) == (
        "chain",
        True,
        False,
        True,
    )  # type: ignore[union-attr]
    (gate,) = there.access
    assert gate.name == "gate"
    assert (int(gate.was.category), int(gate.now.category), gate.worse) == (1, 2, True)  # type: ignore[union-attr, arg-type]
    ten = next(x for x in there.ladders if x.step.key == "ten times")
    # Isotropic, full reflection: the span grows by half its length where the power is four times as large.
    assert ten.rose
    assert ten.now[0][0] < ten.was[0][0] < ten.was[0][1] < ten.now[0][1]


def test_a_ladder_that_is_gone_is_not_called_free() -> None:
    gone = compare(yard(), replace(yard(), ladders=()))
    assert gone.ladders
    lines = [line for line in as_text(gone).splitlines() if "mast ladder, over" in line]
    assert lines
    assert all(line.endswith("→ not there") for line in lines)
    assert {one["to_spans"] for one in as_data(gone)["ladders"]} == {None}  # type: ignore[attr-defined]
    assert all(one["from_spans"] for one in as_data(gone)["ladders"])  # type: ignore[attr-defined]
    # What is found at places is not proven: said wherever something changed, and only there.
    assert "not proven: between them there can be more" in as_text(gone)
    assert "not proven: between them" not in as_text(compare(yard(), yard()))


def test_places_of_the_largest_rise_are_read_as_a_reading_does(
    doubled: tuple[Comparison, Comparison],
) -> None:
    from core.exposure.totals import exposure
    from core.views.body import CLIMBING, STANDING

    there = doubled[0]
    assert {r.where for r in there.rises} == {"yard", "gate", "mast ladder"}
    assert all(r.over for r in there.rises)
    sizes = [(r.reactive, r.now - r.was) for r in there.rises]
    assert sizes == sorted(sizes, reverse=True)
    for rise in there.rises:
        body = CLIMBING if rise.where == "mast ladder" else STANDING
        for site, figure in ((there.before, rise.was), (there.after, rise.now)):
            one = exposure(site, [rise.place], body)  # type: ignore[arg-type]
            assert one.of(rise.tier).total[0] == pytest.approx(figure, rel=1e-9)


def test_an_edge_that_moves_where_nothing_rises_is_not_worse() -> None:
    """A far antenna is turned down: the search takes other cells, and edges elsewhere move within their exactness."""
    far = isotropic("far", 460e6, 900.0, (40.0, 11.0, 4.0))
    before = replace(yard(), antennas=(*yard().antennas, far), fences=(), ladders=())
    after = raised(before, "far", 0.9)
    found = compare(before, after)
    gained = [z for z in found.zones if not z.gained.is_empty]
    assert gained, "choose another case: here no edge moved outward"
    assert not any(z.rose for z in gained)
    assert not found.worse
    assert "did not rise there" in as_text(found)


def test_what_only_people_read_takes_no_proof_and_changes_no_zone() -> None:
    before = yard()
    renamed = with_antenna(before, "north", lambda a: replace(a, owner="New Owner (invented)"))
    found = compare(before, renamed)
    assert [d.what for d in found.differences] == ["owner"]
    assert not found.zones
    assert not found.ladders
    assert not found.worse


def test_a_fence_that_is_taken_away_is_worse_where_it_held_something_back() -> None:
    none = replace(yard(), fences=())
    (gone,) = compare(yard(), none).fences
    assert (gone.name, gone.now, gone.worse) == ("chain", None, True)
    assert compare(yard(), none).worse
    idle = Fence(name="idle", tier="occupational", threshold=9e6, outline=SQUARE)
    spare = yard(fences=(*yard().fences, idle))
    (gone,) = compare(spare, yard()).fences
    assert (gone.name, gone.worse) == ("idle", False)


def test_a_way_in_that_comes_or_loses_its_verdict_is_said() -> None:
    near = AccessPoint(name="hatch", kind="hatch", position=(1.0, 1.0, 0.0), public=False)
    more = yard(access_points=(*yard().access_points, near))
    (came,) = compare(yard(), more).access
    assert (came.name, came.was, came.worse) == ("hatch", None, True)
    lost = yard(antennas=(*yard().antennas, isotropic("odd", 2e11, 1.0, (50.0, 50.0, 4.0))))
    found = compare(yard(), lost)
    assert found.newly_uncounted
    assert found.worse
    assert any(a.worse and a.now and a.now.category is None for a in found.access)


def test_a_gate_over_the_limit_that_is_opened_to_the_public_is_worse() -> None:
    at = AccessPoint(name="gate", kind="gate", position=(3.0, 0.0, 0.0), public=False)
    shut, opened = yard(access_points=(at,)), yard(access_points=(replace(at, public=True),))
    there, back = compare(shut, opened), compare(opened, shut)
    assert [a.worse for a in there.access] == [True]
    assert there.worse
    assert "OPEN TO THE PUBLIC" in as_text(there)
    assert [a.worse for a in back.access] == [False]
    assert not back.worse


def test_a_platform_where_the_field_was_strong_all_along_is_worse() -> None:
    stand = Surface(
        name="stand", kind="platform", height=1.5, outline=((1, 1), (4, 1), (4, 4), (1, 4))
    )
    before = replace(yard(), fences=(), access_points=())
    after = replace(before, surfaces=(*before.surfaces, stand))
    there, back = compare(before, after), compare(after, before)
    mine = [z for z in there.zones if z.surface == "stand"]
    assert {z.step.key for z in mine} >= {"public"}
    assert all(z.rose for z in mine)
    assert there.worse
    assert not any(z.rose and z.surface == "stand" for z in back.zones)


def test_a_rise_where_it_was_over_all_along_is_worse_and_one_under_the_limit_is_not() -> None:
    still = replace(yard(4.0), fences=(), access_points=(), ladders=())
    under = compare(still, raised(still, "north", 2.0))
    assert under.rises
    assert not any(r.over for r in under.rises)
    assert not under.worse
    assert "stay under their limits" in verdict(under)
    inside = replace(yard(), fences=(), access_points=())
    there = compare(inside, raised(inside, "north", 1.0001))
    assert any(r.over for r in there.rises)
    assert there.worse


def test_a_ceiling_and_another_limit_set_are_said() -> None:
    other = yard(limit_set="ICNIRP2020")
    found = compare(yard(), other, ceiling=Ceiling(cells=40))
    assert any("own limit set: FCC, then ICNIRP2020" in note for note in found.notes)
    assert any(
        note.startswith("before and after: what zones gained or lost is not exact")
        for note in found.notes
    )


def test_a_job_that_may_go_no_more_is_worse_and_the_way_back_is_not() -> None:
    low = Job(name="the lamp", work=Work(low=(7.0, 0.0, 0.0), high=(7.5, 0.5, 2.0)))
    before = yard(jobs=(low,), fences=(), ladders=(), access_points=())
    after = raised(before, "north", 8.0)
    assert plan_entry(before, low).verdict.is_go
    assert not plan_entry(after, low).verdict.is_go
    there, back = job_changes(before, after), job_changes(after, before)
    assert [(j.name, j.worse) for j in there] == [("the lamp", True)]
    assert [(j.was, j.now) for j in there] == [(j.now, j.was) for j in back]
    assert not back[0].worse
    found = compare(before, after)
    assert found.jobs == there
    assert as_data(found)["jobs"] == [
        {
            "name": "the lamp",
            "verdict_before": there[0].was.words,
            "verdict_after": there[0].now.words,
        }
    ]
    assert "WORSE: the lamp: may go, garment not needed → NO GO, garment" in as_text(found)


def test_a_job_that_came_went_or_names_what_is_gone_is_said() -> None:
    calm = Job(name="calm", work=Work(low=(14.0, 0.0, 0.0), high=(14.5, 0.5, 2.0)))
    lost = Job(name="lost", work=Work(ladder="mast ladder", heights=(1.0, 2.0)))
    (came,) = job_changes(yard(), yard(jobs=(calm,)))
    assert (came.was.words, came.now.go, came.worse) == ("not there", True, False)
    (went,) = job_changes(yard(jobs=(calm,)), yard())
    assert (went.now.words, went.worse) == ("not there", False)
    (broken,) = job_changes(yard(jobs=(lost,)), yard(jobs=(lost,), ladders=()))
    assert broken.now.words.startswith("cannot be planned: ")
    assert job_changes(yard(jobs=(calm,)), yard(jobs=(calm,))) == ()


def test_a_lockout_is_a_state_and_the_way_back_is_worse() -> None:
    lamp = with_antenna(yard(), "north", lambda a: replace(a, state=State(Condition.LOCKED_OUT)))
    there, back = compare(yard(), lamp), compare(lamp, yard())
    assert [d.words for d in there.differences] == ["north: state: on → locked out"]
    assert not there.worse
    assert back.worse
    assert all(z.gained.is_empty for z in there.zones)


@pytest.mark.parametrize(
    ("spans", "taken", "left"),
    [
        (((0.0, 9.0),), (), ((0.0, 9.0),)),
        (((0.0, 9.0),), ((2.0, 3.0),), ((0.0, 2.0), (3.0, 9.0))),
        (((0.0, 4.0), (6.0, 9.0)), ((3.0, 7.0),), ((0.0, 3.0), (7.0, 9.0))),
        (((1.0, 2.0),), ((0.0, 3.0),), ()),
        (((1.0, 2.0),), ((4.0, 5.0), (0.0, 0.5)), ((1.0, 2.0),)),
    ],
)
def test_what_is_left_of_spans(spans: tuple, taken: tuple, left: tuple) -> None:
    assert without(spans, taken) == left


def test_data_have_the_promised_keys(doubled: tuple[Comparison, Comparison]) -> None:
    data = as_data(doubled[0])
    promised = {
        "differences": {"what", "name", "from", "to"},
        "zones": {"name", "tier", "surface", "height_m", "gained_m2", "lost_m2"},
        "ladders": {"name", "tier", "from_spans", "to_spans"},
        "access": {"name", "category_before", "category_after"},
        "fences": {"name", "holds_before", "holds_after"},
    }
    for key, inner in promised.items():
        rows = data[key]
        assert rows
        assert all(set(row) == inner for row in rows)  # type: ignore[attr-defined]
    assert data["jobs"] == []
    assert data["newly_over_five_percent"]
    assert data["worse"] is True


def reduced(site: Site) -> Site:
    return with_antenna(site, "north", lambda a: replace(a, state=State(Condition.REDUCED, 10.0)))


def test_text_in_feet_has_feet() -> None:
    text = as_text(compare(yard(), reduced(yard()), feet=True), feet=True)
    assert "ft²" in text
    assert " m²" not in text
    assert " ft" in text


@pytest.mark.parametrize("seed", [3, 7, 11])
def test_sites_that_have_little_in_common_are_mirrored_too(seed: int) -> None:
    """Other antennas, another yard gate, another fence: every identity holds."""
    one, other = fleets.site(seed), fleets.site(seed + 1)
    loose = Tolerance(percent=10.0, metres=0.2)
    there, back = compare(one, other, loose), compare(other, one, loose)
    swapped = {(z.step.key, z.surface, z.lost.wkb, z.gained.wkb) for z in back.zones}
    assert {(z.step.key, z.surface, z.gained.wkb, z.lost.wkb) for z in there.zones} == swapped
    assert [(x.step, x.was, x.now) for x in there.ladders] == [
        (x.step, x.now, x.was) for x in back.ladders
    ]
    assert len(there.differences) == len(back.differences) > 0
    assert as_text(there) != as_text(back)
    # What got worse one way cannot get worse the other way too, fence by fence and gate by gate.
    for name in ("fences", "access"):
        worse = {x.name for x in getattr(there, name) if x.worse}
        assert not worse & {x.name for x in getattr(back, name) if x.worse}
