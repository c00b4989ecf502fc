"""What an antenna allows: to and from a site file."""

from __future__ import annotations

from typing import Any

from core.errors import InputError
from core.files.node import Node
from core.files.schema_parts import TEXT
from core.site.allowance import MOST_STEPS, UNSAID, Allowance

ALLOWS = ("touch", "steps", "stays_on_air", "auxiliary_of")


def read_allowance(node: Node) -> Allowance | None:
    """Return what an antenna of a site file allows; None where nothing is said.

    Parameters
    ----------
    node : Node
        The antenna.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    if not node.has("allows"):
        return None
    child = Node(node.values["allows"], node.at("allows"), ALLOWS)
    touch = child.flag("touch", default=True)
    try:
        return Allowance(
            touch=touch,
            steps=child.numbers("steps") if child.has("steps") else UNSAID.steps,
            stays_on_air=child.flag("stays_on_air", default=False),
            auxiliary_of=child.text("auxiliary_of", ""),
        )
    except InputError as error:
        raise error if error.field.startswith(child.path) else error.within(child.path) from None


def allowance_json(allows: Allowance) -> dict[str, object]:
    """Return the JSON object of what an antenna allows."""
    out: dict[str, object] = {"touch": allows.touch}
    if allows.touch:
        out["steps"] = list(allows.steps)
    if allows.stays_on_air:
        out["stays_on_air"] = True
    if allows.auxiliary_of:
        out["auxiliary_of"] = allows.auxiliary_of
    return out


def allowance_schema() -> dict[str, Any]:
    """Return the schema of what an antenna allows."""
    return {
        "type": "object",
        "description": "what the owner lets be done with the power; left out: full power or locked out",
        "properties": {
            "touch": {"type": "boolean", "description": "whether it may be turned down or off"},
            "steps": {
                "type": "array",
                "items": {"type": "number", "minimum": 0.0, "exclusiveMaximum": 100.0},
                "maxItems": MOST_STEPS,
                "description": "percents of full power it can be set to; 0 is off and locked out",
            },
            "stays_on_air": {
                "type": "boolean",
                "description": "it, or one that shares its place on the air, must radiate",
            },
            "auxiliary_of": TEXT
            | {
                "description": "the main antenna it stands in for: of a main and its auxiliaries one at most "
                "may radiate"
            },
        },
        "additionalProperties": False,
    }
