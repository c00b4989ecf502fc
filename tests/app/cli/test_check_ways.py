"""The check of a site asks about the ways of its jobs too."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from app.cli.main import main
from core.files.site_writer import save_site
from core.site.job import Route, Stop
from core.site.places import Structure
from core.site.site import Site
from support.briefed import emitter, job, mast

BLOCK = Structure(
    name="Block", kind="plant", base=0.0, top=6.0,
    outline=((-12.0, -3.0), (-8.0, -3.0), (-8.0, 3.0), (-12.0, 3.0)),
)  # fmt: skip


def said(site: Site, folder: Path, capsys: pytest.CaptureFixture[str]) -> list[str]:
    save_site(site, folder / "s.json")
    main(["check", str(folder / "s.json")])
    return [x for x in capsys.readouterr().out.splitlines() if x.startswith("job Lamp change: ")]


def test_a_walk_through_a_block_is_asked_about(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plain = mast(emitter(eirp=1.0))
    assert said(plain, tmp_path, capsys) == []
    (line,) = said(replace(plain, structures=(BLOCK,)), tmp_path, capsys)
    assert "goes through Block" in line


def test_a_stop_on_a_ladder_that_is_gone_is_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    gone = job(route=Route(stops=(Stop(name="Top", ladder="other", height=3.0),)), work=None)
    (line,) = said(mast(emitter(eirp=1.0), plan=gone), tmp_path, capsys)
    assert "other" in line
    above = job(route=Route(stops=(Stop(name="Top", ladder="ladder", height=300.0),)), work=None)
    save_site(mast(emitter(eirp=1.0), plan=above), tmp_path / "s.json")
    assert main(["check", str(tmp_path / "s.json")]) == 1
    (line,) = [x for x in capsys.readouterr().out.splitlines() if "Top" in x or "Lamp change" in x]
    assert "300" in line
