"""What is looked at and how, as one value."""

from __future__ import annotations

from dataclasses import dataclass, replace

from app.draw import style
from core.limits.tier import Tier
from core.views.body import CLIMBING, POINT, STANDING, Body
from core.views.views import ON_SURFACE, Height


@dataclass(frozen=True)
class Look:
    """How the maps look and what they cut; nothing of it is part of the site."""

    tier: Tier = "public"
    height: Height = ON_SURFACE
    standing: bool = True
    average: bool = False
    azimuth: float = 90.0
    contours: tuple[float, ...] = style.CONTOURS
    feet: bool = False

    @property
    def plan_body(self) -> Body:
        """Body column of the plan."""
        return replace(STANDING, average=self.average) if self.standing else POINT

    @property
    def climb_body(self) -> Body:
        """Body column of the elevation."""
        return replace(CLIMBING, average=self.average) if self.standing else POINT
