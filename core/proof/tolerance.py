"""How exact a region is asked to be, and when a search gives up."""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.errors import InputError
from core.proof.bounds.base import ROUNDING

FINEST = 0.005
"""m: cells are not made smaller than this where only a percentage was asked for."""


FINEST_COLUMN = 0.02
"""m: the same where every height of a body counts, which takes a hundred times the cells."""
COLUMN_EDGE = 2.5
"""Times that: how far out an edge of whole columns can lie, the diagonal of a cell that settles its place."""


@dataclass(frozen=True, slots=True)
class Fineness:
    """When a cell is fine enough: slack under ``share`` of the threshold, or ``metres`` at the edge."""

    threshold: float
    share: float
    metres: float

    @property
    def of_columns(self) -> Fineness:
        """The same for peaks over every height of a body: no finer than :data:`FINEST_COLUMN`."""
        return Fineness(self.threshold, self.share, max(self.metres, FINEST_COLUMN))

    @property
    def proof(self) -> float:
        """The threshold with the margin for rounding."""
        return self.threshold * (1.0 - ROUNDING)


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far a region may reach past the true one; the first of the two that is met will do.

    Attributes
    ----------
    percent : float or None
        The exposure at the region's edge may be this far below the threshold, in percent of the
        threshold.
    metres : float or None
        The region's edge may lie this far out, m.
    """

    percent: float | None = 1.0
    metres: float | None = 0.01

    def __post_init__(self) -> None:
        if self.percent is None and self.metres is None:
            raise InputError("asks for nothing", field="tolerance", fix="Give metres or percent")
        for name, low, high in (("percent", 0.001, 50.0), ("metres", 0.001, 100.0)):
            value = getattr(self, name)
            if value is not None and not low <= value <= high:
                raise InputError(f"{value:g}", field=name, fix=f"Use {low:g} to {high:g}")

    def fineness(self, threshold: float) -> Fineness:
        """Return what the search needs."""
        share = 0.0 if self.percent is None else self.percent / 100.0
        return Fineness(threshold, share, FINEST if self.metres is None else self.metres)


def check_threshold(threshold: float) -> None:
    """Raise InputError unless a threshold is a positive number."""
    if not (math.isfinite(threshold) and threshold > 0.0):
        raise InputError(
            f"{100.0 * threshold:g} % of the limit is no threshold",
            field="threshold",
            fix="Use more than 0 %: any field at all exceeds 0 %",
        )


@dataclass(frozen=True, slots=True)
class Ceiling:
    """How long and how far a search may go; past it the result is looser, never unproven.

    ``seconds`` of wall time; ``cells`` undecided at once (a cell takes a few hundred bytes, more with many
    heights of a mean, and about a hundred for each radiator that still matters there); ``evaluations`` of a field,
    which end a search at the same place on every machine.
    """

    seconds: float = 60.0
    cells: int = 500_000
    evaluations: float = math.inf
