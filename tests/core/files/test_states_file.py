"""Named states and what emitters allow, to and from a site file."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from app.cli.main import main
from core.errors import InputError
from core.files.site_file import load_site, read_site
from core.files.site_writer import save_site, site_text
from core.site.allowance import Allowance
from core.site.state import Condition, NamedState, State

SITE: dict[str, Any] = {
    "format": "isofence-site",
    "version": 1,
    "name": "small site (invented)",
    "states": {"lamp": {"main": {"reduced_percent": 25}, "aux": "locked out"}},
    "antennas": [
        {
            "name": name,
            "kind": "worst-case",
            "model": {"gain": "0 dBi"},
            "position": [0, 0, z],
            "contact": "555-0100",
            "allows": allows,
            "carriers": [{"name": "only", "frequency": "100 MHz", "eirp": "1 kW"}],
        }
        for name, z, allows in (
            ("main", 10, {"steps": [0, 50, 12.5], "stays_on_air": True}),
            ("aux", 20, {"auxiliary_of": "main"}),
            ("neighbour", 30, {"touch": False}),
        )
    ],
}


def test_what_is_said_is_read_and_written_as_it_was(tmp_path: Path) -> None:
    site = read_site(SITE, tmp_path)
    assert site.states == (
        NamedState(
            name="lamp",
            states=(
                ("main", State(Condition.REDUCED, 25.0)),
                ("aux", State(Condition.LOCKED_OUT)),
            ),
        ),
    )
    assert [a.allows for a in site.antennas] == [
        Allowance(steps=(50.0, 12.5, 0.0), stays_on_air=True),
        Allowance(auxiliary_of="main"),
        Allowance(touch=False),
    ]
    save_site(site, tmp_path / "again.json")
    again = load_site(tmp_path / "again.json")
    assert again == site
    assert site_text(again) == site_text(site)


def test_a_file_that_says_nothing_has_neither(tmp_path: Path) -> None:
    old = copy.deepcopy(SITE)
    del old["states"]
    for antenna in old["antennas"]:
        del antenna["allows"]
    site = read_site(old, tmp_path)
    assert site.states == ()
    assert {a.allows for a in site.antennas} == {None}
    assert "states" not in site_text(site)
    assert "allows" not in site_text(site)


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("states",), [], ["states", "object in braces"]),
        (("states", "lamp"), "off", ['states "lamp"', "braces"]),
        (("states", "lamp"), {}, ['states "lamp"', "names no antenna"]),
        (("states", "lamp", "main"), "dark", ['states "lamp"', "main", "'dark'", "locked out"]),
        (("states", "lamp", "main"), {"reduced_percent": 0}, ["reduced_percent", "main"]),
        (("states", "\u202e"), {"main": "off"}, ["states", "cannot be printed"]),
        (("states",), {str(n): {"main": "off"} for n in range(201)}, ["201 states"]),
        (("antennas", 0, "allows"), "no", ['"main"', "allows", "braces"]),
        (("antennas", 0, "allows", "step"), [1], ["allows.step", "Did you mean 'steps'"]),
        (("antennas", 0, "allows", "steps"), [50, 100], ["allows.steps", "under 100"]),
        (("antennas", 0, "allows", "steps"), "all", ["allows.steps", "list of numbers"]),
        (("antennas", 0, "allows", "touch"), False, ["allows.steps", "may not be touched"]),
        (("antennas", 0, "allows", "touch"), "no", ["allows.touch", "true or false"]),
        (("antennas", 1, "allows", "auxiliary_of"), 7, ["auxiliary_of", "not text"]),
    ],
)
def test_a_mistake_is_one_error_that_names_its_place(
    path: tuple[str | int, ...], value: object, words: list[str], tmp_path: Path
) -> None:
    wrong = copy.deepcopy(SITE)
    place: Any = wrong
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = value
    with pytest.raises(InputError) as caught:
        read_site(wrong, tmp_path)
    assert all(word in caught.value.line() for word in words), caught.value.line()


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "site.json"
    path.write_text(json.dumps(SITE), "utf-8")
    return str(path)


def test_commands_take_the_state_that_is_named(
    file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    totals = {}
    for state in ("", "lamp"):
        more = ("--state", state) if state else ()
        main(["read", file, "--at", "5,0,12", "--json", *more])
        data = json.loads(capsys.readouterr().out)
        totals[state] = {e["name"].split(":")[0]: e["percent"]["public"] for e in data["emitters"]}
        assert data["revision"] == ("none, state 'lamp'" if state else "")
    assert totals["lamp"]["main"] == pytest.approx(0.25 * totals[""]["main"])
    assert totals["lamp"]["aux"] == 0.0
    assert totals["lamp"]["neighbour"] == totals[""]["neighbour"] > 0.0
    for more in ((), ("--state", "lamp")):
        out = tmp_path / "zones.geojson"
        code = main(["zones", file, "-o", str(out), "--height", "12", *more])
        assert code in (0, 1)
        features = json.loads(out.read_text("utf-8"))
        assert ("state 'lamp'" in json.dumps(features)) == bool(more)
    main(["check", file, "--state", "lamp"])
    assert "main: no contact" not in capsys.readouterr().out
    for command in (["map", "-o", str(tmp_path / "m.png")], ["fences"], ["check"]):
        assert main([command[0], file, *command[1:], "--state", "lmap"]) == 2
        assert "Use one of lamp" in capsys.readouterr().err


def test_fences_fitted_for_a_state_are_written_in_it(
    file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "new.json"
    main(["fences", file, "--fit", "-o", str(out), "--state", "lamp", "--threshold", "400"])
    assert "in the state 'lamp'" in capsys.readouterr().out
    assert load_site(out).state_name == "lamp"
