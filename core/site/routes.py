"""The stops of a job's way: put in, moved, taken out; places become stops as people stand or climb there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from core.errors import InputError
from core.site.job import Job, Route, Stop
from core.site.jobs import fresh_name
from core.site.places import Ladder
from core.site.site import Site
from core.site.surfaces import foot_height

_UP = 1.0
"""m: a climber's middle over the foot of a ladder."""


def standing_stop(site: Site, name: str, place: tuple[float, float, float]) -> Stop:
    """Return a stop of somebody who stands: on the surface next to the height of a place, else the highest there.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        What it is called.
    place : (x, y, z)
        m above the site datum.
    """
    x, y, _ = (round(float(c), 2) for c in place)
    z = float(foot_height(site, np.array([[x, y, place[2]]]))[0])
    return Stop(name=name, position=(x, y, round(z, 3)))


def climbing_stop(ladder: Ladder, name: str, height: float) -> Stop:
    """Return a stop on a ladder, at a height or the nearest that it reaches.

    Parameters
    ----------
    ladder : Ladder
        The ladder.
    name : str
        What it is called.
    height : float
        m above the datum.
    """
    low, high = _ends(ladder)
    return Stop(name=name, ladder=ladder.name, height=round(min(max(height, low), high), 2))


def _ends(ladder: Ladder) -> tuple[float, float]:
    heights = [p[2] for p in ladder.points]
    return min(heights), max(heights)


def climbed(
    ladder: Ladder, before: Stop | None, height: float | None, taken: Sequence[str]
) -> tuple[Stop, ...]:
    """Return the stops of a climb to a height: its foot first, unless the way is on the ladder already.

    Parameters
    ----------
    ladder : Ladder
        The ladder.
    before : Stop or None
        Where the way comes from.
    height : float or None
        Where to, m above the datum; None for the top.
    taken : sequence of str
        Names that stops have already.
    """  # fmt: skip
    low, high = _ends(ladder)
    to = high if height is None else height
    out = []
    if before is None or before.ladder != ladder.name:
        foot = min(low + _UP, high)
        out.append(climbing_stop(ladder, fresh_name(taken, f"Foot of {ladder.name}"), foot))
    if not out or abs(to - (out[0].height or 0.0)) > 0.5:
        name = fresh_name([*taken, *(s.name for s in out)], f"{ladder.name} {to:.4g} m")
        out.append(climbing_stop(ladder, name, to))
    return tuple(out)


def with_stops(job: Job, stops: Sequence[Stop], *, back: bool = False) -> Job:
    """Return the job with other stops on the way up, without a route where there are none; or on the way back.

    Parameters
    ----------
    job : Job
        The job.
    stops : sequence of Stop
        In the order of the way.
    back : bool
        They are those of a way back of its own; without any it is the same way back without a stop.

    Raises
    ------
    InputError
        If there is a way back from nowhere.
    """
    if back:
        if job.route is None:
            raise InputError("there is no way there yet", field="way back", fix="Draw it first")
        return replace(job, route=replace(job.route, way_down=tuple(stops) or None))
    if not stops:
        return replace(job, route=None)
    if job.route is None:
        return replace(job, route=Route(stops=tuple(stops)))
    return replace(job, route=replace(job.route, stops=tuple(stops)))


def stops_of(job: Job, *, back: bool = False) -> tuple[Stop, ...]:
    """Return the stops of a job's way up, or of its own way back; none where it has none.

    Parameters
    ----------
    job : Job
        The job.
    back : bool
        Those of the way back.
    """
    if job.route is None:
        return ()
    return (job.route.way_down or ()) if back else job.route.stops


def before_stops(job: Job, *, back: bool = False) -> Stop | None:
    """Return where a way of a job begins that has no stop yet: the way back at the last stop of the way there.

    Parameters
    ----------
    job : Job
        The job.
    back : bool
        The way back.
    """
    return job.route.stops[-1] if back and job.route is not None else None


def same_way_back(job: Job) -> tuple[Stop, ...]:
    """Return the way back that a job without one of its own takes: the same stops, only passed.

    Parameters
    ----------
    job : Job
        The job.
    """
    return tuple(replace(stop, dwell=0.0) for stop in reversed(stops_of(job)[:-1]))


def goal_on(ladder: Ladder, before: Stop | None, *, back: bool = False) -> float | None:
    """Return the height that a climb goes to where nobody says one: None is the top, on a way back down the foot.

    Parameters
    ----------
    ladder : Ladder
        The ladder.
    before : Stop or None
        Where the way comes from.
    back : bool
        It is the way back.
    """
    down = back and before is not None and before.ladder == ladder.name
    return _ends(ladder)[0] + _UP if down else None
