"""What is asked of every site of a fleet, and what is answered for one."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from core.proof.tolerance import Ceiling, Tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What is asked of every site. Plain values, so that it can be sent to another process or machine.

    Attributes
    ----------
    folder, against : str
        Where the sites are, and the states before to compare them with; nothing for no comparison.
    limits : str
        Key of the limit set that the sites are held against; nothing for each site's own.
    percent, metres : float or None
        How exact zones are asked to be.
    seconds : float
        Ceiling for each zone.
    software : str
        Name and version of the program.
    """

    folder: str
    against: str = ""
    limits: str = ""
    percent: float | None = 5.0
    metres: float | None = 0.1
    seconds: float = 600.0
    software: str = ""

    @property
    def tolerance(self) -> Tolerance:
        """How exact zones are asked to be."""
        return Tolerance(percent=self.percent, metres=self.metres)

    @property
    def ceiling(self) -> Ceiling:
        """Where the search of a zone stops."""
        return Ceiling(seconds=self.seconds)

    @property
    def head(self) -> dict[str, Any]:
        """What a journal of this work begins with."""
        asked = asdict(self)
        for key in ("folder", "against"):
            if asked[key]:
                asked[key] = str(Path(asked[key]).resolve())
        return {"isofence-fleet": 1, **asked}


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What was found for one file.

    ``row`` are the cells of its line by column; None for a file that is no site. ``stamps`` are name, size and
    time of every file that was read, in the folder and in the one it is compared with.
    """

    name: str
    row: dict[str, str] | None
    stamps: tuple[list[list[str | int]], list[list[str | int]]] = field(
        default_factory=lambda: ([], [])
    )

    @property
    def data(self) -> dict[str, Any]:
        """The answer as plain data."""
        return {"name": self.name, "row": self.row, "stamps": list(self.stamps)}


def answer_of(data: dict[str, Any]) -> Answer:
    """Return an answer from its plain data.

    Parameters
    ----------
    data : dict
        As :attr:`Answer.data` gives it.
    """
    first, second = data["stamps"]
    return Answer(name=data["name"], row=data["row"], stamps=(first, second))


def lost(name: str, why: str) -> Answer:
    """Return the answer for a file whose work was lost with the process that did it.

    Parameters
    ----------
    name : str
        The file.
    why : str
        What became of the process.
    """
    return Answer(name=name, row={"result": "error", "finding": "yes", "error": why})
