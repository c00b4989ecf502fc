"""Named states of a site: what its emitters do then, and a site put into one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from core.errors import InputError
from core.site.site import Site
from core.site.state import NamedState, State

AS_BUILT = "as built"
"""What the state is called in which a site was before a plan was put in force."""


def in_state(site: Site, name: str) -> Site:
    """Return the site with its antennas in one of its named states; those it does not name stay as they are.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        The state's name.

    Raises
    ------
    InputError
        If the site has no state of that name, or the state names an antenna that the site does not have.
    """
    for state in site.states:
        if state.name == name:
            return with_states(site, dict(state.states), f'states "{name}"')
    known = ", ".join(s.name for s in site.states)
    fix = f"Use one of {known}" if known else 'The site has none: write them under "states"'
    raise InputError(f"no state is called {name!r}", field="state", fix=fix)


def with_states(site: Site, states: Mapping[str, State], where: str = "states") -> Site:
    """Return the site with some of its antennas in other states.

    Parameters
    ----------
    site : Site
        The site.
    states : mapping of str to State
        The states by the antennas' names.
    where : str
        Where they stand, for the error.

    Raises
    ------
    InputError
        If an antenna is named that the site does not have.
    """
    gone = [name for name in states if all(a.name != name for a in site.antennas)]
    if gone:
        raise missing(gone[0], where)
    antennas = tuple(replace(a, state=states.get(a.name, a.state)) for a in site.antennas)
    return replace(site, antennas=antennas)


def missing(antenna: str, where: str) -> InputError:
    """Return the error of an antenna that is named and is not on the site (any more).

    Parameters
    ----------
    antenna : str
        Its name.
    where : str
        What names it.
    """
    return InputError(
        f"names the antenna {antenna!r}, which is not on the site",
        field=where,
        fix="Take it out there, or correct the name",
    )


def keep_state(site: Site, name: str, states: Mapping[str, State]) -> Site:
    """Return the site with a named state more, or with that of the same name exchanged; no antenna changes.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        What the state is called.
    states : mapping of str to State
        The states by the antennas' names.

    Raises
    ------
    InputError
        If the name cannot be printed or no antenna is named.
    """
    new = NamedState(name=name, states=tuple(states.items()))
    if any(s.name == name for s in site.states):
        kept = tuple(new if s.name == name else s for s in site.states)
    else:
        kept = (*site.states, new)
    return replace(site, states=kept)


def put_in_force(site: Site, name: str, states: Mapping[str, State]) -> Site:
    """Return the site in a new named state, with the state it was in kept as :data:`AS_BUILT` if it has none yet.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        What the new state is called.
    states : mapping of str to State
        The states that change, by the antennas' names.

    Raises
    ------
    InputError
        As :func:`with_states` and :func:`keep_state`; or if the name is that of the state kept.
    """
    if name == AS_BUILT:
        raise InputError(
            f"{AS_BUILT!r} is what the site's own state is kept as", field="name", fix="Use another"
        )
    before = {a.name: a.state for a in site.antennas}
    if all(s.name != AS_BUILT for s in site.states):
        site = keep_state(site, AS_BUILT, before)
    return with_states(keep_state(site, name, {**before, **states}), states, f'states "{name}"')
