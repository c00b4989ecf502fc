"""The table of mutants fits the code, and a change of a sign is caught."""

from __future__ import annotations

import pytest
from bench.mutants import tried

from support.mutants import MUTANTS, Mutant
from support.places import ROOT


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda m: f"{m.file} {m.old[:30]}")
def test_every_row_stands_once_in_the_code(mutant: Mutant) -> None:
    text = (ROOT / "core" / mutant.file).read_text("utf-8")
    assert text.count(mutant.old) == 1
    assert mutant.old != mutant.new
    assert any((ROOT / t).exists() for t in mutant.tests.split())


def test_a_reversed_tilt_is_caught() -> None:
    tests = "tests/senses/test_antenna_senses.py"
    (tilt,) = [m for m in MUTANTS if m.old == "-np.sin(b)])"]
    verdict, _, seen = tried(Mutant(tilt.file, tilt.old, tilt.new, tests))
    assert verdict == "caught"
    assert "tilt" in seen
