"""Trade units at the edges: text with a unit to SI, and back.

A quantity in a file is text with its unit (``"98.1 MHz"``, ``"25 kW"``, ``"6.2 dBd"``). A bare
number is refused: a guessed unit is the kind of mistake nobody sees.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from core.errors import InputError

SPEED_OF_LIGHT = 299_792_458.0
"""m/s, exact by the definition of the metre (SI)."""

ETA0 = 376.730_313_668
"""Wave impedance of free space in ohm (CODATA 2018)."""

DIPOLE_GAIN = 1.64
"""Gain of a half-wave dipole over isotropic as the FCC uses it, 2.15 dBi (from memory)."""

LONGEST = 100
"""Characters of a quantity at most."""

DIPOLE_DB = 10.0 * math.log10(DIPOLE_GAIN)
FOOT = 0.3048

_NUMBER = re.compile(r"^\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*([A-Za-zµμ%°²/]*)\s*$")

_Scale = float | Callable[[float], float]

_UNITS: dict[str, dict[str, _Scale]] = {
    "frequency": {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9},
    "power": {
        "mW": 1e-3,
        "W": 1.0,
        "kW": 1e3,
        "MW": 1e6,
        "dBm": lambda value: 10.0 ** (value / 10.0 - 3.0),
        "dBW": lambda value: 10.0 ** (value / 10.0),
        "dBk": lambda value: 10.0 ** (value / 10.0 + 3.0),
    },
    "gain": {"dBi": 1.0, "dBd": lambda value: value + DIPOLE_DB},
    "loss": {"dB": 1.0},
    "wavelengths": {"wl": 1.0, "wavelength": 1.0, "wavelengths": 1.0},
    "length": {"m": 1.0, "cm": 0.01, "mm": 0.001, "km": 1000.0, "ft": FOOT, "in": FOOT / 12.0},
    "time": {"s": 1.0, "min": 60.0, "h": 3600.0},
    "speed": {"m/s": 1.0, "m/min": 1.0 / 60.0, "km/h": 1.0 / 3.6, "ft/min": FOOT / 60.0},
    "percent": {"%": 1.0},
}
_SI_UNIT = {
    "frequency": "Hz",
    "power": "W",
    "gain": "dBi",
    "loss": "dB",
    "length": "m",
    "wavelengths": "wl",
    "time": "s",
    "speed": "m/s",
    "percent": "%",
}
_SHOWN = {
    "frequency": (("GHz", 1e9), ("MHz", 1e6), ("kHz", 1e3), ("Hz", 1.0)),
    "power": (("MW", 1e6), ("kW", 1e3), ("W", 1.0), ("mW", 1e-3)),
    "time": (("h", 3600.0), ("min", 60.0), ("s", 1.0)),
    "speed": (("m/s", 1.0),),
    "percent": (("%", 1.0),),
}


def units_of(kind: str) -> tuple[str, ...]:
    """Return the units that text of a ``kind`` of quantity may have; see :func:`parse_quantity`."""
    return tuple(_UNITS[kind])


def parse_quantity(text: object, kind: str) -> float:
    """Return the SI value of text such as ``"98.1 MHz"``.

    Parameters
    ----------
    text : object
        Text with a number and a unit. Gains come back in dBi, losses in dB.
    kind : str
        ``frequency``, ``power``, ``gain``, ``loss``, ``length``, ``wavelengths``, ``time``, ``speed`` or
        ``percent``.

    Raises
    ------
    InputError
        If it is not text, has no unit, an unknown unit, or no finite number.

    Examples
    --------
    >>> parse_quantity("98.1 MHz", "frequency")
    98100000.0
    """
    units = _UNITS[kind]
    names = ", ".join(units)
    if not isinstance(text, str):
        raise InputError(
            f"{text!r} has no unit",
            fix=f'Write text with a unit, one of {names}, like "2 {next(iter(units))}"',
        )
    match = _NUMBER.match(text) if len(text) <= LONGEST else None
    if match is None:
        raise InputError(
            f"{text!r} is not a number with a unit", fix=f"Use a decimal point and one of {names}"
        )
    number, unit = float(match[1]), match[2]
    if not unit:
        raise InputError(f"{text!r} has no unit", fix=f"Add one of {names}")
    if unit not in units:
        raise InputError(f"{unit!r} is not a unit of {kind}", fix=f"Use one of {names}")
    scale = units[unit]
    try:
        value = scale(number) if callable(scale) else number * scale
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        raise InputError(f"{text!r} is too large", fix="Check the number and its unit")
    return value


def format_quantity(value: float, kind: str) -> str:
    """Return text that :func:`parse_quantity` turns back into exactly ``value``.

    Parameters
    ----------
    kind : str
        What it is of; see :func:`parse_quantity`.
    """
    for unit, scale in _SHOWN.get(kind, ()):
        if abs(value) >= scale or scale == _SHOWN[kind][-1][1]:
            text = f"{value / scale:.12g} {unit}"
            if parse_quantity(text, kind) == value:
                return text
            break
    return f"{value!r} {_SI_UNIT[kind]}"


def to_db(ratio: float) -> float:
    """Return a power ratio in decibels."""
    return 10.0 * math.log10(ratio)


def from_db(decibels: float) -> float:
    """Return decibels as a power ratio."""
    return float(10.0 ** (decibels / 10.0))


def wavelength(frequency: float) -> float:
    """Return the free-space wavelength in m of a frequency in Hz."""
    return SPEED_OF_LIGHT / frequency


def show_frequency(frequency: float) -> str:
    """Return a frequency the way people say it.

    Examples
    --------
    >>> show_frequency(98.1e6), show_frequency(11.2e9), show_frequency(640e3)
    ('98.1 MHz', '11.2 GHz', '640 kHz')
    """
    for unit, scale in _SHOWN["frequency"]:
        if frequency >= scale and not (unit == "GHz" and frequency < 3e9):
            return f"{frequency / scale:.6g} {unit}"
    return f"{frequency:.6g} Hz"


def show_length(metres: float, *, feet: bool = False) -> str:
    """Return a length in m, or in ft to a tenth.

    Parameters
    ----------
    metres : float
        m.
    feet : bool
        Lengths in feet instead of metres.
    """
    if feet:
        return f"{metres / FOOT:.1f} ft".replace("-0.0 ft", "0.0 ft")
    return f"{metres:.4g} m"


def show_power(power: float) -> str:
    """Return a power with a readable prefix and three or more significant digits."""
    for unit, scale in _SHOWN["power"]:
        if power >= scale:
            return f"{power / scale:.4g} {unit}"
    return f"{power / 1e-3:.4g} mW"


def show_allowance(fraction: float) -> str:
    """Return what is allowed as percent: three significant digits, rounded down.

    Parameters
    ----------
    fraction : float
        Of the whole.

    Examples
    --------
    >>> show_allowance(10.0**-0.3), show_allowance(1.0)
    ('50.1 %', '100 %')
    """
    percent = 100.0 * fraction
    step = 10.0 ** (math.floor(math.log10(percent)) - 2) if percent > 0.0 else 1.0
    return f"{math.floor(round(percent / step, 9)) * step:.3g} %"


NO_FIGURE_PERCENT = 10_000.0
"""Percent that stand for the places where there is no figure: inside reactive regions."""


def at_most(fraction: float) -> str:
    """Return a bound of a fraction in words; one that stands for no figure is none.

    Examples
    --------
    >>> at_most(0.5), at_most(100.2)
    ('at most 50.0 %', 'over 10000 %, or so near an emitter that there is no figure')
    """
    if 100.0 * fraction >= NO_FIGURE_PERCENT:
        return f"over {NO_FIGURE_PERCENT:.0f} %, or so near an emitter that there is no figure"
    return f"at most {show_percent(fraction)}"


def show_percent(fraction: float) -> str:
    """Return a fraction of a limit as percent, never rounded down across a whole step of a limit.

    Three significant digits below 1000 %, whole percents above. A value just over 100 % is shown as
    over 100 %: rounding goes up in the last digit shown. From 10 000 % on it may stand for no figure at all.

    Examples
    --------
    >>> show_percent(0.0746), show_percent(1.0001), show_percent(14.021), show_percent(100.2)
    ('7.46 %', '101 %', '1403 %', 'over 10000 %')
    """
    percent = 100.0 * fraction
    if percent > NO_FIGURE_PERCENT:
        return f"over {NO_FIGURE_PERCENT:.0f} %"
    if percent <= 0.0:
        return "0 %"
    if percent < 0.001:
        return "< 0.001 %"
    digits = 0 if percent >= 99.5 else 2 - math.floor(math.log10(percent))
    step = 10.0**-digits
    shown = math.ceil(round(percent / step, 9)) * step
    return f"{shown:.{max(digits, 0)}f} %"
