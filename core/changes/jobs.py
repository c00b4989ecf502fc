"""Planned entries whose verdict changes: each job planned anew on both states."""

from __future__ import annotations

from dataclasses import dataclass

from core.changes.differences import renamed
from core.entry.entry import plan_entry
from core.errors import InputError, short
from core.progress import Asked, Cancelled
from core.site.job import Job
from core.site.site import Site

NOT_THERE = "not there"
_LONGEST = 200


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a job comes to on one state: the verdict in words, whether it may go, and the reasons of a no.

    ``planned`` is False where the job is not there, or names what the site does not have.
    """

    words: str
    go: bool
    reasons: tuple[str, ...] = ()
    planned: bool = True


@dataclass(frozen=True, slots=True)
class JobChange:
    """A job whose verdict is another one after the change."""

    name: str
    was: Outcome
    now: Outcome

    @property
    def worse(self) -> bool:
        """True where it could go and cannot any more, or is new and cannot; a job that was taken away is not worse."""
        if self.now.words == NOT_THERE:
            return False
        return not self.now.go and (self.was.go or not self.was.planned)


def outcome(site: Site, name: str) -> Outcome:
    """Return what a job comes to on a site; an error of its plan is a verdict too.

    Parameters
    ----------
    site : Site
        One state.
    name : str
        The job.
    """
    job: Job | None = next((j for j in site.jobs if j.name == name), None)
    if job is None:
        return Outcome(NOT_THERE, go=False, planned=False)
    try:
        entry = plan_entry(site, job)
    except InputError as error:
        return Outcome(
            f"cannot be planned: {short(error.line(), _LONGEST)}", go=False, planned=False
        )
    go = entry.verdict.is_go
    words = f"{'may go' if go else 'NO GO'}, garment {entry.verdict.value}"
    return Outcome(words, go, () if go else entry.reasons)


def job_changes(before: Site, after: Site, cancelled: Asked | None = None) -> tuple[JobChange, ...]:
    """Return the jobs whose verdict changes, under their names after, those of the state before first.

    Parameters
    ----------
    before, after : Site
        The two states, each with its own jobs.
    cancelled : callable
        Asked between jobs; True stops with :class:`core.progress.Cancelled`.

    Raises
    ------
    Cancelled
        If asked to stop.
    """
    changes = []
    old = renamed(before.jobs, after.jobs)
    new = {first: second for second, first in old.items()}
    names = [new.get(job.name, job.name) for job in before.jobs]
    for name in dict.fromkeys((*names, *(job.name for job in after.jobs))):
        if cancelled is not None and cancelled():
            raise Cancelled
        was, now = outcome(before, old.get(name, name)), outcome(after, name)
        if was.words != now.words:
            changes.append(JobChange(name, was, now))
    return tuple(changes)
