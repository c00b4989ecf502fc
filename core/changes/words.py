"""Values of a site as the schedule says them, exact enough that two that differ look different."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import shapely
from shapely import Polygon

from core.antennas.base import Parameter
from core.errors import short
from core.site.places import Fence, Ladder, Structure, Surface
from core.site.reflection import Reflection
from core.site.site import Antenna, Carrier, Power, State
from core.units import format_quantity, show_frequency

LONGEST = 200
"""Characters of a value in words at most; the middle of a longer one is left out."""
_MOST_CORNERS = 6

Words = Callable[[object], str]


def plain(value: object) -> str:
    """Return any value in words; nothing for nothing.

    Parameters
    ----------
    value : object
        The value.
    """
    if value is None:
        return "not given"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float | int):
        return f"{value:.12g}"
    if isinstance(value, State):
        return value.words
    if isinstance(value, Reflection):
        return value.words
    if isinstance(value, Power):
        return power(value)
    if isinstance(value, tuple):
        return short(", ".join(plain(v) for v in value), LONGEST)
    return short(str(value), LONGEST) or "none"


def with_unit(unit: str) -> Words:
    """Return the words of numbers of a unit.

    Parameters
    ----------
    unit : str
        The unit, as it is written after the number.
    """

    def said(value: object) -> str:
        return f"{plain(value)}{unit}"

    return said


def frequency(value: object) -> str:
    """Return a frequency in Hz in words.

    Parameters
    ----------
    value : object
        Hz.
    """
    assert isinstance(value, float | int)
    return format_quantity(value, "frequency")


def stated(value: object, spec: Parameter) -> str:
    """Return a parameter of an antenna's model with its unit, as a site file has it.

    Parameters
    ----------
    value : object
        The value; None where it is not given.
    spec : Parameter
        How the parameter is written.
    """
    if isinstance(value, float | int) and not isinstance(value, bool):
        if spec.form in ("length", "frequency", "gain", "loss", "power", "wavelengths"):
            return format_quantity(value, spec.form)
        if spec.form == "angle":
            return f"{plain(value)}°"
    return plain(value)


def place(value: object) -> str:
    """Return a place (x, y, z) in m in words.

    Parameters
    ----------
    value : object
        Its coordinates.
    """
    assert isinstance(value, tuple)
    return ", ".join(f"{axis} {v:.12g}" for axis, v in zip("xyz", value, strict=False)) + " m"


def power(entry: Power) -> str:
    """Return how a carrier's power was entered.

    Parameters
    ----------
    entry : Power
        The entry.
    """
    said = []
    if entry.transmitter is not None:
        said.append(f"transmitter {format_quantity(entry.transmitter, 'power')}")
    if entry.loss:
        said.append(f"loss {format_quantity(entry.loss, 'loss')}")
    if entry.gain is not None:
        said.append(f"gain {format_quantity(entry.gain, 'gain')}")
    if entry.erp is not None:
        said.append(f"ERP {format_quantity(entry.erp, 'power')}")
    if entry.erp_vertical is not None:
        said.append(f"{format_quantity(entry.erp_vertical, 'power')} vertical")
    if entry.eirp is not None:
        said.append(f"EIRP {format_quantity(entry.eirp, 'power')}")
    return ", ".join(said)


def outlines(was: object, now: object) -> tuple[str, str]:
    """Return two lists of corners by their area and the corners that only one of them has.

    Parameters
    ----------
    was, now : object
        Points (x, y) or (x, y, z), m.
    """
    assert isinstance(was, tuple)
    assert isinstance(now, tuple)
    return _outline(was, set(was) - set(now)), _outline(now, set(now) - set(was))


def _outline(points: Sequence[tuple[float, ...]], own: set[tuple[float, ...]]) -> str:
    only = [p for p in points if p in own]
    said = [" ".join(f"{v:.12g}" for v in p) for p in only[:_MOST_CORNERS]]
    more = ["…"] if len(only) > _MOST_CORNERS else []
    listed = "; ".join([*said, *more]) or "the same in another order"
    return short(f"{extent_words(points)}: {listed}", LONGEST)


def extent_words(points: Sequence[tuple[float, ...]]) -> str:
    """Return how large an outline or a line is.

    Parameters
    ----------
    points : sequence of tuple
        Its corners, m.
    """
    flat = len(points) > 2 and all(len(p) == 2 for p in points)
    if flat:
        return f"{len(points)} corners, {shapely.make_valid(Polygon(points)).area:.4g} m²"
    return f"{len(points)} points"


def summary(item: object) -> str:
    """Return an entry of a site in one line, for one that came or went.

    Parameters
    ----------
    item : object
        An antenna, a carrier, a surface, or another entry.
    """
    if isinstance(item, Antenna):
        tones = "; ".join(summary(c) for c in item.carriers)
        turned = f"azimuth {item.azimuth:g}°, tilt {item.tilt:g}°"
        return short(
            f"{item.kind.TITLE} at {place(item.position)}, {turned}, {item.state.words}: {tones}",
            LONGEST,
        )
    if isinstance(item, Carrier):
        return f"{item.name} {show_frequency(item.frequency)}, {power(item.power)}"
    if isinstance(item, Surface):
        return f"{item.kind} at {item.height:g} m, {extent_words(item.outline)}"
    if isinstance(item, Structure):
        return f"{item.kind} from {item.base:g} to {item.top:g} m"
    if isinstance(item, Ladder):
        return f"from {item.points[0][2]:g} to {item.points[-1][2]:g} m"
    if isinstance(item, Fence):
        held = f"{100.0 * item.threshold:g} % of the {item.tier} limit"
        where = extent_words(item.outline) if item.outline else f"stops on {item.ladder}"
        return f"{held}, {where}"
    kind = getattr(item, "kind", "")
    return str(kind) if kind else "there"
