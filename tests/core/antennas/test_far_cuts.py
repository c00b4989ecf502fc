"""Far cuts of any kind: where the boresight is, how strong, and which way up."""

from __future__ import annotations

import numpy as np
import pytest

from core.antennas.cuts import far_cuts
from core.antennas.dish import Dish
from core.antennas.kinds import KINDS
from core.antennas.panel import Panel, PanelBand
from core.units import to_db
from support.every_kind import antenna_of


@pytest.mark.parametrize("key", KINDS)
def test_cuts_of_every_kind_are_finite_and_near_its_directivity(key: str) -> None:
    antenna = antenna_of(key)
    frequency = antenna.carriers[0].frequency
    cuts = far_cuts(antenna.kind, frequency)
    most = max(cuts.level.max(), cuts.upright.max())
    assert np.isfinite(cuts.level).all()
    assert np.isfinite(cuts.upright).all()
    if key != "worst-case":
        # Two cuts need not hold the strongest direction; more than it they cannot, but for the floors of envelopes.
        assert most < to_db(antenna.kind.directivity(frequency)) + 1.0


def test_the_boresight_of_a_dish_is_at_zero_and_has_its_gain() -> None:
    cuts = far_cuts(Dish(diameter=1.2, gain=35.0), 6e9)
    assert abs(cuts.azimuth[np.argmax(cuts.level)]) <= 1.0
    assert cuts.level.max() == pytest.approx(35.0, abs=0.3)


def test_electrical_tilt_is_down_in_the_upright_cut() -> None:
    band = PanelBand(low=7e8, high=9e8, elements=8, spacing=0.25, electrical_tilt=8.0)
    cuts = far_cuts(Panel(length=2.2, width=0.3, bands=(band,)), 8e8)
    assert cuts.elevation[np.argmax(cuts.upright)] == pytest.approx(-8.0, abs=1.5)
