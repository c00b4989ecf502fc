"""Garments and jobs in a site file: what is written is read back; one clear error a mistake."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError
from core.files.site_file import load_site, read_site
from core.files.site_writer import site_text
from core.site.garment import COMPLETE_SET, Band, Garment, Soundness
from core.site.job import HIGHER_CONTROLS, Job, Route, Stop, Work
from core.site.site import Condition, Site, State

GARMENT: dict[str, Any] = {
    "name": "Suit 2",
    "source": "card 17 of an invented maker",
    "bands": [
        {"low": "80 MHz", "high": "300 MHz", "rating": "800 %"},
        {"low": "300 MHz", "high": "1 GHz", "rating": "12.5 dB"},
    ],
    "parts": ["coverall", "gloves"],
    "condition": "sound",
    "inspected": "2026-11-02",
    "inspected_by": "store",
}
JOB: dict[str, Any] = {
    "name": "Lamp",
    "tier": "occupational",
    "when": "2026-12-01, 08:00 to 14:00",
    "route": {
        "climb_speed": "9 m/min",
        "stops": [
            {"name": "Gate", "position": [-40, 0, 0]},
            {"name": "Lamp", "ladder": "Tower ladder", "height": 132.0, "dwell": "20 min"},
        ],
        "way_down": [{"name": "Gate", "position": [-40, 0, 0], "dwell": "30 s"}],
    },
    "work": {"ladder": "Tower ladder", "heights": [131, 133]},
    "states": {"FM main": {"reduced_percent": 25}, "FM auxiliary": "locked out"},
    "garment": "Suit 2",
    "higher_controls": {"reduce": "the owner cannot go below 25 %"},
    "garment_margin": "2 dB",
    "dwell_ceiling_percent": 400,
}
TOWER = Path("demo_sites/cold-ridge-tower/cold-ridge-tower.json")
EMPTY = replace(load_site(TOWER), antennas=())


def site_with(garment: object = None, job: object = None) -> Site:
    data = json.loads(TOWER.read_text("utf-8"))
    data["garments"] = [] if garment is None else [garment]
    data["jobs"] = [] if job is None else [job]
    return read_site(data, TOWER.parent)


def again(site: Site) -> Site:
    return read_site(json.loads(site_text(site)), TOWER.parent)


def test_what_is_typed_in_is_what_the_site_holds() -> None:
    site = site_with(GARMENT, JOB)
    suit, job = site.garment("Suit 2"), site.job("Lamp")
    assert suit.missing == ("head cover", "socks")
    assert suit.rating(100e6) == 8.0
    assert suit.rating(500e6) == pytest.approx(10**1.25)
    assert suit.rating(300e6) == 8.0
    assert suit.rating(79e6) is None
    assert job.route is not None
    assert job.route.climb_speed == pytest.approx(0.15)
    assert [s.dwell for s in job.route.stops] == [0.0, 1200.0]
    assert job.states == (
        ("FM main", State(Condition.REDUCED, 25.0)),
        ("FM auxiliary", State(Condition.LOCKED_OUT)),
    )
    assert job.unexplained == ("eliminate", "engineering", "administrative")
    assert (job.garment_margin, job.dwell_ceiling) == (2.0, 400.0)


def test_garments_and_jobs_come_back_as_they_were() -> None:
    site = site_with(GARMENT, JOB)
    back = again(site)
    assert (back.garments, back.jobs) == (site.garments, site.jobs)
    assert site_text(back) == site_text(site)


def test_a_site_without_them_is_written_as_before() -> None:
    site = replace(load_site(TOWER), garments=(), jobs=())
    assert '"garments"' not in site_text(site)
    assert '"jobs"' not in site_text(site)
    assert site_text(again(site)) == site_text(site)


TEXTS = st.text("abc äΩ'", max_size=8)
NAMES = st.text("abcdef", min_size=1, max_size=6)
METRES = st.floats(-500.0, 500.0)
PLACES = st.tuples(METRES, METRES, METRES)
STOPS = st.builds(
    lambda name, place, ladder, height, dwell: Stop(
        name=name,
        position=None if ladder else place,
        ladder=ladder,
        height=height if ladder else None,
        dwell=dwell,
    ),
    NAMES, PLACES, st.sampled_from(["", "Tower ladder"]), METRES, st.floats(0.0, 1e5),
)  # fmt: skip
ROUTES = st.builds(
    Route,
    stops=st.lists(STOPS, min_size=1, max_size=4).map(tuple),
    way_down=st.none() | st.lists(STOPS, max_size=3).map(tuple),
    climb_speed=st.floats(0.01, 2.0),
    walk_speed=st.floats(0.01, 2.0),
)
STATES = st.sampled_from([c for c in Condition if c is not Condition.REDUCED]).map(
    State
) | st.builds(State, st.just(Condition.REDUCED), st.floats(0.01, 100.0))
JOBS = st.builds(
    Job,
    name=NAMES,
    tier=st.sampled_from(["public", "occupational"]),
    route=st.none() | ROUTES,
    work=st.none()
    | st.builds(lambda a, b: Work(ladder="L", heights=(min(a, b), max(a, b))), METRES, METRES),
    garment=TEXTS,
    higher_controls=st.dictionaries(st.sampled_from(HIGHER_CONTROLS), TEXTS).map(
        lambda d: tuple((k, d[k]) for k in HIGHER_CONTROLS if k in d)
    ),
    garment_training=TEXTS,
    crew=TEXTS,
    states=st.dictionaries(NAMES, STATES, max_size=3).map(lambda d: tuple(d.items())),
    dwell_ceiling=st.floats(100.0, 1000.0),
    garment_margin=st.floats(0.0, 30.0),
    when=TEXTS,
    remark=TEXTS,
)
GARMENTS = st.builds(
    Garment,
    name=NAMES,
    source=NAMES,
    bands=st.floats(1e6, 1e9).flatmap(
        lambda f: st.tuples(
            st.builds(Band, low=st.just(f), high=st.just(2 * f), percent=st.floats(101.0, 1e5)),
            st.builds(Band, low=st.just(2 * f), high=st.just(5 * f), decibels=st.floats(0.1, 50.0)),
        )
    ),
    parts=st.lists(st.sampled_from(COMPLETE_SET), unique=True).map(tuple),
    condition=st.sampled_from(Soundness),
    inspected=st.sampled_from(["", "2026-02-28"]),
    wear=TEXTS,
)


@given(JOBS, GARMENTS)
def test_whatever_is_entered_comes_back(job: Job, garment: Garment) -> None:
    back = again(replace(EMPTY, jobs=(job,), garments=(garment,)))
    assert back.jobs == (job,)
    assert back.garments == (garment,)


BANDS = GARMENT["bands"]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"bands": []}, ["garments[0]", "bands", "at least one"]),
        ({"bands": [BANDS[0], BANDS[0] | {"low": "299 MHz", "high": "1 GHz"}]}, ["bands", "overlap", "card"]),
        ({"bands": [BANDS[0] | {"rating": "800"}]}, ["bands[0]", "rating", "no unit"]),
        ({"bands": [BANDS[0] | {"rating": 800}]}, ["bands[0]", "rating", "quotes"]),
        ({"bands": [BANDS[0] | {"rating": "95 %"}]}, ["bands[0]", "rating", "more than 100 %"]),
        ({"bands": [BANDS[0] | {"rating": "0 dB"}]}, ["bands[0]", "rating", "more than 100 %"]),
        ({"bands": [BANDS[0] | {"rating": "61 dB"}]}, ["bands[0]", "rating", "60 dB"]),
        ({"bands": [BANDS[0] | {"rating": "-3 dB"}]}, ["bands[0]", "rating"]),
        ({"bands": [BANDS[0] | {"high": "80 MHz"}]}, ["bands[0]", "high", "not above"]),
        ({"parts": ["boots"]}, ["parts", "'boots'", "socks"]),
        ({"parts": "gloves"}, ["parts", "list of words"]),
        ({"condition": "fine"}, ["condition", "'fine'", "temporarily repaired"]),
        ({"source": " "}, ["source", "card"]),
        ({"inspected": "2.11.2026"}, ["inspected", "year-month-day"]),
        ({"colour": "red"}, ["colour"]),
    ],
)  # fmt: skip
def test_a_slip_on_a_card_is_one_clear_error(change: dict[str, Any], words: list[str]) -> None:
    with pytest.raises(InputError) as error:
        site_with(GARMENT | change)
    for word in ['"Suit 2"', *words]:
        assert word in error.value.line()


STOP = {"name": "Bay", "ladder": "Tower ladder", "height": 112.0}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"tier": "crew"}, ["tier", "occupational"]),
        ({"route": {"stops": []}}, ["route.stops", "at least one"]),
        ({"route": {"stops": [STOP] * 31}}, ["route.stops", "31 stops"]),
        ({"route": {"stops": [STOP | {"height": None}]}}, ['stops[0] "Bay"', "height", "missing"]),
        ({"route": {"stops": [STOP | {"position": [0, 0, 0]}]}}, ["stops[0]", "position", "one of the two"]),
        ({"route": {"stops": [STOP | {"dwell": 20}]}}, ["stops[0]", "dwell", "no unit"]),
        ({"route": {"stops": [STOP | {"dwell": "8 days"}]}}, ["dwell", "min"]),
        ({"route": {"stops": [STOP | {"dwell": "1000 h"}]}}, ["dwell", "7 days"]),
        ({"route": {"stops": [STOP], "climb_speed": "0 m/s"}}, ["route.climb_speed", "0.005"]),
        ({"work": {"low": [0, 0, 0]}}, ["work", "corners"]),
        ({"work": {"low": [0, 0, 5], "high": [1, 1, 4]}}, ["work.high", "lower value first"]),
        ({"work": {"ladder": "Tower ladder", "heights": [5, 4]}}, ["work.heights", "lower value first"]),
        ({"states": {"FM main": "reduced"}}, ["states.FM main", "'reduced'"]),
        ({"states": {"FM main": {"reduced_percent": 0}}}, ["states.FM main.reduced_percent"]),
        ({"states": ["FM main"]}, ["states", "object"]),
        ({"higher_controls": {"magic": "no"}}, ["higher_controls.magic", "eliminate"]),
        ({"dwell_ceiling_percent": 1001}, ["dwell_ceiling", "1000"]),
        ({"dwell_ceiling_percent": 99}, ["dwell_ceiling", "100"]),
        ({"garment_margin": "-1 dB"}, ["garment_margin", "30 dB"]),
    ],
)  # fmt: skip
def test_a_slip_in_a_job_is_one_clear_error(change: dict[str, Any], words: list[str]) -> None:
    with pytest.raises(InputError) as error:
        site_with(GARMENT, JOB | change)
    for word in ['jobs[0] "Lamp"', *words]:
        assert word in error.value.line()


def test_two_jobs_of_one_name_are_refused() -> None:
    job = site_with(GARMENT, JOB).jobs[0]
    with pytest.raises(InputError, match="two entries"):
        replace(EMPTY, jobs=(job, job))
