"""The rules of the house: imports one way, small files, no Qt where it does not belong."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
MODULES = sorted([*(ROOT / "core").rglob("*.py"), *(ROOT / "app").rglob("*.py")])
HEADLESS = [
    *(ROOT / "app" / "draw").rglob("*.py"),
    ROOT / "app" / "cli.py",
    ROOT / "app" / "commands.py",
]
SITE = "demo_sites/harrow-lane-roof/harrow-lane-roof.json"

NO_QT = """
import sys
class Blocker:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {blocked!r}:
            raise ImportError("blocked for this test: " + name)
sys.meta_path.insert(0, Blocker())
"""


def run_blocked(blocked: tuple[str, ...], code: str) -> subprocess.CompletedProcess[str]:
    text = NO_QT.format(blocked=blocked) + code
    return subprocess.run(
        [sys.executable, "-c", text], cwd=ROOT, capture_output=True, text=True, timeout=300
    )


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_no_module_is_longer_than_400_lines(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= 400


def test_the_main_window_only_assembles() -> None:
    assert len((ROOT / "app" / "main_window.py").read_text("utf-8").splitlines()) <= 250


def test_core_needs_neither_qt_nor_matplotlib() -> None:
    modules = [
        ".".join(p.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
        for p in (ROOT / "core").rglob("*.py")
    ]
    code = "import importlib\n" + "\n".join(f"importlib.import_module({m!r})" for m in modules)
    done = run_blocked(("PySide6", "matplotlib"), code)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    "words",
    [
        ["check", SITE],
        ["read", SITE, "--at", "6,10,16", "--body", "--json"],
        ["map", SITE, "--plan", "--cells", "30x30", "-o", "{tmp}/plan.png"],
        ["map", SITE, "--elevation", "90", "--cells", "20x20", "-o", "{tmp}/elevation.svg"],
    ],
    ids=lambda w: w[0],
)
def test_headless_commands_never_import_qt(words: list[str], tmp_path: Path) -> None:
    words = [w.format(tmp=tmp_path) for w in words]
    done = run_blocked(("PySide6",), f"from app.cli import main\nsys.exit(main({words!r}))")
    assert done.returncode in (0, 1), done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("path", HEADLESS, ids=lambda p: p.name)
def test_the_middle_layer_names_no_qt(path: Path) -> None:
    assert "PySide6" not in path.read_text("utf-8")
