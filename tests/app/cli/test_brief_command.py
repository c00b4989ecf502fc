"""The brief command: the sheet, its fingerprint, exit codes, one line for every mistake."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from app.cli.main import main
from core.files.site_writer import save_site
from support.briefed import emitter, in_suit, job, mast


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "mast.json"
    save_site(mast(emitter(eirp=2000.0), plan=in_suit()), path)
    return path


def test_a_sheet_is_written_and_can_be_matched(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = file.with_name("brief.pdf")
    assert main(["brief", str(file), "Lamp change", "-o", str(out), "--paper", "letter"]) == 0
    said = capsys.readouterr().out
    assert "within its rating" in said
    mark = next(line for line in said.splitlines() if line.startswith("fingerprint "))[12:]
    assert out.read_bytes().startswith(b"%PDF")
    assert main(["brief", str(file), "--match", mark]) == 0
    assert main(["brief", str(file), "--match", mark.replace(" ", "").upper()]) == 0
    save_site(replace(mast(emitter(eirp=9000.0), plan=in_suit())), file)
    assert main(["brief", str(file), "--match", mark]) == 1
    assert "NOT THIS FILE" in capsys.readouterr().out


def test_a_job_that_may_not_go_has_its_sheet_and_exit_code_1(tmp_path: Path) -> None:
    path, out = tmp_path / "mast.json", tmp_path / "brief.png"
    save_site(mast(emitter(eirp=30000.0)), path)
    assert main(["brief", str(path), "-o", str(out)]) == 1
    assert out.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "-o: is missing"),
        (["-o", "a.txt"], "is not a picture format"),
        (["-o", "a.svg"], "is not a picture format"),
        (["Nobody", "-o", "a.pdf"], "no job is called 'Nobody'"),
        (["-o", "a.pdf", "--paper", "B7"], "--paper: 'B7' is no size of paper"),
        (["-o", "a.pdf", "--date", "soon"], "--date: 'soon' is not a date"),
        (["--match", "xyz"], "'xyz' is no fingerprint"),
        (["--match", "0" * 12, "-o", "a.pdf"], "does not go with -o"),
        (["-o", "/nowhere/at/all/a.pdf"], "cannot be written"),
    ],
)
def test_mistakes_are_one_line(
    words: list[str], said: str, file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["brief", str(file), *words]) == 2
    err = capsys.readouterr().err
    assert said in err
    assert err.count("\n") == 1


def test_a_site_without_a_job_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "mast.json"
    save_site(replace(mast(), jobs=()), path)
    assert main(["brief", str(path), "-o", str(tmp_path / "a.pdf")]) == 2
    assert "has no job" in capsys.readouterr().err


def test_a_job_that_names_what_is_gone_is_one_error(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "mast.json"
    save_site(replace(mast(plan=job(states=(("Gone FM", emitter().state),)))), path)
    assert main(["brief", str(path), "-o", str(tmp_path / "a.pdf")]) == 2
    assert "names the antenna 'Gone FM', which is not on the site" in capsys.readouterr().err
