"""The antennas of a site file: one JSON object each, with its carriers."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from core.errors import InputError
from core.files.allowances import read_allowance
from core.files.kinds import NOTHING, read_kind
from core.files.node import Node
from core.files.site_writer import POWERS
from core.files.states import read_state
from core.site.antenna_fields import ESTIMATES as ESTIMATES
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Power, State

_CARRIER = ("name", "frequency", *POWERS, "loss", "gain", "duty", "duty_source")
_ANTENNA = (
    "name", "kind", "model", "position", "azimuth", "tilt", "roll", "state", "reflection", "estimate",
    "tower_in_pattern", "allows", "owner", "contact", "remark", "carriers",
)  # fmt: skip


def read_antenna(
    path: str, value: object, folder: Path, brought: Mapping[str, Path] = NOTHING
) -> Antenna:
    """Return the antenna of a JSON object.

    Parameters
    ----------
    path : str
        Where it stands, for the error.
    value : object
        The object.
    folder : Path
        Where the site file is, with the pattern files it names.
    brought : mapping of str to Path
        Files by name that are elsewhere still.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    node = Node(value, path, _ANTENNA)
    return Antenna(
        name=node.text("name"),
        kind=read_kind(
            node.text("kind"), node.values.get("model", {}), node.at("model"), folder, brought
        ),
        position=xyz(node, "position"),
        azimuth=node.number("azimuth", 0.0),
        tilt=node.number("tilt", 0.0),
        roll=node.number("roll", 0.0),
        state=read_state(node, "state") if node.has("state") else State(),
        reflection=read_reflection(node),
        conservative=node.choice("estimate", ESTIMATES) == ESTIMATES[0]
        if node.has("estimate")
        else None,
        tower_in_pattern=node.flag("tower_in_pattern", default=False),
        allows=read_allowance(node),
        owner=node.text("owner", ""),
        contact=node.text("contact", ""),
        remark=node.text("remark", ""),
        carriers=tuple(placed(_carrier, p, v) for p, v in node.children("carriers", required=True)),
    )


def _carrier(path: str, value: object) -> Carrier:
    node = Node(value, path, _CARRIER)
    powers = {key: node.quantity(key, "power") for key in POWERS if node.has(key)}
    return Carrier(
        name=node.text("name"),
        frequency=node.quantity("frequency", "frequency"),
        power=Power(
            **powers,
            loss=node.quantity("loss", "loss") if node.has("loss") else 0.0,
            gain=node.quantity("gain", "gain") if node.has("gain") else None,
        ),
        duty=node.number("duty", 1.0),
        duty_source=node.text("duty_source", ""),
    )


def read_reflection(node: Node) -> Reflection | None:
    """Return the reflection that an object names; None where it names none.

    Parameters
    ----------
    node : Node
        The object.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if not node.has("reflection"):
        return None
    value = node.values["reflection"]
    if isinstance(value, str):
        return Reflection(
            ReflectionKind(node.choice("reflection", [k.value for k in ReflectionKind]))
        )
    child = Node(value, node.at("reflection"), ("permittivity", "conductivity", "plane"))
    ground = Reflection(ReflectionKind.TWO_RAY)
    try:
        return Reflection(
            ReflectionKind.TWO_RAY,
            child.number("permittivity", ground.permittivity),
            child.number("conductivity", ground.conductivity),
            child.number("plane") if child.has("plane") else None,
        )
    except InputError as error:
        raise error if error.field.startswith(child.path) else error.within(child.path) from None


def xyz(node: Node, key: str) -> tuple[float, float, float]:
    """Return the place under a ``key`` of a ``node``, three numbers in m."""
    x, y, z = node.numbers(key, 3)
    return x, y, z


def placed(read: Any, path: str, value: object, *rest: object) -> Any:
    """Return what ``read(path, value, *rest)`` makes; an error of the dataclass itself gets the path in front."""
    try:
        return read(path, value, *rest)
    except InputError as error:
        known = error.source or error.field.startswith(path)
        raise error if known else error.within(path) from None
