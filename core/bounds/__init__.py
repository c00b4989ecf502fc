"""Proven bounds of every antenna kind: importing this registers them all."""

from core.bounds import (
    beam_array,
    dish,
    generic,
    mast,
    measured,
    panel,
    panel_ring,
    stack,
    whip,
    wire,
    worst_case,
    yagi,
)
from core.bounds.base import Bound, Majorant, Patches, bound, majorant

REGISTERED = (
    beam_array,
    dish,
    generic,
    mast,
    measured,
    panel,
    panel_ring,
    stack,
    whip,
    wire,
    worst_case,
    yagi,
)

__all__ = ["Bound", "Majorant", "Patches", "bound", "majorant"]
