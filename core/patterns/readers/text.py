"""Getting plain text out of a file without trusting it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from core.errors import InputError
from core.patterns.readers.report import Report

MOST_BYTES = 50_000_000
LONGEST_LINE = 1000

_CONTROL = re.compile(r"[\x00-\x08\x0e-\x19\x1b-\x1f]")
_END = re.compile(r"\r*\n|\r")


@dataclass(frozen=True, slots=True)
class Text:
    """Decoded text, its lines without their ends, and whether each ended CR LF."""

    body: str
    lines: list[str]
    crlf: bool

    def check_lines(self, report: Report) -> None:
        """Refuse lines over the limit (not for JSON, which may be one line)."""
        for number, line in enumerate(self.lines, 1):
            if len(line) > LONGEST_LINE:
                raise report.refuse(
                    "E02",
                    f"the line has {len(line)} characters, {LONGEST_LINE} at most are read",
                    line=number,
                    fix="Check that this is a pattern file",
                )


def load_text(path: Path, report: Report) -> Text:
    """Return the text of a file.

    Parameters
    ----------
    path : Path
        The file.
    report : Report
        Where warnings are kept and refusals worded.

    Raises
    ------
    InputError
        If it is missing, not a file, empty, over 50 MB, or not text.
    """
    try:
        if path.is_dir():
            raise InputError(
                "this is a folder", source=report.source, fix="Choose a pattern file inside it"
            )
        if path.exists() and not path.is_file():
            raise InputError(
                "this is not an ordinary file", source=report.source, fix="Choose a pattern file"
            )
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise InputError(
                f"the file has {size / 1e6:.0f} MB, 50 MB at most are read",
                source=report.source,
                fix="Check that this is a pattern file",
            )
        data = path.read_bytes()
    except InputError:
        raise
    except FileNotFoundError:
        raise InputError(
            "the pattern file does not exist", source=report.source, fix="Check the path"
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the path is not valid"
        raise InputError(
            f"the pattern file cannot be read ({reason})",
            source=report.source,
            fix="Check the path and the permissions",
        ) from None
    return _decode(data, report)


def _decode(data: bytes, report: Report) -> Text:
    if not data.strip():
        raise InputError("the file is empty", source=report.source, fix="Choose a pattern file")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff") or b"\x00" in data:
        raise report.refuse(
            "E02", "the file is UTF-16 or not text", fix="Save it as plain text (UTF-8 or ASCII)"
        )
    if data.startswith(b"\xef\xbb\xbf"):
        data = data[3:]
        report.warn("W02", "a byte-order mark at the start was skipped", line=1)
    try:
        body = data.decode("utf-8")
    except UnicodeDecodeError:
        body = data.decode("latin-1")
        report.warn("W02", "the text is not UTF-8 and was read as Latin-1")
    body = body.rstrip("\x1a")
    if _CONTROL.search(body) or "\x1a" in body:
        raise report.refuse(
            "E02",
            "the file holds bytes that are not text",
            fix="Choose a pattern file in text form",
        )
    if not body.strip():
        raise InputError("the file is empty", source=report.source, fix="Choose a pattern file")
    ends = _END.findall(body)
    lines = _END.split(body)
    closed = lines[-1].strip() == ""
    while lines and not lines[-1].strip():
        lines.pop()
    return Text(body, lines, closed and all(end == "\r\n" for end in ends))
