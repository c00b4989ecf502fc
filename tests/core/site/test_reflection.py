"""Reflection: factors as published, two rays never below the exact two-ray sum."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from core.errors import InputError
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.fields.ground import complex_permittivity, fresnel
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.proof.tolerance import Tolerance
from core.reading.reading import read
from core.site.reflection import GROUND_FACTOR, Reflection, ReflectionKind
from core.site.site import Site
from core.units import wavelength
from core.views.body import POINT
from core.views.views import Height, PlanView
from core.zones.zone import zone
from support.simple_sites import ground, isotropic

NO_KIND_REFLECTION = 4.0
"""The worst-case kind reflects fully by itself: power × 4. Divided out to look at the site's own."""


def site_with(reflection: Reflection) -> Site:
    antenna = isotropic("source", 100e6, 1000.0, (0.0, 0.0, 30.0))
    return Site(name="s", antennas=(antenna,), reflection=reflection)


def field(site: Site, point: tuple[float, float, float]) -> float:
    return float(np.sqrt(exposure(site, np.array([point])).fields.e2[0, 0] / NO_KIND_REFLECTION))


def exact_two_rays(polarisation: str, permittivity: float, conductivity: float) -> float:
    """Computed for this test from the textbook sum: 1 kW EIRP, 100 MHz, 30 m to 1.5 m, 50 m apart."""
    d, ht, hr, f = 50.0, 30.0, 1.5, 100e6
    r1, r2 = np.hypot(d, ht - hr), np.hypot(d, ht + hr)
    k = 2 * np.pi / wavelength(f)
    ground = complex_permittivity(permittivity, conductivity, f)
    horizontal, vertical = fresnel(np.arctan2(ht + hr, d), ground)
    first, second = np.exp(-1j * k * r1) / r1, np.exp(-1j * k * r2) / r2
    if polarisation == "horizontal":
        return float(abs(first + horizontal * second) * np.sqrt(30.0 * 1000.0))
    # Vertical: each ray's E is across its own ray; the reflected one comes from below.
    a, b = np.arctan2(ht - hr, d), np.arctan2(ht + hr, d)
    along = first * np.sin(a) - vertical * second * np.sin(b)
    up = first * np.cos(a) + vertical * second * np.cos(b)
    return float(np.sqrt(abs(along) ** 2 + abs(up) ** 2) * np.sqrt(30.0 * 1000.0))


def test_the_published_factors() -> None:
    # EPA ground factor 1.6 on the field; full reflection 2 (FCC OET Bulletin 65 eqs. 5 and 6).
    point = (50.0, 0.0, 1.5)
    free = field(site_with(Reflection(ReflectionKind.NONE)), point)
    assert free == pytest.approx(3.008, rel=2e-3)  # computed, 1 kW EIRP
    for kind, factor in ((ReflectionKind.GROUND, 1.6), (ReflectionKind.FULL, 2.0)):
        assert field(site_with(Reflection(kind)), point) == pytest.approx(factor * free, rel=1e-12)


def test_exact_two_rays_as_computed_independently() -> None:
    # Computed with a separate program, eps_r 15, 0.001 S/m: horizontal 5.209 V/m, vertical 2.682 V/m.
    assert exact_two_rays("horizontal", 15.0, 0.001) == pytest.approx(5.209, rel=2e-3)
    assert exact_two_rays("vertical", 15.0, 0.001) == pytest.approx(2.682, rel=0.02)


@pytest.mark.parametrize(
    ("permittivity", "conductivity"), [(15, 0.001), (30, 0.01), (70, 5.0), (3, 1e-4)]
)
@pytest.mark.parametrize("polarisation", ["horizontal", "vertical"])
def test_two_rays_in_phase_are_never_below_the_exact_sum(
    polarisation: str, permittivity: float, conductivity: float
) -> None:
    ours = field(
        site_with(Reflection(ReflectionKind.TWO_RAY, permittivity, conductivity)), (50.0, 0.0, 1.5)
    )
    assert ours >= exact_two_rays(polarisation, permittivity, conductivity)
    free = field(site_with(Reflection(ReflectionKind.NONE)), (50.0, 0.0, 1.5))
    assert free < ours < 2.0 * free


def test_an_antenna_may_override_the_site_and_every_reading_says_which(roof: Site) -> None:
    first = replace(roof.antennas[0], reflection=Reflection(ReflectionKind.FULL))
    roof = replace(roof, reflection=GROUND_FACTOR)
    site = replace(roof, antennas=(first, *roof.antennas[1:]))
    reading = read(site, (3.0, 5.0, 17.0))
    assert "full reflection" in reading.emitters[0].reflection
    assert "1.6" in reading.emitters[2].reflection
    base = read(roof, (3.0, 5.0, 17.0))
    assert reading.emitters[0].public == pytest.approx(base.emitters[0].public * 4.0 / 2.56)


