"""What nobody has said about the emitters at a place, what is usual, and what each would make of the figure there.

A fact counts as unsaid where its field has the value of a schedule that leaves it out. The ranges are common practice,
no source. Bay shapes that nobody has said are covered by the figure, and so are tilts (:mod:`core.antennas.open_tilt`);
loss and duty count as none and as full.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from core.antennas.base import Kind
from core.antennas.bay_shapes import UNKNOWN
from core.antennas.generic import Generic
from core.antennas.open_tilt import open_tilts, with_tilt
from core.antennas.panel import Panel
from core.antennas.stack import CIRCULAR, Stack
from core.arrays import Points
from core.exposure.totals import exposure
from core.site.site import Antenna, Carrier, Site
from core.units import show_percent
from core.views.body import Body

SHARE = 0.01
"""Share of the figure from which an emitter is worth asking about."""
LOSSES = (0.5, 3.0)
"""dB of line and filter loss that transmitters usually have (common practice, no source)."""
DUTY, DUTY_FROM = 0.75, 2.3e9
"""Share of the time that a sector of a time-divided band sends, and from which frequency in Hz such bands are usual
(common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Unsaid:
    """One fact that is not said: of which antenna, what is usual, and the fraction of the public limit.

    ``now`` is the figure as it is, ``low`` to ``high`` what it would be if the fact were known to be as usual.
    ``paths`` are the entries of the antenna that would say it (:mod:`core.files.entries`). The figure covers the field
    of all that is usual: one that is higher when it is known has a wider margin of its own.
    """

    antenna: str
    fact: str
    usual: str
    now: float
    low: float
    high: float
    paths: tuple[str, ...] = ()

    def words(self, key: str) -> str:
        """Return it in one line; ``key`` is that of the limit set."""
        return f"{self.antenna}: {self.fact} is not said (usual: {self.usual}). {self.worth(key)}"

    def worth(self, key: str) -> str:
        """Return what knowing it would make of the figure; ``key`` is that of the limit set."""
        low, high, now = map(show_percent, (self.low, self.high, self.now))
        known = low if low == high else f"{low} to {high}"
        higher = ""
        if self.high > self.now * 1.001:
            higher = (
                "; what is more than the figure is the wider margin of a known shape, not its field"
            )
        return f"Known, the figure here would be {known} of {key} public, not {now}{higher}"


@dataclass(frozen=True, slots=True)
class Open:
    """A fact about an antenna that nobody has said.

    Attributes
    ----------
    fact, usual : str
        What it is, and what is usual.
    counted : str
        What the figure takes instead.
    paths : tuple of str
        The entries of the antenna that would say it (:mod:`core.files.entries`).
    variants : tuple of Antenna
        The antenna with what is usual.
    """

    fact: str
    usual: str
    counted: str
    paths: tuple[str, ...]
    variants: tuple[Antenna, ...]

    @property
    def words(self) -> str:
        """The fact in one line."""
        return f"Not said (usual: {self.usual}). {self.counted}"


def unsaid(
    site: Site, position: tuple[float, float, float], body: Body, only: str = ""
) -> tuple[Unsaid, ...]:
    """Return what is not said and matters at a place, what could bring the figure down furthest first.

    Parameters
    ----------
    site : Site
        The site.
    position : (x, y, z)
        Of the body's foot, m.
    body : Body
        The column of heights that is exposed.
    only : str
        The name of the one antenna that is asked about; all of them without it.
    """
    at = np.array([position], dtype=np.float64)
    shown = exposure(site, at, body)
    now = float(shown.public.total[0])
    if shown.reactive[0] or now <= 0.0:
        return ()
    part = {a.name: 0.0 for a in site.antennas}
    for i, source in enumerate(shown.sources):
        part[source.antenna.name] += float(shown.public.shares[i, 0])
    found = []
    for i, antenna in enumerate(site.antennas):
        if part[antenna.name] < SHARE * now or (only and antenna.name != only):
            continue
        for fact in open_facts(antenna):
            figures = [_figure(site, i, variant, at, body) for variant in fact.variants]
            low, high = min(figures), max(figures)
            found.append(Unsaid(antenna.name, fact.fact, fact.usual, now, low, high, fact.paths))
    return tuple(sorted(found, key=lambda one: (-max(one.high, now), one.low)))


def _figure(site: Site, i: int, antenna: Antenna, at: Points, body: Body) -> float:
    antennas = (*site.antennas[:i], antenna, *site.antennas[i + 1 :])
    return float(exposure(replace(site, antennas=antennas), at, body).public.total[0])


def open_facts(antenna: Antenna) -> Iterator[Open]:
    """Yield the facts of an ``antenna`` that are not said."""
    built = antenna.kind.built(antenna.carriers[0].frequency)
    if isinstance(built, Stack) and built.bay == UNKNOWN:
        shapes = [shape for shape in CIRCULAR if shape != UNKNOWN]
        shaped = (replace(built, bay=shape) for shape in shapes)
        yield Open(
            "the shape of its bays",
            ", ".join(shapes),
            "The figure covers every usual shape",
            ("model.bay", "model.entry"),
            tuple(replace(antenna, kind=k) for k in shaped),
        )
    yield from _open_tilt(antenna)
    carriers = list(enumerate(antenna.carriers))
    paths = tuple(f"carriers.{j}.loss" for j, c in carriers if _lossless(c))
    if paths:
        usual = f"{LOSSES[0]:g} to {LOSSES[1]:g} dB"
        counted = "It counts as none: the figure covers it"
        variants = tuple(_with_loss(antenna, loss) for loss in LOSSES)
        yield Open("its line loss", usual, counted, paths, variants)
    paths = tuple(f"carriers.{j}.duty" for j, c in carriers if _may_pause(built, c))
    if paths:
        usual = f"{DUTY:g} where time is divided, 1 else"
        counted = "It counts as always on: the figure covers it"
        variants = (_with_duty(antenna, built), antenna)
        yield Open("its duty factor", usual, counted, paths, variants)


def _open_tilt(antenna: Antenna) -> Iterator[Open]:
    for carrier in antenna.carriers:
        tilts = open_tilts(antenna.kind, carrier.frequency)
        if not tilts:
            continue
        usual = f"0 to {tilts[-1]:g}° down"
        variants = tuple(
            replace(antenna, kind=with_tilt(antenna.kind, tilt)) for tilt in (0.0, *tilts)
        )
        is_class = isinstance(antenna.kind, Generic)
        path = "model.electrical_tilt" if is_class else "model.beam_tilt"
        if isinstance(antenna.kind, Panel):
            number = antenna.kind.bands.index(antenna.kind.band(carrier.frequency))
            path = f"model.bands.{number}.electrical_tilt"
        yield Open("its tilt", usual, "The figure covers what is usual", (path,), variants)
        return


def _lossless(carrier: Carrier) -> bool:
    power = carrier.power
    only = power.erp is None and power.eirp is None
    return power.transmitter is not None and only and not power.loss


def _with_loss(antenna: Antenna, loss: float) -> Antenna:
    carriers = tuple(
        replace(c, power=replace(c.power, loss=loss)) if _lossless(c) else c
        for c in antenna.carriers
    )
    return replace(antenna, carriers=carriers)


def _may_pause(built: Kind, carrier: Carrier) -> bool:
    sector = built.KEY in ("panel", "beam-array")
    return (
        sector
        and carrier.duty == 1.0
        and not carrier.duty_source
        and carrier.frequency >= DUTY_FROM
    )


def _with_duty(antenna: Antenna, built: Kind) -> Antenna:
    carriers = tuple(
        replace(c, duty=DUTY, duty_source="usual, to ask") if _may_pause(built, c) else c
        for c in antenna.carriers
    )
    return replace(antenna, carriers=carriers)
