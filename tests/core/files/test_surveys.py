"""Surveys in files: what is written is read back; of a table the bad rows are named and the rest is used."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from core.errors import InputError
from core.files.site_file import load_site, read_site
from core.files.site_writer import site_text
from core.files.survey_table import parse_survey, read_survey
from core.files.surveys import parse_value
from core.site.places import Structure, Surface
from core.site.site import Site
from core.site.state import Condition, State
from core.site.surveys import MOST_READINGS
from support.places import ROOT
from support.surveyed import measured, with_readings

ROOF = load_site(ROOT / "demo_sites/harrow-lane-roof/harrow-lane-roof.json")
NAMES = [a.name for a in ROOF.antennas]
UNITS = ("V/m", "A/m", "mW/cm2", "mW/cm²", "W/m²", "% FCC occupational", "% ICNIRP2020 public")


def test_a_survey_is_read_back_as_it_was() -> None:
    mixed = (
        measured(12.25, "V/m", states=((NAMES[0], State()), (NAMES[1], State(Condition.REDUCED, 12.5)))),
        measured(35.0, "%", limit_set="FCC", tier="public", explained="a ladder truck, Σ. Мох"),
        measured(0.125, "mW/cm²", instrument="probe", calibrated="2026-01-02", time="2026-11-20T10:00"),
    )  # fmt: skip
    site = with_readings(ROOF, *mixed)
    text = site_text(site)
    again = read_site(json.loads(text), ROOT / "demo_sites/harrow-lane-roof")
    assert again.surveys == site.surveys
    assert site_text(again) == text


def test_what_all_readings_share_is_written_once() -> None:
    site = with_readings(ROOF, *(measured(1.0 + i, instrument="probe 7") for i in range(50)))
    text = site_text(site)
    assert text.count("probe 7") == 1
    assert read_site(json.loads(text), ROOT / "demo_sites/harrow-lane-roof") == site


def broken(**change: Any) -> Any:
    data = json.loads(site_text(with_readings(ROOF, measured(10.0))))
    survey = data["surveys"][0]
    survey |= {k: v for k, v in change.items() if k in ("states", "uncertainty")}
    survey["readings"][0] |= {k: v for k, v in change.items() if k not in ("states", "uncertainty")}
    return data


@pytest.mark.parametrize(
    ("change", "field", "said"),
    [
        ({"value": "12 furlong"}, "value", "'furlong' is not a unit of a reading"),
        ({"value": "12"}, "value", "has no unit"),
        ({"value": "12 %"}, "value", "does not say of which limit"),
        ({"value": "twelve V/m"}, "value", "is not a number with a unit"),
        ({"value": "-2 V/m"}, "value", "is nothing a meter reads"),
        ({"value": "1e400 V/m"}, "value", "is nothing a meter reads"),
        ({"position": [1, 2]}, "position", "is not a list of 3 numbers"),
        ({"position": [1, 2, 1e9]}, "position", "is not a place on a site"),
        ({"time": "yesterday"}, "time", "is not a date"),
        ({"time": "2026-01-01", "calibrated": "2026-02-01"}, "calibrated", "is after the reading"),
        ({"colour": "red"}, "colour", "is not known"),
        ({"uncertainty": "30 dB"}, "uncertainty", "dB of uncertainty"),
        ({"uncertainty": 2}, "uncertainty", "has no unit"),
        ({"states": ["on"]}, "states", "must be an object"),
        ({"states": {"a": "asleep"}}, "states", "is not known"),
    ],
)
def test_a_mistake_in_a_survey_is_one_clear_error(
    change: dict[str, Any], field: str, said: str
) -> None:
    with pytest.raises(InputError) as caught:
        read_site(broken(**change), ROOT / "demo_sites/harrow-lane-roof")
    line = caught.value.line()
    assert said in line
    assert field in caught.value.field
    assert "surveys[0]" in line
    assert caught.value.fix


def test_states_must_be_told_and_surveys_are_bounded() -> None:
    data = broken()
    del data["surveys"][0]["states"]
    with pytest.raises(InputError, match="states: is missing"):
        read_site(data, ROOT)
    one = measured(1.0)
    with pytest.raises(InputError, match="at most are compared"):
        with_readings(ROOF, *[one] * (MOST_READINGS + 1))


def test_values_with_their_units() -> None:
    assert parse_value("12.5 V/m") == (12.5, "V/m", "", "occupational")
    assert parse_value("2 mW/cm2") == (2.0, "mW/cm²", "", "occupational")
    assert parse_value("35 % FCC public") == (35.0, "%", "FCC", "public")


def table(rows: int, seed: int = 4) -> list[str]:
    draw = random.Random(seed)
    lines = ["x,y,z,value,unit,uncertainty,instrument,calibrated,time,states"]
    for i in range(rows):
        place = f"{draw.uniform(-5, 25):.2f},{draw.uniform(-5, 25):.2f},17"
        said = f"{NAMES[0]}: off; {NAMES[1]}: 10 %" if i % 3 else ""
        lines.append(
            f"{place},{draw.uniform(0.01, 9.0):.3f},{UNITS[i % len(UNITS)]},2 dB,probe 7,2026-03-01,2026-11-20,{said}"
        )
    return lines


def test_of_200_readings_in_mixed_units_three_bad_rows_are_named_and_the_rest_is_used(
    tmp_path: Path,
) -> None:
    lines = table(200)
    lines[16] = lines[16].replace(",17,", ",seventeen,", 1)
    lines[90] = lines[90].replace(UNITS[89 % len(UNITS)], "furlong")
    cells = lines[151].split(",")
    lines[151] = ",".join([*cells[:-1], "Nobody FM: off"])
    path = tmp_path / "readings.csv"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    found = read_survey(path, ROOF)
    assert [(r.row, r.column) for r in found.rejected] == [
        (17, "z"), (91, "unit"), (152, "states"),
    ]  # fmt: skip
    assert ["seventeen" in found.rejected[0].reason, "furlong" in found.rejected[1].reason] == [
        True
    ] * 2
    assert "'Nobody FM' is no antenna" in found.rejected[2].words
    assert all(r.cure for r in found.rejected)
    assert len(found.readings) == 197
    rows = dict(found.readings)
    assert set(rows) == set(range(2, 202)) - {17, 91, 152}
    assert {r.unit for r in rows.values()} == {"V/m", "A/m", "mW/cm²", "W/m²", "%"}
    assert rows[2].name == "row 2"
    states = dict(rows[3].states)
    assert states[NAMES[0]] == State(Condition.OFF)
    assert states[NAMES[1]] == State(Condition.REDUCED, 10.0)
    assert states[NAMES[2]].condition is Condition.UNKNOWN


def test_states_as_filed_are_those_of_the_site_file() -> None:
    first, *rest = ROOF.antennas
    quiet = replace(ROOF, antennas=(replace(first, state=State(Condition.OFF)), *rest))
    one = parse_survey("x,y,z,value,unit\n0,0,1,5,V/m\n", quiet, as_filed=True).readings[0][1]
    assert dict(one.states)[NAMES[0]] == State(Condition.OFF)


def test_units_may_stand_in_the_headers() -> None:
    plain = parse_survey("x,y,z,value,unit,uncertainty\n3.048,6.096,1.524,5,V/m,2\n", ROOF).readings
    inside = "X (ft), Y [ft],z (feet),E (V/m),Uncertainty (dB)\n10,20,5,5,2\n"
    assert parse_survey(inside, ROOF).readings == plain
    for header, said in (
        ("x (furlong),y,z,E (V/m)", "'furlong' is not a unit of length"),
        ("x,y,z,E (V/m),uncertainty (%)", "column 'uncertainty (%)' is not known"),
        ("x,y,z,E", "has no column unit"),
        ("x,y,z,E (V/m),H (A/m)", "two columns value"),
    ):
        with pytest.raises(InputError) as caught:
            parse_survey(f"{header}\n1,2,3,4,5\n", ROOF)
        assert said in caught.value.line()
        assert caught.value.fix
    ((_, one),) = parse_survey("x (m),y (m),z (m),S (mW/cm2)\n1,2,3,4\n", ROOF).readings
    assert one.unit == "mW/cm²"


def test_pasted_cells_and_semicolons_are_understood_and_height_is_above_the_surface() -> None:
    for between in ("\t", ";"):
        text = "\n".join(["x,y,height,value,unit", "6,10,1.5,5,V/m"]).replace(",", between)
        one = parse_survey(text, ROOF).readings[0][1]
        assert one.value == 5.0
        roof = max(s.height for s in ROOF.surfaces if s.name)
        assert 1.5 < one.position[2] <= roof + 1.5


def test_a_height_over_one_of_several_floors_is_asked_about() -> None:
    square = ((-5.0, -5.0), (5.0, -5.0), (5.0, 5.0), (-5.0, 5.0))
    yard = Surface(name="Yard", kind="ground", height=0.0, outline=square)
    shelf = Surface(name="Shelf", kind="platform", height=30.0, outline=square)
    site = replace(ROOF, surfaces=(yard, shelf), structures=())
    rows = "x,y,z,height,value,unit\n1,1,,2,5,V/m\n1,1,2,,5,V/m\n1,1,2,2,5,V/m\n1,1,,,5,V/m\n9,9,,2,5,V/m\n"
    table = parse_survey(rows, site)
    assert [r.position[2] for _, r in table.readings] == [2.0, 2.0]
    said = {r.row: (r.column, r.reason) for r in table.rejected}
    assert said[2] == ("height", "2 m could be above Yard at 0 m or Shelf at 30 m")
    assert said[4] == ("height", "is given beside z")
    assert said[5][0] == "z"
    # A floor inside a building is none.
    house = Structure(name="House", kind="building", outline=square, base=0.0, top=30.0)
    one = parse_survey("x,y,height,value,unit\n1,1,2,5,V/m\n", replace(site, structures=(house,)))
    assert one.readings[0][1].position[2] == 32.0


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "has no column x"),
        ("x,y,z,value\n1,2,3,4\n", "has no column unit"),
        ("x,y,value,unit\n", "needs a column z"),
        ("x,y,z,value,unit,mood\n", "column 'mood' is not known"),
        ("x,x,y,z,value,unit\n", "two columns x"),
        ("x,y,z,value,unit\n", "has no readings"),
        ('x,y,z,value,unit\n1,2,3,"1,2,3",V/m\n', "no row can be used; the first"),
    ],
)  # fmt: skip
def test_a_table_that_is_none_is_one_clear_error(text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_survey(text, ROOF)
    assert said in caught.value.line()
    assert caught.value.fix


@pytest.mark.parametrize(
    ("column", "cell", "said"),
    [
        ("x", "", "is empty"),
        ("value", "1e9", "is nothing a meter reads"),
        ("value", "nan", "is not a number"),
        ("unit", "%", "does not say of which limit"),
        ("uncertainty", "40", "dB of uncertainty"),
        ("time", "31.12.2026", "is not a date"),
        ("states", f"{NAMES[0]}: sleeping", "is not what a transmitter does"),
        ("states", f"{NAMES[0]}: 120 %", "is not what a transmitter does"),
        ("name", "a", "is the name of another row"),
    ],
)
def test_a_bad_cell_rejects_its_row_only(column: str, cell: str, said: str) -> None:
    head = ["name", "x", "y", "z", "value", "unit", "uncertainty", "time", "states"]
    good = ["a", "1", "2", "17", "5", "V/m", "2", "2026-11-20", ""]
    bad = ["b", *good[1:]]
    bad[head.index(column)] = cell
    text = "\n".join(",".join(row) for row in (head, good, bad))
    found = parse_survey(text, ROOF)
    assert len(found.readings) == 1
    assert [(r.row, r.column.split(",")[0]) for r in found.rejected] == [(3, column)]
    assert said in found.rejected[0].reason


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="does not exist"):
        read_survey(tmp_path / "none.csv", ROOF)
    (tmp_path / "bytes.csv").write_bytes(b"\xff\xfe\x00x")
    with pytest.raises(InputError, match="cannot be read as text"):
        read_survey(tmp_path / "bytes.csv", ROOF)
    with pytest.raises(InputError, match="is no ordinary file"):
        read_survey(tmp_path, ROOF)


def test_an_emitter_that_is_gone_leaves_a_doubt_and_no_error() -> None:
    from core.reading.doubts import doubts

    site: Site = with_readings(ROOF, measured(1.0, states=(("gone FM", State()),)))
    assert any("'gone FM', which is not on the site any more" in line for line in doubts(site))


@pytest.mark.parametrize("between", [";", "\t"])
def test_a_decimal_comma_is_as_good_as_a_point(between: str) -> None:
    rows = (("x", "y", "z", "value", "unit"), ("1,5", "-2,25", "3", "0,75", "V/m"))
    table = parse_survey("\n".join(between.join(row) for row in rows), ROOF)
    (_, one), *none = table.readings
    assert none == []
    assert (one.position, one.value) == ((1.5, -2.25, 3.0), 0.75)
