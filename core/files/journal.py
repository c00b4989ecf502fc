"""A journal of long work: one line of JSON a piece, added as it is done: a kill loses only the piece at hand."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Any

from core.errors import InputError
from core.files.paths import is_file


class Journal:
    """A file with a head, which says what work it is of, and an entry for each piece that is done.

    A line that a kill has cut short is left out when it is read, and cut off before the next one is added.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._file: IO[bytes] | None = None

    def begin(self, head: dict[str, Any]) -> list[dict[str, Any]]:
        """Open the journal and return the entries that are in it already.

        Parameters
        ----------
        head : dict
            What the work is: settings and version. A journal of other work is not gone on with.

        Raises
        ------
        InputError
            If it is the journal of other work, or no journal, or cannot be read or written.
        """
        try:
            if self.path.exists() and not is_file(self.path):
                raise InputError("is no ordinary file", source=str(self.path), fix="Move it away")
            known, whole = self._known(json.loads(json.dumps(head)))
            self._file = self.path.open("r+b" if whole else "wb")
            self._file.truncate(whole)
            self._file.seek(whole)
            if not whole:
                self.add(head)
        except OSError as error:
            raise InputError(
                f"cannot be written ({error.strerror or error})",
                source=str(self.path),
                fix="Check the folder and the rights",
            ) from None
        return known

    def _known(self, head: dict[str, Any]) -> tuple[list[dict[str, Any]], int]:
        """Return the whole entries and how many bytes they take, the head with them; nothing and 0 where none is."""
        if not self.path.exists():
            return [], 0
        found: list[dict[str, Any]] = []
        whole = 0
        for line, end in self._lines():
            if not whole:
                if line != head:
                    raise InputError(
                        "is the journal of another run",
                        source=str(self.path),
                        fix="Repeat that run with its own options, or delete the journal to begin anew",
                    )
            else:
                found.append(line)
            whole = end
        return found, whole

    def _lines(self) -> Iterator[tuple[dict[str, Any], int]]:
        end = 0
        with self.path.open("rb") as file:
            for raw in file:
                end += len(raw)
                try:
                    line = json.loads(raw) if raw.endswith(b"\n") else None
                except ValueError:
                    line = None
                if not isinstance(line, dict):
                    if raw.endswith(b"\n"):
                        raise InputError(
                            "is no journal that can be gone on with",
                            source=str(self.path),
                            fix="Move it away, or name another table",
                        )
                    return
                yield line, end

    def add(self, entry: dict[str, Any]) -> None:
        """Add an entry; it is in the file when this returns.

        Parameters
        ----------
        entry : dict
            Plain data.
        """
        assert self._file is not None, "begin comes first"
        self._file.write(json.dumps(entry, allow_nan=False).encode("utf-8") + b"\n")
        self._file.flush()

    def close(self) -> None:
        """Close the file; it stays where it is."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def remove(self) -> None:
        """Close the file and take it away: the work is done."""
        self.close()
        self.path.unlink(missing_ok=True)
