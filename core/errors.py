"""The one error a person is meant to read."""

from __future__ import annotations


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
        """Return the whole error as the one line that every surface shows."""
        where = ": ".join(part for part in (self.source, self.field) if part)
        text = f"{where}: {self.message}" if where else self.message
        return f"{text}. {self.fix}" if self.fix else text

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
