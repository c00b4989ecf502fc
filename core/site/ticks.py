"""Checks of a garment before it is worn, ticked for a job: which, by whom and when."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from core.errors import InputError
from core.text import LONGEST_NAME, check_name

PRE_USE_CHECKS = (
    "whole set", "cloth", "closures", "joints", "hard hat", "gloves", "socks", "bare skin", "harness", "senses",
    "second look", "monitor",
)  # fmt: skip
"""Their names in a site file; what each means is in core.entry.checks, in the same order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """One of :data:`PRE_USE_CHECKS` that somebody has done: ``by`` whom, ``when`` (2026-12-01, or with the time)."""

    check: str
    by: str
    when: str

    def __post_init__(self) -> None:
        if self.check not in PRE_USE_CHECKS:
            raise InputError(
                f"{self.check!r} is no check before a garment is worn",
                field="garment_checks",
                fix=f"Use {', '.join(PRE_USE_CHECKS)}",
            )
        try:
            check_name(self.by, "by")
        except InputError as error:
            raise error.within(f"garment_checks.{self.check}") from None
        try:
            datetime.datetime.fromisoformat(self.when)
        except ValueError:
            raise InputError(
                f"{self.when[:LONGEST_NAME]!r} is no day or time",
                field=f"garment_checks.{self.check}.when",
                fix="Write it as year-month-day, with the time after it: 2026-12-01 07:40",
            ) from None

    @property
    def words(self) -> str:
        """Who and when."""
        return f"{self.by}, {self.when}"
