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
from core.units import FOOT, format_quantity, show_frequency

LONGEST = 200
"""Characters of a value in words at most; the middle of a longer one is left out."""
_MOST_CORNERS = 6

Words = Callable[..., str]
"""What says a value; ``feet`` asks for lengths in feet."""


def plain(value: object, *, feet: bool = False) -> str:
    """Return any value in words; nothing for nothing.

    Parameters
    ----------
    value : object
        The value.
    feet : bool
        Nothing here is a length.
    """
    del feet
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


def metres(value: object, *, feet: bool = False) -> str:
    """Return a length in m in words.

    Parameters
    ----------
    value : object
        m; None where it is not given.
    feet : bool
        In feet.
    """
    if not isinstance(value, float | int):
        return plain(value)
    return f"{_number(value, feet=feet)} {_unit(feet=feet)}"


def degrees(value: object, *, feet: bool = False) -> str:
    """Return an angle in degrees in words.

    Parameters
    ----------
    value : object
        Degrees.
    feet : bool
        The same either way.
    """
    del feet
    return f"{plain(value)}°"


def region(value: object, *, feet: bool = False) -> str:
    """Return a piece of the plan in words.

    Parameters
    ----------
    value : object
        (west, south, east, north) in m; None where it is not given.
    feet : bool
        In feet.
    """
    if not isinstance(value, tuple):
        return plain(value)
    return ", ".join(_number(v, feet=feet) for v in value) + f" {_unit(feet=feet)}"


def _number(value: float, *, feet: bool) -> str:
    """Return a length in m as the file has it, or in feet to a thousandth."""
    return f"{round(value / FOOT, 3):.12g}" if feet else f"{value:.12g}"


def _unit(*, feet: bool) -> str:
    return "ft" if feet else "m"


def frequency(value: object, *, feet: bool = False) -> str:
    """Return a frequency in Hz in words.

    Parameters
    ----------
    value : object
        Hz.
    feet : bool
        The same either way.
    """
    del feet
    assert isinstance(value, float | int)
    return format_quantity(value, "frequency")


def stated(value: object, spec: Parameter, *, feet: bool = False) -> str:
    """Return a parameter of an antenna's model with its unit, as a site file has it.

    Parameters
    ----------
    value : object
        The value; None where it is not given.
    spec : Parameter
        How the parameter is written.
    feet : bool
        Lengths in feet.
    """
    if feet and spec.form == "length":
        return metres(value, feet=feet)
    if isinstance(value, float | int) and not isinstance(value, bool):
        if spec.form in ("length", "frequency", "gain", "loss", "power", "wavelengths"):
            return format_quantity(value, spec.form)
        if spec.form == "angle":
            return f"{plain(value)}°"
    return plain(value)


def place(value: object, *, feet: bool = False) -> str:
    """Return a place (x, y, z) in m in words.

    Parameters
    ----------
    value : object
        Its coordinates.
    feet : bool
        In feet.
    """
    assert isinstance(value, tuple)
    said = [f"{axis} {_number(v, feet=feet)}" for axis, v in zip("xyz", value, strict=False)]
    return f"{', '.join(said)} {_unit(feet=feet)}"


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


def outlines(was: object, now: object, *, feet: bool = False) -> tuple[str, str]:
    """Return two lists of corners by their area and the corners that only one of them has.

    Parameters
    ----------
    was, now : object
        Points (x, y) or (x, y, z), m.
    feet : bool
        In feet.
    """
    assert isinstance(was, tuple)
    assert isinstance(now, tuple)
    return _outline(was, set(was) - set(now), feet=feet), _outline(
        now, set(now) - set(was), feet=feet
    )


def _outline(
    points: Sequence[tuple[float, ...]], own: set[tuple[float, ...]], *, feet: bool
) -> str:
    only = [p for p in points if p in own]
    said = [" ".join(_number(v, feet=feet) for v in p) for p in only[:_MOST_CORNERS]]
    more = ["…"] if len(only) > _MOST_CORNERS else []
    listed = "; ".join([*said, *more]) or "the same in another order"
    return short(f"{extent_words(points, feet=feet)}: {listed}", LONGEST)


def extent_words(points: Sequence[tuple[float, ...]], *, feet: bool = False) -> str:
    """Return how large an outline or a line is.

    Parameters
    ----------
    points : sequence of tuple
        Its corners, m.
    feet : bool
        In feet.
    """
    flat = len(points) > 2 and all(len(p) == 2 for p in points)
    if flat:
        area = shapely.make_valid(Polygon(points)).area / (FOOT**2 if feet else 1.0)
        return f"{len(points)} corners, {area:.4g} {_unit(feet=feet)}²"
    return f"{len(points)} points"


def summary(item: object, *, feet: bool = False) -> str:
    """Return an entry of a site in one line, for one that came or went.

    Parameters
    ----------
    item : object
        An antenna, a carrier, a surface, or another entry.
    feet : bool
        Lengths and areas in feet.
    """
    if isinstance(item, Antenna):
        tones = "; ".join(summary(c) for c in item.carriers)
        turned = f"azimuth {item.azimuth:g}°, tilt {item.tilt:g}°"
        return short(
            f"{item.kind.TITLE} at {place(item.position, feet=feet)}, {turned}, {item.state.words}: {tones}",
            LONGEST,
        )
    if isinstance(item, Carrier):
        return f"{item.name} {show_frequency(item.frequency)}, {power(item.power)}"
    if isinstance(item, Surface):
        return f"{item.kind} at {metres(item.height, feet=feet)}, {extent_words(item.outline, feet=feet)}"
    if isinstance(item, Structure):
        return f"{item.kind} from {_number(item.base, feet=feet)} to {metres(item.top, feet=feet)}"
    if isinstance(item, Ladder):
        low, high = item.points[0][2], item.points[-1][2]
        return f"from {_number(low, feet=feet)} to {metres(high, feet=feet)}"
    if isinstance(item, Fence):
        held = f"{100.0 * item.threshold:g} % of the {item.tier} limit"
        where = extent_words(item.outline, feet=feet) if item.outline else f"stops on {item.ladder}"
        return f"{held}, {where}"
    kind = getattr(item, "kind", "")
    return str(kind) if kind else "there"
