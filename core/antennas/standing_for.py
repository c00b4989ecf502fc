"""Kinds that stand for another one: all that is asked of them, they ask of that one."""

from __future__ import annotations

from abc import abstractmethod

from core.antennas.base import Kind
from core.arrays import Floats, Points
from core.fields.unit_field import Note, UnitField


class StandingFor(Kind):
    """A kind that behaves as another one, except where it says otherwise itself."""

    @abstractmethod
    def built(self, frequency: float) -> Kind:
        """Return the kind it stands for at a frequency in Hz."""

    @property
    @abstractmethod
    def typical(self) -> Kind:
        """The kind it stands for, for what does not depend on the frequency."""

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
        return self.built(frequency).to_find_out(frequency)

    def problems(self, frequency: float) -> tuple[str, ...]:
        return self.built(frequency).problems(frequency)

    @property
    def has_boresight(self) -> bool:
        return self.typical.has_boresight

    @property
    def is_level(self) -> bool:
        return self.typical.is_level

    @property
    def is_backed(self) -> bool:
        return self.typical.is_backed

    @property
    def is_circular(self) -> bool:
        return self.typical.is_circular

    @property
    def is_envelope(self) -> bool:
        return self.typical.is_envelope

    @property
    def is_sphere(self) -> bool:
        return self.typical.is_sphere
