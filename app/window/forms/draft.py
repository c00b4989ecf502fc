"""What was typed about one antenna and is not taken yet, and what it would make."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from core.files.entries import Entry, as_kind, missing, numbered, values_of
from core.site.site import Antenna


@dataclass
class Draft:
    """What waits to be taken.

    Attributes
    ----------
    kind : str
        The kind it is to be; empty where it stays what it is.
    values : dict
        Values by path that go together with others that are needed or contradict them.
    texts : dict
        Texts by path that are no values.
    errors : dict
        Why, by path.
    """

    kind: str = ""
    values: dict[str, Any] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    errors: dict[str, str] = field(default_factory=dict)

    @property
    def waits(self) -> bool:
        """Whether anything waits."""
        return bool(self.kind or self.values or self.texts)

    def over(self, antenna: Antenna) -> dict[str, Any]:
        """Return what is said of an antenna, with what waits over it."""
        base = as_kind(antenna, self.kind) if self.kind else values_of(antenna)
        return base | self.values

    def needs(self, antenna: Antenna) -> list[Entry]:
        """Return the entries that are needed before it can be taken."""
        return missing(self.over(antenna)) if self.kind or self.values else []

    def set_kind(self, antenna: Antenna, key: str) -> None:
        """Let it be another kind; what was typed about the old one goes."""
        self.kind = "" if key == antenna.kind.KEY else key
        for kept in (self.values, self.texts, self.errors):
            for path in [p for p in kept if p.startswith("model.") or p == "kind"]:
                del kept[path]

    def add_part(self, antenna: Antenna, base: str, first: str) -> str:
        """Add a part (or a carrier) with nothing said; ``first`` is one of its entries. Return its group."""
        number = numbered(self.over(antenna), base)[-1] + 1
        self.values[f"{base}.{number}.{first}"] = None
        return f"{base}.{number}"

    def forget(self, path: str) -> None:
        """Take one entry back."""
        for kept in (self.values, self.texts, self.errors):
            kept.pop(path, None)
