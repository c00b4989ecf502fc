"""A file that cannot be written is said before anything is proven or computed."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.cli import main as module
from app.cli.command import Command
from app.cli.main import main
from core.errors import InputError
from core.files.atomic import check_target
from core.files.site_writer import save_site
from support.briefed import emitter, mast


@pytest.fixture
def site(tmp_path: Path) -> str:
    save_site(mast(emitter()), tmp_path / "s.json")
    return str(tmp_path / "s.json")


@pytest.mark.parametrize(
    "words",
    [
        ["zones", "SITE", "-o", "OUT.geojson"],
        ["fences", "SITE", "--fit", "-o", "OUT.json"],
        ["map", "SITE", "-o", "OUT.png"],
        ["compare", "SITE", "SITE", "-o", "OUT.pdf"],
        ["plan", "SITE", "--at", "0,0,1", "-o", "OUT.json"],
        ["brief", "SITE", "-o", "OUT.pdf"],
        ["fleet", "FOLDER", "-o", "OUT.csv"],
        ["schedule", "SITE", "-o", "OUT.csv"],
        ["validate", "-o", "OUT.md"],
    ],
    ids=lambda w: w[0],
)
def test_no_command_begins_its_work(
    words: list[str], site: str, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    began = 77
    idle = {c.name: Command(c.name, c.help, c.options, lambda _: began) for c in module.COMMANDS}
    monkeypatch.setattr(module, "_BY_NAME", idle)
    end = Path(words[-1]).suffix
    (tmp_path / f"folder{end}").mkdir()
    out = str(tmp_path / f"folder{end}")
    words = [
        out if w.startswith("OUT") else w.replace("SITE", site).replace("FOLDER", str(tmp_path))
        for w in words
    ]
    assert main(words) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert f"folder{end}: cannot be written (it is no ordinary file)" in said
    assert main([str(tmp_path / f"new{end}") if w == out else w for w in words]) == began


def test_a_missing_folder_is_said_unless_it_is_made(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"cannot be written \(No such file or directory\)"):
        check_target(tmp_path / "none" / "x.pdf")
    check_target(tmp_path / "none" / "x.json", makes_folder=True)
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="Not a directory"):
        check_target(tmp_path / "file" / "x.json", makes_folder=True)
    assert not (tmp_path / "none").exists()


def test_what_is_there_stays_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    path.write_text("old")
    check_target(path)
    assert path.read_text() == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["x.csv"]
