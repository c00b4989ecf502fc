"""Panels alone and on the faces of columns against fields of antennas that nobody had tuned for."""

from __future__ import annotations

import json

import numpy as np
import pytest

from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing, elements_of, least_power
from core.fields.columns import ColumnSum, misfed
from core.fields.elements import phasor_sum
from core.units import wavelength
from support.places import ROOT

REFERENCE = ROOT / "tests" / "reference"
PANELS = json.loads((REFERENCE / "panels-fed-alike.json").read_text())["panels"]
RINGS = json.loads((REFERENCE / "panels-on-columns.json").read_text())["rings"]


def panel_of(row: dict) -> Panel:
    f, lam = row["frequency"], wavelength(row["frequency"])
    band = PanelBand(
        low=0.9 * f,
        high=1.1 * f,
        elements=row["elements"],
        spacing=row["spacing"] * lam,
        azimuth_width=row["azimuth_width"],
        front_to_back=max(6.0, row["front_to_back"]),
        electrical_tilt=row["tilt"],
    )
    return Panel(
        length=row["length"] * lam,
        width=row["width"] * lam,
        polarisation=row["polarisation"],
        stand_off=row["stand_off"],
        bands=(band,),
    )


def ring_of(row: dict, behind: float) -> PanelRing:
    """Return the array as somebody enters it whose "face" is the reflector, or that far before it."""
    lam = wavelength(row["frequency"])
    return PanelRing(
        levels=row["levels"],
        spacing=row["spacing"] * lam,
        faces=row["faces"],
        radius=(row["radius"] + behind) * lam,
        panel_height=row["panel_height"] * lam,
        azimuth_width=row["azimuth_width"],
        front_to_back=max(6.0, row["front_to_back"]),
        polarisation=row["polarisation"],
        beam_tilt=row["beam_tilt"],
    )


def errors(kind: Panel | PanelRing, row: dict, watts: float = 1.0) -> np.ndarray:
    """Return how far the shown figure is above the field, dB, where it is trusted; minus is low."""
    at = np.array(row["points"])
    shown = kind.unit_field(at[:, :3], row["frequency"], conservative=True)
    return 10.0 * np.log10(watts * shown.power_density / at[:, 3])[~shown.reactive]


@pytest.mark.parametrize("row", PANELS)
def test_panels_whose_dipoles_are_fed_alike_are_not_low(row: dict) -> None:
    """Even currents alone are up to 2.7 dB low: dipoles that couple do not take them."""
    assert errors(panel_of(row), row).min() > -0.5


def test_panels_are_not_three_times_too_far_either() -> None:
    ahead = []
    for row in PANELS:
        at = np.array(row["points"])
        azimuth = np.degrees(np.arctan2(np.abs(at[:, 1]), at[:, 0]))
        front = {**row, "points": at[azimuth < 40.0].tolist()}
        if len(front["points"]) and row["polarisation"] == "slant":
            ahead.append(errors(panel_of(row), front))
    assert np.median(np.concatenate(ahead)) < 3.0


@pytest.mark.parametrize("row", RINGS)
@pytest.mark.parametrize("behind", [0.0, 0.25])
def test_arrays_on_columns_are_low_nowhere_that_counts(row: dict, behind: float) -> None:
    """By watts and by ERP, the face being reflector or dipoles: 10 dB low over the end of the column before."""
    ring = ring_of(row, behind)
    radiated = row["horizon_gain"] / ring.licence_gain(row["frequency"])
    assert errors(ring, row).min() > -1.25
    assert errors(ring, row, radiated).min() > -1.25


def test_all_of_them_together_are_hardly_ever_low() -> None:
    every = np.concatenate([errors(ring_of(row, b), row) for row in RINGS for b in (0.0, 0.25)])
    assert np.mean(every < -0.5) < 0.06, (
        "the places are those where it was lowest, and as many others"
    )


def test_faces_meet_in_phase_and_those_of_one_face_as_they_do() -> None:
    row = RINGS[0]
    elements = elements_of(ring_of(row, 0.0), row["frequency"])
    rng = np.random.default_rng(4)
    at = rng.normal(size=(300, 3)) * [6.0, 6.0, 2.0] * wavelength(row["frequency"])
    plain, raised = (phasor_sum(elements, at, faces_agree=agree)[0] for agree in (False, True))
    assert (raised >= plain * (1.0 - 1e-9)).all()
    assert (raised > 2.0 * plain).any(), "between faces waves may cancel"
    # With the quick sum too, which takes over far out: there both forms are one.
    far = 40.0 * at / np.linalg.norm(at, axis=1, keepdims=True) * wavelength(row["frequency"])
    far = far[np.abs(far[:, 2]) < 0.5 * np.hypot(far[:, 0], far[:, 1])]
    quick = phasor_sum(elements, far, common_direction=True, faces_agree=True)[0]
    exact = phasor_sum(elements, far, faces_agree=True)[0]
    assert 10.0 * np.log10(quick / exact) == pytest.approx(0.0, abs=0.5)


def test_over_the_end_of_a_column_no_azimuth_pattern_counts() -> None:
    """Straight over the mast every panel is seen from behind; more than half of an even spread is left."""
    row = RINGS[1]
    ring = ring_of(row, 0.0)
    lam = wavelength(row["frequency"])
    top = (row["spacing"] * (row["levels"] - 1) + row["panel_height"]) * lam / 2.0
    at = np.array([[0.0, 0.0, top + 5.0 * lam], [0.0, 0.0, -top - 5.0 * lam]])
    even = 1.0 / (4.0 * np.pi * at[:, 2] ** 2)
    least = least_power(elements_of(ring, row["frequency"]), at)
    assert (least > 0.5 * even).all()
    assert (least < 2.0 * even).all()


def test_unlike_currents_add_their_share_of_the_powers_added() -> None:
    """(2 + 0.1 · 3)² of a field of 2 whose dipoles' powers add to 9."""
    of = ColumnSum(*(np.array([v]) for v in (4.0, 1.0, 9.0, 16.0)))
    found = misfed(of, 0.1)
    assert found.e2[0] == pytest.approx(2.3**2)
    assert found.h2[0] == pytest.approx(1.4**2)
    assert found.e2_each[0] == 9.0
