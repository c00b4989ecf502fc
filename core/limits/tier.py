"""The two tiers of a limit set: the public, and people at work who know what they do."""

from __future__ import annotations

from typing import Literal, get_args

from core.errors import InputError

Tier = Literal["public", "occupational"]
TIERS: tuple[Tier, ...] = get_args(Tier)


def tier_of(text: str) -> Tier:
    """Return the tier that a word names.

    Raises
    ------
    InputError
        If ``text`` names none.
    """
    for tier in TIERS:
        if text == tier:
            return tier
    raise InputError(f"{text!r} is not a tier", field="tier", fix=f"Use {' or '.join(TIERS)}")
