"""Sheets from the command line: what they hold, and one clear error for what cannot be."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from app.cli.main import main
from support.places import DEMOS

ROOF = str(DEMOS / "harrow-lane-roof" / "harrow-lane-roof.json")
TOWER = str(DEMOS / "cold-ridge-tower" / "cold-ridge-tower.json")


def pages(data: bytes) -> int:
    found = re.search(rb"/Count (\d+)", data)
    assert found is not None
    return int(found[1])


def title(data: bytes) -> str:
    found = re.search(rb"/Title \(((?:[^()\\]|\\.)*)\)", data)
    assert found is not None
    return found[1].decode("latin-1")


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["map", ROOF, "-o", "x.pdf", "--paper", "A5"], "--paper: 'A5' is no size of paper"),
        (["map", ROOF, "-o", "x.pdf", "--scale", "2:1"], "--scale: '2:1' is not a scale"),
        (["map", ROOF, "-o", "x.pdf", "--scale", "1:100"], "scale: 1:100 is too large"),
        (["map", ROOF, "-o", "x.pdf", "--date", "today"], "--date: 'today' is not a date"),
        (["map", ROOF, "-o", "x.pdf", "--job", "j" * 200], "--job: is longer than"),
        (["zones", ROOF, "-o", "x.pdf", "--sheets", "signs,walls"], "zones,door,ladders,signs"),
        (["zones", ROOF, "-o", "x.geojson", "--sheets", "signs"], "--sheets: goes with pictures"),
        (["zones", ROOF, "-o", "x.pdf", "--scale", "1:10"], "scale: 1:10 is too large"),
        (["fences", ROOF, "-o", "x.txt"], "has no fence"),
        (["read", ROOF, "--at", "0,0,16", "-o", "x.pdf", "--paper", "B4"], "--paper"),
    ],
)
def test_what_cannot_be_is_one_line(
    words: list[str],
    part: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(words) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert part in said
    assert not list(tmp_path.iterdir())


def test_a_reading_is_a_sheet_the_same_twice(tmp_path: Path) -> None:
    files = [tmp_path / f"{i}.pdf" for i in range(2)]
    for file in files:
        words = ["read", ROOF, "--at", "6,10,16", "--body", "--paper", "letter", "-o", str(file)]
        assert main(words) == 1
    data = files[0].read_bytes()
    assert data == files[1].read_bytes()
    assert title(data) == "Harrow Lane Exchange, roof: Reading at x 6 m, y 10 m, z 16 m"
    assert re.search(rb"/MediaBox \[ 0 0 792 612 \]", data)


def test_ladders_and_signs_without_a_zone_of_the_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "set.pdf"
    words = ["zones", ROOF, "--sheets", "ladders,signs", "--job", "mast", "-o", str(file)]
    assert main(words) == 0
    data = file.read_bytes()
    assert title(data).startswith("Harrow Lane Exchange, roof: Ladders")
    assert pages(data) >= 3
    out = capsys.readouterr().out
    assert "nowhere over" in out
    assert "sign at Fire escape gate: Category Two" in out


def test_a_map_at_a_scale_that_was_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "map.svg"
    words = [
        "map", ROOF, "--region", "10,-14,20,-4", "--cells", "8x8", "--contours", "1000",
        "--scale", "1:200", "--date", "2026-03-04", "-o", str(file),
    ]  # fmt: skip
    assert main(words) == 0
    said = capsys.readouterr()
    assert said.out.strip() == str(file)
    assert "sheet 1 of" in said.err or not said.err
    # Words are outlines in an SVG; each is named in a comment before it.
    text = file.read_text("utf-8")
    for part in ("1:200 on A4", "2026-03-04", "Harrow Lane Exchange, roof"):
        assert f"<!-- {part} -->" in text


def test_fences_come_with_what_they_hold_back(tmp_path: Path) -> None:
    data = json.loads(Path(ROOF).read_text("utf-8"))
    data["antennas"] = [a for a in data["antennas"] if a["name"] == "Paging stick"]
    data["fences"] = [
        {
            "name": "chain",
            "tier": "public",
            "threshold": 1.0,
            "outline": [[-5.0, 0.0], [-2.0, 0.0], [-2.0, 4.0], [-5.0, 4.0]],
        }
    ]
    site, file = tmp_path / "one.json", tmp_path / "fences.pdf"
    site.write_text(json.dumps(data), "utf-8")
    assert main(["fences", str(site), "--seconds", "20", "-o", str(file)]) in (0, 1)
    assert title(file.read_bytes()).startswith("Harrow Lane Exchange, roof: Fences")
