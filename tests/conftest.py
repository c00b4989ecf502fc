"""Fixtures: demo sites, small sites with answers known by hand, and no screen needed."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Generator
from pathlib import Path

import pytest

from core.files.site_file import load_site
from core.site.site import Site
from support.effort import left_out
from support.simple_sites import FREE, isotropic

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_LOGGING_RULES", "*.debug=false;qt.qpa.*=false")


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Look for garbage only when all tests are there: thousands of them, and none is garbage before the end."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what waits for a full run."""
    here = Path(__file__).parent
    names = [
        (i.path.relative_to(here).as_posix(), getattr(i, "originalname", i.name), hasattr(i, "callspec"))
        for i in items
    ]  # fmt: skip
    waiting = left_out(names)
    config.hook.pytest_deselected(items=[i for i, w in zip(items, waiting, strict=True) if w])
    items[:] = [i for i, w in zip(items, waiting, strict=True) if not w]


DEMO_FILES = sorted((Path(__file__).parent.parent / "demo_sites").glob("*/*.json"))


@pytest.fixture(params=DEMO_FILES, ids=lambda p: p.stem)
def demo_path(request: pytest.FixtureRequest) -> Path:
    """Each demo site's file."""
    return Path(request.param)


@pytest.fixture
def demo(demo_path: Path) -> Site:
    """Each demo site."""
    return load_site(demo_path)


@pytest.fixture
def tower() -> Site:
    """The demo tower."""
    return load_site(next(p for p in DEMO_FILES if "tower" in p.stem))


@pytest.fixture
def roof() -> Site:
    """The demo roof."""
    return load_site(next(p for p in DEMO_FILES if "roof" in p.stem))


@pytest.fixture
def one_source() -> Callable[[float, float], Site]:
    """A site with one isotropic source of (frequency, EIRP) and no reflection besides its kind's own."""

    def make(frequency: float, eirp: float) -> Site:
        return Site(name="test", antennas=(isotropic("source", frequency, eirp),), reflection=FREE)

    return make
