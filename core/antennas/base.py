"""The face every antenna kind shows, and the declared parameters that fill it from a file.

A kind is a frozen dataclass. Its fields are declared with the helpers below, so that the site file,
the window and the error texts all read the same declaration: unit, range and meaning.
"""

from __future__ import annotations

import dataclasses
from abc import ABC, abstractmethod
from dataclasses import MISSING, dataclass, field
from typing import Any, ClassVar

import numpy as np

from core.arrays import Floats, Points
from core.fields.unit_field import Note, UnitField

FM_LOW, FM_HIGH = 76e6, 108e6
"""Hz: FM sound broadcasting, where antennas are mostly circular (common practice, no source)."""


@dataclass(frozen=True)
class Parameter:
    """How one field of a kind is written, checked and explained.

    ``form`` is ``length``, ``wavelengths``, ``frequency``, ``gain``, ``loss`` (text with a unit), ``angle`` (degrees),
    ``number``, ``count``, ``choice``, ``flag``, ``file``, ``numbers`` (a list) or ``parts`` (a list of objects).
    ``reader`` names the choice of the pattern reader that the field answers
    (:class:`core.patterns.readers.report.Choices`). An ``optional`` field is None where it is not given. ``titles`` are
    what people read for the ``choices``, where those alone do not say it.
    """

    form: str
    help: str
    low: float = -np.inf
    high: float = np.inf
    choices: tuple[str, ...] = ()
    parts: type | None = None
    optional: bool = False
    reader: str = ""
    titles: tuple[str, ...] = ()


def parameter(
    form: str,
    help: str,
    *,
    default: Any = MISSING,
    low: float = -np.inf,
    high: float = np.inf,
    choices: tuple[str, ...] = (),
    parts: type | None = None,
    optional: bool = False,
    reader: str = "",
    titles: tuple[str, ...] = (),
) -> Any:
    """Declare a field of a kind; see :class:`Parameter`.

    The result is typed Any because it stands where a value of the field's own type is due. So the annotation
    of an optional field must admit None by itself; a test holds every kind to that.

    Parameters
    ----------
    form : str
        How it is written; see :class:`Parameter`.
    help : str
        What it is, for people.
    default : Any
        The value where none is given.
    low : float
        Least value.
    high : float
        Largest value.
    choices : tuple[str, ...]
        The words it may be.
    parts : type or None
        Class of its parts.
    reader : str
        Which choice of the pattern reader it answers.
    titles : tuple[str, ...]
        What people read for the choices.

    Returns
    -------
    Any
    """
    meta = {"parameter": Parameter(form, help, low, high, choices, parts, optional, reader, titles)}
    if optional and default is MISSING:
        default = None
    return field(default=default, metadata=meta)


def parameters(cls: type) -> dict[str, tuple[Parameter, Any]]:
    """Return name → (declaration, default or MISSING) of a kind or of one of its parts."""
    return {
        f.name: (f.metadata["parameter"], f.default)
        for f in dataclasses.fields(cls)
        if "parameter" in f.metadata
    }


class Kind(ABC):
    """One antenna kind with its parameters. Points are in the antenna frame (core.geometry)."""

    KEY: ClassVar[str]
    TITLE: ClassVar[str]

    @abstractmethod
    def unit_field(self, points: Points, frequency: float, *, conservative: bool) -> UnitField:
        """Return the field for 1 W of radiated power at points (n, 3), at a frequency in Hz.

        ``conservative`` adds the kind's printed decibels and floors; without it the result is the
        best estimate.
        """

    @abstractmethod
    def directivity(self, frequency: float) -> float:
        """Return the largest power gain over isotropic of the kind's own pattern (a ratio)."""

    def licence_gain(self, frequency: float) -> float:
        """Return the power gain over isotropic that ERP and EIRP of a licence refer to (a ratio).

        That of the horizon beam, at its strongest azimuth; the kind's largest gain unless a lobe elsewhere is larger.
        """
        return self.directivity(frequency)

    def usual_loss(self, frequency: float) -> float:
        """Return by how many dB the data sheets of such antennas may stay below the kind's own directivity.

        It decides how much power an antenna radiates of which only ERP or EIRP is known.
        """
        del frequency
        return 0.0

    def may_be_circular(self, frequency: float) -> bool:
        """Return whether nothing says that the antenna is linear where such antennas are mostly circular."""
        del frequency
        return False

    @abstractmethod
    def notes(self, frequency: float, *, conservative: bool) -> tuple[Note, ...]:
        """Return the models this kind may use; ``UnitField.model`` indexes them."""

    @abstractmethod
    def outline(self, frequency: float) -> Floats:
        """Return the metal as segments (n, 2, 3) in the antenna frame, for drawing and distances."""

    @abstractmethod
    def trust(self, frequency: float) -> float:
        """Return the distance from the metal, in m, nearer than which there is no figure."""

    def to_find_out(self, frequency: float) -> str:
        """Return the fact about such an antenna that would bring its figures down; nothing where all is known."""
        del frequency
        return ""

    def built(self, frequency: float) -> Kind:
        """Return the kind that stands for this one at a frequency: itself, unless it is only a class."""
        del frequency
        return self

    def beam_size(self, frequency: float) -> float:
        """Return the size in m, edge to edge, of the narrowest beam this antenna can lay across a body beside it.

        Infinite for antennas that are never narrower than the steps of a body's column.
        """
        del frequency
        return float(np.inf)

    @property
    def is_envelope(self) -> bool:
        """True when the pattern is an envelope, which may exceed what its power can radiate."""
        return False

    @property
    def is_sphere(self) -> bool:
        """True when every direction has the largest gain, so that a stated gain which is lower lowers all of them.

        Of all other kinds it only spreads the power that goes in differently.
        """
        return False

    @property
    def has_boresight(self) -> bool:
        """True when the kind has a forward direction that drawings show."""
        return True

    @property
    def is_circular(self) -> bool:
        """True when ERP is by custom stated for each of two polarisations."""
        return False

    @property
    def is_level(self) -> bool:
        """True when its electric field is horizontal all round: a lattice then works as its reflector."""
        return False

    @property
    def is_backed(self) -> bool:
        """True when a reflector keeps the wave off what stands behind the antenna."""
        return False

    @property
    def has_own_reflection(self) -> bool:
        """True when full reflection is already part of the field: no surface is counted on top of it."""
        return False

    def fits(self, frequency: float) -> None:
        """Refuse a carrier frequency that cannot belong to this antenna.

        Raises
        ------
        InputError
            If lengths and frequency do not go together, usually a slip of the unit.
        """
        del frequency

    @property
    def has_own_ground(self) -> bool:
        """True when the ground (the antenna-frame plane z = 0) is already part of the field.

        The site's reflection factor must not be applied on top of it.
        """
        return False

    def problems(self, frequency: float) -> tuple[str, ...]:
        """Return what is doubtful about the parameters at this frequency, in plain words."""
        return ()

    def assumptions(self) -> tuple[str, ...]:
        """Return what was assumed about the antenna, for the reading."""
        return ()
