"""One doubt: its line, what it is about, and where that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.site.site import Antenna

Thing = Literal[
    "site", "antenna", "surface", "structure", "ladder", "way in", "fence", "job", "state", "survey"
]
Place = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something a person should look at.

    Attributes
    ----------
    line : str
        What is doubtful, with the name of what it is about in front.
    thing, name : str
        What it is about; the name is empty for the site itself.
    place : (x, y, z) or None
        Where that is, m; None where it is nowhere.
    """

    line: str
    thing: Thing = "site"
    name: str = ""
    place: Place | None = None


def of_antenna(antenna: Antenna, line: str) -> Doubt:
    """Return the doubt about an ``antenna`` that a ``line`` says."""
    return Doubt(line, "antenna", antenna.name, antenna.position)
