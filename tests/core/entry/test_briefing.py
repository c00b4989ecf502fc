"""What a crew's sheet says: nothing that is unknown, unlocked or raised is left out or in small print."""

from __future__ import annotations

from dataclasses import replace

from core.entry.areas import at_place
from core.entry.briefing import Briefing, briefing, text_of
from core.entry.checks import PRE_USE
from core.entry.criteria import Criterion
from core.entry.entry import plan_entry
from core.entry.lock_list import as_text as plan_text
from core.entry.lock_list import plan_data
from core.entry.power_plan import power_plan
from core.entry.practice import MONITOR, RESCUE, STOP_WORK
from core.entry.report import cautions
from core.exposure.garment_use import Verdict
from core.reading.cautions import FULL
from core.site.places import Ladder, Structure
from core.site.site import Site
from core.site.state import Condition, State
from core.site.states import put_in_force
from core.site.surveys import Measured, Survey
from core.views.body import CLIMBING
from support.briefed import LOCKED, OFF, emitter, in_suit, job, mast


def sheet(site: Site) -> Briefing:
    return briefing(plan_entry(site, site.jobs[0]))


def heavy(said: Briefing) -> str:
    assert said.warnings is not None
    assert all(line.heavy for line in said.warnings.lines)
    return "\n".join(line.text for line in said.warnings.lines)


def part(said: Briefing, heading: str) -> str:
    found = [p for p in (*said.first, *said.rest) if p.heading.startswith(heading)]
    assert len(found) == 1, heading
    return "\n".join(line.text for line in found[0].lines)


def test_everything_that_belongs_on_a_sheet_is_on_it() -> None:
    said = sheet(mast(emitter(eirp=2000.0), plan=in_suit()))
    text = "\n".join(text_of(said))
    for words in (
        "2026-12-01, 01:00 to 04:00", "ladder, 29.5 to 30.5 m", "North FM", "gate", *PRE_USE, *MONITOR,
        *STOP_WORK, *RESCUE, *FULL, "implant", "Lock and tag list", "Verified by", "Restored by",
        "Not above 30 °C.", "card of an invented maker", "Signature", "Limits: FCC",
    ):  # fmt: skip
        assert words in text, words
    assert said.is_go
    assert "within its rating" in said.verdict


def test_stops_are_as_the_entry_has_them() -> None:
    site = mast()
    entry = plan_entry(site, site.jobs[0])
    rows = briefing(entry).stops.rows
    assert [row[1] for row in rows] == ["Gate", "Foot", "Lamp"]
    lamp = dict(zip(briefing(entry).stops.head, rows[2], strict=True))
    assert lamp["z, m"] == "30"
    assert float(lamp["% occup."]) >= 100.0 * entry.stops[2].occupational
    assert lamp["Longest by exposure"] == "NO STAY"
    assert lamp["Most of it"] == "North FM: only"
    assert dict(zip(briefing(entry).stops.head, rows[0], strict=True))["Stay"] == "pass"


def test_a_place_without_a_figure_has_no_number() -> None:
    near = mast(emitter(position=(0.05, 0.0, 30.0)))
    row = sheet(near).stops.rows[2]
    assert row[3:5] == ("NO FIGURE", "NO FIGURE")


def test_what_is_unknown_standing_by_or_not_locked_is_in_bold() -> None:
    states = (State(Condition.UNKNOWN), State(Condition.STANDBY), OFF, LOCKED)
    names = ("Paging", "Spare", "Old FM", "TV")
    antennas = [
        emitter(n, state=s, position=(4.0 + i, 0.0, 30.0))
        for i, (n, s) in enumerate(zip(names, states, strict=True))
    ]
    said = sheet(mast(*antennas))
    text = heavy(said)
    assert "UNKNOWN: nobody knows what Paging does" in text
    assert "STAND-BY: Spare" in text
    assert "NOT LOCKED: Old FM is off" in text
    assert "TV" not in text
    assert {row[0] for row in said.locks.rows} == set(names)
    assert sheet(mast()).warnings is None


def test_the_lock_list_says_from_what_to_what_and_whom_to_call() -> None:
    two = mast(
        emitter(), emitter("TV", contact="", owner="", position=(5.0, 0.0, 20.0)),
        plan=job(states=(("North FM", State(Condition.REDUCED, 10.0)), ("TV", LOCKED))),
    )  # fmt: skip
    rows = sheet(two).locks.rows
    assert [row[:3] for row in rows] == [
        ("North FM", "on → reduced to 10 %", "Owner (invented); call 555-0100"),
        ("TV", "on → locked out", "owner not known; call NO NUMBER"),
    ]
    assert all(cell == "" for row in rows for cell in row[3:])
    assert sheet(mast()).locks.rows[0][0] == "nothing is turned down"


def test_every_emitter_has_its_number_and_what_it_radiates_then() -> None:
    two = mast(
        emitter(), emitter("TV", position=(5.0, 0.0, 20.0)), plan=job(states=(("TV", LOCKED),))
    )
    lines = part(sheet(two), "Emitters").splitlines()
    assert lines[0].startswith("1 North FM: on; 100 MHz ")
    assert lines[1] == "2 TV: locked out; 100 MHz silent"


