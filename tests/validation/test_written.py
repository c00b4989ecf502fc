"""``isofence validate`` as a person uses it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from app.cli.main import main
from core.validation import report, suite
from core.validation.case import COMPUTED, Topic
from support.places import ROOT

pytestmark = pytest.mark.xdist_group("validation")


def test_without_a_file_it_prints_the_summary(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["validate"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("# How far the models are from the truth")
    assert "All of them are within what is allowed." in out
    assert "| sector panels |" in out


def test_it_writes_markdown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["validate", "-o", str(tmp_path / "r.md")]) == 0
    committed = Path(__file__).parent / "report.md"
    assert (tmp_path / "r.md").read_text("utf-8") == committed.read_text("utf-8")
    assert "0 not within what is allowed" in capsys.readouterr().out


def test_it_writes_pdf(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first pages only: how the whole report is laid out is held in test_written_pages.py."""
    first = report.document()[:4]
    monkeypatch.setattr(report, "document", lambda: first)
    assert main(["validate", "-o", str(tmp_path / "r.pdf")]) == 0
    assert (tmp_path / "r.pdf").read_bytes().startswith(b"%PDF")
    assert "0 not within what is allowed" in capsys.readouterr().out


def test_a_miss_is_exit_code_1_and_said(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    topic = Topic(group="g", title="t", source="s", status=COMPUTED)
    bad = topic.case("at 3 m", "S", 1.0, 0.5, low=0.5)
    monkeypatch.setattr(suite, "every_case", lambda: (bad,))
    assert main(["validate"]) == 1
    assert "1 are not within what is allowed: g: t, at 3 m, S: -3.01 dB." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["validate", "-o", "report.txt"], ".txt is not a report format"),
        (["validate", "-o", "report"], "no ending is not a report format"),
        (["validate", "-o", "/no/such/folder/report.pdf"], "cannot be written"),
        (["validate", "-o"], "-o"),
        (["validate", "site.json"], "site.json"),
    ],
)
def test_bad_input_is_one_line_and_exit_code_2(
    words: list[str], part: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    caught = capsys.readouterr()
    assert part in caught.err
    assert caught.err.count("\n") == 1
    assert caught.out == ""


def test_a_folder_in_the_files_place_is_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "r.pdf").mkdir()
    assert main(["validate", "-o", str(tmp_path / "r.pdf")]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_the_report_needs_no_qt_and_its_numbers_no_matplotlib() -> None:
    blocked = (
        "import sys\n"
        "class Blocker:\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        "        if name.split('.')[0] in {names!r}:\n"
        "            raise ImportError('blocked for this test: ' + name)\n"
        "sys.meta_path.insert(0, Blocker())\n"
    )
    for names, modules in (
        (("PySide6",), "app.cli.validate, app.draw.pages"),
        (("PySide6", "matplotlib"), "core.validation.report"),
    ):
        done = subprocess.run(
            [sys.executable, "-c", blocked.format(names=names) + f"import {modules}"],
            cwd=ROOT, capture_output=True, text=True, timeout=120,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
