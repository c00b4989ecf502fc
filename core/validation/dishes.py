"""Dishes on their axis: values printed in licence filings, and the exact field of an even aperture."""

from __future__ import annotations

import numpy as np

from core.antennas.dish import TAPERED, AxisChain, Dish, axis_chain
from core.units import SPEED_OF_LIGHT, from_db, to_db
from core.validation.case import COMPUTED, PUBLISHED, Case, Topic

GROUP = "Dishes on their axis"
OET = "FCC OET Bulletin 65 eqs. 11 to 18"


def dishes() -> tuple[Case, ...]:
    """Return the dish cases, published first."""
    return (*_small_station(), *_large_station(), *_link(), *_computed(), *_even_aperture())


def _efficiency(diameter: float, gain: float, lam: float) -> float:
    """Aperture efficiency as the chain has it: near-field value over 4P/A."""
    chain = axis_chain(diameter, gain, lam)
    return chain.near / chain.surface


def _small_station() -> tuple[Case, ...]:
    lam = SPEED_OF_LIGHT / 14.2e9
    chain = axis_chain(2.4, from_db(49.2), lam)
    topic = Topic(
        group=GROUP, title="Earth station of 2.4 m", status=PUBLISHED, unit="W/m²",
        source=f"licence filing 0640-EX-ST-2004 by {OET}",
    )  # fmt: skip
    inputs = "2.17 W, 14.2 GHz, 49.2 dBi"
    return (
        topic.case(inputs, "S at the surface, 4P/A", 1.92, 2.17 * chain.surface, step=0.005),
        topic.case(
            inputs, "efficiency", 0.653, _efficiency(2.4, from_db(49.2), lam), step=0.001, unit=""
        ),
        topic.case(inputs, "S in the near field", 1.25, 2.17 * chain.near, step=0.005),
    )


def _large_station() -> tuple[Case, ...]:
    lam, watts = 0.0211, 573.97
    chain = axis_chain(4.6, 2.773e5, lam)
    stated = axis_chain(4.6, 0.698 * (np.pi * 4.6 / lam) ** 2, lam)
    topic = Topic(
        group=GROUP, title="Earth station of 4.6 m", status=PUBLISHED, unit="mW/cm²",
        source=f"licence filing SES-LIC-INTR2009-07567 by {OET}",
    )  # fmt: skip
    inputs = "573.97 W, wavelength 0.0211 m, gain 2.773e5"
    return (
        topic.case(
            inputs, "end of the near field", 250.711, chain.near_end, within=1e-4, law="field", unit="m"
        ),
        topic.case(
            inputs, "start of the far field", 601.706, chain.far_start, within=1e-4, law="field", unit="m"
        ),
        topic.case(inputs, "S where the far field starts", 3.499, 0.1 * watts * _at(chain, 601.8), within=1e-3),
        topic.case(
            "the same, its own efficiency 0.698", "S in the near field", 9.645, 0.1 * watts * stated.near,
            within=1e-3,
        ),
    )  # fmt: skip


def _link() -> tuple[Case, ...]:
    source = f"equipment filing SBRFL8310, exhibit 628726 by {OET}"
    dish = Topic(group=GROUP, title="Dish of a link", status=PUBLISHED, unit="W/m²", source=source)
    flat = Topic(
        group=GROUP, title="Flat panel of a link", status=PUBLISHED, unit="W/m²", source=source
    )
    chains = []
    for diameter, near_end in ((0.6096, 1.7961), (0.431, 0.8978)):
        lam = diameter**2 / (4.0 * near_end)
        chains.append(axis_chain(diameter, (np.pi * diameter / lam) ** 2, lam))
    inputs = "0.05 W, efficiency 1, near field to 1.7961 m (5.8 GHz)"
    beside = "diameter 0.431 m, 0.05 W, efficiency 1, near field to 0.8978 m"
    return (
        dish.case(f"0.6096 m, {inputs}", "S at the surface, 4P/A", 0.6856, 0.05 * chains[0].surface, within=1e-3),
        dish.case(f"0.6096 m, {inputs}", "S in the near field", 0.6853, 0.05 * chains[0].near, within=1e-3),
        flat.case(beside, "S in the near field", 1.3708, 0.05 * chains[1].near, within=1e-3),
        flat.case(f"{beside}, 2 m out", "S in the transition", 0.6153, 0.05 * _at(chains[1], 2.0), within=1e-3),
    )  # fmt: skip


def _computed() -> tuple[Case, ...]:
    lam = SPEED_OF_LIGHT / 14.25e9
    chain = axis_chain(3.8, from_db(53.2), lam)
    topic = Topic(
        group=GROUP, title="Earth station of 3.8 m", status=COMPUTED, unit="W/m²",
        source=f"arithmetic from {OET}, separate program",
    )  # fmt: skip
    inputs = "100 W, 14.25 GHz, 53.2 dBi"
    return (
        topic.case(
            inputs, "efficiency", 0.649, _efficiency(3.8, from_db(53.2), lam), within=1e-3, unit=""
        ),
        topic.case(inputs, "S at the surface, 4P/A", 35.27, 100.0 * chain.surface, within=1e-3),
        topic.case(inputs, "S in the near field", 22.88, 100.0 * chain.near, within=2e-3),
        topic.case(
            inputs, "end of the near field", 171.6, chain.near_end, within=1e-3, law="field", unit="m"
        ),
        topic.case(
            inputs, "start of the far field", 411.8, chain.far_start, within=1e-3, law="field", unit="m"
        ),
        topic.case(
            inputs, "S where the far field starts", 9.80, 100.0 * _at(chain, 412.0), within=3e-3
        ),
    )  # fmt: skip


def _even_aperture() -> tuple[Case, ...]:
    """The kind itself against the exact field: conservative it is high, because a dish is not lit evenly."""
    diameter, lam = 3.0, 0.03
    area = np.pi * diameter**2 / 4.0
    kind = Dish(diameter=diameter, gain=to_db(4.0 * np.pi * area / lam**2))
    topic = Topic(
        group=GROUP, title="Evenly lit aperture of 3 m, on its axis", status=COMPUTED, unit="P/A",
        source="4 sin²(πD²/(8λR)), exact for an evenly lit round aperture, separate program",
    )  # fmt: skip
    ranges, exact = np.array([75.0, 100.0, 300.0]), (4.000, 3.414, 0.586)
    points = np.stack([ranges, 0.0 * ranges, 0.0 * ranges], axis=1)
    best, high = (
        area * kind.unit_field(points, SPEED_OF_LIGHT / lam, conservative=c).power_density
        for c in (False, True)
    )
    # The published chain is lower than this between near and far field; conservative it counts TAPERED times.
    allowed = (0.01, 0.6, 0.01)
    return tuple(
        topic.case(
            f"wavelength 0.03 m, {r:g} m out, {words}", "S", value, ours,
            low=low if words == "published chain" else 0.01,
            high=0.25 if words == "published chain" else to_db(TAPERED) + 0.05,
        )
        for words, values in (("published chain", best), ("conservative", high))
        for r, value, ours, low in zip(ranges, exact, values, allowed, strict=True)
    )  # fmt: skip


def _at(chain: AxisChain, metres: float) -> float:
    return float(chain.at(np.array([metres]))[0])
