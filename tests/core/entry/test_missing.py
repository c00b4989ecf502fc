"""What a crew's sheet still misses."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from core.entry.entry import plan_entry
from core.entry.missing import missing
from core.site.job import Job, Route, Stop, Work
from core.site.site import Site
from core.site.state import Condition, State
from support.briefed import SUIT, emitter, in_suit, job, mast

QUICK: dict[str, Any] = {
    "route": Route(stops=(Stop(name="Foot", ladder="ladder", height=1.0, dwell=60.0),)),
    "work": Work(ladder="ladder", heights=(1.0, 2.0)),
}


def said(site: Site, plan: Job) -> str:
    return "\n".join(missing(plan_entry(site, plan)))


def test_a_complete_sheet_misses_nothing() -> None:
    assert said(mast(emitter(eirp=10.0)), job(**QUICK)) == ""


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"when": ""}, "No window of time"),
        ({"work": None}, "No work volume"),
        ({"route": None}, "No route"),
        ({"route": Route(stops=(Stop(name="a", ladder="ladder", height=1.0),))}, "No dwell"),
        ({"states": (("North FM", State(Condition.OFF)),)}, "off and not locked out"),
        ({"states": (("North FM", State(Condition.UNKNOWN)),)}, "nobody knows what it does"),
    ],
)
def test_what_a_job_leaves_open(change: dict[str, Any], words: str) -> None:
    assert words in said(mast(emitter(eirp=10.0)), job(**(QUICK | change)))


def test_whom_to_call_is_missing_only_for_what_is_turned_down() -> None:
    alone = emitter(eirp=10.0, contact="", owner="")
    assert said(mast(alone), job(**QUICK)) == ""
    lines = said(mast(alone), job(**QUICK, states=(("North FM", State(Condition.LOCKED_OUT)),)))
    assert "no number to call" in lines
    assert "owner is not known" in lines


def test_a_garment_without_its_record() -> None:
    site = replace(mast(emitter(eirp=10.0)), garments=(replace(SUIT, inspected="", parts=()),))
    plan = replace(in_suit(**QUICK), garment_training="", higher_controls=())
    lines = said(site, plan)
    for words in ("no inspection", "missing from the set", "no training", "why reduce"):
        assert words in lines


def test_no_go_is_said_first() -> None:
    first = missing(plan_entry(mast(emitter(eirp=60_000.0)), job()))[0]
    assert first.startswith("The crew may not go: NO GO")


@pytest.mark.parametrize(
    ("inspected", "words"),
    [
        ("2031-01-01", "is after the job"),
        ("1999-01-01", "days before the job: is that within its maker's interval?"),
        ("2026-11-01", ""),
    ],
)
def test_the_date_of_an_inspection_is_held_against_the_job(inspected: str, words: str) -> None:
    suit = replace(SUIT, inspected=inspected)
    site = mast(emitter(eirp=10.0), garments=(suit,))
    plan = in_suit(**QUICK, when="2026-12-01, 08:00 to 12:00")
    about = [line for line in missing(plan_entry(site, plan)) if "inspect" in line]
    assert len(about) == bool(words)
    assert all(words in line for line in about)
