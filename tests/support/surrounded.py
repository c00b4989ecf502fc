"""Invented sites whose antennas have roofs, ground, walls and towers about them, and bounds held against them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.exposure.sources import Source, sources
from core.proof.bounds.base import ALL_REACTIVE, NOT_REACTIVE
from core.proof.patchwork import Patchwork
from core.proof.radiators import Radiator, bound_of, majorant_of
from core.site.places import Structure, Surface
from core.site.site import Antenna, Carrier, Power, Site
from support.bound_checks import Ratios
from support.wild_antennas import WILD, Draw

Box = tuple[tuple[float, float], ...]


def _outline(rng: np.random.Generator, size: float) -> Box:
    """Return a turned rectangle, or a triangle, about somewhere near the middle."""
    x, y = rng.normal(size=2) * size
    a, b = size * np.exp(rng.uniform(-1.5, 1.0, 2))
    turn = rng.uniform(0.0, np.pi)
    c, s = np.cos(turn), np.sin(turn)
    corners = [(-a, -b), (a, -b), (a, b), (-a, b)][: rng.integers(3, 5)]
    return tuple((float(x + c * u - s * v), float(y + s * u + c * v)) for u, v in corners)


def _inner_corner(rng: np.random.Generator, up: float, size: float) -> Structure:
    """Return a wall with a bend of which the antenna stands inside; square as often as not."""
    turn = rng.uniform(0.0, 2.0 * np.pi)
    inner = 0.5 * np.pi if rng.random() < 0.5 else rng.uniform(0.3, 0.95) * np.pi
    long = (up + size) * np.exp(rng.uniform(-0.5, 1.5))
    ends = [(long * np.cos(a), long * np.sin(a)) for a in (turn, turn + inner)]
    middle = turn + inner * rng.uniform(0.2, 0.8)
    away = size * np.exp(rng.uniform(-0.3, 1.5))
    x, y = -away * np.cos(middle), -away * np.sin(middle)
    outline = ((x + ends[0][0], y + ends[0][1]), (x, y), (x + ends[1][0], y + ends[1][1]))
    base = float(rng.uniform(-1.0, 0.5) * up)
    return Structure(
        name="bend", kind="wall", outline=tuple((float(a), float(b)) for a, b in outline),
        base=base, top=base + float(up * rng.uniform(0.3, 3.0)),
    )  # fmt: skip


def surrounded(rng: np.random.Generator) -> Site:
    """Return a site with one antenna of any kind and size, and much about it."""
    while True:
        wild = WILD[int(rng.integers(len(WILD)))]
        kind, frequency = wild(Draw(rng))
        if kind.has_own_ground:
            continue
        try:
            metal = kind.outline(frequency).reshape(-1, 3)
            break
        except InputError:
            continue
    size = float(np.ptp(metal, axis=0).max()) + 3e8 / frequency
    up = size * np.exp(rng.uniform(-1.0, 2.0))
    surfaces = [
        Surface(
            name=f"s{i}",
            kind=str(rng.choice(Surface.KINDS)),
            height=float(rng.uniform(-1.0, 0.95) * up),
            outline=_outline(rng, up + size),
            material=str(rng.choice(("", *Surface.MATERIALS))),
        )
        for i in range(int(rng.integers(0, 4)))
    ]
    if rng.random() < 0.4:
        # A solid roof under the antenna, and ground under that.
        wide = up + 4.0 * size
        square = ((-wide, -wide), (wide, -wide), (wide, wide), (-wide, wide))
        surfaces += [
            Surface(name="roof", kind="roof", height=0.5 * up, outline=square),
            Surface(name="ground", kind="ground", height=-0.3 * up, outline=square),
        ]
    structures = []
    for i in range(int(rng.integers(0, 4))):
        what = str(rng.choice(("wall", "penthouse", "building", "tower", "mast")))
        outline = _outline(rng, 0.3 * size if what in ("tower", "mast") else up + size)
        base = float(rng.uniform(-1.0, 0.5) * up)
        structures.append(
            Structure(
                name=f"b{i}", kind=what, outline=outline[:2] if what == "wall" else outline,
                base=base, top=base + float(up * rng.uniform(0.1, 3.0)),
            )
        )  # fmt: skip
    if rng.random() < 0.4:
        structures.append(_inner_corner(rng, up, size))
    antenna = Antenna(
        name="a",
        kind=kind,
        position=(0.0, 0.0, float(up)),
        azimuth=float(rng.uniform(-180.0, 180.0)),
        tilt=float(rng.choice([0.0, 0.0, rng.uniform(-40.0, 40.0)])),
        roll=float(rng.choice([0.0, 0.0, rng.uniform(-180.0, 180.0)])),
        carriers=(Carrier(name="c", frequency=frequency, power=Power(transmitter=1.0)),),
        tower_in_pattern=bool(rng.random() < 0.3),
    )
    return Site(
        name="invented", antennas=(antenna,), surfaces=tuple(surfaces), structures=tuple(structures),
        conservative=bool(rng.random() < 0.8),
    )  # fmt: skip


def radiator_of(source: Source) -> Radiator:
    """Return what a proof makes of a source."""
    a = source.antenna
    return Radiator(
        a.kind,
        source.carrier.frequency,
        source.conservative,
        np.array(a.position),
        source.frame,
        (0,),
        source.around,
    )


def patchwork(site: Site, rng: np.random.Generator, count: int) -> Patchwork:
    """Return patches of one size about the antenna, its images and what stands there."""
    kind, frequency = site.antennas[0].kind, site.antennas[0].carriers[0].frequency
    size = float(np.ptp(kind.outline(frequency).reshape(-1, 3), axis=0).max()) + 3e8 / frequency
    up = site.antennas[0].position[2]
    away = np.exp(rng.uniform(np.log(0.5 * size), np.log(6.0 * (size + up)), count))
    way = rng.normal(size=(count, 3))
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    centre = np.array([0.0, 0.0, up]) + away[:, None] * way
    for i, thing in enumerate((*site.surfaces, *site.structures)):
        mine = rng.random(count) < 0.15
        corner = np.array(thing.outline)[rng.integers(0, len(thing.outline), count)]
        level = thing.height if isinstance(thing, Surface) else rng.uniform(thing.base, thing.top)
        near = np.column_stack([corner, np.full(count, level)])
        near += rng.normal(size=near.shape) * size * 10.0 ** rng.uniform(-2.0, 0.5, (count, 1))
        centre = np.where(mine[:, None], near, centre)
        del i
    turn, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    if rng.random() < 0.6:
        turn = np.eye(3)[rng.permutation(3)]
    directions = turn[: rng.integers(1, 4)]
    half = float(size * 10.0 ** rng.uniform(-3.5, -0.3))
    return Patchwork(centre, directions, half, half * float(np.sqrt(len(directions))))


def surrounded_ratios(site: Site, at: Patchwork) -> Ratios:
    """Compare bound and majorant of a site's antenna, with all about it, with dense samples of its field."""
    (source,) = sources(site)
    owner = radiator_of(source)
    known = bound_of([owner], [at])
    d = len(at.directions)
    points, weights = _samples(at, 9 if d == 1 else 5)
    n, s = points.shape[:2]
    unit = source.unit_field(points.reshape(-1, 3))
    reactive = unit.reactive.reshape(n, s)
    free = known.reactive == NOT_REACTIVE
    ends, _ = _samples(at, 2)
    order = np.arange(n * 2**d).reshape(n, *[2] * d)
    corners = np.transpose(order, (0, *range(d, 0, -1))).reshape(n, -1)
    flat = ends.reshape(-1, 3)
    over = majorant_of([owner], [at], known, flat, np.zeros(len(flat), np.intp), corners)
    filled, raised = [0.0], [0.0]
    for square, sup, most in ((unit.e2, known.e, over.e2_over), (unit.h2, known.h, over.h2_over)):
        field = square.reshape(n, s)
        outside = np.where(reactive, 0.0, np.sqrt(field))
        filled.append(float(np.max(outside / np.maximum(sup, 1e-300)[:, None])))
        part = field[free] / np.maximum(most @ weights.T, 1e-300)[free]
        raised.append(float(part.max(initial=0.0)))
    own = source.unit_field(flat).e2[corners]
    least = float((over.e2 / np.maximum(own, 1e-300)).min())
    return Ratios(
        max(filled),
        max(raised),
        bool(reactive[free].any()),
        not reactive[known.reactive == ALL_REACTIVE].all(),
        least,
        float(np.isclose(over.e2, own, rtol=1e-9).mean()),
    )


def _samples(at: Patchwork, count: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    d = len(at.directions)
    step = np.stack(np.meshgrid(*[np.linspace(-1.0, 1.0, count)] * d, indexing="ij"), -1)
    step = step.reshape(-1, d)
    corner = np.array([[(c >> axis & 1) * 2 - 1 for axis in range(d)] for c in range(1 << d)])
    weights = np.prod(0.5 * (1.0 + step[:, None] * corner[None]), axis=2)
    return at.centre[:, None] + at.half * (step @ at.directions)[None], weights
