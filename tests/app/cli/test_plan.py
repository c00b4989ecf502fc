"""The plan command: text, data, the site it writes, exit codes, one line for every mistake."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from app.cli.main import main
from core.entry.lock_list import BLANK
from core.files.site_file import load_site
from core.files.site_writer import save_site
from support.briefed import emitter, mast
from support.places import ROOT

TOWER = "demo_sites/cold-ridge-tower/cold-ridge-tower.json"
UP = ("--ladder", "Tower ladder", "--span", "104,149", "--target", "800")


@pytest.fixture(autouse=True)
def _at_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def small(tmp_path: Path, **antenna: Any) -> str:
    site = {
        "format": "isofence-site",
        "version": 1,
        "name": "small site (invented)",
        "reflection": "none",
        "surfaces": [
            {
                "name": "Yard",
                "kind": "ground",
                "height": 0,
                "outline": [[-9, -9], [9, -9], [9, 9], [-9, 9]],
            }
        ],
        "antennas": [
            {
                "name": "stick",
                "kind": "worst-case",
                "model": {"gain": "0 dBi"},
                "position": [3, 0, 4],
                "carriers": [{"name": "only", "frequency": "100 MHz", "eirp": "2 kW"}],
            }
            | antenna
        ],
    }
    path = tmp_path / "site.json"
    path.write_text(json.dumps(site), "utf-8")
    return str(path)


def test_the_list_names_who_is_called_and_leaves_room_for_hands(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["plan", TOWER, *UP, "--when", "Sunday 0200 to 0400"]) == 0
    text = capsys.readouterr().out
    assert "Turn down 2 emitters of 2 owners" in text
    assert "Proven for all of it" in text
    assert "Proven to be the least: no plan touches fewer emitters than 2" in text
    assert "reduced power is no lockout" in text
    assert "target is over the limit" in text
    (row,) = [line for line in text.splitlines() if line.startswith("  FM main ")]
    assert row.count(BLANK) == 2
    for words in ("Ridge FM (invented)", "chief engineer", "555-0175", "reduced to 25 %", "Sunday"):
        assert words in row
    assert "FM auxiliary: off -> locked out" in text
    assert "Local codes" in text or "law and the site rules" in text


def test_data_and_the_site_that_is_written_agree_and_go_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "planned.json"
    assert main(["plan", TOWER, *UP, "--json", "-o", str(out), "--name", "lamp"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["plan"] == {
        "meets": True,
        "reason": "",
        "steps": [
            {"emitter": "UHF television", "from": "on", "to": "locked out"},
            {"emitter": "FM main", "from": "on", "to": "reduced to 25 %"},
        ],
    }
    assert data["before_percent_of_target"] is None
    assert [line["emitter"] for line in data["lock_list"]] == [
        "UHF television", "FM main", "FM auxiliary",
    ]  # fmt: skip
    assert set(data["lock_list"][0]) == {
        "emitter", "owner", "contact", "number", "from", "to", "when", "verified_by", "restored_by",
    }  # fmt: skip
    proof = data["proof"]
    assert (proof["least_emitters"], proof["least_owners"], proof["exact"]) == (2, 2, True)
    assert proof["least_lost_w"] == pytest.approx(data["lost_w"])
    assert data["cautions"]
    planned = load_site(out)
    assert planned.state_name == "lamp"
    assert planned.antenna("FM main").state.percent == 25.0
    assert [s.name for s in planned.states] == ["as built", "lamp"]
    # The plan holds as a reading sees it, and goes back to what it was.
    percents = {}
    for state in ((), ("--state", "as built")):
        main(["read", str(out), "--at", "-0.5,0.35,112", "--climber", "--json", *state])
        percents[state] = json.loads(capsys.readouterr().out)["percent"]["occupational"]
    main(["read", TOWER, "--at", "-0.5,0.35,112", "--climber", "--json"])
    before = json.loads(capsys.readouterr().out)["percent"]["occupational"]
    assert percents[()] < 800.0 < before
    assert percents["--state", "as built"] == before
    # With the plan in force nothing more is needed.
    assert main(["plan", str(out), *UP]) == 0
    assert "Nothing has to be turned down" in capsys.readouterr().out


def test_no_plan_is_a_finding_that_says_what_would_have_to_change(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, out = small(tmp_path, allows={"steps": [50]}), tmp_path / "new.json"
    assert main(["plan", file, "--at", "2,0,4", "-o", str(out)]) == 1
    text = capsys.readouterr().out
    assert "No plan" in text
    assert "It would do if this were changed: stick cannot be locked out" in text
    assert not out.exists()
    assert main(["plan", file, "--at", "2,0,4", "--json"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert data["plan"]["meets"] is False
    assert data["plan"]["steps"] == []
    assert "stick" in data["plan"]["reason"]
    assert data["change"]["rules"] == ["stick cannot be locked out"]


def test_what_nobody_said_and_whom_nobody_can_call_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = small(tmp_path, state="unknown", contact="not known")
    assert main(["plan", file, "--surface", "Yard", "--region", "1,-1,4,1"]) == 0
    text = capsys.readouterr().out
    assert "NOBODY TO CALL for stick" in text
    assert "nobody knows what it does" in text
    assert "nobody has said what its owner allows" in text
    assert "unknown (counts as on) -> locked out" in text


def test_a_carrier_without_a_limit_is_not_free(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    carriers = [{"name": "high", "frequency": "200 GHz", "eirp": "1 W"}]
    file = small(tmp_path, carriers=carriers)
    assert main(["plan", file, "--at", "-8,-8,0"]) == 1
    assert "NOT COUNTED: stick: high" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--ladder", "Tower leader"), "no ladder is called 'Tower leader'"),
        (("--ladder", "Tower ladder", "--span", "20,10"), "is not on Tower ladder"),
        (("--at", "0,0,5", "--span", "1,2"), "goes with --ladder only"),
        (("--ladder", "Tower ladder", "--region", "0,0,1,1"), "goes with --surface only"),
        (("--surface", "Roof"), "no surface is called 'Roof'"),
        ((), "one of the arguments"),
        (("--at", "0,0,5", "--target", "0"), "no target"),
        (("--at", "0,0,5", "--margin", "-3"), "margin"),
        (("--at", "0,0,5", "--body", "--average"), "is not planned for"),
        (("--at", "0,0,5", "-o", "x.txt"), "End it in .json"),
        (("--at", "0,0,5", "-o", TOWER), "is the site that is read"),
        (("--at", "0,0,5", "--state", "lamp"), "no state is called 'lamp'"),
        (("--at", "0,0,5", "--when", "\u202e"), "cannot be printed"),
        (("--box", "0,0,5,1,1,4"), "wrong way round"),
        (("--at", "0,0,5", "--garment-of", "gone"), "no job is called 'gone'"),
        (("--at", "0,0,5", "--garment-of", "Lamp change", "--target", "50"), "beside --garment-of"),
        (("--job", "Lamp change", "--garment-of", "Lamp change"), "beside --job"),
    ],
)
def test_a_mistake_is_one_line(
    words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", TOWER, *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert err.count("\n") == 1


def test_a_plan_for_a_state_with_an_emitter_that_is_gone_is_one_error(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = Path(small(tmp_path))
    site = json.loads(path.read_text("utf-8")) | {"states": {"lamp": {"gone": "locked out"}}}
    path.write_text(json.dumps(site), "utf-8")
    assert main(["plan", str(path), "--at", "2,0,4", "--state", "lamp"]) == 2
    error = capsys.readouterr().err
    assert "names the antenna 'gone', which is not on the site" in error
    assert error.count("\n") == 1


def test_a_plan_for_a_job_is_the_one_that_its_entry_shows(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    job = {"name": "Lamp", "work": {"low": [1, -1, 2], "high": [2, 1, 4]}}
    file = small(tmp_path, allows={"steps": [50, 10, 0]})
    site = json.loads(Path(file).read_text("utf-8")) | {"jobs": [job]}
    Path(file).write_text(json.dumps(site), "utf-8")
    assert main(["plan", file, "--job", "Lamp", "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)["plan"]
    assert [s["emitter"] for s in plan["steps"]] == ["stick"]
    # What the job sets itself is on the list too, from how the site is.
    job["states"] = {"other": "locked out"}
    other = site["antennas"][0] | {"name": "other", "position": [40, 0, 4]}
    Path(file).write_text(
        json.dumps(site | {"jobs": [job], "antennas": [*site["antennas"], other]}), "utf-8"
    )
    main(["plan", file, "--job", "Lamp", "--json"])
    lines = json.loads(capsys.readouterr().out)["lock_list"]
    assert [(line["emitter"], line["from"]) for line in lines] == [("stick", "on"), ("other", "on")]
    assert lines[1]["to"] == "locked out"
    assert main(["entry", file, "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["plan"] == plan
    assert main(["entry", file]) == 1
    assert "Turn down 1 emitter of 1 owner" in capsys.readouterr().out
    assert main(["plan", TOWER, "--job", "Lamp change", "--target", "100"]) == 2
    assert "is what the job says" in capsys.readouterr().err
    assert main(["plan", TOWER, "--job", "Lamp"]) == 2
    assert "no job is called 'Lamp'" in capsys.readouterr().err


@pytest.mark.parametrize(("command", "words"), [
    (("plan", "SITE", "--ladder", "Attic", "--target", "800"), "no ladder is called 'Attic'. Use one of ladder"),
    (("zones", "SITE", "--garment", "Coat", "-o", "OUT"), "no garment is called 'Coat'. Use one of set"),
])  # fmt: skip
def test_a_name_that_there_is_not_lists_those_that_there_are(
    command: tuple[str, ...], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "m.json"
    save_site(mast(emitter()), path)
    there = {"SITE": str(path), "OUT": str(tmp_path / "z.geojson")}
    assert main([there.get(word, word) for word in command]) != 0
    assert words in capsys.readouterr().err


def test_the_rating_of_a_garment_is_a_target_for_any_place(
    capsys: pytest.CaptureFixture[str],
) -> None:
    place = ("--ladder", "Tower ladder", "--span", "118,121")
    assert main(["plan", TOWER, *place, "--garment-of", "Lamp change", "--json"]) in (0, 1)
    worn = json.loads(capsys.readouterr().out)
    assert main(["plan", TOWER, *place, "--json"]) in (0, 1)
    bare = json.loads(capsys.readouterr().out)
    assert worn["plan"]["meets"]
    assert bare["plan"]["meets"]
    steps = [{s["emitter"]: s["to"] for s in one["plan"]["steps"]} for one in (worn, bare)]
    # More may be left on within a rating than under the limit; an emitter that nobody knows takes its credit away.
    assert worn["lost_w"] < bare["lost_w"]
    assert steps[0] == {"FM main": "reduced to 10 %", "County stick": "locked out"}
    assert steps[1] == {"FM main": "locked out"}
    assert "the rating of 'Climbing set 2'" in worn["criteria"][0]["words"]
