"""The fleet command as a person uses it."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.cli import fleet
from app.cli.main import main
from support.fleets import BROKEN, one_by_one, write_fleet


@pytest.fixture
def here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Work in this process: starting others is tried in tests/core/fleet."""
    monkeypatch.setattr(fleet, "_engine", lambda args: one_by_one)


@pytest.mark.usefixtures("here")
def test_a_table_progress_and_the_broken_by_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_fleet(tmp_path / "sites", 2, broken=True)
    table = tmp_path / "t.csv"
    assert main(["fleet", str(tmp_path / "sites"), "-o", str(table)]) == 1
    said = capsys.readouterr()
    for name in BROKEN:
        assert f"BROKEN: {name}: " in said.out
    assert "5 sites, 5 with findings, 3 broken" in said.out
    assert "No sites, left out: areas.json, list.json" in said.out
    assert "7 of 7: " in said.err
    assert table.read_text("utf-8").count("\n") == 6
    assert not (tmp_path / "t.csv.journal").exists()


@pytest.mark.usefixtures("here")
def test_against_says_how_many_got_worse(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = str(tmp_path / "sites")
    write_fleet(tmp_path / "sites", 1)
    words = ["fleet", folder, "-o", str(tmp_path / "t.csv"), "--against", folder]
    main([*words, "--percent", "20", "--metres", "0.5"])
    assert "0 worse for people than before" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["-o", "t.txt"], "t.txt: -o: is not a CSV name. End it in .csv"),
        (["-o", "t.csv", "--limits", "none"], "--limits"),
        (["-o", "t.csv", "--seconds", "0"], "--seconds: 0. Use 0.1 to 36000"),
        (["-o", "t.csv", "--percent", "99"], "percent: 99. Use 0.001 to 50"),
        (["-o", "t.csv", "--workers", "0"], "--workers: 0. Use 1 to 256"),
        (["-o", "t.csv", "--workers", "2", "--scheduler", "x"], "--workers: is the scheduler's own matter"),
        (["-o", "t.csv"], "has no .json file. Name the folder that the sites are in"),
        (["-o", "t.csv", "--against", "nowhere"], "nowhere: does not exist. Name the folder"),
    ],
)  # fmt: skip
def test_bad_options_are_one_line_before_any_work(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty").mkdir()
    if "--against" in words:
        write_fleet(tmp_path / "empty", 1)
    assert main(["fleet", "empty", *words]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
    assert {p.name for p in tmp_path.iterdir()} == {"empty"}


def test_a_folder_that_is_none_and_a_table_that_cannot_be_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["fleet", str(tmp_path / "none"), "-o", str(tmp_path / "t.csv")]) == 2
    assert "none: does not exist. Name the folder that the sites are in" in capsys.readouterr().err
    write_fleet(tmp_path / "sites", 1)
    assert main(["fleet", str(tmp_path / "sites"), "-o", str(tmp_path / "no" / "t.csv")]) == 2
    assert "cannot be written" in capsys.readouterr().err
