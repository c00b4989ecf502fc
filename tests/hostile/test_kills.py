"""A short run of tests/bench/kills.py: every kind of file stays whole."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

from support.killing import Job, jobs, killed, without_room

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="kills and limits of POSIX")
JOBS = (
    "site", "readings", "zones", "zone picture", "map png", "map svg", "map pdf", "report pdf", "report text",
)  # fmt: skip


@pytest.fixture(scope="module")
def known() -> dict[str, Job]:
    return jobs()


def test_every_kind_of_file_is_tried(known: dict[str, Job]) -> None:
    assert tuple(known) == JOBS


@pytest.mark.parametrize("name", ["site", "readings", "map png"])
def test_a_kill_during_a_save_leaves_a_whole_file_and_nothing_else(
    name: str, known: dict[str, Job], tmp_path: Path
) -> None:
    rng = random.Random(name)
    for i in range(4):
        assert list(killed(known[name], tmp_path / str(i), rng)) == []


@pytest.mark.parametrize("name", JOBS)
def test_a_full_disk_keeps_the_old_file_and_says_so(
    name: str, known: dict[str, Job], tmp_path: Path
) -> None:
    assert list(without_room(known[name], tmp_path / "full")) == []
