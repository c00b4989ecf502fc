"""Proven bounds of every antenna kind: importing this registers them all."""

from core.bounds import panel, panel_ring, stack, worst_case
from core.bounds.base import Bound, Majorant, Patches, bound, majorant

__all__ = [
    "Bound",
    "Majorant",
    "Patches",
    "bound",
    "majorant",
    "panel",
    "panel_ring",
    "stack",
    "worst_case",
]
