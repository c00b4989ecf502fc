"""What can be done with the emitters of a site: each one's states, as blocks of options that keep its rules.

A block is an emitter, or a main with its auxiliaries. Its options keep by themselves what the owner allows, that one
at most of a main and its auxiliaries radiates, and that what must stay on air does; so a plan is one option of each
block.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from core.exposure.sources import Source
from core.site.allowance import FULL, SILENT
from core.site.pairs import allowance_of, sharing
from core.site.site import Antenna, Site
from core.site.state import ON, Condition, State

OUT = State(Condition.LOCKED_OUT)


@dataclass(frozen=True, slots=True)
class Step:
    """What is done with one emitter: from one state to another."""

    antenna: str
    before: State
    after: State

    @property
    def factor(self) -> float:
        """Share of full power afterwards."""
        return self.after.factor


@dataclass(frozen=True, slots=True)
class Option:
    """One way for a block to be.

    Attributes
    ----------
    states : tuple of (antenna, State)
        Of every emitter of the block.
    steps : tuple of Step
        What is touched; empty where all stays as it is.
    owners : tuple of str
        Whom that concerns, each once; an emitter without a named owner stands for itself.
    lost : float
        W radiated less than before, at least 0.
    broken : tuple of str
        Rules that it breaks, in words; only where they were to be set aside.
    """

    states: tuple[tuple[str, State], ...]
    steps: tuple[Step, ...] = ()
    owners: tuple[str, ...] = ()
    lost: float = 0.0
    broken: tuple[str, ...] = ()


def owner_of(antenna: Antenna) -> str:
    """Return who owns an antenna; its own name in brackets where nobody has said."""
    return antenna.owner.strip() or f"[{antenna.name}]"


def blocks(
    site: Site,
    all_sources: Sequence[Source],
    silent: frozenset[str] = frozenset(),
    *,
    broken: bool = False,
) -> tuple[tuple[Option, ...], ...]:
    """Return the options of every block of a site, the one that touches nothing first where there is one.

    Parameters
    ----------
    site : Site
        The site.
    all_sources : sequence of Source
        At full power.
    silent : frozenset of str
        Antennas that must not radiate.
    broken : bool
        Also offer what breaks a rule: locking out what may not be, or must stay on air.

    Raises
    ------
    InputError
        If a main is named that is not there.
    """
    groups = sharing(site)
    grouped = {name for group in groups for name in group}
    named = {a.name: a for a in site.antennas}
    watts: dict[str, float] = {}
    for source in all_sources:
        name = source.antenna.name
        watts[name] = watts.get(name, 0.0) + source.radiated.power
    out = []
    for antenna in site.antennas:
        if antenna.name in grouped:
            continue
        members = [antenna]
        out.append(_options(members, watts, silent, broken=broken))
    for group in groups:
        members = [named[name] for name in group]
        out.append(_options(members, watts, silent, broken=broken))
    return tuple(out)


def _options(
    members: list[Antenna], watts: Mapping[str, float], silent: frozenset[str], *, broken: bool
) -> tuple[Option, ...]:
    found: dict[tuple[State, ...], Option] = {}
    for states, rules in _ways(members, silent, broken=broken):
        option = _option(members, states, rules, watts)
        known = found.get(states)
        if known is None or len(known.broken) > len(rules):
            found[states] = option
    return tuple(sorted(found.values(), key=lambda o: (len(o.broken), len(o.steps), o.lost)))


def _ways(
    members: list[Antenna], silent: frozenset[str], *, broken: bool
) -> list[tuple[tuple[State, ...], tuple[str, ...]]]:
    """Return the states that the members can be in, and the rules that each breaks."""
    off = [_silenced(a) for a in members]
    ways = []
    for i, antenna in enumerate(members):
        if antenna.name in silent:
            continue
        for state in _powers(antenna, is_stand_in=len(members) > 1):
            states = tuple(state if j == i else off[j][0] for j in range(len(members)))
            ways.append((states, tuple(r for j, o in enumerate(off) if j != i for r in o[1])))
    all_off = tuple(o[0] for o in off)
    rules = tuple(r for o in off for r in o[1])
    kept_on = [a.name for a in members if allowance_of(a).stays_on_air]
    radiate = any(a.state.factor > 0.0 for a in members)
    if kept_on and (radiate or len(members) > 1):
        rules += (f"{kept_on[0]} must stay on air",)
    ways.append((all_off, rules))
    return [(states, rules) for states, rules in ways if broken or not rules]


def _silenced(antenna: Antenna) -> tuple[State, tuple[str, ...]]:
    """Return the state in which an antenna is silent, and the rules that this breaks."""
    if antenna.state.factor == 0.0:
        return antenna.state, ()
    allows = allowance_of(antenna)
    if not allows.touch:
        return OUT, (f"{antenna.name} may not be touched",)
    if SILENT not in allows.steps:
        return OUT, (f"{antenna.name} cannot be locked out",)
    return OUT, ()


def _powers(antenna: Antenna, *, is_stand_in: bool) -> list[State]:
    """Return the states in which an antenna radiates, the present one first if it does."""
    allows, now = allowance_of(antenna), antenna.state
    if now.factor > 0.0:
        lower = [s for s in allows.steps if SILENT < s < 100.0 * now.factor] if allows.touch else []
        return [now, *(State(Condition.REDUCED, s) for s in lower)]
    # Only what stands in for another is turned on, and nothing that somebody has locked out.
    if not is_stand_in or not allows.touch or now.condition is not Condition.OFF:
        return []
    steps = [s for s in (FULL, *allows.steps) if s > SILENT]
    return [ON if s == FULL else State(Condition.REDUCED, s) for s in steps]


def _option(
    members: list[Antenna],
    states: tuple[State, ...],
    rules: tuple[str, ...],
    watts: Mapping[str, float],
) -> Option:
    pairs = list(zip(members, states, strict=True))
    touched = [(a, s) for a, s in pairs if s != a.state]
    before = sum(watts[a.name] * a.state.factor for a in members)
    after = sum(watts[a.name] * s.factor for a, s in pairs)
    return Option(
        tuple((a.name, s) for a, s in pairs),
        tuple(Step(a.name, a.state, s) for a, s in touched),
        tuple(dict.fromkeys(owner_of(a) for a, _ in touched)),
        max(before - after, 0.0),
        rules,
    )
