"""Sector panels all round: no credit that a reflector has not earned, and the stated one where it has."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.antennas.panel import BACK_DB, FLOOR_DB, SIDE_COVER_DB, Panel, PanelBand, model_of
from core.fields.arms import arm_sum, intensity, sphere
from core.units import ETA0, SPEED_OF_LIGHT

FREQUENCY = 850e6
LAM = SPEED_OF_LIGHT / FREQUENCY
BAND = PanelBand(
    low=8e8, high=9e8, elements=6, spacing=0.8 * LAM, azimuth_width=70.0, electrical_tilt=0.0
)
PANEL = Panel(length=5.2 * LAM, width=0.8 * LAM, bands=(BAND,))
TOP = PANEL.length / 2.0


def power(
    panel: Panel, *places: tuple[float, float, float], conservative: bool = True
) -> np.ndarray:
    """Return the power density at places in wavelengths."""
    at = np.array(places) * LAM
    return panel.unit_field(at, FREQUENCY, conservative=conservative).power_density


def dipoles_alone(panel: Panel, at: np.ndarray) -> np.ndarray:
    """Return the power density of a panel's dipoles without any reflector, as it feeds them."""
    sums = [arm_sum(a, at) for a in model_of(panel, FREQUENCY).alone]
    return np.maximum(sum(s.e2 for s in sums) / ETA0, sum(s.h2 for s in sums) * ETA0)


def test_above_and_below_the_reflector_takes_nothing_off() -> None:
    rng = np.random.default_rng(3)
    way = rng.uniform([-0.6, -0.6, 1.0], [0.6, 0.6, 1.0], (200, 3))
    up = way * np.geomspace(0.4, 12.0, 200)[:, None] * LAM + [0.0, 0.0, TOP]
    for sign in (1.0, -1.0):
        at = up * [1.0, 1.0, sign]
        shown = PANEL.unit_field(at, FREQUENCY, conservative=True).power_density
        assert (shown >= dipoles_alone(PANEL, at) * 10.0 ** (0.99 * SIDE_COVER_DB / 10.0)).all()


@pytest.mark.parametrize("sheet", [10.0, 25.0, 45.0])
def test_behind_no_more_than_part_of_the_stated_ratio_is_taken(sheet: float) -> None:
    panel = replace(PANEL, bands=(replace(BAND, front_to_back=sheet),))
    front, back = power(panel, (30.0, 0.0, 0.0), (-30.0, 0.0, 0.0))
    shown = 10.0 * np.log10(front / back)
    # The stated width, narrower than that of the dipoles, makes the front stronger.
    assert shown <= min(sheet, 6.0 + BACK_DB) + 1.5
    alone = dipoles_alone(panel, np.array([[-30.0 * LAM, 0.0, 0.0]]))
    assert back >= alone[0] * 10.0 ** ((SIDE_COVER_DB - BACK_DB) / 10.0) * 0.99


def test_the_best_estimate_behind_is_the_stated_ratio() -> None:
    front, back = power(PANEL, (60.0, 0.0, 0.0), (-60.0, 0.0, 0.0), conservative=False)
    assert 10.0 * np.log10(front / back) == pytest.approx(BAND.front_to_back, abs=2.0)


def test_nulls_of_the_column_are_not_safe() -> None:
    """All round, most of the dipoles' powers added blind to phase remain."""
    rng = np.random.default_rng(8)
    way = rng.normal(size=(2000, 3))
    at = 9.0 * LAM * way / np.linalg.norm(way, axis=1, keepdims=True)
    at = at[np.abs(np.degrees(np.arctan2(at[:, 1], at[:, 0]))) < 110.0]
    blind = sum(arm_sum(a, at).e2_each for a in model_of(PANEL, FREQUENCY).alone) / ETA0
    shown = PANEL.unit_field(at, FREQUENCY, conservative=True).power_density
    assert (shown >= 0.98 * blind * 10.0 ** (FLOOR_DB[0] / 10.0)).all()


def test_all_of_the_power_goes_ahead_of_an_endless_screen() -> None:
    """The dipoles with their images, fed as they count beside, radiate 1 W into the half space ahead."""
    unit, solid = sphere(4.0)
    ahead = unit[:, 0] > 0.0
    model = model_of(PANEL, FREQUENCY)
    total = sum(float(intensity(a, unit[ahead]) @ solid[ahead]) for a in model.front)
    assert total * model.plain == pytest.approx(1.0, rel=0.01)


@pytest.mark.parametrize("width", [33.0, 65.0, 90.0, 120.0])
def test_ahead_the_stated_width_counts_or_the_dipoles_where_they_are_wider(width: float) -> None:
    panel = replace(PANEL, bands=(replace(BAND, azimuth_width=width),))
    half = np.radians(width / 2.0)
    front, edge = power(panel, (40.0, 0.0, 0.0), (40.0 * np.cos(half), 40.0 * np.sin(half), 0.0))
    # A width wider than that of the dipoles leaves them as strong ahead as they are.
    ahead = max(model_of(panel, FREQUENCY).plain, 1.0)
    assert 10.0 * np.log10(front / edge / ahead) <= 3.1


def test_a_panel_of_vertical_dipoles_still_sends_something_straight_up() -> None:
    upright = replace(PANEL, polarisation="vertical")
    above, beside = power(upright, (0.0, 0.0, TOP / LAM + 2.0), (0.0, 4.6, 0.0))
    assert above > 0.02 * beside


def test_walking_round_the_top_edge_is_smooth() -> None:
    angle = np.radians(np.arange(0.0, 180.0, 0.02))
    at = np.stack([0.8 * LAM * np.cos(angle), 0.0 * angle, TOP + 0.8 * LAM * np.sin(angle)], axis=1)
    shown = 10.0 * np.log10(PANEL.unit_field(at, FREQUENCY, conservative=True).power_density)
    assert np.abs(np.diff(shown)).max() < 0.1
