"""Far patterns summed in groups equal the sum of arms one by one, whatever their places, and over any directions."""

import numpy as np
import pytest
from numpy.typing import NDArray

from core.antennas.panel import Panel, PanelBand, model_of
from core.arrays import Floats
from core.fields.arms import Arms, intensity, make_arms, sphere
from core.fields.array_factor import direction_factor, runs
from core.fields.columns import far_intensity
from core.fields.elements import Elements, dipole_elevation, lobe
from core.fields.elements import far_intensity as far_elements
from core.fields.one_arm import element_moment
from core.units import ETA0, wavelength


def one_by_one(arms: Arms, unit: Floats) -> Floats:
    """Return the radiation intensity from every arm's own phase; nothing is shared."""
    total = np.zeros((len(unit), 3), np.complex128)
    for c, u, h, i in zip(arms.centre, arms.axis, arms.half_length, arms.current, strict=True):
        moment, cos_t = element_moment(unit, u, float(h), arms.k)
        wave = 1j * ETA0 / (2.0 * np.pi) * i * moment * np.exp(1j * arms.k * (unit @ c))
        total += wave[:, None] * (cos_t[:, None] * unit - u)
    flat: Floats = np.sum(np.abs(total) ** 2, axis=1) / ETA0
    return flat


def some_arms(rng: np.random.Generator, *, even: bool) -> Arms:
    """Return arms of a few directions and lengths, up to 40 wavelengths high, in steps that are even or not."""
    lam = float(rng.uniform(0.01, 30.0))
    count, columns = int(rng.integers(1, 40)), int(rng.integers(1, 5))
    z = (np.arange(count) - rng.uniform(0.0, count)) * rng.uniform(0.1, 2.0) * lam
    if not even:
        z = rng.permutation(z + rng.normal(0.0, 0.1 * lam, count))
    across = rng.normal(0.0, 0.5 * lam, (columns, 2))
    across[0] = 0.0
    kinds = rng.normal(size=(3, 3)), rng.uniform(0.01, 0.7, 3) * lam
    pick = rng.integers(0, 3, (columns, 1)).repeat(count, axis=1).ravel()
    if not even:
        pick = rng.integers(0, 3, columns * count)
    centre = np.column_stack([across.repeat(count, axis=0), np.tile(z, columns)])
    current = rng.normal(size=(columns * count, 2)) @ (1.0, 1j)
    return make_arms(centre, kinds[0][pick], kinds[1][pick], current, 2.0 * np.pi / lam)


def directions(rng: np.random.Generator, which: str) -> Floats:
    """Return bands of a sphere, a few directions in no order with the poles, or a cut from pole to pole."""
    if which == "sphere":
        unit, _ = sphere(float(rng.uniform(0.1, 3.0)), float(rng.uniform(0.1, 3.0)))
        return unit
    if which == "few":
        unit = np.concatenate([rng.normal(size=(30, 3)), [[0, 0, 1.0], [0, 0, -1.0], [1.0, 0, 0]]])
        return np.asarray(unit / np.linalg.norm(unit, axis=1, keepdims=True))
    e = np.linspace(-0.5 * np.pi, 0.5 * np.pi, 3001)
    return np.stack([np.cos(e), 0.0 * e, np.sin(e)], axis=1)


@pytest.mark.parametrize("which", ["sphere", "few", "cut"])
@pytest.mark.parametrize("even", [True, False])
@pytest.mark.parametrize("seed", range(8))
def test_a_pattern_in_groups_is_the_pattern_of_every_arm(
    seed: int, which: str, *, even: bool
) -> None:
    rng = np.random.default_rng(9000 + seed)
    arms, unit = some_arms(rng, even=even), directions(rng, which)
    exact = one_by_one(arms, unit)
    np.testing.assert_allclose(intensity(arms, unit), exact, rtol=1e-7, atol=1e-11 * exact.max())


def test_the_factor_of_elements_that_share_nothing() -> None:
    rng = np.random.default_rng(4)
    centre, weight = rng.normal(size=(50, 3)), rng.normal(size=(50, 2)) @ (1.0, 1j)
    unit = directions(rng, "sphere")
    exact: NDArray[np.complex128] = np.exp(7j * (unit @ centre.T)) @ weight
    np.testing.assert_allclose(direction_factor(centre, weight, 7.0, unit), exact, atol=1e-10)


def test_runs_of_equal_values() -> None:
    for values in ([], [1.0], [1.0, 1.0, 2.0, 1.0, 1.0, 1.0], [3.0, 2.0, 1.0]):
        start, count = runs(np.array(values))
        assert np.repeat(np.array(values)[start], count).tolist() == values


