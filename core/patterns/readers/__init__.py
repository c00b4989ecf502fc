"""Reading antenna patterns from open formats; the format is recognised from the content."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Literal

from core.errors import InputError, printable
from core.patterns.model import PatternData
from core.patterns.readers import basta, nsma, nsma89, nsma_layout, table
from core.patterns.readers.report import Choices, Report
from core.patterns.readers.text import Text, load_text

_Reader = Callable[[Text, Choices, Report, str], PatternData]
FORMATS: tuple[tuple[Callable[[Text], bool], _Reader], ...] = (
    (basta.looks_like, basta.read),
    (nsma_layout.looks_like, nsma.read),
    (nsma89.looks_like, nsma89.read),
    (table.looks_like, table.read),
)


def read_pattern(
    path: Path,
    *,
    linear: Literal["field", "power"] | None = None,
    flip_elevation: bool = False,
    negate: bool = False,
    renormalise: bool = False,
    accept_count: bool = False,
    frequency_unit: Literal["Hz", "kHz", "MHz", "GHz"] | None = None,
    frequency: float | None = None,
    polarisations: Literal["sum", "larger"] | None = None,
    gain_dbi: float | None = None,
) -> PatternData:
    """Return the pattern in a file: tagged text, WG16.89.003, BASTA JSON or a plain table.

    Parameters
    ----------
    path : Path
        The file.
    linear : {"field", "power"} or None
        What linear levels are, where the format leaves it open. Refused when needed and not given.
    flip_elevation : bool
        Turn elevation cuts upside down.
    negate : bool
        Turn the sign of the levels.
    renormalise : bool
        Raise each cut whose maximum lies below the peak to 0 dB.
    accept_count : bool
        Take the points of a cut as they are although the stated count differs.
    frequency_unit : str or None
        Unit of the frequencies where they do not look like MHz. Refused when needed and not given.
    frequency : float or None
        Hz; of several pattern frequencies take the nearest. Without it the larger level counts.
    polarisations : {"sum", "larger"} or None
        How several polarisations join; see :func:`core.patterns.readers.cuts.total_power`.
    gain_dbi : float or None
        The antenna's gain, for tables that state none.

    Raises
    ------
    InputError
        For anything that cannot be used, naming file, line and record.
    """
    path = Path(path)
    report = Report(path.name or str(path))
    choices = Choices(
        linear=linear,
        flip_elevation=flip_elevation,
        negate=negate,
        renormalise=renormalise,
        accept_count=accept_count,
        frequency_unit=frequency_unit,
        frequency=frequency,
        polarisations=polarisations,
        gain_dbi=gain_dbi,
    )
    text = load_text(path, report)
    for looks_like, read in FORMATS:
        if looks_like(text):
            return _printable(read(text, choices, report, path.stem))
    raise InputError(
        "E01 this is no pattern format known here",
        source=report.source,
        fix="Use NSMA text (WG16.99.050 or WG16.89.003), BASTA _3drp.json, or a table whose header"
        " names its columns, like azimuth_deg,relative_field",
    )


def _printable(data: PatternData) -> PatternData:
    """Return a pattern whose words can go to a terminal, whatever the file had in them."""
    return replace(
        data,
        name=printable(data.name),
        maker=printable(data.maker),
        notes=tuple(printable(note) for note in data.notes),
    )


__all__ = ["read_pattern"]
