"""Reference patterns: what their check values do not show. The values are in the validation report."""

import numpy as np
import pytest

from core.patterns.directivity import directivity
from core.patterns.formulas.broadcast import cosine_power_field, sinusoidal_field, stack_field
from core.patterns.formulas.cellular import PlanarArray, m2101_array
from core.patterns.formulas.dishes import f699_dish, fcc_fixed_link
from core.patterns.formulas.f1336 import (
    IMPROVED,
    TYPICAL,
    f1336_low_gain,
    f1336_omni,
    f1336_sector,
    f1336_sector_above_6ghz,
    f1336_tilted,
)


def test_uncorrelated_elements_leave_the_element_pattern():
    alone = PlanarArray(correlation=0.0)
    assert m2101_array([10, 70], [5, -30], alone) == pytest.approx(
        alone.element([10, 70], [5, -30])
    )


def test_omni_pattern_of_f_1336_is_the_same_up_and_down():
    angle = np.linspace(0.0, 90.0, 91)
    up, down = (f1336_omni(sign * angle, gain=10.0, k=0.7) for sign in (1.0, -1.0))
    assert np.array_equal(up, down)


def test_tilt_of_f_1336_moves_the_beam_and_keeps_the_poles():
    assert f1336_tilted([-6, 0, 30, 90, -90], 6.0) == pytest.approx([0, 5.625, 33.75, 90, -90])
    assert f1336_omni(-6.0, gain=10.0, tilt=6.0) == pytest.approx(10.0)


@pytest.mark.parametrize(("gain", "k"), [(6.0, 0.7), (10.0, 0.7), (10.0, 0.0), (3.0, 0.2)])
def test_omni_pattern_of_f_1336_is_continuous(gain, k):
    width = 107.6 * 10 ** (-0.1 * gain)
    for bend in (width * np.sqrt(1 - np.log10(k + 1) / 1.2), width):
        below, above = f1336_omni([bend * (1 - 1e-9), bend * (1 + 1e-9)], gain=gain, k=k)
        assert below == pytest.approx(above, abs=1e-6)


@pytest.mark.parametrize("lobes", [TYPICAL, IMPROVED])
@pytest.mark.parametrize(("gain", "width"), [(18.0, 65.0), (15.0, 90.0), (12.0, 120.0)])
def test_sector_pattern_of_f_1336_reaches_its_back_level_without_a_step(gain, width, lobes):
    up3 = 31000 * 10 ** (-0.1 * gain) / width
    # The printed shoulder, sqrt(1 - 0.36 kv), meets the next piece to 0.14 dB only.
    bends = {up3 * np.sqrt(1 - 0.36 * lobes.kv): 0.15, 4 * up3: 1e-6, 90 * (1 - 1e-9): 1e-6}
    for bend, step in bends.items():
        ends = np.array([bend * (1 - 1e-9), bend * (1 + 1e-9)])
        below, above = f1336_sector(0.0, ends, gain=gain, width=width, lobes=lobes)
        assert below == pytest.approx(above, abs=step)
    half = f1336_sector([0.5 * width - 1e-8, 0.5 * width + 1e-8], 0.0, gain=gain, width=width)
    assert half == pytest.approx([gain - 3.0, gain - 3.0], abs=1e-6)


def test_sector_pattern_of_f_1336_above_6_ghz_is_continuous_in_front_and_never_rises_at_the_sides():
    fine = np.linspace(0.0, 90.0, 9001)
    for elevation in (0.0, 3.0, -5.0):
        got = f1336_sector_above_6ghz(fine, elevation, gain=19.0, width=60.0, vertical_width=7.0)
        assert np.abs(np.diff(got)).max() < 0.02
        front, behind = f1336_sector_above_6ghz(
            [90 - 1e-6, 90 + 1e-6], elevation, gain=19.0, width=60.0, vertical_width=7.0
        )
        assert behind < front


