"""Where a body is for a reading, in words; the same words in the window, the command line and on paper."""

from __future__ import annotations

from core.site.site import Site
from core.site.surfaces import standing_on
from core.units import show_length
from core.views.body import CLIMBING, POINT, STANDING, Body
from core.views.views import Height


def body_words(body: Body, *, feet: bool = False) -> str:
    """Return the body rule in one phrase, in m or ft.

    Parameters
    ----------
    feet : bool
        Lengths in feet instead of metres.
    """
    if len(body.heights) == 1:
        return "single height"
    low, high = (show_length(h, feet=feet) for h in (min(body.heights), max(body.heights)))
    rule = "spatial average" if body.average else "spatial peak"
    return f"{rule} over the whole body, {low} to {high}"


def posture(
    site: Site,
    position: tuple[float, float, float],
    body: Body,
    height: Height | None = None,
    *,
    feet: bool = False,
) -> str:
    """Return how the height of a reading was chosen.

    ``position`` is the foot of a standing body or the middle of a climber; ``height`` is how a plan set
    it, when it was not simply the surface.

    Parameters
    ----------
    site : Site
        The site.
    feet : bool
        Lengths in feet instead of metres.
    """
    x, y, z = position
    if body.heights == POINT.heights:
        return f"single point {show_length(z, feet=feet)} above the site datum"
    if body.heights == CLIMBING.heights:
        return f"climber at {show_length(z, feet=feet)} above the site datum, {body_words(body, feet=feet)}"
    if (
        body.heights == STANDING.heights
        and height is not None
        and (height.metres or not height.above_surface)
    ):
        base = "the surface here" if height.above_surface else "the site datum"
        start = f"body column that starts {show_length(height.metres, feet=feet)} above {base}"
        return f"{start}, {body_words(body, feet=feet)}"
    _, name, _ = standing_on(site, x, y, z)
    name = name.rsplit(" at ", 1)[0] if feet else name
    at = f" at {show_length(z, feet=feet)}" if feet else ""
    return f"standing on {name}{at}, {body_words(body, feet=feet)}"
