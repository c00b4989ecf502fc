"""What a change does to the ways in and to the fences: categories and signs, and what stops holding."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from core.changes.differences import renamed
from core.fences.fence import Check
from core.limits.categories import Category
from core.reading.signs import SignLine, sign_schedule
from core.site.site import Site

NOT_THERE = "not there"
"""What stands for a way in, or a fence, that one of the states does not have."""


@dataclass(frozen=True, slots=True)
class AccessChange:
    """A way in whose category or sign changed; None where one of the states does not have it."""

    name: str
    was: SignLine | None
    now: SignLine | None

    @property
    def worse(self) -> bool:
        """True where its category rose, it is newly open to the public over their limit, or it has no verdict left."""
        if self.now is None:
            return False
        if self.now.category is None:
            return self.was is None or self.was.category is not None
        before = (
            Category.ONE if self.was is None or self.was.category is None else self.was.category
        )
        opened = is_open(self.now) and not (self.was is not None and is_open(self.was))
        return self.now.category > before or opened


def is_open(line: SignLine) -> bool:
    """Return whether a way in over the public limit is open to the public.

    Parameters
    ----------
    line : SignLine
        Its line of the sign schedule.
    """
    return line.access.public and line.category is not None and line.category >= Category.TWO


def sign_words(line: SignLine | None) -> str:
    """Return the category and the sign of a way in, in words.

    Parameters
    ----------
    line : SignLine or None
        Its line of the sign schedule; None where it is not there.
    """
    if line is None:
        return NOT_THERE
    if line.category is None:
        return f"no verdict, sign {line.word}"
    public = ", OPEN TO THE PUBLIC" if is_open(line) else ""
    return f"Category {line.category.name.capitalize()}, {line.word}{public}"


def access_changes(before: Site, after: Site) -> tuple[AccessChange, ...]:
    """Return the ways in whose category or sign changed, under their names after.

    Parameters
    ----------
    before, after : Site
        The two states.

    Raises
    ------
    InputError
        If a site's data are inconsistent.
    """
    names = {old: new for new, old in renamed(before.access_points, after.access_points).items()}
    was = {names.get(line.access.name, line.access.name): line for line in sign_schedule(before)}
    now = {line.access.name: line for line in sign_schedule(after)}
    changes = []
    for name in dict.fromkeys((*was, *now)):
        one, other = was.get(name), now.get(name)
        if sign_words(one) != sign_words(other):
            changes.append(AccessChange(name, one, other))
    return tuple(changes)


@dataclass(frozen=True, slots=True)
class FenceChange:
    """A fence that began or ceased to hold, or came or went; None where one of the states does not have it."""

    name: str
    was: Check | None
    now: Check | None

    @property
    def worse(self) -> bool:
        """True where it held and does not any more, or is gone while it held something back."""
        if self.now is None:
            return self.was is not None and self.was.holds and self.was.holding
        return not self.now.holds and (self.was is None or self.was.holds)


def fence_changes(was: Mapping[str, Check], now: Mapping[str, Check]) -> tuple[FenceChange, ...]:
    """Return the fences whose check says another thing than before.

    Zones that no fence touches stand under :data:`core.fences.site_fences.UNFENCED`.

    Parameters
    ----------
    was, now : mapping of name to Check
        The checks of all fences of the two states.
    """
    changes = []
    for name in dict.fromkeys((*was, *now)):
        one, other = was.get(name), now.get(name)
        if (one is None) != (other is None) or (one and other and one.holds != other.holds):
            changes.append(FenceChange(name, one, other))
    return tuple(changes)
