"""The JSON form of one 3-D pattern in NGMN's base-station antenna recommendations (_3drp)."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.patterns.model import ROUNDING, PatternData
from core.patterns.readers.nodes import grid_from_nodes
from core.patterns.readers.report import MOST_NODES, Choices, Report, shown
from core.patterns.readers.text import Text
from core.units import DIPOLE_DB

Array = NDArray[np.float64]

KEYS = (
    "BASTA_AA_WP_version", "Supplier", "Antenna_Model", "Antenna_Type", "Revision_Version",
    "Released_Date", "Coordinate_System", "Pattern_Name", "Beam_ID", "Pattern_Type", "Frequency",
    "Frequency_Range", "EIRP", "Configured_Output_Power", "Gain", "Configuration", "RF_Port",
    "Array_ID", "Array_Position", "Phi_HPBW", "Theta_HPBW", "Front_to_Back",
    "Phi_Electrical_Pan", "Theta_Electrical_Tilt", "Nominal_Polarization", "Theta_Sampling",
    "Phi_Sampling", "Data_Set_Row_Structure", "Data_Set",
)  # fmt: skip
"""Every key the published schema requires."""
DECISIVE = (
    "Coordinate_System", "Pattern_Type", "Frequency", "Gain", "Theta_Sampling", "Phi_Sampling",
    "Data_Set_Row_Structure", "Data_Set",
)  # fmt: skip
"""Those without which the numbers cannot be read."""
TYPES = (
    "Broadcast Beam", "Broadcast Configuration Envelope", "Traffic Beam", "Traffic Envelope",
    "Uplink", "Generic",
)  # fmt: skip
COLUMNS = (
    "Theta", "Phi", "MagAttenuationTP", "MagAttenuationCo", "MagAttenuationCr", "PhaseCo",
    "PhaseCr",
)  # fmt: skip
HERTZ = {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9, "THz": 1e12}
DBW = {
    "mW": lambda value: 10.0 * math.log10(value) - 30.0,
    "W": lambda value: 10.0 * math.log10(value),
    "dBW": lambda value: value,
    "dBm": lambda value: value - 30.0,
}


def looks_like(text: Text) -> bool:
    """True if the text starts like JSON.

    Returns
    -------
    bool
    """
    return text.body.lstrip()[:1] in ("{", "[")


def read(text: Text, choices: Choices, report: Report, stem: str) -> PatternData:
    """Return the pattern of a BASTA 3-D JSON file.

    The attenuation column for total power is used, or else co- and cross-polar powers are added.

    Parameters
    ----------
    text : Text
        The text of the file or the record.
    choices : Choices
        Answers to what the file leaves open.
    report : Report
        Where warnings are kept and refusals worded.
    stem : str
        How names begin.
    """
    document = _document(text, report)
    _keys(document, report)
    kind = _one_of(document, "Pattern_Type", TYPES, report)
    system = _one_of(
        document, "Coordinate_System", ("SPCS_Polar", "SPCS_CW", "SPCS_CCW", "SPCS_Geo"), report
    )
    if kind == "Uplink":
        raise report.refuse(
            "E08",
            "an uplink pattern says nothing about what the antenna radiates",
            tag="Pattern_Type",
            fix="Get the traffic or broadcast envelope",
        )
    if system == "SPCS_Geo":
        raise report.refuse(
            "E08",
            "the signs of SPCS_Geo could not be confirmed, so it is not read",
            tag="Coordinate_System",
            fix="Get the file in SPCS_CW, SPCS_CCW or SPCS_Polar",
        )
    if kind == "Traffic Beam":
        report.warn(
            "W26",
            "a single traffic beam does not bound a steered antenna: use the traffic envelope",
            tag="Pattern_Type",
        )
    gain = _gain(document, report)
    theta, phi, loss = _directions(document, choices, report)
    lowest = float(loss.min())
    if lowest < -ROUNDING - 1e-9:
        raise report.refuse(
            "E17",
            f"an attenuation of {lowest:g} dB lies above the peak",
            tag="Data_Set",
            fix='Attenuations are positive below the peak; if not, set "negate": true in the antenna\'s model',
        )
    if lowest > 0.5:
        report.warn(
            "W18",
            f"the smallest attenuation is {lowest:.2f} dB: the peak was not sampled;"
            " the conservative pattern is raised to it",
            tag="Data_Set",
        )
    elevation, azimuth = _antenna_frame(system, theta, phi, report)
    grid = grid_from_nodes(azimuth, elevation, gain - loss, report)
    low, high = _span(document, report)
    tilt = document.get("Theta_Electrical_Tilt", document.get("Theta_Tilt"))
    return PatternData(
        name=str(document.get("Antenna_Model") or stem),
        maker=str(document.get("Supplier") or ""),
        frequency=_amount(document["Frequency"], HERTZ, "Frequency", report),
        band=(low, high),
        gain=max(gain, float(grid.gain.max())),
        grid=grid,
        envelope="Envelope" in kind,
        electrical_tilt=0.0 if tilt is None else _number(tilt, "Theta_Electrical_Tilt", report),
        notes=tuple(report.notes),
        source=report.source,
    )


def _document(text: Text, report: Report) -> dict[str, Any]:
    def no_constant(word: str) -> float:
        raise ValueError(f"{word} is not a number")

    try:
        document = json.loads(text.body, parse_constant=no_constant)
    except json.JSONDecodeError as error:
        raise report.refuse(
            "E01", f"not JSON: {error.msg}", line=error.lineno, fix="Get the whole, unedited file"
        ) from None
    except (ValueError, RecursionError) as error:
        raise report.refuse(
            "E01", f"not usable JSON: {str(error)[:80]}", fix="Get the unedited file"
        ) from None
    if not isinstance(document, dict):
        raise report.refuse("E01", "the JSON is not one pattern", fix="Get a _3drp.json file")
    return document


def _keys(document: dict[str, Any], report: Report) -> None:
    for key in KEYS:
        if key in document:
            continue
        if key == "Theta_Electrical_Tilt" and "Theta_Tilt" in document:
            continue
        if key in DECISIVE:
            raise report.refuse("E04", f"the key {key} is missing", tag=key, fix=f"Add {key}")
        report.warn("W04", "the key is missing; not needed", tag=key)


def _one_of(document: dict[str, Any], key: str, allowed: tuple[str, ...], report: Report) -> str:
    value = document[key]
    if not isinstance(value, str) or value not in allowed:
        raise report.refuse(
            "E08", f"{shown(str(value))} is not known", tag=key, fix=f"Use {', '.join(allowed)}"
        )
    return value


def _number(value: object, tag: str, report: Report) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not -1e15 < value < 1e15:
        raise report.refuse(
            "E06", f"{shown(str(value))} is not a usable number", tag=tag, fix="Write a number"
        )
    return float(value)


def _amount(value: object, units: dict[str, Any], tag: str, report: Report) -> float:
    """Return a value object in the base unit; ``units`` holds factors or functions."""
    unit = value.get("unit") if isinstance(value, dict) else None
    if not isinstance(value, dict) or "value" not in value or unit not in tuple(units):
        raise report.refuse(
            "E08",
            f"{shown(str(value))} is not a value with a unit",
            tag=tag,
            fix=f"Give value and unit, one of {', '.join(units)}",
        )
    number = _number(value["value"], tag, report)
    scale = units[value["unit"]]
    try:
        return float(scale(number)) if callable(scale) else number * scale
    except ValueError:
        raise report.refuse(
            "E06", f"{number:g} {value['unit']} is not a power", tag=tag, fix="Check the value"
        ) from None


def _gain(document: dict[str, Any], report: Report) -> float:
    """Return dBi: the stated gain, or EIRP less power, the larger where both are there."""
    power, eirp = document.get("Configured_Output_Power"), document.get("EIRP")
    implied = None
    if power is not None and eirp is not None:
        implied = _amount(eirp, DBW, "EIRP", report) - _amount(
            power, DBW, "Configured_Output_Power", report
        )
    if document["Gain"] is None:
        if implied is None:
            raise report.refuse(
                "E04",
                "Gain is null, and so is EIRP or Configured_Output_Power",
                tag="Gain",
                fix="Give the gain in dBi",
            )
        report.warn("W04", f"null; EIRP less power gives {implied:.2f} dBi", tag="Gain")
        gain = implied
    else:
        gain = _amount(
            document["Gain"], {"dBi": 1.0, "dBd": lambda value: value + DIPOLE_DB}, "Gain", report
        )
        if implied is not None and abs(implied - gain) > 0.5:
            report.warn(
                "W20",
                f"{gain:.2f} dBi, but EIRP less power is {implied:.2f} dB; the larger is used",
                tag="Gain",
            )
            gain = max(gain, implied)
    if not -60.0 <= gain <= 80.0:
        raise report.refuse(
            "E06", f"a gain of {gain:g} dBi is not possible", tag="Gain", fix="Check the units"
        )
    return gain


def _span(document: dict[str, Any], report: Report) -> tuple[float, float]:
    value = document.get("Frequency_Range")
    if value is None:
        return math.nan, math.nan
    try:
        low, high = (
            _amount({"value": value[end], "unit": value["unit"]}, HERTZ, "Frequency_Range", report)
            for end in ("lower", "upper")
        )
    except (KeyError, TypeError, InputError):
        report.warn("W04", "not readable and left out", tag="Frequency_Range")
        return math.nan, math.nan
    return min(low, high), max(low, high)


def _sampling(value: object, tag: str, report: Report) -> Array:
    if not isinstance(value, list) or len(value) != 3:
        raise report.refuse(
            "E06", "expected [start, step, stop]", tag=tag, fix="Give start, step and stop"
        )
    start, step, stop = (_number(part, tag, report) for part in value)
    count = (stop - start) / step if step > 0.0 else -1.0
    if not 0.0 <= count <= MOST_NODES or abs(count - round(count)) > 1e-6:
        raise report.refuse(
            "E06",
            f"steps of {step:g} do not lead from {start:g} to {stop:g}",
            tag=tag,
            fix="Correct the sampling",
        )
    return np.asarray(start + step * np.arange(round(count) + 1))


def _directions(
    document: dict[str, Any], choices: Choices, report: Report
) -> tuple[Array, Array, Array]:
    """Return theta, phi and total-power attenuation of every row."""
    columns = document["Data_Set_Row_Structure"]
    known = isinstance(columns, list) and all(isinstance(name, str) for name in columns)
    if (
        not known
        or not columns
        or not set(columns) <= set(COLUMNS)
        or len(set(columns)) != len(columns)
    ):
        raise report.refuse(
            "E08",
            f"{shown(str(columns))} are not the column names",
            tag="Data_Set_Row_Structure",
            fix=f"Use names from {', '.join(COLUMNS)}",
        )
    rows = _rows(document["Data_Set"], len(columns), report)
    of = {name: rows[:, k] for k, name in enumerate(columns)}
    loss = _total(of, -1.0 if choices.negate else 1.0, report)
    sampling = [document["Theta_Sampling"], document["Phi_Sampling"]]
    if (sampling[0] is None) != (sampling[1] is None):
        raise report.refuse(
            "E04",
            "only one of Theta_Sampling and Phi_Sampling is given",
            tag="Theta_Sampling",
            fix="Give both, or neither and a Theta and Phi in each row",
        )
    if sampling[0] is None:
        if "Theta" not in of or "Phi" not in of:
            raise report.refuse(
                "E04",
                "neither sampling nor Theta and Phi columns",
                tag="Data_Set_Row_Structure",
                fix="Give the directions one way or the other",
            )
        return of["Theta"], of["Phi"], loss
    theta = _sampling(sampling[0], "Theta_Sampling", report)
    phi = _sampling(sampling[1], "Phi_Sampling", report)
    if theta.size * phi.size != loss.size:
        raise report.refuse(
            "E11",
            f"{loss.size} rows, expected {theta.size} by {phi.size} = {theta.size * phi.size}",
            tag="Data_Set",
            fix="Get the whole file, or correct the sampling",
        )
    grid_theta, grid_phi = np.repeat(theta, phi.size), np.tile(phi, theta.size)
    for name, expected in (("Theta", grid_theta), ("Phi", grid_phi)):
        if name in of and np.any(np.abs(of[name] - expected) > 1e-6):
            raise report.refuse(
                "E12",
                f"the {name} column does not follow the sampling",
                tag=name,
                fix="Correct one of them; theta runs slowest",
            )
    return grid_theta, grid_phi, loss


def _rows(data: object, width: int, report: Report) -> Array:
    if not isinstance(data, list) or not data:
        raise report.refuse(
            "E04", "the data set is empty", tag="Data_Set", fix="Get the whole file"
        )
    if len(data) > MOST_NODES:
        raise report.refuse(
            "E11", f"over {MOST_NODES} rows", tag="Data_Set", fix="Use a coarser sampling"
        )
    for k, row in enumerate(data):
        if not isinstance(row, list) or len(row) != width:
            raise report.refuse(
                "E11",
                f"row {k + 1} does not have {width} values",
                tag="Data_Set",
                fix="Make the rows fit Data_Set_Row_Structure",
            )
        for value in row:
            _number(value, f"Data_Set row {k + 1}", report)
    return np.array(data, dtype=np.float64)


def _total(of: dict[str, Array], sign: float, report: Report) -> Array:
    if "MagAttenuationTP" in of:
        return np.minimum(sign * of["MagAttenuationTP"], 200.0)
    if "MagAttenuationCo" not in of:
        raise report.refuse(
            "E04",
            "neither total-power nor co-polar attenuation",
            tag="Data_Set_Row_Structure",
            fix="Give MagAttenuationTP, or Co and Cr",
        )
    power = 10.0 ** (-np.clip(sign * of["MagAttenuationCo"], -200.0, 200.0) / 10.0)
    if "MagAttenuationCr" in of:
        power = power + 10.0 ** (-np.clip(sign * of["MagAttenuationCr"], -200.0, 200.0) / 10.0)
    else:
        report.warn("W10", "co-polar data only; cross-polar power is not counted")
    return np.asarray(-10.0 * np.log10(power))


def _antenna_frame(system: str, theta: Array, phi: Array, report: Report) -> tuple[Array, Array]:
    """Return elevation (up) and azimuth (clockwise) from the file's angles."""
    low, high = (0.0, 180.0) if system == "SPCS_Polar" else (-90.0, 90.0)
    if theta.min() < low - 1e-9 or theta.max() > high + 1e-9:
        raise report.refuse(
            "E06",
            f"theta runs from {theta.min():g} to {theta.max():g}, {system} allows {low:g} to"
            f" {high:g}",
            tag="Theta",
            fix="Correct Coordinate_System or the angles",
        )
    elevation = 90.0 - theta if system == "SPCS_Polar" else -theta
    return elevation, phi if system == "SPCS_CW" else -phi
