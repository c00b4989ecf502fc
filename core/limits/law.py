"""Limits as they are printed: a constant or a power of the frequency.

Every published limit in this package is one power law. The tables keep the text as it stands in
print (``"1842/f"``, ``"3 f^0.5"``, ``"f/30"``, ``"275/fG^0.177"``) and this module evaluates that
same text, so what a person is shown and what is computed cannot drift apart.
"""

from __future__ import annotations

import math
import re
from functools import cache

FREQUENCY_UNITS = {"f": "MHz", "fG": "GHz", "fk": "kHz", "fHz": "Hz"}
"""The letter for the frequency in a printed law, and the unit it stands for."""

_HERTZ = {"f": 1e6, "fG": 1e9, "fk": 1e3, "fHz": 1.0}
_NUMBER = r"\d+(?:\.\d*)?(?:e[+-]?\d+)?"
_LAW = re.compile(
    rf"(?P<front>{_NUMBER})?"
    rf"(?:(?P<over>(?<=[\d.])[/ ]|^)(?P<unit>fHz|fG|fk|f)"
    rf"(?:\^(?P<power>{_NUMBER}))?(?:/(?P<divisor>{_NUMBER}))?)?"
)


def evaluate(text: str, frequency_hz: float) -> float:
    """Return the value of a printed law at a frequency.

    Parameters
    ----------
    text : str
        A number; or a power of ``f`` (MHz), ``fG`` (GHz), ``fk`` (kHz) or ``fHz`` (Hz) with a
        factor in front, a divisor behind, or below a numerator.
    frequency_hz : float
        Frequency in Hz.

    Raises
    ------
    ValueError
        If the text is not such a law.
    """
    numerator, below, hertz, power, divisor = _parse(text)
    if hertz == 0.0:
        return numerator
    ratio = math.pow(frequency_hz / hertz, power)
    # Dividing, as printed, keeps round numbers exact: 900/30 is 30, 900 * (1/30) need not be.
    return numerator / ratio if below else numerator * ratio / divisor


def frequency_unit(text: str) -> str:
    """Return the frequency letter of a printed law, or an empty string for a constant.

    Parameters
    ----------
    text : str
        The text of the file or the record.
    """
    return _match(text)["unit"] or ""


@cache
def _parse(text: str) -> tuple[float, bool, float, float, float]:
    """Return numerator, whether the frequency stands below it, its unit in Hz, power, divisor."""
    match = _match(text)
    unit = match["unit"]
    numerator = float(match["front"]) if match["front"] else 1.0
    return (
        numerator,
        match["over"] == "/",
        _HERTZ[unit] if unit else 0.0,
        float(match["power"] or 1.0),
        float(match["divisor"] or 1.0),
    )


def _match(text: str) -> re.Match[str]:
    match = _LAW.fullmatch(text)
    if not text or match is None or (match["over"] == "/" and match["divisor"]):
        raise ValueError(f"{text!r} is not a printed limit")
    return match
