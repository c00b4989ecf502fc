"""An antenna as entries, and back: of every kind, by the kinds' own declarations."""

from __future__ import annotations

from dataclasses import MISSING, dataclass
from typing import Any

import pytest

from core.antennas.base import parameter, parameters
from core.antennas.catalogue import CATALOGUE
from core.antennas.kinds import KINDS
from core.antennas.panel import Panel
from core.antennas.stack import Stack
from core.antennas.worst_case import WorstCase
from core.errors import InputError
from core.files.entries import (
    as_kind,
    entries,
    made,
    missing,
    numbered,
    values_of,
    without_part,
)
from core.patterns.readers import read_pattern
from core.site.allowance import Allowance
from core.site.site import Condition, State
from core.validation.data import PATTERNS
from support.every_kind import antenna_of


def patterns(name: str, answers: dict[str, Any]) -> Any:
    return read_pattern(PATTERNS / name, **answers)


@pytest.mark.parametrize("key", KINDS)
def test_an_antenna_of_any_kind_is_its_entries(key: str) -> None:
    antenna = antenna_of(key)
    values = values_of(antenna)
    assert made(antenna, values, patterns) == antenna
    assert made(antenna, values, patterns).kind is antenna.kind
    assert not missing(values)
    paths = [e.path for e in entries(values)]
    assert len(set(paths)) == len(paths)
    assert set(paths) >= set(values)
    for name, (spec, _) in parameters(type(antenna.kind)).items():
        if spec.parts is None:
            assert f"model.{name}" in paths
        else:
            assert all(f"model.{name}.0.{inner}" in paths for inner in parameters(spec.parts))


@pytest.mark.parametrize("key", KINDS)
def test_another_kind_needs_what_it_has_no_value_for_and_keeps_the_rest(key: str) -> None:
    antenna = antenna_of("dish")
    values = as_kind(antenna, key)
    assert values["name"] == antenna.name
    assert values["carriers.0.frequency"] == antenna.carriers[0].frequency
    declared = parameters(KINDS[key])
    needed = {e.path for e in missing(values)}
    for name, (spec, default) in declared.items():
        kept = getattr(antenna.kind, name, None) is not None
        if default is MISSING and spec.parts is None:
            assert (f"model.{name}" in needed) == (not kept), name


def test_a_class_that_becomes_its_kind_keeps_what_was_assumed() -> None:
    antenna = antenna_of("generic")
    new = made(antenna, as_kind(antenna, "stack"), patterns)
    assert new.kind == CATALOGUE["fm-2-bay-full-wave"].build(antenna.carriers[0].frequency)
    assert isinstance(new.kind, Stack)


def test_parts_and_carriers_are_taken_away_and_those_after_them_move_up() -> None:
    antenna = antenna_of("panel")
    assert isinstance(antenna.kind, Panel)
    values = values_of(antenna)
    assert numbered(values, "model.bands") == [0, 1]
    low = [j for j, c in enumerate(antenna.carriers) if c.frequency < 1e9]
    for j in reversed(low):
        values = without_part(values, f"carriers.{j}")
    new = made(antenna, without_part(values, "model.bands.0"), patterns)
    assert new.kind == Panel(**{**vars(antenna.kind), "bands": antenna.kind.bands[1:]})
    assert new.carriers == tuple(c for c in antenna.carriers if c.frequency > 1e9)


def test_a_pattern_is_read_again_only_when_the_file_or_an_answer_changes() -> None:
    antenna = antenna_of("pattern")
    values = values_of(antenna)
    longer = made(antenna, values | {"model.length": 1.01 * values["model.length"]}, None)  # type: ignore[arg-type]
    assert longer.kind.data is antenna.kind.data  # type: ignore[attr-defined]
    other = made(antenna, values | {"model.renormalise": True}, patterns)
    assert other.kind.data is not antenna.kind.data  # type: ignore[attr-defined]


def test_a_state_an_estimate_and_what_is_allowed_are_entries_too() -> None:
    antenna = antenna_of("whip")
    values = values_of(antenna)
    new = made(
        antenna,
        values | {"state": "reduced", "percent": 25.0, "estimate": "best", "steps": (50.0, 0.0), "reflection": "none"},
        patterns,
    )  # fmt: skip
    assert new.state == State(Condition.REDUCED, 25.0)
    assert new.conservative is False
    assert new.allows == Allowance(steps=(50.0, 0.0))
    assert new.reflection is not None
    assert new.reflection.kind.value == "none"
    assert made(new, values_of(new), patterns) == new


def test_what_is_missing_is_named_and_so_is_a_carrier_without_power() -> None:
    antenna = antenna_of("yagi")
    values = values_of(antenna)
    del values["model.boom"]
    assert [e.path for e in missing(values)] == ["model.boom"]
    with pytest.raises(InputError, match="Boom: is not said"):
        made(antenna, values, patterns)
    more = values_of(antenna) | {"carriers.7.name": None}
    assert {e.path for e in missing(more)} == {"carriers.7.frequency", "carriers.7.transmitter"}


def test_a_kind_nobody_knew_has_its_entries_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    @dataclass(frozen=True)
    class Toy(WorstCase):
        KEY = "toy"
        TITLE = "toy"
        legs: int = parameter("count", "legs it stands on", default=3, low=1, high=9)
        glow: bool | None = parameter("flag", "whether it glows", optional=True)

    monkeypatch.setitem(KINDS, "toy", Toy)
    antenna = antenna_of("worst-case")
    values = as_kind(antenna, "toy") | {"model.legs": 5}
    found = {e.path: e for e in entries(values)}
    assert (found["model.legs"].default, found["model.glow"].default) == (3, None)
    new = made(antenna, values, patterns)
    assert isinstance(new.kind, Toy)
    assert (new.kind.legs, new.kind.glow, new.kind.gain) == (5, None, antenna.kind.gain)  # type: ignore[attr-defined]