def test_a_plan_in_force_is_told_from_how_the_site_was_built() -> None:
    site = put_in_force(mast(), "power plan", {"North FM": LOCKED})
    assert sheet(site).locks.rows[0][:2] == ("North FM", "on → locked out")


def test_over_the_limit_nobody_stops_unless_the_garment_carries_it() -> None:
    assert any(p.heading.startswith("Nobody stops here") for p in sheet(mast()).first)
    worn = sheet(mast(emitter(eirp=2000.0), plan=in_suit()))
    headings = [p.heading for p in worn.first]
    assert any(h.startswith("Only in the closed garment") for h in headings)
    assert not any(h.startswith("Nobody stops") for h in headings)
    strong = sheet(mast(emitter(eirp=30000.0), plan=in_suit()))
    assert not strong.is_go
    assert any(p.heading.startswith("Nobody goes here in the garment") for p in strong.first)


def test_contact_current_is_said_where_an_emitter_is_in_its_band() -> None:
    am = sheet(mast(emitter("AM", 100.0, frequency=1e6, position=(60.0, 0.0, 10.0))))
    assert "Contact current is a separate check" in part(am, "Contact current")
    uhf = sheet(mast(emitter(frequency=900e6)))
    assert "No emitter that radiates is in the band" in part(uhf, "Contact current")
    assert "In that band" not in part(uhf, "Contact current")
    assert "In that band: " in part(am, "Contact current")
    # The ladder that is climbed and the gate the way begins at; not the mast that stands elsewhere.
    assert "Metal that is touched on this way: ladder, gate." in part(am, "Contact current")
    assert "Metal that is touched" not in part(uhf, "Contact current")
    corners = ((0.5, -0.5), (1.5, -0.5), (1.5, 0.5))
    near = Structure(name="Lattice", kind="tower", outline=corners, base=0.0, top=40.0)
    far = replace(near, name="Far", outline=tuple((x + 30.0, y + 30.0) for x, y in corners))
    am = sheet(
        mast(
            emitter("AM", 100.0, frequency=1e6, position=(60.0, 0.0, 10.0)),
            structures=(near, far),
        )
    )
    assert "on this way: ladder, gate, Lattice." in part(am, "Contact current")


def test_what_a_limit_set_does_not_cover_and_a_best_estimate_are_said_first() -> None:
    text = heavy(sheet(replace(mast(emitter(frequency=150e9)), conservative=False)))
    assert "NOT COUNTED" in text
    assert "BEST ESTIMATE" in text


def raised_site(x: float) -> Site:
    """A weak mast with an unexplained reading on the ladder's side, x m away."""
    reading = Measured(
        name="row 2", position=(x, 0.0, 20.0), value=60.0, unit="V/m", uncertainty=0.0,
        states=(("North FM", State()),),
    )  # fmt: skip
    weak = mast(emitter(eirp=1.0))
    return replace(weak, surveys=(Survey(name="June", readings=(reading,)),))


def test_an_unexplained_reading_near_the_way_is_no_go_and_elsewhere_a_warning() -> None:
    assert sheet(mast(emitter(eirp=1.0))).is_go
    near = sheet(raised_site(5.0))
    assert not near.is_go
    assert "June, row 2 read 60 V/m, above its prediction" in near.verdict
    assert "RAISED within 10 m" in heavy(near)
    far = sheet(raised_site(45.0))
    assert far.is_go
    assert "RAISED within 10 m" in heavy(far)
    site = raised_site(5.0)
    explained = replace(site.surveys[0].readings[0], explained="a generator stood there")
    told = replace(site, surveys=(Survey(name="June", readings=(explained,)),))
    assert sheet(told).is_go


def test_entries_and_power_plans_say_that_a_place_is_raised() -> None:
    site = raised_site(5.0)
    found = plan_entry(site, site.jobs[0])
    assert any("RAISED within 10 m" in line for line in cautions(found))
    x, y, z = site.surveys[0].readings[0].position
    for beside, near in ((0.0, True), (9.0, True), (12.0, False), (-9.0, True), (-12.0, False)):
        area = at_place((x + beside, y, z), CLIMBING)
        plan = power_plan(site, area, (Criterion("occupational"),))
        assert plan.best is not None
        assert plan.meets is not near
        assert plan_data(plan)["meets"] is not near
        text = plan_text(site, plan)
        assert ("NOT proven" in text) is near
        assert ("Proven for all of it" in text) is not near
        assert "RAISED within 10 m" in text


def test_a_raise_takes_the_garments_credit_away() -> None:
    site = replace(raised_site(5.0), jobs=(in_suit(),))
    entry = plan_entry(site, site.jobs[0])
    assert entry.verdict is Verdict.NO_CREDIT


def test_names_of_ladders_and_emitters_are_as_typed() -> None:
    named = Ladder(name="Лестница Ś", points=((0.0, 0.0, 0.0), (0.0, 0.0, 40.0)))
    stops = job().route.stops  # type: ignore[union-attr]
    moved = tuple(replace(s, ladder=named.name) if s.ladder else s for s in stops)
    plan = job(route=replace(job().route, stops=moved), work=None)  # type: ignore[type-var]
    said = sheet(mast(emitter("Żółw: FM"), plan=plan, ladders=(named,)))
    text = "\n".join(text_of(said))
    assert "Лестница Ś" in text
    assert "Żółw: FM" in text
