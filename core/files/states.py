"""The state of an antenna's transmitters in a site file: a word, or the percent of power left."""

from __future__ import annotations

from core.files.node import Node
from core.site.state import Condition, State

WORDS = tuple(c.value for c in Condition if c is not Condition.REDUCED)


def read_state(node: Node, key: str) -> State:
    """Return the state at a key of an object.

    Parameters
    ----------
    node : Node
        The object.
    key : str
        Where in it.

    Raises
    ------
    InputError
        If it is none.
    """
    if not isinstance(node.values.get(key), dict):
        return State(Condition(node.choice(key, WORDS)))
    child = Node(node.values[key], node.at(key), ("reduced_percent",))
    percent = child.number("reduced_percent")
    if not 0.0 < percent <= 100.0:
        raise child.error(
            "reduced_percent", f"{percent:g} is not a power left", "Use more than 0, at most 100"
        )
    return State(Condition.REDUCED, percent)


def state_json(state: State) -> object:
    """Return what :func:`read_state` reads back."""
    if state.condition is Condition.REDUCED:
        return {"reduced_percent": state.percent}
    return state.condition.value
