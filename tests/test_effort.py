"""What waits for a full run: of long lists of like cases four in five, and never a whole test."""

from __future__ import annotations

import pytest

from support import effort
from support.effort import SAMPLED, left_out, many
from support.places import ROOT


def test_of_every_test_some_cases_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(effort, "FULL", False)
    names = [(SAMPLED[0], test, True) for test in ("a", "b") for _ in range(6)]
    names += [(SAMPLED[0], "plain", False), ("core/test_of_few.py", "a", True)]
    assert left_out(names) == [False, True, True, True, True, False] * 2 + [False, False]
    assert [many(n) for n in (5, 60, 600)] == [5, 12, 120]


def test_a_full_run_leaves_nothing_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(effort, "FULL", True)
    assert not any(left_out([(file, "a", True) for file in SAMPLED for _ in range(9)]))
    assert many(600) == 600


@pytest.mark.parametrize("file", SAMPLED)
def test_what_is_sampled_is_there(file: str) -> None:
    assert (ROOT / "tests" / file).is_file()
