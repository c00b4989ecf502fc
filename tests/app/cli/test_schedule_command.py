"""The antenna table on the command line: out, in again, and what cannot be taken."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from app.cli.main import main
from core.files.site_file import load_site
from core.files.site_writer import site_text
from support.places import ROOT

TOWER = ROOT / "demo_sites" / "cold-ridge-tower" / "cold-ridge-tower.json"
ROOF = ROOT / "demo_sites" / "harrow-lane-roof" / "harrow-lane-roof.json"


def test_a_table_goes_out_and_in_and_changes_nothing(
    demo_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    table, new = tmp_path / "table.csv", tmp_path / "new.json"
    assert main(["schedule", str(demo_path), "-o", str(table)]) == 0
    assert main(["schedule", str(demo_path), "--take", str(table), "-o", str(new)]) == 0
    assert site_text(load_site(new)) == site_text(load_site(demo_path))
    said = capsys.readouterr().out
    assert "0 new, 0 changed" in said
    assert str(new) in said
    # Without a file it goes to the terminal, the same bytes.
    assert main(["schedule", str(demo_path)]) == 0
    assert capsys.readouterr().out == table.read_text("utf-8")


def test_changes_and_problems_are_said_and_nothing_is_written_unasked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    table, new = tmp_path / "t.csv", tmp_path / "new.json"
    table.write_text("antenna;az;tpo\nSector north;12,5;\nPaging stick;;5 hp\n", "utf-8")
    before = ROOF.read_bytes()
    assert main(["schedule", str(ROOF), "--take", str(table)]) == 1
    said = capsys.readouterr().out
    assert "changed Sector north: azimuth (deg) 0.0 → 12.5" in said
    assert "NOT TAKEN: row 3, column \"tpo\": 'hp' is not a unit of power" in said
    assert "Nothing is written" in said
    assert main(["schedule", str(ROOF), "--take", str(table), "-o", str(new)]) == 1
    assert json.loads(new.read_text("utf-8"))["antennas"][0]["azimuth"] == 12.5
    assert ROOF.read_bytes() == before


def test_pattern_files_go_with_the_new_site(tmp_path: Path) -> None:
    table, new = tmp_path / "t.csv", tmp_path / "other" / "new.json"
    new.parent.mkdir()
    assert main(["schedule", str(TOWER), "-o", str(table)]) == 0
    assert main(["schedule", str(TOWER), "--take", str(table), "-o", str(new)]) == 0
    assert (new.parent / "patterns" / "demo-omni-0155.adf").is_file()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["-o", "{tmp}/a.json"], "is no .csv"),
        (["--decimal", "comma"], "goes with --take only"),
        (["--take", "{tmp}/none.csv"], "none.csv: does not exist"),
        (["--take", "{tmp}/empty.csv"], "empty.csv: has no row of headers"),
        (["--take", "{tmp}/empty.csv", "-o", "{tmp}/a.csv"], "is no .json"),
        (["--take", "{tmp}/empty.csv", "-o", "{tmp}/site.json"], "is the site that is read"),
    ],
)
def test_bad_input_is_one_line(
    words: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "empty.csv").touch()
    site = tmp_path / "site.json"
    shutil.copy(ROOF, site)
    assert main(["schedule", str(site), *(w.format(tmp=tmp_path) for w in words)]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
    assert sorted(p.name for p in tmp_path.iterdir()) == ["empty.csv", "site.json"]


def test_the_decimal_sign_can_be_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table = tmp_path / "t.csv"
    table.write_text('antenna,erp\nPaging stick,"1,250 W"\n', "utf-8")
    assert main(["schedule", str(ROOF), "--take", str(table)]) == 1
    assert "could be 1250 or 1.250" in capsys.readouterr().out
    assert main(["schedule", str(ROOF), "--take", str(table), "--decimal", "point"]) == 0
    assert "erp 1 kW → 1.25 kW" in capsys.readouterr().out
