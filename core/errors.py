"""The one error a person is meant to read."""

from __future__ import annotations

LONGEST_LINE = 600
"""Characters of an error's line at most."""
_WHERE, _FIX = 120, 200
"""The longest source or field, and the longest fix; the message has the rest."""


def printable(text: str) -> str:
    """Return text with everything that does not print, or moves the cursor, escaped."""
    if text.isprintable():
        return text
    return "".join(
        c if c.isprintable() else c.encode("unicode_escape", "surrogatepass").decode("ascii")
        for c in text
    )


def short(text: str, most: int) -> str:
    """Return printable text of at most ``most`` characters; the middle of a longer one is left out."""
    text = printable(text)
    if len(text) <= most:
        return text
    head = most // 2 - 3
    return f"{text[:head]} ... {text[-(most - head - 5) :]}"


class InputError(ValueError):
    """Something a person entered cannot be used.

    Parameters
    ----------
    message : str
        What is wrong, in one sentence without a final full stop.
    source : str
        The file (or the command-line option) it came from; empty for a value typed in the window.
    field : str
        Where in that source, for example ``antennas[2] "North FM": carriers[0].erp``.
    fix : str
        What to do about it, as an instruction.
    """

    def __init__(self, message: str, *, source: str = "", field: str = "", fix: str = "") -> None:
        self.message = message
        self.source = source
        self.field = field
        self.fix = fix
        super().__init__(self.line())

    def line(self) -> str:
        """Return the whole error as the one line that every surface shows, at most 600 characters."""
        where = ": ".join(short(part, _WHERE) for part in (self.source, self.field) if part)
        fix = short(self.fix, _FIX)
        said = short(self.message, LONGEST_LINE - len(where) - len(fix) - 4)
        text = f"{where}: {said}" if where else said
        return f"{text}. {fix}" if fix else text

    def within(self, field: str = "", source: str = "") -> InputError:
        """Return the same error seen from one level further out.

        ``field`` goes in front of the field already known, joined by a dot unless the inner field
        starts with a bracket.
        """
        inner = self.field
        if field and inner:
            glue = "" if inner.startswith("[") else " " if field.endswith(":") else "."
            joined = f"{field}{glue}{inner}"
        else:
            joined = field or inner
        return InputError(self.message, source=source or self.source, field=joined, fix=self.fix)
