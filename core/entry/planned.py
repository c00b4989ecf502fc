"""The site as a job sets it."""

from __future__ import annotations

from dataclasses import replace

from core.errors import InputError
from core.site.job import Job
from core.site.site import Site


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
    names = {antenna.name for antenna in site.antennas}
    for name, _ in job.states:
        if name not in names:
            raise InputError(
                f"no antenna is called {name!r}",
                field=f"{where(site, job)} states",
                fix="Use a name from the site's list of emitters, or take it out of the job",
            )
    planned = dict(job.states)
    antennas = tuple(
        replace(a, state=planned[a.name]) if a.name in planned else a for a in site.antennas
    )
    return replace(site, antennas=antennas)


def where(site: Site, job: Job) -> str:
    """Return where in the site file a job stands, for error texts."""
    index = next((i for i, j in enumerate(site.jobs) if j.name == job.name), None)
    number = "" if index is None else f"[{index}]"
    return f'jobs{number} "{job.name}":'
