"""The site as a job sets it."""

from __future__ import annotations

from core.site.job import Job
from core.site.site import Site
from core.site.states import with_states


def planned_site(site: Site, job: Job) -> Site:
    """Return the site with its antennas set to the states that a job plans for them.

    Parameters
    ----------
    site : Site
        The site.
    job : Job
        The job.

    Raises
    ------
    InputError
        If it names an antenna that the site does not have.
    """
    return with_states(site, dict(job.states), f"{where(site, job)} states")


def where(site: Site, job: Job) -> str:
    """Return where in the site file a job stands, for error texts."""
    index = next((i for i, j in enumerate(site.jobs) if j.name == job.name), None)
    number = "" if index is None else f"[{index}]"
    return f'jobs{number} "{job.name}":'
