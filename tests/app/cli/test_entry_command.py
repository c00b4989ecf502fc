"""The entry command: the data other programs read, exit codes, and errors in one line."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest

from app.cli.main import main

TOWER = Path("demo_sites/cold-ridge-tower/cold-ridge-tower.json")
KIND = {"kind": "worst-case", "model": {}}


def site_file(folder: Path, job: dict[str, Any] | None, erp: str = "2 kW", **more: Any) -> str:
    data = {
        "format": "isofence-site", "version": 1, "name": "mast", "reflection": "none",
        "surfaces": [{"name": "ground", "kind": "ground", "height": 0, "outline": [[-50, -50], [50, -50], [50, 50]]}],
        "ladders": [{"name": "ladder", "points": [[0, 0, 0], [0, 0, 30]]}],
        "garments": [{"name": "set", "source": "card", "condition": "sound", "inspected": "2026-11-01",
                      "bands": [{"low": "80 MHz", "high": "300 MHz", "rating": "10 dB"}]}],
        "antennas": [{"name": "FM", "kind": "stack", "model": {"bay": "vertical-dipole", "bays": 2,
                      "design_frequency": "100 MHz"}, "position": [3, 0, 20],
                      "carriers": [{"name": "100", "frequency": "100 MHz", "erp": erp}]}],
    } | more  # fmt: skip
    if job is not None:
        data["jobs"] = [job]
    path = folder / "site.json"
    path.write_text(json.dumps(data), "utf-8")
    return str(path)


LAMP = {
    "name": "Lamp",
    "route": {"stops": [
        {"name": "foot", "ladder": "ladder", "height": 1},
        {"name": "lamp", "ladder": "ladder", "height": 28, "dwell": "2 min"},
    ]},
}  # fmt: skip


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    code = main(list(words))
    out = capsys.readouterr()
    return code, out.out + out.err


def data(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, dict[str, Any]]:
    code, text = run(capsys, "entry", *words, "--json")
    return code, json.loads(text)


def test_the_data_of_an_entry(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, entry = data(capsys, site_file(tmp_path, LAMP), "Lamp")
    assert entry["job"] == "Lamp"
    assert entry["tier"] == "occupational"
    assert entry["verdict"] in {
        "not needed", "within rating", "within rating but no margin", "not enough", "no credit",
    }  # fmt: skip
    assert code == (0 if entry["verdict"] in ("not needed", "within rating") else 1)
    stop = entry["stops"][1]
    assert stop["name"] == "lamp"
    assert stop["position"] == [0.0, 0.0, 28.0]
    assert set(stop["percent"]) == {"public", "occupational"}
    assert {"use_percent", "verdict"} <= set(stop["garment"])
    assert stop["longest_stay_s"] is None or stop["longest_stay_s"] >= 0.0
    assert stop["governed_by"] == "FM: 100"
    assert {"percent", "window_s", "from_s", "to_s"} <= set(entry["worst_window"])
    assert entry["worst_window"]["window_s"] == 360.0
    plan = entry["plan"]
    assert set(plan) == {"steps", "meets", "reason"}
    if code:
        assert plan["meets"]
        assert plan["steps"][0]["emitter"] == "FM"
    assert entry["cautions"]


def test_a_stop_says_what_a_reading_there_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = site_file(tmp_path, LAMP)
    _, entry = data(capsys, path)
    main(["read", path, "--at", "0,0,28", "--climber", "--json"])
    reading = json.loads(capsys.readouterr().out)
    assert json.dumps(reading).count(
        str(round(entry["stops"][1]["percent"]["occupational"], 6))[:6]
    )


def test_exit_codes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "entry", site_file(tmp_path, LAMP, "5 W"))[0] == 0
    code, text = run(capsys, "entry", site_file(tmp_path, LAMP, "50 kW"))
    assert code == 1
    assert "NO GO" in text
    assert "Local codes" in text or "law and the site rules" in text


@pytest.mark.parametrize(
    ("job", "words", "said"),
    [
        (None, [], ["has no job", "site.json"]),
        (LAMP, ["Paint"], ["no job is called 'Paint'", "Lamp"]),
        (LAMP | {"garment": "coat"}, [], ["'coat'", 'jobs[0] "Lamp"', "site.json"]),
        (LAMP | {"states": {"AM": "off"}}, [], ["'AM'", "states", "site.json"]),
        (LAMP | {"route": {"stops": [{"name": "x", "position": [0, 900, 0]}]}}, [], ["outside the site", "stops[0]"]),
    ],
)  # fmt: skip
def test_a_mistake_is_one_line(
    job: dict[str, Any] | None, words: list[str], said: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:  # fmt: skip
    code, text = run(capsys, "entry", site_file(tmp_path, job), *words)
    assert code == 2
    assert len(text.strip().splitlines()) == 1
    for word in said:
        assert word in text


def test_zones_with_a_garment(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = site_file(tmp_path, LAMP, "10 kW")
    out = str(tmp_path / "spans.csv")
    code, text = run(capsys, "zones", path, "--garment", "set", "-o", out)
    assert code == 1
    assert "what set is good for" in text
    rows = list(csv.DictReader(Path(out).read_text("utf-8").splitlines()))
    (row,) = [r for r in rows if r["zone"] == "beyond set"]
    # It ends by its use, not at a percent of the limit.
    assert row["threshold_percent"] == ""
    region = ("--height", "20", "--region", "0,-3,6,3", "--percent", "5")
    written = tmp_path / "zones.geojson"
    run(capsys, "zones", path, "--garment", "set", *region, "-o", str(written))
    features = json.loads(written.read_text("utf-8"))["features"]
    of = [f["properties"] for f in features if f["properties"].get("zone") == "beyond set"]
    assert of
    assert of[0]["garment"] == "set"
    assert of[0]["garment_use_percent"] == pytest.approx(50.1, abs=0.1)
    assert of[0]["threshold_percent"] is None
    picture = str(tmp_path / "zones.png")
    region = ("--height", "20", "--region", "-5,-8,11,8", "--percent", "5")
    code, text = run(capsys, "zones", path, "--garment", "set", *region, "-o", picture)
    assert "beyond set" in text
    assert Path(picture).stat().st_size > 10_000
    code, text = run(capsys, "zones", path, "--garment", "coat", "-o", out)
    assert code == 2
    assert "'coat'" in text
    code, text = run(capsys, "zones", path, "--garment", "set", "--threshold", "5", "-o", out)
    assert code == 2


def test_the_lamp_of_the_tower_needs_a_plan(capsys: pytest.CaptureFixture[str]) -> None:
    code, entry = data(capsys, str(TOWER))
    assert code == 1
    assert not entry["go"]
    assert "over 1000 %" in entry["reasons"][0]
    spans = entry["garment_not_enough"]
    assert any(s["from"][2] < 112.0 < s["to"][2] and s["percent"] > 100.0 for s in spans)
