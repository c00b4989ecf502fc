"""What a job sets higher than it was: said, because a plan or a state may have turned it down for the crew."""

from __future__ import annotations

from collections.abc import Iterator

from core.entry.entry import Entry
from core.site.site import Site
from core.site.states import in_state


def begun_from(entry: Entry) -> Site:
    """Return the site that the job of an entry begins from, in its named state."""
    return in_state(entry.before, entry.state) if entry.state else entry.before


def turned_up(entry: Entry) -> Iterator[str]:
    """Yield what the job of an entry turns up, a line each."""
    for before, after in zip(begun_from(entry).antennas, entry.site.antennas, strict=True):
        if after.state.factor > before.state.factor:
            yield (
                f"The job RAISES {after.name}: {before.state.words} -> {after.state.words}. Where that is not meant, "
                f"take {after.name} out of what the job sets."
            )
