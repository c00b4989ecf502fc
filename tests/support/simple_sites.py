"""Small antennas with fields known by hand."""

from __future__ import annotations

from core.antennas.worst_case import WorstCase
from core.site.places import Surface
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Power

FREE = Reflection(ReflectionKind.NONE)


def isotropic(
    name: str,
    frequency: float,
    eirp: float,
    position: tuple[float, float, float] = (0.0, 0.0, 0.0),
) -> Antenna:
    """A worst-case antenna that radiates ``eirp`` W in every direction; its kind reflects fully."""
    return Antenna(
        name=name,
        kind=WorstCase(gain=0.0, size=0.0),
        position=position,
        carriers=(Carrier(name="only", frequency=frequency, power=Power(eirp=eirp)),),
    )


def ground(reach: float = 1000.0, height: float = 0.0, name: str = "ground") -> Surface:
    """Level ground about the datum's origin."""
    square = ((-reach, -reach), (reach, -reach), (reach, reach), (-reach, reach))
    return Surface(name=name, kind="ground", height=height, outline=square)
