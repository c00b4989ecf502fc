"""The command line as a person uses it: right figures, exit codes, one line for every mistake."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from app.cli.main import main
from support.places import ROOT

ROOF = "demo_sites/harrow-lane-roof/harrow-lane-roof.json"
TOWER = "demo_sites/cold-ridge-tower/cold-ridge-tower.json"


@pytest.fixture(autouse=True)
def _at_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def run(*words: str) -> subprocess.CompletedProcess[str]:
    env = {
        k: v
        for k, v in os.environ.items()
        if k not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    }
    return subprocess.run(
        [sys.executable, "-m", "app", *words],
        cwd=ROOT,
        env=env,
        capture_output=True,
        text=True,
        timeout=300,
    )


def test_read_as_json_has_every_promised_key_and_shares_add_up(
    capsys: pytest.CaptureFixture[str],
) -> None:
    for site, at in ((ROOF, "6,10,17.5"), (TOWER, "-20.5,4,30")):
        code = main(["read", site, "--at", at, "--json"])
        data = json.loads(capsys.readouterr().out)
        assert code in (0, 1)
        assert data["height_rule"]
        assert data["category"] in ("One", "Two", "Three", "Four")
        for tier in ("public", "occupational"):
            parts = sum(e["percent"][tier] for e in data["emitters"])
            assert parts == pytest.approx(data["percent"][tier], rel=1e-9)
        for emitter in data["emitters"]:
            for key in ("name", "e_v_per_m", "h_a_per_m", "s_w_per_m2", "model", "assumptions"):
                assert key in emitter


def test_body_uses_the_surface_under_the_place_whatever_z_says(
    capsys: pytest.CaptureFixture[str],
) -> None:
    readings = []
    for z in ("0", "99"):
        main(["read", ROOF, "--at", f"6,10,{z}", "--body", "--json"])
        readings.append(json.loads(capsys.readouterr().out))
    assert readings[0]["percent"] == readings[1]["percent"]
    assert "Main roof" in readings[0]["height_rule"]
    assert "spatial peak" in readings[0]["height_rule"]


def test_exit_code_tells_a_finding_from_a_free_place(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", ROOF, "--at", "1,1,16", "--body"]) == 0
    assert main(["read", TOWER, "--at", "1,2,112"]) == 1
    assert "Cautions" in capsys.readouterr().out


def test_many_points_at_once_agree_with_single_readings(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    points, out = tmp_path / "in.csv", tmp_path / "out.csv"
    points.write_text("name,x,y,z\na,6,10,16\nb,-3,-9,17\nc,1,13,18\n", "utf-8")
    assert main(["read", ROOF, "--points", str(points), "-o", str(out)]) in (0, 1)
    capsys.readouterr()
    rows = list(csv.DictReader(out.read_text("utf-8").splitlines()))
    assert len(rows) == 3
    for row in rows:
        main(["read", ROOF, "--at", f"{row['x']},{row['y']},{row['z']}", "--json"])
        data = json.loads(capsys.readouterr().out)
        assert float(row["percent_public"]) == pytest.approx(data["percent"]["public"], rel=1e-9)
        assert row["category"] == data["category"]


def dishes_of_the_roof(folder: Path) -> Path:
    """Return the file of a roof whose maps are quick."""
    data = json.loads(Path(ROOF).read_text("utf-8"))
    data["antennas"] = [a for a in data["antennas"] if a["kind"] == "dish"]
    path = folder / "small-roof.json"
    path.write_text(json.dumps(data), "utf-8")
    return path


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_map_writes_each_format_twice_the_same(ending: str, tmp_path: Path) -> None:
    files = [tmp_path / f"{i}.{ending}" for i in range(2)]
    site = str(dishes_of_the_roof(tmp_path))
    for file in files:
        assert main(["map", site, "--elevation", "90", "--cells", "40x40", "-o", str(file)]) == 0
    heads = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}
    assert files[0].read_bytes().startswith(heads[ending])
    if ending != "svg":
        assert files[0].read_bytes() == files[1].read_bytes()


def test_check_lists_doubts_or_says_ok(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sound = json.loads(Path(ROOF).read_text("utf-8"))
    sound["access_points"] = [a for a in sound["access_points"] if a["name"] != "Fire escape gate"]
    path = tmp_path / "sound.json"
    path.write_text(json.dumps(sound), "utf-8")
    assert main(["check", str(path)]) == 0
    assert capsys.readouterr().out == "ok\n"
    assert main(["check", ROOF]) == 1
    (line,) = capsys.readouterr().out.splitlines()
    assert line.startswith("Fire escape gate: open to the public, but")
    assert main(["check", TOWER]) == 1
    out = capsys.readouterr().out
    assert "unknown, counted at full power" in out
    assert "not locked out" in out


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["check", "missing.json"], "missing.json: does not exist"),
        (["read", ROOF], "--at"),
        (["read", ROOF, "--at", "1,2"], "3 numbers"),
        (["read", ROOF, "--at", "nan,0,0"], "3 numbers"),
        (["read", ROOF, "--at", "1,2,3", "--average"], "--body"),
        (["read", ROOF, "--points", "missing.csv", "-o", "x.csv"], "missing.csv"),
        (["read", ROOF, "--points", "README.md"], "-o"),
        (["read", ROOF, "--points", "README.md", "-o", "x.csv"], "x, y, z"),
        (["map", ROOF, "-o", "x.bmp"], "png"),
        (["map", ROOF, "-o", "x.png", "--cells", "40000x25000"], "too large"),
        (["map", ROOF, "-o", "x.png", "--cells", "0x5"], "has no cells"),
        (["map", ROOF, "-o", "x.png", "--cells", "many"], "320x240"),
        (["map", ROOF, "-o", "x.png", "--region", "5,5,1,1"], "region"),
        (["map", ROOF, "-o", "x.png", "--width", "9"], "--width"),
        (["map", ROOF, "-o", "x.png", "--contours", "a"], "percents"),
        (["map", ROOF, "--elevation", "90", "--up", "10,2", "-o", "x.png"], "up"),
        (["map", ROOF, "-o", "/no/such/folder/x.png", "--cells", "9x9"], "cannot be written"),
        (["fly", ROOF], "isofence"),
        (["--nonsense"], "isofence"),
    ],
)
def test_bad_input_is_one_line_and_exit_code_2(
    words: list[str], part: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    monkeypatch.delenv("DISPLAY", raising=False)
    assert main(words) == 2
    caught = capsys.readouterr()
    assert part in caught.err
    assert caught.err.count("\n") == 1
    assert "Traceback" not in caught.err


@pytest.mark.parametrize(
    ("line", "part"),
    [
        ("1,2", "line 2"),
        ("1,2,x", "line 2"),
        ("1,2,1e9", "line 2"),
        ("1,2,inf", "line 2"),
        ("", "no points"),
    ],
)
def test_a_bad_line_of_points_is_named(
    line: str, part: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    points = tmp_path / "in.csv"
    points.write_text(f"x,y,z\n{line}\n", "utf-8")
    assert main(["read", ROOF, "--points", str(points), "-o", str(tmp_path / "o.csv")]) == 2
    assert part in capsys.readouterr().err


def test_without_a_display_the_first_command_draws_to_files(tmp_path: Path) -> None:
    path = dishes_of_the_roof(tmp_path)
    env = {
        k: v
        for k, v in os.environ.items()
        if k not in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    }
    done = subprocess.run(
        [sys.executable, "-m", "app", str(path)],
        cwd=tmp_path,
        env=env | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert done.returncode == 0, done.stderr
    for name in ("plan.png", "elevation.png", "reading.txt"):
        assert (tmp_path / "out" / f"small-roof-{name}").stat().st_size > 500
        assert name in done.stdout
    assert "its first sheet; isofence map" in done.stdout
    assert "apt-get install" in done.stdout
    # At the door in the penthouse's wall, where one steps out of it, and not on the roof over it.
    reading = (tmp_path / "out" / "small-roof-reading.txt").read_text("utf-8")
    assert "Standing on Main roof at 16 m" in " ".join(reading.split())


def test_no_traceback_reaches_the_user_from_the_real_process() -> None:
    done = run("read", "README.md", "--at", "0,0,0")
    assert done.returncode == 2
    assert "not JSON" in done.stderr
    assert "Traceback" not in done.stderr


def test_zones_say_which_carriers_they_cannot_count(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    data = json.loads(Path(TOWER).read_text("utf-8"))
    data = {key: data[key] for key in ("format", "version", "name", "limits")}
    mast = {"name": "Beacon", "kind": "am-mast", "model": {"height": "60 m"}, "position": [0, 0, 0]}
    mast["carriers"] = [{"name": "c", "frequency": "162 kHz", "transmitter": "1 kW"}]
    data["antennas"] = [mast]
    data["ladders"] = [{"name": "L", "points": [[200, 0, 0], [200, 0, 5]]}]
    path = tmp_path / "low.json"
    path.write_text(json.dumps(data), "utf-8")
    shapes = tmp_path / "z.geojson"
    words = "Beacon: c: outside the limit set FCC"
    assert main(["zones", str(path), "-o", str(shapes), "--seconds", "5"]) == 1
    assert f"NOT COUNTED: {words}" in capsys.readouterr().out
    assert json.loads(shapes.read_text("utf-8"))["not_counted"][0].startswith(words)
    assert main(["zones", str(path), "-o", str(tmp_path / "l.csv"), "--seconds", "5"]) == 1
    assert words in capsys.readouterr().out
