"""Directivity by integration and the check of a stated gain."""

import numpy as np
import pytest

from core.patterns.directivity import (
    directivity,
    directivity_from_cuts,
    gain_check,
    mean_gain,
    solid_angles,
)
from core.patterns.formulas.cellular import PlanarArray, m2101_array
from core.patterns.model import Cut
from core.patterns.readers import read_pattern
from core.validation.data import PATTERNS


@pytest.fixture(scope="module")
def sector():
    return read_pattern(PATTERNS / "demo-sector65-0850.adf")


@pytest.mark.parametrize("step", [1.0, 7.5, 45.0])
def test_solid_angles_cover_the_sphere_exactly(step):
    az, el = np.arange(-180.0, 180.0, step), np.arange(-90.0, 90.1, step)
    assert solid_angles(az, el).sum() == pytest.approx(4 * np.pi, rel=1e-12)
    uneven = np.array([-180.0, -3.0, -1.0, 0.0, 2.0, 90.0])
    assert solid_angles(uneven, np.array([-90.0, -20.0, 0.0, 90.0])).sum() == pytest.approx(
        4 * np.pi
    )


def test_a_cap_of_the_sphere_has_its_exact_share():
    # Nodes at band centres: the cap above 30 degrees is (1 - sin 30) / 2 of the sphere.
    el = np.concatenate(([-90.0], np.arange(-89.5, 90.0), [90.0]))
    weights = solid_angles([-180.0, 0.0], el).sum(axis=1)
    assert weights[el > 30.0].sum() / (4 * np.pi) == pytest.approx(0.25, abs=1e-12)


def test_isotropic_antenna():
    az, el = np.arange(-180.0, 180.0, 10.0), np.arange(-90.0, 91.0, 10.0)
    flat = np.full((el.size, az.size), 3.0)
    assert directivity(az, el, flat) == pytest.approx(0.0, abs=1e-12)
    assert mean_gain(az, el, flat) == pytest.approx(10**0.3)


def test_step_must_not_exceed_half_the_width():
    """A ten-element panel, 6 degrees wide: 5 degree steps are still good, 10 are 1 dB or more low."""
    panel = PlanarArray(rows=10, columns=1, row_spacing=0.86, width=65.0)
    az = np.arange(-180.0, 180.0, 5.0)

    def found(step):
        el = np.arange(-90.0, 90.1, step)
        return directivity(az, el, m2101_array(az[None, :], el[:, None], panel))

    assert found(5.0) == pytest.approx(found(0.5), abs=0.02)
    assert found(10.0) < found(0.5) - 1.0


def test_gain_of_the_sector_sample_is_plausible(sector):
    found = directivity_from_cuts(sector.azimuth, sector.elevation)
    assert found == pytest.approx(17.75, abs=0.1)
    assert gain_check(17.2, found)[0] == "ok"


def test_elevation_cut_of_a_dipole_gives_2_15_dbi():
    el = np.arange(-180.0, 180.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        field = np.abs(np.cos(np.pi / 2 * np.sin(np.radians(el))) / np.cos(np.radians(el)))
    field[np.abs(el) == 90.0] = 0.0
    elevation = Cut(el, -20 * np.log10(np.maximum(field, 1e-9)))
    azimuth = Cut(np.arange(-180.0, 180.0, 10.0), np.zeros(36))
    assert directivity_from_cuts(azimuth, elevation) == pytest.approx(2.151, abs=0.003)


def test_front_half_of_an_elevation_cut_is_enough_for_the_sum():
    fm = read_pattern(PATTERNS / "demo-fm4-cp-0098.adf")
    found = directivity_from_cuts(fm.azimuth, fm.elevation)
    assert gain_check(fm.gain, found)[0] == "ok"


def test_unknown_method_is_refused(sector):
    with pytest.raises(ValueError, match="method"):
        directivity_from_cuts(sector.azimuth, sector.elevation, method="average")


@pytest.mark.parametrize(
    ("excess", "severity", "words"),
    [
        (-3.5, "warn", "losses"),
        (-2.9, "ok", "plausible"),
        (0.4, "ok", "plausible"),
        (0.9, "warn", "more than possible"),
        (1.6, "strong", "not possible"),
        (2.15, "strong", "dBd and dBi"),
        (4.0, "strong", "not possible"),
    ],
)
def test_gain_check(excess, severity, words):
    got, text = gain_check(17.0 + excess, 17.0)
    assert got == severity
    assert words in text
    assert "17.00 dBi" in text
