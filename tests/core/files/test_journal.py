"""A journal of long work: cut anywhere it is gone on with, and nothing that is whole in it is lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.errors import InputError
from core.files.journal import Journal

HEAD = {"work": "test", "sizes": [1, 2]}
ENTRIES = [{"n": i, "text": "é\n" * i} for i in range(4)]


def written(path: Path) -> bytes:
    journal = Journal(path)
    assert journal.begin(HEAD) == []
    for entry in ENTRIES:
        journal.add(entry)
    journal.close()
    return path.read_bytes()


def test_cut_at_any_byte_it_has_what_was_whole_and_takes_more(tmp_path: Path) -> None:
    path = tmp_path / "j"
    whole = written(path)
    for end in range(len(whole) + 1):
        path.write_bytes(whole[:end])
        journal = Journal(path)
        found = journal.begin(HEAD)
        assert found == ENTRIES[: max(0, whole[:end].count(b"\n") - 1)]
        for entry in ENTRIES[len(found) :]:
            journal.add(entry)
        journal.close()
        assert path.read_bytes() == whole


def test_another_head_or_another_file_is_refused_and_kept(tmp_path: Path) -> None:
    path = tmp_path / "j"
    whole = written(path)
    with pytest.raises(InputError, match="journal of another run"):
        Journal(path).begin({**HEAD, "work": "other"})
    assert path.read_bytes() == whole
    path.write_bytes(b"\x00\x01\nmore\n")
    with pytest.raises(InputError, match="is no journal"):
        Journal(path).begin(HEAD)
    assert path.read_bytes() == b"\x00\x01\nmore\n"
    with pytest.raises(InputError, match="cannot be written"):
        Journal(tmp_path / "none" / "j").begin(HEAD)
    with pytest.raises(InputError, match="is no ordinary file"):
        Journal(tmp_path).begin(HEAD)


def test_done_it_goes(tmp_path: Path) -> None:
    path = tmp_path / "j"
    journal = Journal(path)
    journal.begin(HEAD)
    journal.remove()
    assert not path.exists()
