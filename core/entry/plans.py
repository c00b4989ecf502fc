"""A power plan as data: what is touched, and how far it is proven that no plan touches less."""

from __future__ import annotations

from dataclasses import dataclass

from core.entry.steps import Step
from core.site.site import Site
from core.site.state import State
from core.site.states import with_states


@dataclass(frozen=True, slots=True)
class Plan:
    """One way to keep the criteria everywhere in the area, proven.

    Attributes
    ----------
    steps : tuple of Step
        What is touched.
    locks : tuple of Step
        What has to be done besides: emitters that the plan counts as silent because they are off are locked out, and
        what a job sets itself.
    owners : tuple of str
        Whom that concerns, steps only.
    lost : float
        W radiated less than before.
    highest : float
        The highest total seen, as a part of what is allowed; the proof says that it is nowhere over 1.
    where : (x, y, z)
        Where that was, m.
    broken : tuple of str
        Rules that it breaks; empty but where they were to be set aside.
    """

    steps: tuple[Step, ...]
    locks: tuple[Step, ...]
    owners: tuple[str, ...]
    lost: float
    highest: float
    where: tuple[float, float, float]
    broken: tuple[str, ...] = ()

    @property
    def states(self) -> dict[str, State]:
        """The states that it sets, by the emitters' names."""
        return {s.antenna: s.after for s in (*self.steps, *self.locks)}

    def applied(self, site: Site) -> Site:
        """Return the site with the plan in force."""
        return with_states(site, self.states)


@dataclass(frozen=True, slots=True)
class Least:
    """What no plan can be under: emitters touched, owners, watts lost; ``exact`` where the plan reaches it.

    ``branches`` looked at; ``rounds`` of planning and proving; ``places`` that decided; ``passed`` plans that were
    neither proven nor found over anywhere, and were passed over.
    """

    touched: float
    owners: float
    lost: float
    exact: bool
    branches: int
    rounds: int
    places: int
    passed: int
