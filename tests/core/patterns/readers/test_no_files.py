"""Files that are no pattern files."""

from pathlib import Path

import pytest

from core.errors import InputError
from core.patterns.readers import read_pattern
from support.pattern_files import BASTA, DISH, FIELD, SECTOR, SMALL


def test_missing_folder_and_empty_files_are_refused(tmp_path, refused):
    for path in (tmp_path / "none.adf", tmp_path, Path("bad\0name.adf"), Path("/dev/zero")):
        with pytest.raises(InputError):
            read_pattern(path)
    for data in (b"", b" \r\n \r\n", b"\x1a"):
        refused(data, "the file is empty")


def test_huge_files_and_lines_are_refused(tmp_path, refused):
    path = tmp_path / "huge.adf"
    with path.open("wb") as file:
        file.truncate(50_000_001)
    with pytest.raises(InputError, match="50 MB"):
        read_pattern(path)
    refused(SMALL.replace("EX-SMALL", "S" * 1000), "E02", place="line 4")


def test_unknown_content_is_refused_whatever_its_name(refused):
    for name in ("test.adf", "test.json", "test.csv"):
        refused("once upon a time\n", "E01 this is no pattern format", name=name)


def test_the_name_does_not_decide_the_format(read):
    for sample in (SECTOR, DISH, BASTA, FIELD):
        data = read(sample.read_bytes(), name="test.txt")
        assert data.gain == read_pattern(sample).gain
