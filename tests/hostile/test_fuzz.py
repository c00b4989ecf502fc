"""A short run of tests/bench/fuzz.py: mutated files and odd command lines end in one clear error or a sound figure."""

from __future__ import annotations

import pytest

from support.effort import many
from support.hostile import cases


@pytest.mark.parametrize(
    ("kind", "count"),
    [
        ("site", 90),
        ("pattern", 90),
        ("points", 60),
        ("picture", 40),
        ("schedule", 30),
        ("command line", 60),
    ],
)
def test_hostile_input_is_one_clear_error_or_a_sound_figure(kind: str, count: int) -> None:
    tried = many(count)
    tally = cases(kind, range(700_000, 700_000 + tried))
    assert not tally.faults, tally.first
    assert tally.runs[kind] == tried
