"""The site file: round trip, schema, and one clear error a mistake."""

from __future__ import annotations

import contextlib
import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.errors import InputError
from core.exposure.sources import sources
from core.files.schema import site_schema
from core.files.site_file import load_site, read_site
from core.files.site_writer import save_site, site_to_json
from support.effort import many

SIMPLE: dict[str, Any] = {
    "format": "isofence-site",
    "version": 1,
    "name": "small site (invented)",
    "antennas": [
        {
            "name": "stick",
            "kind": "stack",
            "model": {"bay": "vertical-dipole", "bays": 2, "design_frequency": "450 MHz"},
            "position": [0, 0, 10],
            "carriers": [
                {"name": "450", "frequency": "450 MHz", "transmitter": "50 W", "loss": "1 dB"}
            ],
        }
    ],
}


def write(tmp_path: Path, value: object) -> Path:
    path = tmp_path / "site.json"
    path.write_text(value if isinstance(value, str) else json.dumps(value), encoding="utf-8")
    return path


def test_a_demo_site_saved_and_loaded_again_is_the_same(demo_path: Path, tmp_path: Path) -> None:
    site = load_site(demo_path)
    for folder in demo_path.parent.iterdir():
        if folder.is_dir():
            (tmp_path / folder.name).mkdir()
            for file in folder.iterdir():
                (tmp_path / folder.name / file.name).write_bytes(file.read_bytes())
    save_site(site, tmp_path / "again.json")
    assert site_to_json(load_site(tmp_path / "again.json")) == site_to_json(site)
    assert (tmp_path / "again.json").read_text("utf-8") == demo_path.read_text("utf-8")


def test_every_demo_file_says_that_it_is_invented(demo_path: Path) -> None:
    assert "nvented" in load_site(demo_path).story


def test_the_shipped_schema_is_the_one_the_declarations_make() -> None:
    shipped = Path("core/files/isofence-site.schema.json").read_text("utf-8")
    assert json.loads(shipped) == json.loads(json.dumps(site_schema()))


def failure(path: Path) -> InputError:
    """The one error that opening and computing a site gives."""
    try:
        sources(load_site(path))
    except InputError as error:
        return error
    raise AssertionError("the mistake went unnoticed")


def edit(*path: str | int, to: object) -> Callable[[dict[str, Any]], None]:
    def apply(site: dict[str, Any]) -> None:
        place: Any = site
        for key in path[:-1]:
            place = place[key]
        place[path[-1]] = to

    return apply


ANTENNA = ("antennas", 0)
CARRIER = (*ANTENNA, "carriers", 0)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (edit("format", to="other"), ["format", "not an Isofence site"]),
        (edit("version", to=2), ["version", "newer Isofence"]),
        (edit("version", to=True), ["version"]),
        (edit("version", to="1"), ["version"]),
        (edit("limits", to="FFC"), ["limits", "FCC"]),
        (edit("reflection", to="some"), ["reflection", "ground 1.6"]),
        (edit("extnet", to=[0, 0, 1, 1]), ["extnet", "Did you mean 'extent'"]),
        (edit("extent", to=[5, 0, 1, 1]), ["extent"]),
        (edit("extent", to=[0, 0, 1]), ["extent", "4 numbers"]),
        (edit("anchor", to={"latitude": 91, "longitude": 0}), ["anchor", "latitude", "-90 to 90"]),
        (edit("picture", to={"file": "../x.png", "metres_per_pixel": 1, "origin": [0, 0]}), ["picture.file"]),
        (edit("antennas", to={}), ["antennas", "not a list"]),
        (edit(*ANTENNA, "kind", to="rhombic"), ["antennas[0]", "kind", "'rhombic'", "stack"]),
        (edit(*ANTENNA, "model", to={"bay": "vertical-dipole"}), ['"stick"', "model.bays", "missing"]),
        (edit(*ANTENNA, "model", "bays", to=2.5), ["model.bays", "whole"]),
        (edit(*ANTENNA, "model", "bays", to=0), ["model.bays", "1 to 64"]),
        (edit(*ANTENNA, "model", "bay", to="loop"), ["model.bay", "turnstile"]),
        (edit(*ANTENNA, "model", "design_frequency", to=450e6), ["design_frequency", "no unit"]),
        (edit(*ANTENNA, "position", to=[0, 0]), ["position", "3 numbers"]),
        (edit(*ANTENNA, "position", to=[0, 0, 1e9]), ["position", "100 km"]),
        (edit(*ANTENNA, "position", to=[0, 0, "10 m"]), ["position", "not a number"]),
        (edit(*ANTENNA, "azimuth", to=1000), ["azimuth"]),
        (edit(*ANTENNA, "state", to="maybe"), ["state", "locked out"]),
        (edit(*ANTENNA, "state", to={"reduced_percent": 0}), ["percent"]),
        (edit(*ANTENNA, "carriers", to=[]), ["carriers", "at least one"]),
        (edit(*CARRIER, "transmitter", to="-50 W"), ["carriers[0]", "transmitter", "more than 0 W"]),
        (edit(*CARRIER, "transmitter", to="0 W"), ["transmitter"]),
        (edit(*CARRIER, "transmitter", to=50), ["transmitter", "no unit"]),
        (edit(*CARRIER, "frequency", to="0 Hz"), ["carriers[0]", "frequency"]),
        (edit(*CARRIER, "frequency", to="450"), ["frequency", "no unit"]),
        (edit(*CARRIER, "loss", to="-3 dB"), ["loss", "positive"]),
        (edit(*CARRIER, "duty", to=0.5), ["duty_source"]),
        (edit(*CARRIER, "erp", to="1 MW"), ["erp"]),
        (edit(*ANTENNA, "name", to="  "), ["name", "empty"]),
        (edit("surfaces", to=[{"name": "r", "kind": "roof", "height": 1, "outline": [[0, 0]]}]), ["outline"]),
        (
            edit("structures", to=[{"name": "t", "kind": "wall", "outline": [[0, 0], [1, 0]], "base": 5, "top": 1}]),
            ["top"],
        ),
    ],
)  # fmt: skip
def test_each_mistake_gets_one_line_with_file_field_and_fix(
    change: Callable[[dict[str, Any]], None], words: list[str], tmp_path: Path
) -> None:
    site = copy.deepcopy(SIMPLE)
    change(site)
    path = write(tmp_path, site)
    error = failure(path)
    line = error.line()
    assert "\n" not in line
    assert error.fix
    for word in words:
        assert word in line


