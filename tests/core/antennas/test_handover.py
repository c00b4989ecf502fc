"""Where one model hands over to another nothing jumps: paths are walked in millimetres.

A true step keeps its size however short the stride; a steep but smooth field does not. So each path is
walked coarsely to find where it changes fastest, and there again with strides of a tenth of a millimetre.
"""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.base import Kind
from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.measured import Measured
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.worst_case import WorstCase
from core.antennas.yagi import Yagi
from core.patterns.readers import read_pattern
from core.validation.data import PATTERNS
from support.effort import many

LIMIT_DB = 0.5
NULL = 1e-6
"""W/m² per watt: in a null deeper than this the true field of a best estimate may drop without end."""

PANEL = Panel(
    length=2.05,
    width=0.35,
    bands=(PanelBand(low=698e6, high=896e6, elements=6, spacing=0.32, electrical_tilt=4.0),),
)
KINDS: list[tuple[str, Kind, float]] = [
    ("fm", Stack(bay="slant-ring", bays=4, design_frequency=98e6, beam_tilt=0.0), 98e6),
    ("unknown bays", Stack(bay="circular", bays=4, design_frequency=98e6, beam_tilt=0.0), 98e6),
    ("crossed V", Stack(bay="crossed-v", bays=4, design_frequency=98e6, beam_tilt=0.0), 98e6),
    ("stick", Stack(bay="vertical-dipole", bays=8, design_frequency=450e6, spacing=0.85), 450e6),
    ("panel", PANEL, 751e6),
    (
        "ring",
        PanelRing(levels=4, spacing=1.1, faces=4, radius=0.45, panel_height=1.0, beam_tilt=0.0),
        557e6,
    ),
    (
        "measured panel",
        Measured(
            file="s.adf",
            length=2.0,
            width=0.3,
            data=read_pattern(PATTERNS / "demo-sector65-0850.adf"),
        ),
        850e6,
    ),
    (
        "measured stick",
        Measured(file="o.adf", length=6.2, data=read_pattern(PATTERNS / "demo-omni-0155.adf")),
        155e6,
    ),
    (
        "measured FM",
        Measured(
            file="f.adf",
            length=10.0,
            width=1.5,
            data=read_pattern(PATTERNS / "demo-fm4-cp-0098.adf"),
        ),
        98e6,
    ),
    (
        "measured boom",
        Measured(
            file="d.nsm",
            length=1.2,
            width=0.3,
            runs="boresight",
            data=read_pattern(PATTERNS / "demo-sector65-0850.adf"),
        ),
        850e6,
    ),
    ("yagi", Yagi(gain=14.0, boom=2.0), 450e6),
    ("dish", Dish(diameter=1.2), 11e9),
    ("generic", Generic(entry="sector-1900"), 1.95e9),
    ("worst case", WorstCase(gain=10.0, size=2.0), 450e6),
]


def paths(rng: np.random.Generator) -> list[tuple[np.ndarray, np.ndarray]]:
    """Straight walks from one place to another: radial, past, over and under the antenna."""
    walks = []
    for _ in range(many(14, least=7)):
        start, end = rng.uniform(-8.0, 8.0, (2, 3))
        walks.append((start, end))
    for _ in range(many(6, least=3)):
        start, end = rng.uniform(-80.0, 80.0, (2, 3))
        walks.append((start, end))
    for height in (-3.0, 0.0, 2.5):
        walks.append((np.array([-5.0, 0.4, height]), np.array([5.0, 0.4, height])))
        walks.append((np.array([0.6, -5.0, height]), np.array([0.6, 5.0, height])))
        walks.append((np.array([0.0, 0.0, height - 0.5]), np.array([400.0, 3.0, height])))
    return walks


def decibels(kind: Kind, frequency: float, points: np.ndarray, conservative: bool) -> np.ndarray:
    field = kind.unit_field(points, frequency, conservative=conservative)
    level = 10.0 * np.log10(np.maximum(field.power_density, NULL))
    level[field.reactive] = np.nan
    return level


@pytest.mark.parametrize("conservative", [True, False], ids=["conservative", "best"])
@pytest.mark.parametrize(("name", "kind", "frequency"), KINDS, ids=[k[0] for k in KINDS])
def test_no_step_along_any_path(
    name: str, kind: Kind, frequency: float, conservative: bool
) -> None:
    rng = np.random.default_rng(7)
    worst = 0.0
    for start, end in paths(rng):
        span = end - start
        length = float(np.linalg.norm(span))
        t = np.linspace(0.0, 1.0, 2001)
        level = decibels(kind, frequency, start + t[:, None] * span, conservative)
        jumps = np.nan_to_num(np.abs(np.diff(level)))
        for i in np.argsort(jumps)[-3:]:
            a, b = t[i], t[i + 1]
            while (b - a) * length > 2e-4:
                fine = np.linspace(a, b, 41)
                near = np.nan_to_num(
                    np.abs(
                        np.diff(
                            decibels(kind, frequency, start + fine[:, None] * span, conservative)
                        )
                    )
                )
                j = int(np.argmax(near))
                a, b = fine[j], fine[j + 1]
            ends = decibels(kind, frequency, start + np.array([[a], [b]]) * span, conservative)
            worst = max(worst, float(np.nan_to_num(np.abs(np.diff(ends)))[0]))
    # Strides of 0.2 mm: in a deep null of a best estimate the true field itself may move this much.
    assert worst <= LIMIT_DB, f"{name}: a step of {worst:.2f} dB"
