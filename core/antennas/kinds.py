"""Every antenna kind by the key that a site file uses."""

from core.antennas.base import Kind
from core.antennas.beam_array import BeamArray
from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.mast import Mast
from core.antennas.mast_array import MastArray
from core.antennas.measured import Measured
from core.antennas.panel import Panel
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.whip import Whip
from core.antennas.wire import HfDipole
from core.antennas.worst_case import WorstCase
from core.antennas.yagi import Yagi

KINDS: dict[str, type[Kind]] = {
    kind.KEY: kind
    for kind in (
        Stack,
        Panel,
        PanelRing,
        BeamArray,
        Measured,
        Dish,
        Yagi,
        Whip,
        HfDipole,
        Mast,
        MastArray,
        Generic,
        WorstCase,
    )
}
"""Every kind by the key that a site file uses."""
