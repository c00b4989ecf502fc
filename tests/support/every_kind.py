"""One invented antenna of every kind, with carriers that suit it."""

from __future__ import annotations

import zlib

import numpy as np

from core.antennas.generic import Generic
from core.antennas.kinds import KINDS
from core.site.site import Antenna, Carrier, Power, Site
from core.units import show_frequency
from support import invented_antennas
from support.invented_antennas import Offer
from support.simple_sites import FREE, ground

_FAMILIES = {
    "stack": "fm", "panel": "sector", "panel-ring": "television", "beam-array": "beams", "pattern": "measured",
    "dish": "dish", "yagi": "yagi", "whip": "whip", "hf-dipole": "wire", "am-mast": "mast", "am-array": "masts",
    "worst-case": "unknown",
}  # fmt: skip


def offer_of(key: str) -> Offer:
    """Return an invented antenna of a kind, always the same."""
    if key == Generic.KEY:
        return Offer(Generic(entry="fm-2-bay-full-wave"), (98e6,), (500.0, 1000.0))
    rng = np.random.default_rng(zlib.crc32(key.encode()) % 1000)
    return getattr(invented_antennas, _FAMILIES[key])(rng)


def antenna_of(key: str, position: tuple[float, float, float] = (0.0, 0.0, 12.0)) -> Antenna:
    """Return an antenna of a kind; on the ground where it has its own."""
    offer = offer_of(key)
    x, y, z = position
    carriers = tuple(
        Carrier(name=show_frequency(f), frequency=f, power=Power(transmitter=offer.watts[0]))
        for f in offer.frequencies
    )
    z = 0.0 if offer.kind.has_own_ground else z
    return Antenna(name=f"{key} (invented)", kind=offer.kind, position=(x, y, z), carriers=carriers)


def site_of(*keys: str) -> Site:
    """Return a site with an antenna of each kind, far from each other."""
    antennas = tuple(
        antenna_of(key, (200.0 * i, 0.0, 12.0)) for i, key in enumerate(keys or tuple(KINDS))
    )
    return Site(
        name="every kind (invented)", antennas=antennas, reflection=FREE, surfaces=(ground(),)
    )