def test_two_rays_round_trip_through_a_site_file(tmp_path: Path) -> None:
    site = site_with(Reflection(ReflectionKind.TWO_RAY, 30.0, 0.01, -2.5))
    save_site(site, tmp_path / "s.json")
    assert load_site(tmp_path / "s.json").reflection == site.reflection
    text = (tmp_path / "s.json").read_text("utf-8").replace("30.0,", "-3.0,")
    (tmp_path / "s.json").write_text(text, "utf-8")
    with pytest.raises(InputError, match=r"reflection\.permittivity"):
        load_site(tmp_path / "s.json")


def test_two_rays_have_a_layer_of_their_own_and_factors_share_one() -> None:
    keys = [
        sources(site_with(Reflection(kind)))[0].key
        for kind in (
            ReflectionKind.NONE,
            ReflectionKind.GROUND,
            ReflectionKind.FULL,
            ReflectionKind.TWO_RAY,
        )
    ]
    assert keys[0] == keys[1] == keys[2] != keys[3]


def test_the_second_ray_fades_with_the_ground() -> None:
    point, antenna = np.array([[50.0, 0.0, 1.5]]), (0.0, 0.0, 30.0)
    for conductivity, size in ((0.0, 0.0), (1e7, 1.0)):
        reflection = Reflection(ReflectionKind.TWO_RAY, 1.0, conductivity)
        (ray,) = sources(site_with(reflection))[0].around.mirrors
        assert float(ray.coefficient(point, antenna, 100e6)[0]) == pytest.approx(size, abs=1e-3)
        assert exposure(site_with(reflection), point).fields.e2[0, 0] > 0


def test_an_antenna_may_use_the_best_estimate_and_says_so(tower: Site, tmp_path: Path) -> None:
    first = replace(tower.antennas[0], conservative=False)
    site = replace(tower, antennas=(first, *tower.antennas[1:]))
    place = (30.0, 4.0, 60.0)
    changed, base = read(site, place), read(tower, place)
    assert changed.emitters[0].public < base.emitters[0].public
    assert changed.emitters[0].added_db == 0.0
    assert any("best estimate" in text for text in changed.emitters[0].assumptions)
    assert changed.emitters[1].public == base.emitters[1].public


def rooftop(*heights: float, plane: float | None = None) -> Site:
    """An antenna at 20 m over walking surfaces at heights."""
    site = site_with(Reflection(ReflectionKind.TWO_RAY, 1.0, 1e8, plane))
    antenna = replace(site.antennas[0], position=(0.0, 0.0, 20.0))
    surfaces = tuple(ground(50.0, height, f"at {height:g}") for height in heights)
    return replace(site, antennas=(antenna,), surfaces=surfaces)


def test_two_rays_over_a_roof_come_back_from_the_roof() -> None:
    """On metal at a roof's own height the field is doubled there; a plane 16 m below adds a third of it."""
    at = (60.0, 0.0, 16.0)
    free = field(replace(rooftop(), reflection=Reflection(ReflectionKind.NONE)), at)
    assert field(rooftop(16.0), at) == pytest.approx(2.0 * free, rel=1e-3)
    assert field(rooftop(16.0, plane=16.0), at) == pytest.approx(2.0 * free, rel=1e-3)
    both = field(rooftop(0.0, 16.0), at)
    assert both == pytest.approx(
        field(rooftop(16.0), at) + field(rooftop(0.0), at) - free, rel=1e-6
    )


def test_a_roof_over_the_antenna_or_over_the_head_sends_nothing_back() -> None:
    at = (30.0, 0.0, 1.5)
    assert field(rooftop(0.0, 16.0), at) == pytest.approx(field(rooftop(0.0), at), rel=1e-12)
    assert field(rooftop(0.0, 25.0), at) == pytest.approx(field(rooftop(0.0), at), rel=1e-12)
    for heights, planes in (((), [0.0]), ((0.0, 16.0, 25.0), [0.0, 16.0])):
        (source,) = sources(rooftop(*heights))
        assert [mirror.origin[2] for mirror in source.around.mirrors] == planes


def test_a_reading_names_every_plane_that_sends_something_back() -> None:
    words = sources(rooftop(0.0, 16.0))[0].reflection_words
    assert words.startswith("three rays")
    assert "at 0 and 16 m" in words


@pytest.mark.parametrize("height", [1.5, 17.5, 15.0])
def test_zones_count_every_plane(height: float) -> None:
    """Wherever a site's field is over the threshold the place is inside the proven zone."""
    site = rooftop(0.0, 16.0)
    view = PlanView((-40.0, -40.0, 40.0, 40.0), Height(height, False), POINT)
    rng = np.random.default_rng(4)
    at = np.column_stack([rng.uniform(-40.0, 40.0, (4000, 2)), np.full(4000, height)])
    total = exposure(site, at).public.total
    threshold = float(np.median(total))
    region = zone(site, threshold, "public", view, Tolerance(percent=5.0, metres=0.3)).region
    over = at[total > threshold]
    assert shapely.intersects_xy(region, over[:, 0], over[:, 1]).all()
    assert region.area < 0.7 * 6400.0
