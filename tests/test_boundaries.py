"""The rules of the house: imports one way, no circle of files, small files, no Qt where it does not belong."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

FLOORS = (
    ("core.errors", "core.arrays", "core.caches", "core.progress"),
    ("core.units", "core.shapes", "core.geometry", "core.text"),
    ("core.limits", "core.patterns"),
    ("core.fields",),
    ("core.antennas",),
    ("core.site",),
    ("core.views",),
    ("core.exposure",),
    ("core.reading",),
    ("core.proof",),
    ("core.zones",),
    ("core.fences",),
    ("core.entry",),
    ("core.changes",),
    ("core.validation",),
    ("core.files",),
    ("core.fleet",),
    ("app.draw",),
    ("app.modes",),
    ("app.cli",),
    ("app.window",),
)
"""Rooms from the ground up. A module imports from floors below its own and from its own room; never from a
room on the same floor. A room that is not listed fails a test."""

EXCEPTIONS = {
    ("app.cli.window", "app.window.start"): "the command that opens the window, on a call only",
}

NO_QT_ROOMS = ("core", "app.draw", "app.modes", "app.cli")
SITE = "demo_sites/harrow-lane-roof/harrow-lane-roof.json"

NO_QT = """
import sys
class Blocker:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {blocked!r}:
            raise ImportError("blocked for this test: " + name)
sys.meta_path.insert(0, Blocker())
"""


def modules(root: Path) -> dict[str, Path]:
    """Return the modules of a checkout by dotted name."""
    out = {}
    for top in ("core", "app"):
        for path in sorted((root / top).rglob("*.py")):
            dotted = ".".join(path.relative_to(root).with_suffix("").parts)
            out[dotted.removesuffix(".__init__")] = path
    return out


def imports(path: Path, known: set[str]) -> Iterator[str]:
    """Yield the modules of the project that a file imports, wherever in the file."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (a.name for a in node.names if a.name in known)
        elif isinstance(node, ast.ImportFrom) and node.module in known:
            for alias in node.names:
                inner = f"{node.module}.{alias.name}"
                yield inner if inner in known else node.module


def floor_of(module: str) -> tuple[int, str]:
    """Return floor and room of a module."""
    for floor, rooms in enumerate(FLOORS):
        for room in rooms:
            if module == room or module.startswith(room + "."):
                return floor, room
    raise KeyError(module)


def wrong_arrows(root: Path) -> list[str]:
    """Return every import that does not go down."""
    known = modules(root)
    wrong = []
    for module, path in known.items():
        if module in ("core", "app", "app.__main__"):
            continue
        try:
            floor, room = floor_of(module)
        except KeyError:
            wrong.append(f"{module} is in no room")
            continue
        for other in imports(path, set(known)):
            if (module, other) in EXCEPTIONS or other == module.partition(".")[0]:
                continue
            if other == "app":
                wrong.append(f"{module} imports {other}")
                continue
            other_floor, other_room = floor_of(other)
            if other_room != room and other_floor >= floor:
                wrong.append(f"{module} imports {other}")
    return wrong


def circles(root: Path) -> list[str]:
    """Return the modules that can be reached from themselves."""
    known = modules(root)
    arrows = {m: set(imports(p, set(known))) - {m} for m, p in known.items()}
    found = []
    for start in arrows:
        reached, ahead = set(), set(arrows[start])
        while ahead:
            one = ahead.pop()
            if one not in reached:
                reached.add(one)
                ahead |= arrows[one]
        if start in reached:
            found.append(start)
    return found


MODULES = modules(ROOT)


def test_imports_go_down_only() -> None:
    assert wrong_arrows(ROOT) == []


def test_no_file_reaches_itself() -> None:
    assert circles(ROOT) == []


