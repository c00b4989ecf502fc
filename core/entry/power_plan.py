"""The least that has to be turned down so that an area keeps its criteria, proven for all of it.

The plan is found on a finite set of places, exactly (:mod:`core.entry.selection`), and then held against the whole
area by the search for proven zones (:mod:`core.entry.proving`). Where the search finds a place that is over, that
place joins the set and the plan is made anew. What is best on some places of an area is at least as good as what is
best on all of it, so the first plan that is proven is the best there is.

Least means: fewest emitters touched; among those plans fewest owners to be called; among those least power lost, in
watts radiated. Emitters that are merely off are counted as silent, and have to be locked out with the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from core.entry.criteria import Criterion
from core.entry.pieces import Area
from core.entry.planner import Planner, Task
from core.entry.plans import Least, Plan
from core.entry.selection import Unsolved
from core.entry.unexplained import is_raised_in, poles_in
from core.progress import Asked
from core.site.pairs import contradictions
from core.site.site import Site
from core.site.state import State


@dataclass(frozen=True, slots=True)
class PowerPlan:
    """What has to be turned down for an area, or why nothing that is allowed is enough.

    Attributes
    ----------
    area : Area
    criteria : tuple of Criterion
    best : Plan or None
        The least disturbance; None where no plan is allowed.
    others : tuple of Plan
        The next best ones, each without at least one emitter that every better one touches.
    least : Least or None
        How far the best is proven to be the best.
    before : float
        The highest total seen without a plan, as a part of what is allowed; inf in a reactive region.
    reason : str
        Why there is none; empty where there is one.
    change : Plan or None
        Where there is none: what would do if the fewest rules were set aside, with those rules.
    raised : bool
        Readings of a survey that nobody has explained raise places of the area. A plan counts the models only, so it
        is not proven there.
    """

    area: Area
    criteria: tuple[Criterion, ...]
    best: Plan | None
    others: tuple[Plan, ...]
    least: Least | None
    before: float
    reason: str = ""
    change: Plan | None = None
    raised: bool = False

    @property
    def meets(self) -> bool:
        """Whether there is a plan that meets the criteria."""
        return self.best is not None and not self.raised


def power_plan(
    site: Site,
    area: Area,
    criteria: Sequence[Criterion],
    *,
    silent: frozenset[str] = frozenset(),
    others: int = 2,
    seconds: float = 80.0,
    cancelled: Asked | None = None,
    said: Callable[[str], None] | None = None,
) -> PowerPlan:
    """Return the least that has to be turned down for an area.

    Parameters
    ----------
    site : Site
        The site as it is before.
    area : Area
        Where the criteria have to be kept.
    criteria : sequence of Criterion
        What has to be kept, all of them everywhere.
    silent : frozenset of str
        Emitters that must not radiate, whatever they make there.
    others : int
        How many of the next best plans are looked for.
    seconds : float
        Ceiling of wall time for each piece of a proof, a quarter of it for each level of a selection; past it the plan
        is still proven, but may not be the least, and says so.
    cancelled : Asked or None
        Asked between pieces of work; True stops it.
    said : callable or None
        Told in words how far it is.

    Raises
    ------
    InputError
        If powers are inconsistent, an emitter is named that is not on the site, or rules contradict each other.
    core.progress.Cancelled
        If asked to stop.
    """
    for error in contradictions(site):
        raise error
    for name in silent:
        site.antenna(name)
    # Beside a pole there is no figure: what it carries, or would if it were turned on, has to be silent.
    lit = replace(site, antennas=tuple(replace(a, state=State()) for a in site.antennas))
    silent = silent.union(*(pole.antennas for pole in poles_in(lit, area)))
    asked = Task(area, tuple(criteria), seconds, cancelled, said)
    first = Planner(site, asked, silent)
    before = first.before()
    try:
        found = first.plan()
        if found is None:
            relaxed = Planner(site, asked, silent, broken=True).plan()
            change = relaxed[0] if relaxed is not None else None
            reason = first.why_none()
            return PowerPlan(area, asked.criteria, None, (), None, before, reason, change)
        best, least = found
        more: list[Plan] = []
        for _ in range(others if best.steps else 0):
            first.without([plan.steps for plan in (best, *more)])
            # What is found stays found, whatever becomes of the next one.
            another = None
            with suppress(Unsolved):
                another = first.plan()
            if another is None:
                break
            more.append(another[0])
    except Unsolved:
        reason = (
            f"no search could decide it, with at most {seconds:g} s for a piece; nothing is proven"
        )
        return PowerPlan(area, asked.criteria, None, (), None, before, reason)
    is_raised = is_raised_in(site, area)
    return PowerPlan(area, asked.criteria, best, tuple(more), least, before, raised=is_raised)
