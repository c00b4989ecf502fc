"""The named states of a site: to and from its file."""

from __future__ import annotations

from typing import Any

from core.errors import InputError
from core.files.node import Node
from core.files.schema_parts import state_schema
from core.files.states import read_state, state_json
from core.site.site import Site
from core.site.state import NamedState

MOST_STATES = 200


def read_states(node: Node) -> tuple[NamedState, ...]:
    """Return the named states of a site file, empty where it has none.

    Parameters
    ----------
    node : Node
        The site.

    Raises
    ------
    InputError
        If one of them is no state. That its antennas are there is asked when it is used: an antenna may be taken
        away before the states that name it.
    """
    if not node.has("states"):
        return ()
    value = node.values["states"]
    if not isinstance(value, dict):
        raise node.error(
            "states", "must be an object in braces", 'Write {"name": {antenna: state}}'
        )
    if len(value) > MOST_STATES:
        raise node.error("states", f"has {len(value)} states", f"Use at most {MOST_STATES}")
    out = []
    for name, states in value.items():
        where = f'states "{name}":'
        if not isinstance(states, dict):
            raise InputError(
                "must be an object in braces", field=where[:-1], fix='Write {"antenna": "off", ...}'
            )
        one = Node(states, where, tuple(states))
        pairs = tuple((antenna, read_state(one, antenna)) for antenna in states)
        try:
            out.append(NamedState(name=name, states=pairs))
        except InputError as error:
            raise error.within(where[:-1]) from None
    return tuple(out)


def states_json(site: Site) -> dict[str, object]:
    """Return the JSON object of a site's named states."""
    return {s.name: {name: state_json(state) for name, state in s.states} for s in site.states}


def states_schema() -> dict[str, Any]:
    """Return the schema of a site's named states."""
    return {
        "type": "object",
        "description": "named states: what the antennas they name do; the others stay as they are",
        "additionalProperties": {"type": "object", "additionalProperties": state_schema()},
    }
