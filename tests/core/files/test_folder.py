"""Which files of a folder are sites."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.errors import InputError
from core.files.folder import files_of, is_site, json_files, stamp
from core.files.site_file import load_site
from support.places import DEMOS

TOWER = "cold-ridge-tower/cold-ridge-tower.json"


def test_names_are_in_order_hidden_ones_left_out_and_links_not_followed(tmp_path: Path) -> None:
    for name in ("b.json", "a/c.JSON", ".hidden.json", ".git/d.json", "a/e.txt"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()
    (tmp_path / "round").symlink_to(tmp_path)
    assert json_files(tmp_path) == ("a/c.JSON", "b.json")
    for bad in (tmp_path / "none", tmp_path / "b.json"):
        with pytest.raises(InputError, match="Name the folder"):
            json_files(bad)


@pytest.mark.parametrize(
    ("text", "site"),
    [
        ('{"format": "isofence-site"', True),  # broken, and meant to be one for all that is known
        ('{"format": "isofence-site"}', True),
        ('{"antennas": []}', True),
        ('{"format": "another"}', False),
        ('{"Antenna_Model": "x"}', False),
        ("[]", False),
        ("", True),
    ],
)
def test_what_is_meant_to_be_a_site(text: str, site: bool, tmp_path: Path) -> None:
    (tmp_path / "f.json").write_text(text, "utf-8")
    assert is_site(tmp_path / "f.json") is site


def test_a_stamp_follows_every_file_a_site_is_made_of(tmp_path: Path) -> None:
    site = load_site(DEMOS / TOWER)
    names = files_of(TOWER, site)
    assert names == (TOWER, "cold-ridge-tower/patterns/demo-omni-0155.adf")
    for name in names:
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes((DEMOS / name).read_bytes())
    before = stamp(tmp_path, names)
    assert stamp(tmp_path, names) == before
    with (tmp_path / names[1]).open("ab") as file:
        file.write(b"\n")
    assert stamp(tmp_path, names)[0] == before[0]
    assert stamp(tmp_path, names)[1] != before[1]
    (tmp_path / names[1]).unlink()
    assert stamp(tmp_path, names)[1] == [names[1]]
