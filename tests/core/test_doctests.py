"""Examples in the docstrings of core give what they say."""

from __future__ import annotations

import doctest
import importlib
from types import ModuleType

import pytest

from support.places import ROOT

WITH_EXAMPLES = [
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for path in sorted((ROOT / "core").rglob("*.py"))
    if ">>> " in path.read_text("utf-8")
]


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_examples_give_what_they_say(name: str) -> None:
    failed, tried = doctest.testmod(importlib.import_module(name), optionflags=doctest.ELLIPSIS)
    assert tried > 0
    assert failed == 0


def test_a_wrong_example_fails() -> None:
    assert "core.units" in WITH_EXAMPLES
    wrong = ModuleType("wrong", "One.\n\n    >>> 1 + 1\n    3\n")
    quiet = doctest.DocTestRunner(verbose=False)
    (found,) = doctest.DocTestFinder().find(wrong)
    assert quiet.run(found, out=lambda _: None).failed == 1
