"""A job that sets an emitter higher than the site or its state has it says so on every page."""

from __future__ import annotations

from core.entry.briefing import briefing, text_of
from core.entry.entry import plan_entry
from core.entry.report import as_data, as_text
from core.site.state import Condition, NamedState, State
from support.briefed import emitter, job, mast

LOCKED, LOW = State(Condition.LOCKED_OUT), State(Condition.REDUCED, 25.0)


def test_what_a_plan_has_locked_out_and_the_job_sets_is_said_to_be_raised() -> None:
    site = mast(emitter(state=LOCKED), plan=job(states=(("North FM", LOW),)))
    entry = plan_entry(site, site.jobs[0])
    said = "The job RAISES North FM: locked out -> reduced to 25 %"
    assert said in as_text(entry)
    assert said in " ".join(text_of(briefing(entry)))
    # The other way round nothing is raised.
    down = mast(emitter(), plan=job(states=(("North FM", LOW),)))
    assert "RAISES" not in as_text(plan_entry(down, down.jobs[0]))


def test_what_is_set_is_told_from_the_state_that_the_job_begins_from() -> None:
    night = NamedState(name="night", states=(("North FM", LOCKED),))
    site = mast(emitter(), plan=job(states=(("North FM", LOW),)), states=(night,))
    entry = plan_entry(site, site.jobs[0], "night")
    assert "North FM: locked out -> reduced to 25 %" in as_text(entry)
    (changed,) = as_data(entry)["states"]  # type: ignore[misc]
    assert changed["from"] == "locked out"
