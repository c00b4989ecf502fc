"""Mains and auxiliaries: antennas that share one place on the air, of which one at most may radiate."""

from __future__ import annotations

from collections.abc import Iterator

from core.errors import InputError
from core.site.allowance import SILENT, UNSAID, Allowance
from core.site.site import Antenna, Site
from core.site.states import missing


def allowance_of(antenna: Antenna) -> Allowance:
    """Return what an antenna allows; full power or locked out where nobody has said."""
    return antenna.allows or UNSAID


def sharing(site: Site) -> tuple[tuple[str, ...], ...]:
    """Return the groups of antennas of which one at most may radiate, the main first.

    Parameters
    ----------
    site : Site
        The site.

    Raises
    ------
    InputError
        If an auxiliary names a main that is not on the site, itself, or another auxiliary.
    """
    mains = {a.name: allowance_of(a).auxiliary_of for a in site.antennas}
    groups: dict[str, list[str]] = {}
    for name, main in mains.items():
        if not main:
            continue
        where = f'antenna "{name}": allows.auxiliary_of'
        if main not in mains:
            raise missing(main, where)
        if main == name or mains[main]:
            what = "itself" if main == name else f"{main!r}, which is an auxiliary too"
            raise InputError(
                f"names {what}", field=where, fix="Name the main antenna that it stands in for"
            )
        groups.setdefault(main, [main]).append(name)
    return tuple(tuple(group) for group in groups.values())


def contradictions(site: Site) -> Iterator[InputError]:
    """Yield every rule of the emitters that cannot be kept, whatever is done.

    Parameters
    ----------
    site : Site
        The site.
    """
    try:
        groups = sharing(site)
    except InputError as error:
        yield error
        return
    by_name = {a.name: a for a in site.antennas}
    alone = [(name,) for name in by_name if not any(name in group for group in groups)]
    for group in (*groups, *alone):
        members = [by_name[name] for name in group]
        stuck = [a for a in members if a.state.factor > 0.0 and SILENT not in allowance_of(a).steps]
        if len(stuck) > 1:
            first, second = stuck[:2]
            yield InputError(
                f"radiates together with {first.name!r}, one of them must be off, and neither may be turned off",
                field=f'antenna "{second.name}": allows',
                fix="Let one of them be touched, with 0 among its steps, or correct its state",
            )
        wanted = [a for a in members if allowance_of(a).stays_on_air]
        if wanted and not any(a.state.factor > 0.0 for a in members):
            who = "it is" if len(members) == 1 else "it and what shares its place on the air are"
            yield InputError(
                f"must stay on air, but {who} off",
                field=f'antenna "{wanted[0].name}": allows.stays_on_air',
                fix="Correct its state, or take the rule away",
            )
