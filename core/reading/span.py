"""How far a figure may be above what is likely, what of it is reflection, and which fact would narrow it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from core.exposure.fractions import Exposure
from core.exposure.sources import Source
from core.exposure.totals import exposure
from core.site.mirrors import MATTERS
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Site
from core.units import show_percent
from core.views.body import POINT, Body

NOTICEABLE_DB = 0.5
"""Decibels of reflection under which what a surface is made of does not matter."""


@dataclass(frozen=True, slots=True)
class Span:
    """Beside a figure: fractions of the public and the occupational limit, and what to find out.

    ``best`` is without floors and added decibels, reflection included; ``direct`` is the figure without reflection and
    steel.
    """

    best: tuple[float, float]
    direct: tuple[float, float]
    total: tuple[float, float]
    fact: str

    @property
    def added_db(self) -> float:
        """How far the public figure is above the best estimate, dB."""
        return _db(self.total[0], self.best[0])

    @property
    def reflected_db(self) -> float:
        """What reflection and steel add to the public figure, dB."""
        return _db(self.total[0], self.direct[0])

    def words(self, key: str) -> str:
        """Return both in one line.

        Parameters
        ----------
        key : str
            Of the limit set.
        """
        public, occupational = (show_percent(v) for v in self.best)
        return (
            f"Best estimate {public} of {key} public, {occupational} occupational: the figure is "
            f"{self.added_db:.1f} dB higher for what is not known; reflection and steel make "
            f"{self.reflected_db:.1f} dB of it. "
            f"What would narrow it most: {self.fact}."
        )


def _db(above: float, below: float) -> float:
    return 10.0 * math.log10(above / below) if above > 0.0 and below > 0.0 else 0.0


def span(
    site: Site, position: tuple[float, float, float], body: Body, shown: Exposure
) -> Span | None:
    """Return the span of a reading, at the height of the body that governs; None where there is no figure.

    Parameters
    ----------
    site : Site
        The site.
    position : (x, y, z)
        Of the body's foot, m.
    body : Body
        The column of heights that is exposed.
    shown : Exposure
        What the reading shows.
    """
    site = replace(site, surveys=())
    tiers = (shown.public, shown.occupational)
    total = (
        float(tiers[0].total[0] - tiers[0].raised[0]),
        float(tiers[1].total[0] - tiers[1].raised[0]),
    )
    if shown.reactive[0] or total[0] <= 0.0:
        return None
    at = np.array([position], dtype=np.float64)
    governing = int(shown.public.height[0])
    if governing >= 0:
        # The height that governs says it for the column, at a tenth of the work.
        at[0, 2] += shown.body.heights[governing]
        body = POINT
    likely = replace(
        site,
        conservative=False,
        antennas=tuple(replace(a, conservative=None) for a in site.antennas),
    )
    free = Reflection(ReflectionKind.NONE)
    alone = replace(
        site,
        reflection=free,
        structures=(),
        antennas=tuple(replace(a, reflection=None) for a in site.antennas),
    )
    best, direct = (exposure(s, at, body) for s in (likely, alone))
    strongest = shown.sources[int(np.argmax(shown.public.shares[:, 0]))]
    reflected = _db(total[0], float(direct.public.total[0]))
    return Span(
        best=(float(best.public.total[0]), float(best.occupational.total[0])),
        direct=(float(direct.public.total[0]), float(direct.occupational.total[0])),
        total=total,
        fact=_fact(strongest, shown, reflected),
    )


def _fact(strongest: Source, shown: Exposure, reflected: float) -> str:
    """Return the fact that would narrow the figure most: of the strongest antenna, else of what reflects."""
    own = strongest.antenna.kind.to_find_out(strongest.carrier.frequency)
    if own:
        return f"{own} (of {strongest.antenna.name})"
    single = [c.planes[0] for c in strongest.around.images if len(c.planes) == 1]
    unknown = [m.name for m in single if m.matter == MATTERS["other"]]
    if unknown and reflected > NOTICEABLE_DB:
        return f"what {unknown[0].split(' (')[0]} is made of"
    return "a survey with a meter"
