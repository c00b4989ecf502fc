"""The pattern samples, read and built: gain, widths, directivity. All of them are invented."""

from __future__ import annotations

import numpy as np

from core.patterns.build3d import best_estimate, conservative
from core.patterns.directivity import directivity, directivity_from_cuts
from core.patterns.formulas.cellular import PlanarArray, m2101_array
from core.patterns.model import PatternData
from core.patterns.readers import read_pattern
from core.validation.case import COMPUTED, Case, Topic
from core.validation.data import PATTERNS

GROUP = "Pattern files and gain"
SECTOR, OMNI, FM = "demo-sector65-0850.adf", "demo-omni-0155.adf", "demo-fm4-cp-0098.adf"
DISH, FIELD = "demo-dish12-11g.nsm", "demo-fm-directional-relative-field.csv"
BEAMS = "EXANT_EX-AAS-35-64_3500_TrafficEnvelope_3drp.json"
DBD = 2.15
GIVEN_GAIN = 6.0
"""dBi, put to the one sample that states none."""


def files() -> tuple[Case, ...]:
    """Return the cases of the pattern samples."""
    return (*_gains(), *_shapes(), *_directivity(), *_stated(), *_built())


def _topic(name: str, format_name: str) -> Topic:
    return Topic(
        group=GROUP, title=f"{name} ({format_name})", status=COMPUTED, unit="dBi", law="level",
        source="invented sample file; value worked out when it was made",
    )  # fmt: skip


_NSMA = "NSMA WG16.99.050"


def _gains() -> list[Case]:
    fm = 3.2 + DBD
    table = (
        (SECTOR, _NSMA, "17.2 dBi at mid band, 17.4 at the upper edge", 17.4),
        (OMNI, _NSMA, "5.6 dBd", 5.6 + DBD),
        (FM, _NSMA, "3.2 dBd in each of two polarisations", fm + 3.01),
        (DISH, "NSMA WG16.89.003", "40 dBi, cross polarisation 28 dB down", 40.007),
        (BEAMS, "NGMN BASTA", "24.5 dBi", 24.5),
    )
    rows = [
        _topic(name, form).case(words, "gain", gain, read_pattern(PATTERNS / name).gain, step=0.005)
        for name, form, words, gain in table
    ]
    larger = read_pattern(PATTERNS / FM, polarisations="larger").gain
    rows.insert(
        3, _topic(FM, _NSMA).case("the same, larger polarisation only", "gain", fm, larger, step=0.005)
    )  # fmt: skip
    return rows


def _shapes() -> list[Case]:
    sector, dish, table = (read_pattern(PATTERNS / n) for n in (SECTOR, DISH, FIELD))
    assert sector.azimuth is not None
    assert sector.elevation is not None
    assert dish.azimuth is not None
    assert table.azimuth is not None
    steps = np.abs(np.diff(table.azimuth.at(np.arange(0.0, 361.0, 10.0))))
    span = table.azimuth.loss.max() - table.azimuth.loss.min()
    first, third, last = (
        _topic(SECTOR, _NSMA),
        _topic(DISH, "NSMA WG16.89.003"),
        _topic(FIELD, "CSV"),
    )
    return [
        first.case(
            "azimuth cut", "half-power width", 65.0, sector.azimuth.width(), step=0.5, law="field", unit="°"
        ),
        first.case(
            "elevation cut", "half-power width", 9.8, sector.elevation.width(), step=0.1, law="field",
            unit="°",
        ),
        third.case(
            "0.8° off the axis", "loss", 3.1, float(dish.azimuth.at(0.8)), step=0.02, unit="dB"
        ),
        last.case("azimuth cut", "largest less smallest level", 13.6, span, step=0.05, unit="dB"),
        last.case("azimuth cut", "steepest 10°", 1.06, steps.max(), step=0.01, unit="dB"),
    ]  # fmt: skip


def _directivity() -> list[Case]:
    sector = read_pattern(PATTERNS / SECTOR)
    assert sector.azimuth is not None
    assert sector.elevation is not None
    topic = _topic(SECTOR, _NSMA)
    found = {
        method: directivity_from_cuts(sector.azimuth, sector.elevation, method=method)
        for method in ("sum", "hpi", "max")
    }
    words = {
        "sum": "both losses added",
        "hpi": "horizontal projection interpolation",
        "max": "larger loss",
    }
    # The expected figures use the array itself; straight lines between the file's samples lie lower.
    rows = [
        topic.case(f"cuts joined: {words[m]}", "directivity", value, found[m], step=0.03)
        for m, value in (("sum", 17.81), ("hpi", 17.80), ("max", 16.71))
    ]
    rows.append(
        topic.case(
            "cuts joined against the antenna in full", "directivity", 17.75, found["sum"], step=0.1
        )
    )
    panel = PlanarArray(rows=10, columns=1, row_spacing=0.86, width=65.0)
    ideal = Topic(
        group=GROUP, title="Ten-element panel by formula", status=COMPUTED, unit="dBi", law="level",
        source="integral of the same pattern in steps of 0.5°",
    )  # fmt: skip
    az = np.arange(-180.0, 180.0, 5.0)
    values = []
    for step in (0.5, 5.0):
        e = np.arange(-90.0, 90.1, step)
        values.append(directivity(az, e, m2101_array(az[None, :], e[:, None], panel)))
    rows.append(ideal.case("steps of 5°", "directivity", values[0], values[1], step=0.02))
    return rows


def _stated() -> list[Case]:
    """A stated gain cannot be more than the directivity of the cuts it comes with."""
    rows = []
    for name in (SECTOR, OMNI, FM):
        data = read_pattern(PATTERNS / name)
        assert data.azimuth is not None
        assert data.elevation is not None
        whole = directivity_from_cuts(data.azimuth, data.elevation)
        rows.append(
            _topic(name, _NSMA).case(
                "stated gain against the directivity of the cuts", "gain", whole, data.gain, low=3.0, high=0.5
            )
        )  # fmt: skip
    return rows


def _built() -> list[Case]:
    rows = []
    for path in sorted(PATTERNS.iterdir()):
        data = read_pattern(path)
        words = "built in 3-D"
        if not data.gain_known:
            data, words = (
                data.with_gain(GIVEN_GAIN),
                f"built in 3-D, gain given as {GIVEN_GAIN:g} dBi",
            )
        topic = Topic(
            group=GROUP, title=f"{path.name}", status=COMPUTED, unit="dBi", law="level",
            source="the gain the file states: building the pattern must not change it",
        )  # fmt: skip
        rows += [
            topic.case(
                f"{words}, {name}", "peak gain", data.gain, _peak(data, safe=safe), step=1e-6
            )
            for name, safe in (("conservative", True), ("best estimate", False))
        ]
    return rows


def _peak(data: PatternData, *, safe: bool) -> float:
    return (conservative(data) if safe else best_estimate(data)).peak
