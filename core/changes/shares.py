"""Who newly shares the responsibility for a place over the limit, and where the exposure rises most.

At a place over the limit every licensee whose emitters make more than five percent of the limit there shares the duty
to bring it under (47 CFR 1.1307(b)(5), from memory; :func:`core.limits.categories.responsible`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.arrays import Bools
from core.changes.differences import renamed
from core.changes.places import Look, Spot
from core.limits.categories import responsible
from core.limits.tier import TIERS, Tier
from core.site.site import Site

RULE = (
    "shared responsibility at more than 5 % of the limit at a place over it: 47 CFR 1.1307(b)(5), from memory; "
    "outside its reach follow the national rule"
)
LEAST_RISE = 0.001
"""Fraction of the limit under which a rise is not listed."""


@dataclass(frozen=True, slots=True)
class Responsible:
    """An emitter, or all those of one owner, that newly makes more than five percent of the limit at a place over it.

    Fractions of the tier's limit; ``was`` and ``now`` are its own, ``total`` that of all after the change.
    ``elsewhere`` says that it was responsible at some other place already; ``reactive`` that the place is inside a
    reactive region, its own or another's: there is no figure for the total.
    """

    name: str
    owner: str
    tier: Tier
    where: str
    place: tuple[float, float, float]
    was: float
    now: float
    total: float
    reactive: bool
    elsewhere: bool


@dataclass(frozen=True, slots=True)
class Rise:
    """Where the exposure rises most on one surface, ladder or way in; fractions of the tier's limit.

    ``reactive`` says that the place is newly inside a reactive region: no figure.
    """

    where: str
    tier: Tier
    place: tuple[float, float, float]
    was: float
    now: float
    reactive: bool = False

    @property
    def over(self) -> bool:
        """True where the place is over the limit after the change, or has no figure."""
        return self.reactive or self.now > 1.0


Seen = Sequence[tuple[Spot, Look, Look]]
"""Places with what was read there before and after."""


def newly_responsible(before: Site, after: Site, seen: Seen) -> tuple[Responsible, ...]:
    """Return who newly passes five percent of the limit at a place over it, each once a tier, the largest share first.

    Parameters
    ----------
    before, after : Site
        The two states.
    seen : sequence of (Spot, Look, Look)
        Places with what was read there before and after.
    """
    found: list[Responsible] = []
    singles = {a.name: (a.name,) for a in after.antennas}
    old = renamed(before.antennas, after.antennas)
    owners: dict[str, list[str]] = {}
    for antenna in after.antennas:
        if antenna.owner.strip():
            owners.setdefault(antenna.owner.strip(), []).append(antenna.name)
    for tier in TIERS:
        mine = [
            one
            for name, members in singles.items()
            if (
                one := _newly(
                    name, after.antenna(name).owner, members, tier, _held(name, old), seen
                )
            )
        ]
        alone = {one.name for one in mine}
        for owner, names in owners.items():
            if len(names) > 1 and not alone.intersection(names):
                held = tuple(a.name for a in before.antennas if a.owner.strip() == owner)
                one = _newly(" + ".join(names), owner, tuple(names), tier, held, seen)
                mine += [one] if one else []
        found += sorted(mine, key=lambda r: (-r.now, r.name))
    return tuple(found)


def _held(name: str, old: Mapping[str, str]) -> tuple[str, ...]:
    """Return the antenna whose shares before are those of one after."""
    return (old.get(name, name),)


def _newly(
    name: str,
    owner: str,
    members: tuple[str, ...],
    tier: Tier,
    held: tuple[str, ...],
    seen: Seen,
) -> Responsible | None:
    """Return where some antennas together newly pass, with the largest share; None where they do not.

    ``held`` are those whose shares before count as theirs.
    """
    best: Responsible | None = None
    elsewhere = False
    for spot, was, now in seen:
        own = _sum(was, held, tier), _sum(now, members, tier)
        did = responsible(own[0][None], was.of(tier))[0]
        does = responsible(own[1][None], now.of(tier))[0]
        elsewhere |= bool(did.any())
        fresh = does & ~did
        if not fresh.any():
            continue
        # A place with a figure says more than one without.
        i = int(np.argmax(np.where(fresh, own[1] - 1e6 * now.reactive, -np.inf)))
        one = Responsible(
            name, owner, tier, spot.where, _place(spot, i), float(own[0][i]), float(own[1][i]),
            float(now.of(tier)[i]), bool(now.reactive[i]), elsewhere=False,
        )  # fmt: skip
        if best is None or (not one.reactive, one.now) > (not best.reactive, best.now):
            best = one
    if best is None or not elsewhere:
        return best
    return Responsible(
        best.name, best.owner, tier, best.where, best.place, best.was, best.now, best.total,
        best.reactive, elsewhere=True,
    )  # fmt: skip


def _sum(look: Look, members: Sequence[str], tier: Tier) -> NDArray[np.float64]:
    rows = [i for i, name in enumerate(look.names) if name in members]
    total: NDArray[np.float64] = look.shares[rows, TIERS.index(tier)].sum(axis=0)
    return total


def largest_rises(seen: Seen) -> tuple[Rise, ...]:
    """Return where the exposure rises most on each surface, ladder and way in, the largest rise first.

    Where the largest rise stays under the limit, the largest one at a place over it follows, if there is any. Standing
    people are held against the public limit, climbers against the occupational one.

    Parameters
    ----------
    seen : sequence of (Spot, Look, Look)
        Places with what was read there before and after.
    """
    best: dict[tuple[str, bool], Rise] = {}
    for spot, was, now in seen:
        for one in _rises(spot, was, now):
            for key in {(spot.where, False), (spot.where, one.over)}:
                if key not in best or _size(one) > _size(best[key]):
                    best[key] = one
    return tuple(sorted(dict.fromkeys(best.values()), key=_size, reverse=True))


def _rises(spot: Spot, was: Look, now: Look) -> Iterator[Rise]:
    tier: Tier = "occupational" if min(spot.body.heights) < 0.0 else "public"
    first, second = was.of(tier), now.of(tier)
    entered: Bools = now.reactive & ~was.reactive
    if entered.any():
        i = int(np.argmax(entered))
        yield Rise(spot.where, tier, _place(spot, i), float(first[i]), float(second[i]), True)
    rise = np.where(now.reactive | was.reactive, 0.0, second - first)
    for chosen in (rise, np.where(second > 1.0, rise, 0.0)):
        i = int(np.argmax(chosen))
        if chosen[i] > LEAST_RISE:
            yield Rise(spot.where, tier, _place(spot, i), float(first[i]), float(second[i]))


def _size(one: Rise) -> tuple[bool, float]:
    return one.reactive, one.now - one.was


def _place(spot: Spot, i: int) -> tuple[float, float, float]:
    x, y, z = (float(v) for v in spot.points[i])
    return x, y, z
