"""A grid of one centimetre through every antenna of both demo sites, and the published near-field values.

"Published near-field envelope": mean over the aperture's height beside collinear antennas P/(2πRh), for a
sector 180 P/(θ π R h) (FCC OET Bulletin 65 eqs. 19 and 20, from memory); on a dish's axis the chain of
eqs. 11 to 18.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from core.antennas.dish import Dish, axis_chain
from core.antennas.panel import Panel
from core.antennas.stack import Stack
from core.exposure.totals import exposure
from core.site.reflection import GROUND_FACTOR
from core.site.site import Site
from core.units import wavelength

STEP = 0.01


def test_one_centimetre_grid_through_every_antenna(demo: Site) -> None:
    for antenna in demo.antennas:
        # What others and what stands about it add is not what the grid is for.
        alone = replace(demo, antennas=(antenna,), reflection=GROUND_FACTOR)
        outline = antenna.kind.outline(antenna.carriers[0].frequency)
        reach = float(np.abs(outline[:, :, 2]).max()) + 0.3
        across = np.arange(-0.6, 0.6 + STEP / 2, STEP)
        up = np.arange(-min(reach, 1.2), min(reach, 1.2) + STEP / 2, STEP)
        for direction in ((1.0, 0.0), (0.0, 1.0)):
            a, z = (g.ravel() for g in np.meshgrid(across, up))
            points = np.stack([a * direction[0], a * direction[1], z], axis=1) + antenna.position
            result = exposure(alone, points)
            for tier in (result.public, result.occupational):
                assert np.all(np.isfinite(tier.total)), antenna.name
                assert np.all(tier.total >= 0.0), antenna.name
                # Where there is no figure, nothing may look safe.
                assert np.all(tier.total[result.reactive] >= 100.0), antenna.name


def stack_cases() -> list[tuple[Stack, float, float]]:
    cases = []
    for bay in ("vertical-dipole", "slant-ring", "turnstile"):
        for bays, spacing in ((4, 1.0), (8, 0.9), (12, 0.5)):
            kind = Stack(bay=bay, bays=bays, design_frequency=98e6, spacing=spacing, beam_tilt=0.0)
            cases.append((kind, 98e6, bays * spacing * wavelength(98e6)))
    return cases


@pytest.mark.parametrize(("kind", "frequency", "height"), stack_cases(), ids=lambda v: str(v)[:40])
def test_beside_a_stack_the_mean_is_never_under_the_published_cylinder(
    kind: Stack, frequency: float, height: float
) -> None:
    lam = wavelength(frequency)
    z = np.linspace(-height / 2.0, height / 2.0, 401)
    for rho in np.array([0.4, 0.5, 0.7, 1.0, 1.5, 2.0]) * lam:
        points = np.stack([np.full_like(z, rho), 0 * z, z], axis=1)
        mean = float(kind.unit_field(points, frequency, conservative=True).power_density.mean())
        assert mean >= 1.0 / (2.0 * np.pi * rho * height), rho / lam


def test_before_a_panel_the_mean_is_never_under_the_published_sector(roof: Site) -> None:
    kind = roof.antennas[0].kind
    assert isinstance(kind, Panel)
    for frequency in (751e6, 1962.5e6):
        band = kind.band(frequency)
        height = band.elements * band.spacing
        z = np.linspace(-height / 2.0, height / 2.0, 401)
        for rho in (0.5, 0.7, 1.0, 1.5):
            points = np.stack([np.full_like(z, rho), 0 * z, z], axis=1)
            mean = float(kind.unit_field(points, frequency, conservative=True).power_density.mean())
            assert mean >= 180.0 / (band.azimuth_width * np.pi * rho * height)


def test_on_a_dish_axis_nothing_is_under_the_published_chain(roof: Site) -> None:
    for antenna in roof.antennas:
        if not isinstance(antenna.kind, Dish):
            continue
        f = antenna.carriers[0].frequency
        chain = axis_chain(antenna.kind.diameter, antenna.kind.gain_at(f), wavelength(f))
        x = np.geomspace(0.31, 500.0, 200) * antenna.kind.diameter * 2.0
        points = np.stack([x, 0 * x, 0 * x], axis=1)
        s = antenna.kind.unit_field(points, f, conservative=True).power_density
        assert np.all(s >= chain.at(x) * (1 - 1e-12))