def test_low_gain_pattern_of_f_1336_is_continuous():
    width = np.sqrt(27000 * 10**-1.2)
    for bend, step in (
        (1.08 * width, 0.004),
        (1.9 * width, 1e-6),
        (1.9 * width * 10 ** (6 / 32), 1e-6),
    ):
        below, above = f1336_low_gain([bend * (1 - 1e-9), bend * (1 + 1e-9)], gain=12.0)
        # 12 * 1.08^2 is 13.997, so the published corner itself steps by 0.003 dB.
        assert below == pytest.approx(above, abs=step)


@pytest.mark.parametrize(
    ("diameter", "frequency"), [(0.6, 38e9), (3.0, 6e9), (3.0, 23e9), (4.0, 0.5e9), (1.0, 0.9e9)]
)
def test_dish_envelope_of_f_699_is_continuous(diameter, frequency):
    angle = np.linspace(0.0, 180.0, 1_800_001)
    level = f699_dish(angle, diameter=diameter, frequency=frequency)
    size = diameter * frequency / 299_792_458.0
    # The printed constants are rounded; the steepest part of the main lobe moves 0.0001 deg a step.
    steepest = 0.005 * size**2 * 20.0 / size * 5.0 * 1e-4
    assert np.abs(np.diff(level)).max() < max(0.1, steepest)


def test_dish_envelope_of_f_699_refuses_what_it_does_not_cover():
    with pytest.raises(ValueError, match=r"F\.699"):
        f699_dish(0.0, diameter=1.0, frequency=80e9)
    with pytest.raises(ValueError, match=r"F\.699"):
        f699_dish(0.0, diameter=0.5, frequency=0.2e9)


@pytest.mark.parametrize("category", ["A", "B"])
def test_on_an_edge_of_the_fcc_table_the_smaller_suppression_counts(category):
    edges = np.array([5.0, 10.0, 15.0, 20.0, 30.0, 100.0, 140.0, -140.0])
    inside = edges - np.sign(edges) * 1e-6
    got = fcc_fixed_link(edges, gain=38.0, category=category)
    assert np.array_equal(got, fcc_fixed_link(inside, gain=38.0, category=category))


@pytest.mark.parametrize("height", [90, 120, 190, 225])
def test_a_plain_tower_sends_nothing_to_the_zenith(height):
    assert sinusoidal_field(90.0, height=height) == 0.0


def test_half_wave_dipole():
    az, el = np.arange(-180.0, 180.0, 10.0), np.arange(-85.0, 90.0, 10.0)
    # Mid-point bands, the peak put on by hand: 1.6409 at any step from 10 degrees to 0.5.
    field = sinusoidal_field(el)
    weight = np.diff(np.sin(np.radians(np.arange(-90.0, 91.0, 10.0))))
    assert 2.0 / np.sum(field**2 * weight) == pytest.approx(1.6409, abs=0.004)
    fine = np.linspace(-90.0, 90.0, 721)
    level = 20 * np.log10(np.maximum(sinusoidal_field(fine), 1e-9))
    got = directivity(az, fine, np.repeat(level[:, None], az.size, axis=1))
    assert got == pytest.approx(2.151, abs=1e-3)


def test_a_stack_tilts_down_and_keeps_its_floor():
    fine = np.linspace(-10.0, 10.0, 2001)
    field = stack_field(fine, bays=8, spacing=1.0, tilt=2.0)
    assert fine[field.argmax()] == pytest.approx(-2.0, abs=0.05)
    assert stack_field(-90.0, bays=8, spacing=1.0, floor=0.1) == 0.1


def test_panel_is_half_power_at_half_its_width():
    got = cosine_power_field([0.0, 30.0, -30.0, 120.0], width=60.0, floor=0.05)
    assert got == pytest.approx([1.0, np.sqrt(0.5), np.sqrt(0.5), 0.05])
    with pytest.raises(ValueError, match="width"):
        cosine_power_field(0.0, width=180.0)