@pytest.mark.parametrize(
    ("path", "line", "said"),
    [
        ("core/units.py", "from app import __version__", "core.units imports app"),
        ("core/exposure/power.py", "from core.reading.reading import read", "core.exposure.power"),
        ("core/limits/fcc.py", "from core.patterns.model import Cut", "core.limits.fcc"),
        ("core/site/places.py", "import core.files.site_file", "core.site.places"),
        ("app/draw/style.py", "from app.window.scene import Look", "app.draw.style"),
        ("app/cli/check.py", "def f():\n    from app.window.scene import Look", "app.cli.check"),
        ("core/attic.py", "", "core.attic is in no room"),
    ],
)
def test_a_wrong_arrow_is_seen(path: str, line: str, said: str, tmp_path: Path) -> None:
    for module in MODULES.values():
        copy = tmp_path / module.relative_to(ROOT)
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.touch()
    (tmp_path / path).write_text(line + "\n", "utf-8")
    wrong = wrong_arrows(tmp_path)
    assert len(wrong) == 1
    assert said in wrong[0]


def test_a_circle_is_seen(tmp_path: Path) -> None:
    room = tmp_path / "core" / "zones"
    room.mkdir(parents=True)
    for path, other in (("a", "b"), ("b", "c"), ("c", "a"), ("d", "a")):
        (room / f"{path}.py").write_text(f"import core.zones.{other}\n", "utf-8")
    assert circles(tmp_path) == ["core.zones.a", "core.zones.b", "core.zones.c"]


@pytest.mark.parametrize("name", sorted(MODULES))
def test_no_module_is_longer_than_400_lines(name: str) -> None:
    assert len(MODULES[name].read_text("utf-8").splitlines()) <= 400


def test_the_main_window_only_assembles() -> None:
    assert len(MODULES["app.window.main_window"].read_text("utf-8").splitlines()) <= 250


def run_blocked(blocked: tuple[str, ...], code: str) -> subprocess.CompletedProcess[str]:
    text = NO_QT.format(blocked=blocked) + code
    return subprocess.run(
        [sys.executable, "-c", text], cwd=ROOT, capture_output=True, text=True, timeout=300
    )


@pytest.mark.parametrize(
    ("rooms", "blocked"),
    [(("core",), ("PySide6", "matplotlib", "PIL")), (NO_QT_ROOMS, ("PySide6",))],
)
def test_rooms_without_a_window_load_without_it(
    rooms: tuple[str, ...], blocked: tuple[str, ...]
) -> None:
    names = [m for m in MODULES if any(m == r or m.startswith(r + ".") for r in rooms)]
    assert len(names) > 20
    code = "import importlib\n" + "\n".join(f"importlib.import_module({m!r})" for m in names)
    done = run_blocked(blocked, code)
    assert done.returncode == 0, done.stderr


def test_headless_commands_never_import_qt(tmp_path: Path) -> None:
    commands = [
        ["check", SITE],
        ["read", SITE, "--at", "6,10,16", "--body", "--json"],
        ["map", SITE, "--plan", "--cells", "12x12", "-o", f"{tmp_path}/plan.png"],
        ["map", SITE, "--elevation", "90", "--cells", "12x12", "-o", f"{tmp_path}/elevation.svg"],
    ]
    code = f"from app.cli.main import main\nsys.exit(max(main(w) for w in {commands!r}))"
    done = run_blocked(("PySide6",), code)
    assert done.returncode in (0, 1), done.stderr
    assert "Traceback" not in done.stderr
    assert (tmp_path / "plan.png").stat().st_size > 1000
    assert (tmp_path / "elevation.svg").stat().st_size > 1000


def test_the_top_level_holds_what_it_should_and_nothing_a_test_left_there() -> None:
    done = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if done.returncode or not done.stdout:
        pytest.skip("not a clone")
    found = {line.split("/")[0] for line in done.stdout.splitlines()}
    assert {name for name in found if not name.startswith(".")} == {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "app", "core", "tests", "demo_sites", "LICENSE",
    }  # fmt: skip
