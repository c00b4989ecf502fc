"""A site as somebody's hand leaves it: powers turned, states set, an antenna moved, other thresholds asked."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np

from core.site.site import Antenna, Carrier, Condition, Power, Site, State
from core.zones.steps import Step, step_asked
from support.generated_sites import Look


def handled(site: Site, rng: np.random.Generator, *, moves: bool = True) -> Site:
    """Return a site with other powers and states, and now and then an antenna at another place."""
    antennas = [_handled(antenna, rng) for antenna in site.antennas]
    if moves and rng.random() < 0.4:
        i = int(rng.integers(len(antennas)))
        way = rng.normal(0.0, 1.5, 3) * (1.0, 1.0, 0.3)
        if antennas[i].kind.has_own_ground:
            way[2] = 0.0
        x, y, z = (float(a + b) for a, b in zip(antennas[i].position, way, strict=True))
        antennas[i] = replace(antennas[i], position=(x, y, z))
    return replace(site, antennas=tuple(antennas))


def _handled(antenna: Antenna, rng: np.random.Generator) -> Antenna:
    state = State()
    draw = rng.random()
    if draw < 0.25:
        state = State(Condition.OFF)
    elif draw < 0.5:
        state = State(Condition.REDUCED, float(rng.uniform(5.0, 100.0)))
    times = float(10.0 ** rng.uniform(-1.0, 0.2))
    carriers = tuple(_turned(carrier, times) for carrier in antenna.carriers)
    return replace(antenna, state=state, carriers=carriers)


def _turned(carrier: Carrier, times: float) -> Carrier:
    power: Power = carrier.power
    stated = {
        field.name: getattr(power, field.name) * times
        for field in fields(power)
        if field.name in ("transmitter", "erp", "erp_vertical", "eirp")
        and getattr(power, field.name) is not None
    }
    return replace(carrier, power=replace(power, **stated))


def steps_of(look: Look) -> tuple[Step, ...]:
    """Return what is asked of a look, once for each tier and threshold, as boundaries."""
    return tuple(step_asked(tier, threshold) for tier, threshold in look.asked)


def turned(steps: tuple[Step, ...], rng: np.random.Generator) -> tuple[Step, ...]:
    """Return boundaries at other thresholds."""
    return tuple(replace(s, threshold=s.threshold * 2.0 ** rng.uniform(-0.7, 1.0)) for s in steps)
