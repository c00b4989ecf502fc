"""The limit sets a site can choose from, and the lookup by name."""

from __future__ import annotations

from core.errors import InputError
from core.limits.europe import EU, ICNIRP1998
from core.limits.fcc import FCC
from core.limits.health_canada import SC6
from core.limits.icnirp2020 import ICNIRP2020
from core.limits.ieee import IEEE
from core.limits.model import Limit, LimitSet, LimitTable
from core.limits.tier import Tier

DEFAULT_SET = "FCC"

SETS: dict[str, LimitSet] = {
    limit_set.key: limit_set for limit_set in (FCC, ICNIRP2020, ICNIRP1998, EU, IEEE, SC6)
}
"""All sets by their key; the first is the default."""

TABLES: dict[str, LimitTable] = {
    table.key: table for limit_set in SETS.values() for table in limit_set.tables
}
"""All tables of all sets by their key, such as ``"FCC gp"`` or ``"ICNIRP2020-WB occ"``."""


def get_set(key: str) -> LimitSet:
    """Return the limit set of a key.

    Raises
    ------
    InputError
        If there is no such set; the error lists those there are.
    """
    if key not in SETS:
        raise InputError(f"{key!r} is not a limit set", fix=f"Use one of {', '.join(SETS)}")
    return SETS[key]


def limit(key: str, tier: Tier, f_mhz: float) -> Limit | None:
    """Return the limits of one printed table at a frequency in MHz, or None outside the table.

    This looks up a single table, for checking numbers against print. What a place has to meet is
    every table of a set, see :meth:`core.limits.model.LimitSet.of`.

    Parameters
    ----------
    key, tier : str
        The two words of a table's key, for example ``"FCC"`` and ``"gp"``, or
        ``"SC6-2015"`` and ``"controlled"``.
    f_mhz : float
        Frequency in MHz.

    Raises
    ------
    InputError
        If there is no such table.
    """
    name = f"{key} {tier}"
    if name not in TABLES:
        raise InputError(f"{name!r} is not a limit table", fix=f"Use one of {', '.join(TABLES)}")
    return TABLES[name].at(f_mhz * 1e6)