@pytest.mark.parametrize("polarisation", ["slant", "vertical"])
@pytest.mark.parametrize("seed", range(6))
def test_a_panel_radiates_one_watt_by_the_plain_sum_over_the_whole_sphere(
    seed: int, polarisation: str
) -> None:
    """Front and dipoles alone against every dipole and image by itself over the whole sphere, at sizes of any kind."""
    rng = np.random.default_rng(70 + seed)
    f = float(rng.uniform(1e8, 1e10))
    lam, elements = wavelength(f), int(rng.integers(1, 33))
    spacing = float(rng.uniform(0.2, 2.0)) * lam
    band = PanelBand(
        low=0.9 * f,
        high=1.1 * f,
        elements=elements,
        spacing=spacing,
        azimuth_width=float(rng.uniform(15.0, 150.0)),
        front_to_back=float(rng.uniform(6.0, 50.0)),
        electrical_tilt=float(rng.uniform(-30.0, 30.0)),
    )
    panel = Panel(
        length=elements * spacing,
        width=0.3,
        bands=(band,),
        polarisation=polarisation,
        stand_off=float(rng.uniform(0.05, 0.45)),
    )
    model = model_of(panel, f)
    reach = max(a.reach for a in model.front) / lam
    unit, solid = sphere(reach)
    phi = np.degrees(np.arctan2(np.abs(unit[:, 1]), unit[:, 0]))
    level = unit.copy()
    level[:, 0], level[:, 1] = np.hypot(unit[:, 0], unit[:, 1]), 0.0
    own = np.sum([one_by_one(a, unit) for a in model.front], axis=0)
    ahead = np.sum([one_by_one(a, level) for a in model.front], axis=0)
    power = np.where(
        phi <= 75.0, own * model.cut_ratio(np.minimum(phi, 75.0)), ahead * _lobe(band, phi)
    )
    assert float(power @ solid) == pytest.approx(1.0, rel=1e-9)
    half = unit[:, 0] > 0.0
    scale = abs(model.alone[0].current[0] / model.front[0].current[0]) ** 2
    plain = np.sum([one_by_one(a, unit[half]) for a in model.front], axis=0) * scale
    assert float(plain @ solid[half]) == pytest.approx(1.0, rel=1e-9)
    together = far_intensity(model.alone, unit)
    apart = np.sum([one_by_one(a, unit) for a in model.alone], axis=0)
    np.testing.assert_allclose(together, apart, rtol=1e-7, atol=1e-11 * apart.max())


def _lobe(band: PanelBand, phi: Floats) -> Floats:
    """Return the stated azimuth cut in power, written out."""
    back = 10.0 ** (-band.front_to_back / 10.0)
    rate = -np.log((0.5 - back) / (1.0 - back)) / (band.azimuth_width / 2.0) ** 2
    cut: Floats = back + (1.0 - back) * np.exp(-rate * phi * phi)
    return cut


@pytest.mark.parametrize("seed", range(8))
def test_pattern_elements_far_away_are_the_sum_of_each(seed: int) -> None:
    """Faces, levels and places of any number, directions in bands and in no order."""
    rng = np.random.default_rng(300 + seed)
    count, k = int(rng.integers(1, 40)), float(rng.uniform(0.2, 40.0))
    elements = Elements(
        centre=rng.normal(size=(count, 3)) * (0.3, 0.3, 5.0) if seed % 2 else
        np.outer(np.arange(count), (0.0, 0.0, 0.7)) + rng.normal(size=3),
        azimuth=rng.choice(rng.uniform(-180.0, 360.0, 3), count),
        weight=rng.normal(size=(count, 2)) @ (1.0, 1j),
        horizontal=lobe(float(rng.uniform(20.0, 120.0)), float(rng.uniform(6.0, 40.0))),
        vertical=dipole_elevation,
        polarisation="vertical",
        k=k,
        radius=0.1,
    )  # fmt: skip
    for which in ("sphere", "few", "cut"):
        unit = directions(rng, which)
        phi = np.degrees(np.arctan2(-unit[:, 1], unit[:, 0]))
        up = elements.vertical(np.degrees(np.arcsin(np.clip(unit[:, 2], -1.0, 1.0))))
        total = np.zeros(len(unit), np.complex128)
        for c, az, w in zip(elements.centre, elements.azimuth, elements.weight, strict=True):
            off = (phi - az + 180.0) % 360.0 - 180.0
            total += w * np.exp(1j * k * (unit @ c)) * elements.horizontal(off) * up
        exact = np.abs(total) ** 2 / (4.0 * np.pi)
        found = far_elements(elements, unit)
        np.testing.assert_allclose(found, exact, rtol=1e-7, atol=1e-11 * exact.max())
