"""An antenna whose tilt nobody has said is no lower than at any usual one: fields, readings, and outside of zones."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

import core.proof.bounds.every_kind  # noqa: F401  registers the bounds
from core.antennas.base import Kind
from core.antennas.generic import Generic
from core.antennas.open_tilt import OpenTilt, as_unsaid, open_tilts, with_tilt
from core.antennas.panel import Panel, PanelBand
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.files.entries import entries, values_of
from core.proof.bounds.base import Patches, bound
from core.proof.tolerance import Ceiling, Tolerance
from core.reading.reading import read
from core.reading.unsaid import open_facts, unsaid
from core.site.site import Antenna, Carrier, Power, Site
from core.views.body import POINT, STANDING
from core.views.views import ON_SURFACE, PlanView
from core.zones.zone import zone
from support.simple_sites import FREE, ground

CLASSES = [
    ("sector-700", 746e6),
    ("sector-2600", 2.6e9),
    ("fm-4-bay-half-wave", 98e6),
    ("stick-uhf", 460e6),
    ("stick-850", 900e6),
]


def site(kind: Kind, frequency: float, tilt: float = 0.0, *, azimuth: float = 40.0) -> Site:
    carrier = Carrier(name="c", frequency=frequency, power=Power(transmitter=40.0))
    one = Antenna(
        name="a",
        kind=kind,
        position=(0.0, 0.0, 12.0),
        azimuth=azimuth,
        tilt=tilt,
        carriers=(carrier,),
    )
    return Site(name="s", antennas=(one,), reflection=FREE, surfaces=(ground(80.0),))


def _tilt_of(built: Kind) -> float:
    if isinstance(built, Panel):
        return built.bands[0].tilt
    assert isinstance(built, PanelRing | Stack)
    return built.tilt


def around(frequency: float, count: int = 1500) -> np.ndarray:
    """Return places all around the antenna, near and far, more of them in front and below."""
    rng = np.random.default_rng(int(frequency / 1e6))
    distance = 10.0 ** rng.uniform(0.6, 2.0, count)
    az, el = rng.uniform(-180.0, 180.0, count), rng.normal(-6.0, 12.0, count)
    way = np.column_stack([
        np.sin(np.radians(az)) * np.cos(np.radians(el)), np.cos(np.radians(az)) * np.cos(np.radians(el)),
        np.sin(np.radians(el)),
    ])  # fmt: skip
    return way * distance[:, None] + [0.0, 0.0, 12.0]


@pytest.mark.parametrize(("entry", "frequency"), CLASSES)
def test_no_usual_tilt_reads_more_anywhere(entry: str, frequency: float) -> None:
    kind = Generic(entry=entry)
    places = around(frequency)
    shown = exposure(site(kind, frequency), places).public.total
    built = kind.built(frequency)
    counted = as_unsaid(kind, frequency)
    assert isinstance(counted, OpenTilt)
    exact = {_tilt_of(one.built(frequency)) for one in counted.kinds}
    between = (1.0, 3.0, 5.0, 7.0, 9.0) if isinstance(built, Panel) else (0.8,)
    if entry.startswith("stick"):
        between = (1.0, 2.9, 3.1, 5.2)
    known = {t: site(with_tilt(built, t), frequency) for t in (*exact, *between)}
    most = np.zeros(len(places))
    for tilt, one in known.items():
        total = exposure(one, places).public.total
        # Between two that are looked at the beam may be a little stronger: 0.5 dB.
        allowed = 1e-6 if tilt in exact else 0.122
        assert (total <= shown * (1.0 + allowed)).all(), tilt
        most = np.maximum(most, total if tilt in exact else 0.0)
    assert most == pytest.approx(shown, rel=1e-6)


def test_only_without_a_tilt_it_is_counted_so_and_only_with_margins() -> None:
    kind = Generic(entry="sector-700")
    (source,) = sources(site(kind, 746e6))
    assert isinstance(source.antenna.kind, OpenTilt)
    assert any("level or tilted" in text for text in source.antenna.kind.assumptions())
    assert "its tilt" in source.antenna.kind.to_find_out(746e6)
    # How it leans says nothing of its beam.
    (leaning,) = sources(site(kind, 746e6, 3.0))
    assert isinstance(leaning.antenna.kind, OpenTilt)
    known = with_tilt(kind, 4.0)
    assert as_unsaid(known, 746e6) is known
    built = kind.built(746e6)
    # Known by its model and without a tilt it counts so too; a tilt of 0 that is said is level.
    assert isinstance(as_unsaid(built, 746e6), OpenTilt)
    for tilt in (0.0, 4.0):
        level = with_tilt(built, tilt)
        assert as_unsaid(level, 746e6) is level
    stick = Generic(entry="stick-uhf")
    assert isinstance(as_unsaid(stick, 460e6), OpenTilt)
    level = with_tilt(stick, 0.0)
    assert as_unsaid(level, 460e6) is level
    known = Stack(bay="circular", bays=4, design_frequency=98e6, beam_tilt=0.0)
    assert as_unsaid(known, 98e6) is known
    # The best estimate is the level one's.
    best = replace(site(kind, 746e6), conservative=False)
    flat = replace(site(with_tilt(built, 0.0), 746e6), conservative=False)
    places = around(746e6, 200)
    one, other = (exposure(s, places).public.total for s in (best, flat))
    assert one == pytest.approx(other)


def test_each_band_of_a_panel_says_its_own_tilt() -> None:
    low = PanelBand(low=7e8, high=9e8, elements=6, spacing=0.3, electrical_tilt=4.0)
    high = PanelBand(low=1.7e9, high=2.2e9, elements=10, spacing=0.12)
    panel = Panel(length=2.0, width=0.3, bands=(low, high))
    assert as_unsaid(panel, 8e8) is panel
    assert isinstance(as_unsaid(panel, 1.9e9), OpenTilt)
    assert "electrical tilt not said" in panel.assumptions()[1]
    assert "electrical tilt 4° down" in panel.assumptions()[0]


RING = PanelRing(levels=6, spacing=1.1, faces=4, radius=0.45, panel_height=1.0)
BAYS = Stack(bay="crossed-v", bays=6, design_frequency=98e6)


@pytest.mark.parametrize(("kind", "frequency"), [(BAYS, 98e6), (RING, 557e6)])
def test_broadcast_antennas_without_a_beam_tilt_read_no_less_than_with_any(
    kind: Stack | PanelRing, frequency: float
) -> None:
    places = around(frequency, 800)
    shown = exposure(site(kind, frequency), places).public.total
    most = np.zeros(len(places))
    for tilt in (0.0, *open_tilts(kind, frequency)):
        total = exposure(site(replace(kind, beam_tilt=tilt), frequency), places).public.total
        assert (total <= shown * (1.0 + 1e-6)).all()
        most = np.maximum(most, total)
    assert most == pytest.approx(shown, rel=1e-6)
    level = exposure(site(replace(kind, beam_tilt=0.0), frequency), places).public.total
    assert 10.0 * np.log10((shown / level).max()) > 2.0


def test_what_cannot_be_tilted_or_is_said_counts_as_it_is() -> None:
    one_bay, stick = (
        replace(BAYS, bays=1),
        Stack(bay="vertical-dipole", bays=6, design_frequency=450e6, beam_tilt=0.0),
    )
    for kind, frequency in (
        (one_bay, 98e6),
        (stick, 450e6),
        (replace(RING, levels=1), 557e6),
        (replace(BAYS, beam_tilt=0.0), 98e6),
        (replace(RING, beam_tilt=0.75), 557e6),
    ):
        assert as_unsaid(kind, frequency) is kind


@pytest.mark.parametrize(
    ("kind", "frequency", "path"),
    [
        (Generic(entry="sector-700"), 746e6, "model.electrical_tilt"),
        (BAYS, 98e6, "model.beam_tilt"),
        (Panel(length=2.0, width=0.3, bands=(
            PanelBand(low=7e8, high=9e8, elements=6, spacing=0.3, electrical_tilt=4.0),
            PanelBand(low=1.7e9, high=2.2e9, elements=10, spacing=0.12),
        )), 1.9e9, "model.bands.1.electrical_tilt"),
    ],
)  # fmt: skip
def test_the_entry_that_would_say_it_is_named(kind: Kind, frequency: float, path: str) -> None:
    (antenna,) = site(kind, frequency).antennas
    (tilt,) = (fact for fact in open_facts(antenna) if fact.fact == "its tilt")
    assert tilt.paths == (path,)
    assert path in {entry.path for entry in entries(values_of(antenna))}


def test_a_panel_by_its_model_without_a_tilt_reads_as_its_class() -> None:
    """Twelve metres up, where a tilted beam looks: 10 dB and more over a level one."""
    kind = Generic(entry="sector-700")
    built = kind.built(746e6)
    place = np.array([[20.0 * np.sin(0.7), 20.0 * np.cos(0.7), 8.6]])
    unsaid_, level, as_class = (
        float(exposure(site(k, 746e6), place).public.total[0])
        for k in (built, with_tilt(built, 0.0), kind)
    )
    assert unsaid_ == pytest.approx(as_class)
    assert unsaid_ > 1.3 * level


def test_what_is_not_said_is_said_to_be_covered() -> None:
    place = (20.0, 24.0, 8.0)
    for kind in (Generic(entry="sector-700"), Generic(entry="sector-700").built(746e6)):
        found = {x.fact: x for x in unsaid(site(kind, 746e6), place, POINT)}
        tilt = found["its tilt"]
        assert tilt.low < tilt.high <= tilt.now * 1.001
        assert "HIGHER" not in tilt.words("FCC")
    (line,) = read(site(kind, 746e6), (10.0, 10.0, 2.0)).emitters
    assert any("level or tilted as is usual" in text for text in line.assumptions)


@pytest.mark.parametrize(("entry", "frequency"), CLASSES)
def test_the_bound_is_that_of_the_strongest_tilt(entry: str, frequency: float) -> None:
    kind = as_unsaid(Generic(entry=entry), frequency)
    assert isinstance(kind, OpenTilt)
    places = around(frequency, 200) - [0.0, 0.0, 12.0]
    n = len(places)
    flat = Patches(
        places, np.broadcast_to(np.eye(3)[:2], (n, 2, 3)), np.full(n, 0.05), np.full(n, 0.1)
    )
    found = bound(kind, frequency, flat, conservative=True)
    each = [bound(one, frequency, flat, conservative=True) for one in kind.kinds]
    assert found.e == pytest.approx(np.max([one.e for one in each], axis=0))
    assert found.h == pytest.approx(np.max([one.h for one in each], axis=0))
    assert found.gap == pytest.approx(np.min([one.gap for one in each], axis=0))
    field = kind.unit_field(places, frequency, conservative=True)
    outside = ~field.reactive
    assert (found.e[outside] >= np.sqrt(field.e2[outside]) * (1.0 - 1e-9)).all()


def test_outside_of_its_zone_no_usual_tilt_is_over() -> None:
    kind, frequency = Generic(entry="sector-700"), 746e6
    strong = site(kind, frequency)
    carrier = replace(strong.antennas[0].carriers[0], power=Power(transmitter=400.0))
    antenna = replace(strong.antennas[0], position=(0.0, 0.0, 5.0), carriers=(carrier,))
    strong = replace(strong, antennas=(antenna,))
    view = PlanView((-25.0, -25.0, 25.0, 25.0), ON_SURFACE, STANDING)
    found = zone(
        strong,
        1.0,
        "public",
        view,
        Tolerance(percent=50.0, metres=2.0),
        ceiling=Ceiling(seconds=60.0),
    )
    assert found.region.area > 50.0
    rng = np.random.default_rng(5)
    xy = rng.uniform(-25.0, 25.0, (4000, 2))
    out = xy[~shapely.intersects_xy(found.region, xy[:, 0], xy[:, 1])]
    feet = np.column_stack([out, np.zeros(len(out))])
    built = kind.built(frequency)
    for tilt in (0.0, *open_tilts(kind, frequency)):
        known = replace(strong, antennas=(replace(antenna, kind=with_tilt(built, tilt)),))
        assert exposure(known, feet, STANDING).public.total.max() <= 1.0, tilt


@pytest.mark.parametrize("tilt", [3.0, 6.0])
def test_sticks_whose_beam_leans_are_not_low_under_them(tilt: float) -> None:
    """Taken as level they were 4 dB low at 3 degrees and 7 at 6."""
    stick = Stack(bay="vertical-dipole", bays=8, design_frequency=460e6, spacing=0.9)
    places = around(460e6)
    shown = exposure(site(stick, 460e6), places).public.total
    leans = exposure(site(replace(stick, beam_tilt=tilt), 460e6), places).public.total
    level = exposure(site(replace(stick, beam_tilt=0.0), 460e6), places).public.total
    assert (10.0 * np.log10(leans / shown)).max() < 0.5
    assert (10.0 * np.log10(leans / level)).max() > 2.0


def test_tilts_are_as_near_to_each_other_as_the_beam_is_narrow() -> None:
    """A quarter of the beam's width apart: one step for four bays of FM, more for tall arrays."""
    bays = Stack(bay="crossed-v", bays=4, design_frequency=98e6, spacing=1.0)
    assert open_tilts(bays, 98e6) == (1.5,)
    tall = open_tilts(replace(bays, bays=16), 98e6)
    assert tall == pytest.approx((0.75, 1.5))
    stick = Stack(bay="vertical-dipole", bays=8, design_frequency=460e6, spacing=0.9)
    assert open_tilts(stick, 460e6) == pytest.approx((1.5, 3.0, 4.5, 6.0))
    # Vertical dipoles of a broadcaster tilt no more than others of his.
    assert open_tilts(replace(stick, design_frequency=98e6), 98e6)[-1] == 1.5
    assert open_tilts(replace(stick, bays=1), 460e6) == ()
    assert open_tilts(RING, 557e6)[-1] == 1.5
