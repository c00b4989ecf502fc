"""The examples in docstrings are true."""

from __future__ import annotations

import doctest
import importlib

import pytest

from support.places import ROOT

MODULES = [
    ".".join(p.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
    for p in sorted((ROOT / "core").rglob("*.py"))
    if ">>> " in p.read_text("utf-8")
]


@pytest.mark.parametrize("name", MODULES)
def test_examples_give_what_they_say(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_there_are_examples() -> None:
    finder = doctest.DocTestFinder()
    found = [t for m in MODULES for t in finder.find(importlib.import_module(m)) if t.examples]
    assert len(found) >= 5
