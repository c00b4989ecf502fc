"""The fingerprint of a sheet: everything it was computed from changes it, and nothing else does."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from core.files.fingerprint import fingerprint, matches
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.site.site import Site
from support.briefed import OFF, emitter, in_suit, mast
from support.places import ROOT

TOWER = ROOT / "demo_sites/cold-ridge-tower"


def test_it_is_short_and_the_same_for_the_same() -> None:
    mark = fingerprint(mast(), TOWER, "job")
    assert len(mark) == 14
    assert all(c in "0123456789abcdef " for c in mark)
    assert mark == fingerprint(mast(), TOWER, "job")


@pytest.mark.parametrize(
    "other",
    [
        replace(mast(), name="Other"),
        replace(mast(), revision="C"),
        replace(mast(), limit_set="ICNIRP2020"),
        mast(emitter(eirp=3000.1)),
        mast(emitter(state=OFF)),
        mast(emitter(contact="555-0101")),
        mast(plan=in_suit()),
    ],
)
def test_whatever_the_sheet_depends_on_changes_it(other: Site) -> None:
    assert fingerprint(other, TOWER, "job") != fingerprint(mast(), TOWER, "job")


def test_job_and_version_count_and_do_not_run_together() -> None:
    marks = {
        fingerprint(mast(), TOWER, *w) for w in (("ab", "c"), ("a", "bc"), ("abc",), ("ab", "d"))
    }
    assert len(marks) == 4


def test_the_layout_of_the_file_does_not_count_but_its_patterns_do(tmp_path: Path) -> None:
    shutil.copytree(TOWER, tmp_path / "a")
    path = tmp_path / "a" / "cold-ridge-tower.json"
    before = fingerprint(load_site(path), path.parent, "job")
    data = json.loads(path.read_text("utf-8"))
    path.write_text(json.dumps(data), "utf-8")
    assert fingerprint(load_site(path), path.parent, "job") == before
    save_site(load_site(path), path)
    assert fingerprint(load_site(path), path.parent, "job") == before
    pattern = next((tmp_path / "a" / "patterns").iterdir())
    site = load_site(path)
    pattern.write_bytes(pattern.read_bytes() + b"\n")
    assert fingerprint(site, path.parent, "job") != before


def test_a_typed_fingerprint_is_matched_however_it_is_spaced() -> None:
    assert matches("3F9A41c2 77d0", "3f9a 41c2 77d0")
    assert not matches("3f9a41c277d1", "3f9a 41c2 77d0")
