"""Jobs and garments of a site, exchanged by name; each function returns another site."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from core.site.garment import Garment
from core.site.job import Job
from core.site.site import Site


def fresh_name(taken: Iterable[str], wanted: str) -> str:
    """Return a name that is not taken: the one that is wanted, or that with a number.

    Parameters
    ----------
    taken : iterable of str
        Names there are.
    wanted : str
        What it is to be called.

    Examples
    --------
    >>> fresh_name(["Lamp", "Lamp 2"], "Lamp")
    'Lamp 3'
    """
    names = set(taken)
    if wanted not in names:
        return wanted
    return next(n for i in range(2, len(names) + 3) if (n := f"{wanted} {i}") not in names)


def with_job(site: Site, job: Job, instead: str = "") -> Site:
    """Return the site with a job in the place of the one called ``instead``, or with one job more.

    Parameters
    ----------
    site : Site
        The site.
    job : Job
        The job.
    instead : str
        Name of the one that goes; empty for none.

    Raises
    ------
    InputError
        If another job has its name.
    """
    if any(j.name == instead for j in site.jobs):
        return replace(site, jobs=tuple(job if j.name == instead else j for j in site.jobs))
    return replace(site, jobs=(*site.jobs, job))


def without_job(site: Site, name: str) -> Site:
    """Return the site without the job of a name."""
    return replace(site, jobs=tuple(j for j in site.jobs if j.name != name))


def with_garment(site: Site, garment: Garment, instead: str = "") -> Site:
    """Return the site with a garment in the place of the one called ``instead``, or with one more.

    A garment that gets another name keeps it in the jobs that it is worn for.

    Parameters
    ----------
    site : Site
        The site.
    garment : Garment
        The garment.
    instead : str
        Name of the one that goes; empty for none.

    Raises
    ------
    InputError
        If another garment has its name.
    """
    if all(g.name != instead for g in site.garments):
        return replace(site, garments=(*site.garments, garment))
    garments = tuple(garment if g.name == instead else g for g in site.garments)
    jobs = tuple(
        replace(j, garment=garment.name) if instead and j.garment == instead else j
        for j in site.jobs
    )
    return replace(site, garments=garments, jobs=jobs)


def without_garment(site: Site, name: str) -> Site:
    """Return the site without the garment of a name; no job is left with it."""
    jobs = tuple(replace(j, garment="") if j.garment == name else j for j in site.jobs)
    return replace(site, garments=tuple(g for g in site.garments if g.name != name), jobs=jobs)
