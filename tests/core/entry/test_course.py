"""An entry in the order of time, and the quick look before it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.entry.course import course, glance
from core.entry.entry import Entry, plan_entry
from core.progress import Cancelled
from core.site.job import Route, Stop, Work
from core.site.state import Condition, NamedState, State
from support.briefed import STOPS, emitter, in_suit, job, mast

SITE = mast(emitter(eirp=1500.0), plan=in_suit())


@pytest.fixture(scope="module")
def entry() -> Entry:
    return plan_entry(SITE, SITE.jobs[0])


def test_what_is_drawn_is_what_decides(entry: Entry) -> None:
    one = course(entry)
    assert one is not None
    assert entry.profile is not None
    columns = entry.against.of("occupational")
    most = max(entry.profile.levels[:, columns].max(), entry.profile.still[:, columns].max())
    assert one.occupational.max() == most
    assert (np.diff(one.seconds) >= 0.0).all()
    assert (np.diff(one.metres) >= 0.0).all()
    assert one.use is not None
    assert np.allclose(one.use, one.occupational / 10.0, rtol=1e-6), "rated for 1000 %"
    assert not one.about


def test_the_average_is_that_of_the_worst_window(entry: Entry) -> None:
    one = course(entry)
    assert one is not None
    assert one.average is not None
    assert entry.worst is not None
    assert one.average.max() <= entry.worst.average * (1.0 + 1e-9)
    if not entry.worst.cut_short:
        assert one.average.max() > 0.98 * entry.worst.average
    assert one.average[0] == 0.0, "nothing before the start"


def test_stops_are_marked_on_the_way_up_and_back(entry: Entry) -> None:
    one = course(entry)
    assert one is not None
    assert [(m.number, m.name) for m in one.marks] == [
        (1, "Gate"), (2, "Foot"), (3, "Lamp"), (2, "Foot"), (1, "Gate"),
    ]  # fmt: skip
    lamp = one.marks[2]
    assert lamp.seconds[1] - lamp.seconds[0] == 600.0
    at = one.nearest(0.5 * sum(lamp.seconds), length=False)
    assert one.places[at][2] == pytest.approx(30.0)
    assert one.climbs[at]
    assert not one.climbs[0]
    assert one.nearest(lamp.metres, length=True) == pytest.approx(
        one.nearest(lamp.seconds[0], length=False), abs=1
    )


def test_a_way_down_of_its_own_goes_on_with_the_numbers() -> None:
    down = (Stop(name="Mid", ladder="ladder", height=10.0, dwell=30.0),)
    plan = job(route=Route(stops=STOPS, way_down=down), work=None)
    one = course(plan_entry(mast(plan=plan), plan))
    assert one is not None
    assert [m.number for m in one.marks] == [1, 2, 3, 4]


def test_a_quick_look_is_about_the_same_and_says_so(entry: Entry) -> None:
    one, quick = course(entry), glance(SITE, SITE.jobs[0])
    assert one is not None
    assert quick is not None
    assert quick.about
    assert quick.occupational.max() <= one.occupational.max() * (1.0 + 1e-6)
    assert quick.occupational.max() > 0.9 * one.occupational.max()
    assert quick.seconds[-1] == pytest.approx(one.seconds[-1], rel=1e-3)


def test_an_entry_begins_from_a_named_state() -> None:
    low = NamedState(name="low", states=(("North FM", State(Condition.REDUCED, 10.0)),))
    site = replace(SITE, states=(low,))
    filed, lowered = (plan_entry(site, site.jobs[0], name) for name in ("", "low"))
    assert lowered.stops[2].occupational == pytest.approx(0.1 * filed.stops[2].occupational)
    assert lowered.before is site, "what is turned down is told against the site as filed"
    assert lowered.state == "low"


def test_an_entry_stops_when_asked() -> None:
    with pytest.raises(Cancelled):
        plan_entry(SITE, SITE.jobs[0], cancelled=lambda: True)
    with pytest.raises(Cancelled):
        glance(SITE, SITE.jobs[0], cancelled=lambda: True)


def test_no_route_is_no_course() -> None:
    plan = job(route=None, work=Work(ladder="ladder", heights=(5.0, 6.0)))
    assert course(plan_entry(mast(plan=plan), plan)) is None
    assert glance(mast(plan=plan), plan) is None
