"""What becomes of one antenna of a schedule: its problems, and what is different from the site."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from core.errors import InputError
from core.files.schedule.columns import heading
from core.files.schedule.writer import flat, shown
from core.files.site_writer import antenna_to_json
from core.site.site import Antenna


@dataclass(frozen=True, slots=True)
class Problem:
    """Something in a schedule that cannot be taken: in which row and column, what, and what to do about it.

    ``antenna`` is whose row it is; empty where that is not known.
    """

    row: int
    column: str
    message: str
    fix: str
    antenna: str

    @property
    def says(self) -> str:
        """What is wrong and what to do, without the place."""
        return InputError(self.message, fix=self.fix).line()

    def line(self) -> str:
        """Return the problem as the one line that every surface shows."""
        error = InputError(
            self.message, field=f'row {self.row}, column "{self.column}"', fix=self.fix
        )
        return error.line()


@dataclass(slots=True)
class Draft:
    """One antenna on its way from the table to the site."""

    name: str
    rows: tuple[int, ...]
    old: Antenna | None = None
    antenna: Antenna | None = None
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def differences(self) -> tuple[str, ...]:
        """Return what is different from the site, a line each; for a new antenna what it is."""
        if self.antenna is None:
            return ()
        after = antenna_to_json(self.antenna)
        if self.old is None:
            place = "; ".join(f"{v:.4g}" for v in self.antenna.position)
            count = len(self.antenna.carriers)
            return (f"{self.antenna.kind.TITLE} at {place} m, {count} carrier{'s' * (count != 1)}",)
        return tuple(_differences(flat(antenna_to_json(self.old)), flat(after)))


def _differences(before: dict[str, object], after: dict[str, object]) -> Iterator[str]:
    for key in dict.fromkeys((*before, *after)):
        a, b = before.get(key), after.get(key)
        if a == b:
            continue
        head, _, last = key.rpartition(".")
        if head.startswith("carriers."):
            if f"{head}.name" not in before:
                if last == "name":
                    yield f"new carrier {b}"
                continue
            label = f"{before[f'{head}.name']}: {heading(last)}"
        else:
            label = heading(key)
        yield f"{label} {shown(a) or 'not given'} → {shown(b) or 'not given'}"
