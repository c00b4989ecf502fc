"""An antenna of which only the class is known: a catalogue entry, with everything assumed said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import ClassVar

from core.antennas.base import Kind, parameter
from core.antennas.catalogue import CATALOGUE, Entry, entry_of
from core.antennas.panel import Panel
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.standing_for import StandingFor
from core.units import show_frequency


@dataclass(frozen=True)
class Generic(StandingFor):
    """A catalogue class; it is built for the carrier's frequency and behaves as that kind."""

    KEY: ClassVar[str] = "generic"
    TITLE: ClassVar[str] = "generic class from the catalogue"

    entry: str = parameter(
        "choice",
        "class of the catalogue, for example fm-8-bay-full-wave",
        choices=tuple(CATALOGUE),
        titles=tuple(entry.title for entry in CATALOGUE.values()),
    )

    electrical_tilt: float | None = parameter(
        "angle",
        "electrical tilt of its beam, degrees down; left out, every usual tilt counts",
        optional=True,
        low=-30.0,
        high=30.0,
    )

    def __post_init__(self) -> None:
        self.catalogue_entry()

    def catalogue_entry(self) -> Entry:
        """Return the class."""
        return entry_of(self.entry)

    def built(self, frequency: float) -> Kind:
        """Return the kind that stands for the class at a frequency."""
        return _built(self.entry, frequency, self.electrical_tilt)

    def to_find_out(self, frequency: float) -> str:
        return "its maker and model: it is only known as a class"

    @property
    def typical(self) -> Kind:
        entry = self.catalogue_entry()
        return self.built((entry.low * entry.high) ** 0.5)

    def problems(self, frequency: float) -> tuple[str, ...]:
        entry = self.catalogue_entry()
        if not entry.low <= frequency <= entry.high:
            return (
                f"{show_frequency(frequency)} is outside the class {entry.title!r} "
                f"({show_frequency(entry.low)} to {show_frequency(entry.high)})",
            )
        built = self.built(frequency)
        if self.electrical_tilt and not isinstance(built, Panel | PanelRing | Stack):
            return (
                f"an electrical tilt is said, but a {built.TITLE} has none",
                *built.problems(frequency),
            )
        return built.problems(frequency)

    def assumptions(self) -> tuple[str, ...]:
        entry = self.catalogue_entry()
        said = self.electrical_tilt
        return (
            *(f"ASSUMED, {entry.title}: {words}" for words in entry.assumed),
            *((f"electrical tilt {said:g}° down, as said",) if said is not None else ()),
        )


@lru_cache(maxsize=256)
def _built(entry: str, frequency: float, tilt: float | None) -> Kind:
    kind = entry_of(entry).build(frequency)
    if tilt is None:
        return kind
    if isinstance(kind, Panel):
        bands = tuple(replace(band, electrical_tilt=tilt) for band in kind.bands)
        return replace(kind, bands=bands)
    return replace(kind, beam_tilt=tilt) if isinstance(kind, PanelRing | Stack) else kind
