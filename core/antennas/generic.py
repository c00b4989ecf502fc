"""An antenna of which only the class is known: a catalogue entry, with everything assumed said."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from core.antennas.base import Kind, parameter
from core.antennas.catalogue import CATALOGUE, Entry, entry_of
from core.arrays import Floats, Points
from core.fields.unit_field import Note, UnitField
from core.units import show_frequency


@dataclass(frozen=True)
class Generic(Kind):
    """A catalogue class; it is built for the carrier's frequency and behaves as that kind."""

    KEY: ClassVar[str] = "generic"
    TITLE: ClassVar[str] = "generic class from the catalogue"

    entry: str = parameter(
        "choice",
        "class of the catalogue, for example fm-8-bay-full-wave",
        choices=tuple(CATALOGUE),
        titles=tuple(entry.title for entry in CATALOGUE.values()),
    )

    def __post_init__(self) -> None:
        self.catalogue_entry()

    def catalogue_entry(self) -> Entry:
        """Return the class."""
        return entry_of(self.entry)

    def built(self, frequency: float) -> Kind:
        """Return the kind that stands for the class at a frequency."""
        return _built(self.entry, frequency)

    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        return self.built(frequency).unit_field(points, frequency, conservative=conservative)

    def directivity(self, frequency: float) -> float:
        return self.built(frequency).directivity(frequency)

    def licence_gain(self, frequency: float) -> float:
        return self.built(frequency).licence_gain(frequency)

    def usual_loss(self, frequency: float) -> float:
        return self.built(frequency).usual_loss(frequency)

    def may_be_circular(self, frequency: float) -> bool:
        return self.built(frequency).may_be_circular(frequency)

    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        return self.built(frequency).notes(frequency, conservative=conservative)

    def outline(self, frequency: float) -> Floats:
        return self.built(frequency).outline(frequency)

    def trust(self, frequency: float) -> float:
        return self.built(frequency).trust(frequency)

    def beam_size(self, frequency: float) -> float:
        return self.built(frequency).beam_size(frequency)

    def fits(self, frequency: float) -> None:
        self.built(frequency).fits(frequency)

    def to_find_out(self, frequency: float) -> str:
        return "its maker and model: it is only known as a class"

    @property
    def has_boresight(self) -> bool:
        entry = self.catalogue_entry()
        return self.built((entry.low * entry.high) ** 0.5).has_boresight

    @property
    def is_backed(self) -> bool:
        entry = self.catalogue_entry()
        return self.built((entry.low * entry.high) ** 0.5).is_backed

    @property
    def is_circular(self) -> bool:
        entry = self.catalogue_entry()
        return self.built((entry.low * entry.high) ** 0.5).is_circular

    @property
    def is_envelope(self) -> bool:
        entry = self.catalogue_entry()
        return self.built((entry.low * entry.high) ** 0.5).is_envelope

    @property
    def is_sphere(self) -> bool:
        entry = self.catalogue_entry()
        return self.built((entry.low * entry.high) ** 0.5).is_sphere

    def problems(self, frequency: float) -> tuple[str, ...]:
        entry = self.catalogue_entry()
        if not entry.low <= frequency <= entry.high:
            return (
                f"{show_frequency(frequency)} is outside the class {entry.title!r} "
                f"({show_frequency(entry.low)} to {show_frequency(entry.high)})",
            )
        return self.built(frequency).problems(frequency)

    def assumptions(self) -> tuple[str, ...]:
        entry = self.catalogue_entry()
        return tuple(f"ASSUMED, {entry.title}: {words}" for words in entry.assumed)


@lru_cache(maxsize=256)
def _built(entry: str, frequency: float) -> Kind:
    return entry_of(entry).build(frequency)