def test_duplicate_names_are_refused(tmp_path: Path) -> None:
    site = copy.deepcopy(SIMPLE)
    site["antennas"].append(copy.deepcopy(site["antennas"][0]))
    with pytest.raises(InputError, match="two entries are called 'stick'"):
        load_site(write(tmp_path, site))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not JSON"),
        ("{", "not JSON"),
        ("[1, 2", "not JSON"),
        ("null", "not an Isofence site"),
        ('{"format": "isofence-site", "version": 1, "name": NaN}', "NaN"),
        ('{"format": "isofence-site", "format": "x"}', "written twice"),
        ("[" * 100_000, "nested too deeply"),
    ],
)
def test_text_that_is_no_site_is_refused(text: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=words):
        load_site(write(tmp_path, text))


def test_missing_binary_huge_and_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="does not exist"):
        load_site(tmp_path / "nothing.json")
    with pytest.raises(InputError, match="is a folder"):
        load_site(tmp_path)
    (tmp_path / "b.json").write_bytes(bytes(range(256)))
    with pytest.raises(InputError, match="UTF-8"):
        load_site(tmp_path / "b.json")
    with (tmp_path / "big.json").open("wb") as file:
        file.truncate(1_000_000_000)
    with pytest.raises(InputError, match="1000 MB"):
        load_site(tmp_path / "big.json")


def test_a_picture_of_a_gigabyte_is_refused(tmp_path: Path) -> None:
    with (tmp_path / "huge.png").open("wb") as file:
        file.truncate(1_000_000_000)
    site = SIMPLE | {"picture": {"file": "huge.png", "metres_per_pixel": 0.1, "origin": [0, 0]}}
    with pytest.raises(InputError, match="1000 MB"):
        load_site(write(tmp_path, site))


def test_a_missing_or_broken_pattern_names_file_and_fix(tmp_path: Path) -> None:
    site = copy.deepcopy(SIMPLE)
    site["antennas"][0] |= {"kind": "pattern", "model": {"file": "none.adf", "length": "1 m"}}
    with pytest.raises(InputError, match=r"none\.adf"):
        load_site(write(tmp_path, site))
    (tmp_path / "none.adf").write_text("REVNUM:,NSMA WG16.99.050\nLOWFRQ:,abc\n")
    with pytest.raises(InputError, match=r"none\.adf"):
        load_site(write(tmp_path, site))


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
    max_leaves=6,
)


def spots(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    found = [path] if path else []
    items = (
        value.items()
        if isinstance(value, dict)
        else enumerate(value)
        if isinstance(value, list)
        else ()
    )
    for key, child in items:
        found += spots(child, (*path, key))
    return found


@settings(
    max_examples=many(150),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(spot=st.sampled_from(spots(SIMPLE)), value=json_values)
def test_any_value_anywhere_either_loads_or_is_one_clear_error(
    spot: tuple[Any, ...], value: object, tmp_path: Path
) -> None:
    site = copy.deepcopy(SIMPLE)
    edit(*spot, to=value)(site)
    with contextlib.suppress(InputError):
        read_site(site, tmp_path)


def test_saving_is_atomic_when_the_target_cannot_be_written(tmp_path: Path) -> None:
    site = read_site(SIMPLE, tmp_path)
    path = tmp_path / "kept.json"
    save_site(site, path)
    before = path.read_text("utf-8")
    with pytest.raises(InputError, match="cannot be written"):
        save_site(site, tmp_path / "no folder" / "x.json")
    assert path.read_text("utf-8") == before
    assert [p.name for p in tmp_path.iterdir()] == ["kept.json"]
