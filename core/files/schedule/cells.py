"""One cell of a schedule as the value that a site file has there."""

from __future__ import annotations

import difflib
from dataclasses import MISSING
from typing import Any

from core.antennas.base import Parameter, parameters
from core.antennas.catalogue import CATALOGUE, classes_at
from core.antennas.kinds import KINDS
from core.errors import InputError
from core.files.antenna_file import ESTIMATES
from core.files.schedule.columns import Column
from core.files.schedule.numbers import (
    QUANTITIES,
    Decimals,
    degrees_of,
    number_of,
    quantity_of,
    share_of,
    unit_named,
)
from core.files.schedule.writer import unguarded
from core.site.places import check_coordinate
from core.site.reflection import ReflectionKind
from core.site.site import Condition
from core.units import format_quantity

_YES, _NO = ("yes", "true", "1", "x", "y"), ("no", "false", "0", "n")
_ROUND = ("omni", "nd", "non-directional", "nondirectional")
"""How schedules say that an antenna has no azimuth (common practice, no source)."""
_KINDS = {
    "sector": "panel", "sector panel": "panel", "panel antenna": "panel", "microwave dish": "dish", "parabolic": "dish",
    "mw dish": "dish", "am mast": "am-mast", "am tower": "am-mast", "panel ring": "panel-ring",
    "mast array": "am-array", "am array": "am-array", "beam array": "beam-array", "worst case": "worst-case",
}  # fmt: skip
_HF = 30e6
"""Hz: above it nobody means a wire for short wave."""
POWER_WORDS = {"erp": "erp", "eirp": "eirp", "tpo": "transmitter", "transmitter": "transmitter"}


def kind_of(text: str, frequency: float | None = None) -> tuple[str, str]:
    """Return the kind that the ``text`` of a cell names, and the class of the catalogue where it names one.

    Parameters
    ----------
    text : str
        The cell.
    frequency : float or None
        What the antenna works on, Hz, where it is known; only for what is proposed.

    Raises
    ------
    InputError
        If it names neither.
    """
    said = text.strip().lower()
    if said in KINDS:
        return said, ""
    titles = {entry.title.lower(): key for key, entry in CATALOGUE.items()}
    if said in CATALOGUE or said in titles:
        return "generic", titles.get(said, said)
    dashed = said.replace(" ", "-")
    if said in _KINDS or dashed in KINDS:
        return _KINDS.get(said, dashed), ""
    raise InputError(
        f"{text.strip()[:60]!r} is no kind of antenna", fix=_nearest(said, titles, frequency)
    )


def _nearest(said: str, titles: dict[str, str], frequency: float | None) -> str:
    """Return what to write in place of a kind that there is not."""
    kinds = {k: v for k, v in KINDS.items() if not (k == "hf-dipole" and (frequency or 0.0) > _HF)}
    near = difflib.get_close_matches(said[:80], [*kinds, *CATALOGUE, *titles], n=1, cutoff=0.6)
    near = near or [key for key, kind in kinds.items() if said and said in kind.TITLE.lower()]
    if near:
        fix = f"Did you mean {' or '.join(map(repr, near))}?"
    else:
        fix = f"Use one of {', '.join(kinds)}, or a class"
    fitting = [entry.key for entry in classes_at(frequency)] if frequency else []
    return f"{fix} Classes at this frequency: {', '.join(fitting)}" if fitting else fix


