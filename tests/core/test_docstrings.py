"""Docstrings of public functions name what goes in, what comes out with its shape, and what is raised."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from support.places import ROOT

MODULES = sorted((ROOT / "core").rglob("*.py"))
ARRAYS = re.compile(r"\b(Floats|Bools|Codes|Complexes|Points|NDArray|ArrayLike)\b")
SHAPED = re.compile(
    r"\([a-z0-9_ ]+(,[^()]*)?\)|\bshape\b|same (length|size)|\bfor each\b|\bbroadcast",
    re.IGNORECASE,
)


def functions(path: Path) -> Iterator[tuple[str, ast.FunctionDef]]:
    """Yield the public functions of a module, without those a decorator registers under another name."""
    for node in ast.parse(path.read_text("utf-8")).body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            registered = any("register" in ast.unparse(d) for d in node.decorator_list)
            if not registered:
                yield node.name, node


def named(name: str, text: str) -> bool:
    """Return whether a parameter is spoken of: as it is, or by every part of its name (plural or not)."""
    words = set(re.findall(r"[a-z0-9]+", text.lower()))
    stems = {w.rstrip("s") for w in words}
    parts = [p for p in name.lower().split("_") if p]
    return all(p in words or p.rstrip("s") in stems for p in parts)


def faults(function: ast.FunctionDef) -> list[str]:
    """Return what the docstring of a function leaves out."""
    text = ast.get_docstring(function)
    if not text:
        return ["no docstring"]
    found = []
    arguments = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    for argument in arguments:
        if argument.arg not in ("self", "cls") and not named(argument.arg, text):
            found.append(f"does not name {argument.arg}")
    returns = ast.unparse(function.returns) if function.returns is not None else "None"
    if returns != "None" and not re.search(r"\b(Return|Yield|Keep)", text):
        found.append("does not say what is returned")
    if ARRAYS.search(returns) and not SHAPED.search(text):
        found.append("gives no shape of what is returned")
    raised = {
        ast.unparse(node.exc.func if isinstance(node.exc, ast.Call) else node.exc)
        for node in ast.walk(function)
        if isinstance(node, ast.Raise) and node.exc is not None
    }
    for error in sorted(raised):
        if error[0].isupper() and error not in text:
            found.append(f"does not say that it raises {error}")
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_public_functions_say_what_goes_in_and_what_comes_out(path: Path) -> None:
    found = {name: faults(node) for name, node in functions(path)}
    assert {name: said for name, said in found.items() if said} == {}


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("def f(a: int) -> int:\n    return a", "no docstring"),
        ('def f(angle: float) -> float:\n    """Return its sine."""', "does not name angle"),
        ('def f(a: int) -> int:\n    """Of a."""', "does not say what is returned"),
        ('def f(a: int) -> Floats:\n    """Return a row of a."""', "gives no shape of what is returned"),
        ('def f(a: int) -> int:\n    """Return a."""\n    raise ValueError', "does not say that it raises ValueError"),
    ],
)  # fmt: skip
def test_what_is_left_out_is_seen(code: str, said: str) -> None:
    (node,) = ast.parse(code).body
    assert isinstance(node, ast.FunctionDef)
    assert faults(node) == [said]


def test_a_full_docstring_passes() -> None:
    code = (
        "def f(points: Points, azimuth_deg: float) -> Floats:\n"
        '    """Return distances (n,) of points from a line along an azimuth (degrees: azimuth_deg).\n\n'
        '    Raises\n    ------\n    InputError\n        Never.\n    """\n'
        "    raise InputError('x')"
    )
    (node,) = ast.parse(code).body
    assert isinstance(node, ast.FunctionDef)
    assert faults(node) == []
