"""Readers of pattern files with any content, and checkers of refusals."""

import json

import pytest

from core.errors import InputError
from core.patterns.readers import read_pattern
from support.pattern_files import BASTA


@pytest.fixture
def read(tmp_path):
    """Return a reader of text or bytes, with choices."""

    def reader(content, *, name="test.adf", **choices):
        path = tmp_path / name
        data = content.replace("\n", "\r\n").encode() if isinstance(content, str) else content
        path.write_bytes(data)
        return read_pattern(path, **choices)

    return reader


@pytest.fixture
def refused(read):
    """Return a checker that a file is refused with a code, a place and a fix."""

    def checker(content, code, *, place="", **choices):
        with pytest.raises(InputError) as caught:
            read(content, **choices)
        error = caught.value
        assert error.message.startswith(code)
        assert error.source.startswith("test.")
        assert place in error.field
        assert error.fix
        assert "\n" not in error.line()
        return error

    return checker


@pytest.fixture
def basta():
    return json.loads(BASTA.read_text())
