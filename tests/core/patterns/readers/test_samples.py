"""The invented samples, one of each format."""

import json
import math

import numpy as np
import pytest

from core.errors import InputError
from core.patterns.build3d import conservative
from core.patterns.readers import read_pattern
from support.pattern_files import (
    BASTA,
    DISH,
    FIELD,
    FM,
    OMNI,
    SECTOR,
    noted,
)


def test_sector_sample():
    data = read_pattern(SECTOR)
    assert (data.name, data.maker) == ("EX-S65-07-4T", "Example Antennas (invented)")
    assert data.gain == pytest.approx(17.4)  # HGGAIN, the largest of the band
    assert data.mid_gain == pytest.approx(17.2)
    assert data.frequency == pytest.approx(850e6)
    assert data.band == pytest.approx((806e6, 896e6))
    assert data.electrical_tilt == 4.0
    assert data.azimuth.angles.size == 72
    assert data.elevation.angles.size == 360
    assert data.azimuth.full_circle
    assert data.elevation.full_circle
    assert data.elevation.peak_angle == -4.0
    assert data.azimuth.at([180.0, -87.5, 0.0]) == pytest.approx([26.97, 26.915, 0.0])
    assert data.azimuth.width() == pytest.approx(65.0, abs=0.5)
    assert data.elevation.width() == pytest.approx(9.8, abs=0.1)
    assert not data.envelope
    assert not data.horizon_azimuth_cut
    assert data.source == SECTOR.name
    assert noted(data, "W25", "17.40 dBi")
    assert len(data.notes) == 1


def test_omni_sample_in_dbd():
    data = read_pattern(OMNI)
    assert data.gain == pytest.approx(5.6 + 2.15, abs=0.003)
    assert data.azimuth.loss.max() == 0.0
    assert data.notes == ()


def test_fm_sample_adds_both_polarisations():
    data = read_pattern(FM)
    # 3.2 dBd in each polarisation; H and V elevation cuts are equal, so 3.01 dB more together.
    assert data.gain == pytest.approx(3.2 + 2.15 + 3.01, abs=0.005)
    h, v = 10 ** (-3.02 / 10), 10 ** (-2.83 / 10)
    total = 3.2 + 2.15 + 10 * math.log10(h + v)
    assert data.gain - data.azimuth.at(-180.0) == pytest.approx(total, abs=0.005)
    assert not data.elevation.full_circle
    assert np.isnan(data.elevation.at([-91.0, 135.0, 180.0])).all()
    assert data.elevation.at(-30.0) == pytest.approx(60.0)
    assert noted(data, "W10", "added as powers")
    larger = read_pattern(FM, polarisations="larger")
    assert larger.gain == pytest.approx(3.2 + 2.15, abs=0.003)
    assert noted(larger, "W10", "the larger counts")


def test_dish_sample_is_a_dish():
    data = read_pattern(DISH)
    assert data.gain == pytest.approx(10 * math.log10(10**4.0 + 10**1.2))  # HH 0 dB, HV -28 dB
    assert data.mid_gain == 40.0
    assert data.band == (10.7e9, 11.7e9)
    assert data.envelope
    assert data.azimuth.at(0.8) == pytest.approx(3.1, abs=0.02)
    assert data.elevation.at([-0.8, 5.0]) == pytest.approx(data.azimuth.at([0.8, 5.0]))
    assert noted(data, "W15", "rotationally symmetric")


def test_basta_sample():
    data = read_pattern(BASTA)
    assert data.gain == 24.5
    assert data.grid.gain.shape == (37, 36)
    assert data.grid.gain.size == 1332
    assert not data.grid.filled.any()
    assert data.frequency == 3.5e9
    assert data.band == (3.4e9, 3.6e9)
    assert data.envelope
    assert data.notes == ()
    rows = json.loads(BASTA.read_text())["Data_Set"]
    up = list(data.grid.elevation)
    # The first row is theta -90, straight up; row 18 * 36 + 3 is the horizon, 30 clockwise.
    assert data.grid.gain[up.index(90.0), 18] == pytest.approx(24.5 - rows[0][0])
    column = list(data.grid.azimuth).index(30.0)
    assert data.grid.gain[up.index(0.0), column] == pytest.approx(24.5 - rows[18 * 36 + 3][0])
    # theta +10 is 10 degrees down.
    assert data.grid.gain[up.index(-10.0), column] == pytest.approx(24.5 - rows[20 * 36 + 3][0])


def test_relative_field_sample():
    data = read_pattern(FIELD)
    assert data.azimuth.angles.size == 36
    assert data.azimuth.loss.max() - data.azimuth.loss.min() == pytest.approx(13.6, abs=0.05)
    steps = np.abs(np.diff(data.azimuth.at(np.arange(0.0, 361.0, 10.0))))
    assert steps.max() == pytest.approx(1.06, abs=0.01)
    assert data.azimuth.at(90.0) == pytest.approx(-20 * math.log10(0.54))
    assert noted(data, "W27", "true north")
    assert not data.gain_known
    with pytest.raises(InputError, match="without a gain"):
        conservative(data)
    assert conservative(data.with_gain(3.0)).peak == pytest.approx(3.0)
    assert read_pattern(FIELD, gain_dbi=2.5).stated_gain() == 2.5
