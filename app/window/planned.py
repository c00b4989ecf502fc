"""What is known of the chosen job, as one frozen value that the panels of the Entry and Briefing tasks show."""

from __future__ import annotations

from dataclasses import dataclass

from core.entry.course import Course
from core.entry.entry import Entry
from core.site.job import Job


@dataclass(frozen=True)
class Planned:
    """The chosen job and what was found for it.

    Attributes
    ----------
    job : Job or None
        As it is now; None where the site has none.
    course : Course or None
        Its way in the order of time: a quick look until it is proven.
    entry : Entry or None
        The proven entry.
    stale : bool
        Job, site or state have changed since: what is shown is dimmed and about.
    trouble : str
        Why nothing can be found.
    """

    job: Job | None = None
    course: Course | None = None
    entry: Entry | None = None
    stale: bool = False
    trouble: str = ""