def value_of(text: str, column: Column, decimals: Decimals) -> Any:
    """Return the value of a cell that is no parameter of a kind, as a site file has it; lengths as numbers in m.

    Parameters
    ----------
    text : str
        The cell.
    column : Column
        Its column.
    decimals : Decimals
        The decimal signs of the table.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    form, key = column.form, column.key
    if form == "length":
        value = quantity_of(text, form, column.unit, decimals)
        check_coordinate(value, "")
        return value
    if form in QUANTITIES:
        return format_quantity(quantity_of(text, form, column.unit, decimals), form)
    if form == "angle":
        if key == "azimuth" and text.strip().lower() in _ROUND:
            return 0.0
        meaning = "from north, like 270" if key == "azimuth" else "like 4"
        return degrees_of(text, column.unit, decimals, meaning)
    if form == "share":
        return share_of(text, column.unit, decimals)
    if form == "percents":
        parts = text.replace("%", " ").replace(";", " ").replace("/", " ").split()
        return [number_of(part, decimals)[0] for part in parts]
    if form == "flag":
        return _flag(text)
    if form == "state":
        return _state(text, decimals)
    if form == "reflection":
        return _reflection(text, decimals)
    return _one(text, ESTIMATES) if key == "estimate" else unguarded(text)


def power_of(text: str, column: Column, decimals: Decimals) -> tuple[str, str]:
    """Return the key and the value of a cell that says itself what its power is, like ``100 kW ERP``.

    Parameters
    ----------
    text : str
        The cell.
    column : Column
        Its column.
    decimals : Decimals
        The decimal signs of the table.

    Raises
    ------
    InputError
        If it does not say so, or is no power.
    """
    figure, _, word = text.strip().rpartition(" ")
    if word.lower() not in POWER_WORDS:
        raise InputError(
            f"{text.strip()[:60]!r} does not say what power it is",
            fix="Call the column ERP, EIRP or TPO (transmitter), or write one of them behind the figure",
        )
    watts = quantity_of(figure, "power", column.unit, decimals)
    return POWER_WORDS[word.lower()], format_quantity(watts, "power")


def parameter_of(text: str, spec: Parameter, unit: str, decimals: Decimals) -> Any:
    """Return the value of a cell that is a parameter of a kind, as a site file has it.

    Parameters
    ----------
    text : str
        The cell.
    spec : Parameter
        The declaration.
    unit : str
        Unit of its column; may be empty.
    decimals : Decimals
        The decimal signs of the table.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if spec.form in QUANTITIES:
        fitting = unit_named(unit, spec.form) if unit else ""
        return format_quantity(quantity_of(text, spec.form, fitting, decimals), spec.form)
    if spec.form == "angle":
        return degrees_of(text, unit, decimals)
    if spec.form in ("count", "number"):
        number, behind = number_of(text, decimals)
        if behind:
            raise InputError(
                f"{text.strip()[:60]!r} is not a plain number", fix=f"Write {number:g}"
            )
        return int(number) if spec.form == "count" and number == int(number) else number
    if spec.form == "numbers":
        return [number_of(part, decimals)[0] for part in text.replace(";", " ").split()]
    if spec.form == "flag":
        return _flag(text)
    return _one(text, spec.choices) if spec.form == "choice" else unguarded(text).strip()


def declared(cls: type, name: str) -> Parameter | None:
    """Return the declaration of a parameter that is no list of parts; None where a class has none of that ``name``."""
    spec, _ = parameters(cls).get(name, (None, MISSING))
    return spec if spec is not None and spec.form != "parts" else None


def parts_of(cls: type) -> tuple[str, type] | None:
    """Return name and class of the parts of a kind; None where it has none."""
    for name, (spec, _) in parameters(cls).items():
        if spec.parts is not None:
            return name, spec.parts
    return None


def _one(text: str, words: tuple[str, ...]) -> str:
    said = text.strip()
    for word in words:
        if said.lower().replace(" ", "-") == word.lower().replace(" ", "-"):
            return word
    raise InputError(f"{said[:60]!r} is not known", fix=f"Use one of {', '.join(words)}")


def _flag(text: str) -> bool:
    said = text.strip().lower()
    if said not in (*_YES, *_NO):
        raise InputError(f"{text.strip()[:60]!r} is neither yes nor no", fix="Write yes or no")
    return said in _YES


def _state(text: str, decimals: Decimals) -> Any:
    said = text.strip().lower().replace("-", " ").replace("_", " ")
    if said.startswith("reduced"):
        figure = said.removeprefix("reduced").strip().removeprefix("to").strip()
        number, unit = number_of(figure, decimals)
        if unit not in ("%", "percent"):
            raise InputError(f"{text.strip()[:60]!r} has no percent", fix="Write: reduced to 50 %")
        return {"reduced_percent": number}
    return _one(said, tuple(c.value for c in Condition if c is not Condition.REDUCED))


def _reflection(text: str, decimals: Decimals) -> Any:
    words = text.split()
    if words[:1] == ["two-ray"] and len(words) in (3, 5) and words[3:4] in ([], ["plane"]):
        names = ("permittivity", "conductivity", "plane")
        figures = [number_of(word, decimals)[0] for word in (*words[1:3], *words[4:])]
        return dict(zip(names, figures, strict=False))
    return _one(text, tuple(kind.value for kind in ReflectionKind))
