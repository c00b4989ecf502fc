"""Antenna kinds: one module each, all with the face of :class:`core.antennas.base.Kind`."""

from core.antennas.base import Kind
from core.antennas.dish import Dish
from core.antennas.measured import Measured
from core.antennas.panel import Panel
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.worst_case import WorstCase

KINDS: dict[str, type[Kind]] = {
    kind.KEY: kind for kind in (Stack, Panel, PanelRing, Measured, Dish, WorstCase)
}
"""Every kind by the key that a site file uses."""
