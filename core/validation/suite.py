"""Every case and every distance table, computed once."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, partial

from core.validation import (
    arrays,
    dishes,
    families,
    far,
    fields,
    files,
    formulas,
    low,
    points,
    published,
    surroundings,
    twocuts,
)
from core.validation.case import Case
from core.validation.dish_field import beams
from core.validation.spread import DistanceTable

GROUPS: dict[str, Callable[[], tuple[Case, ...]]] = {
    published.GROUP: published.published,
    published.SUMS: published.sums,
    dishes.GROUP: dishes.dishes,
    arrays.GROUP: arrays.arrays,
    points.GROUP: points.points,
    low.DISTANCES_GROUP: low.distances,
    low.DRIVE_GROUP: low.drives,
    low.WIRES_GROUP: low.wires,
    families.GROUP: families.distances,
    far.GROUP: far.far,
    formulas.GROUP: formulas.formulas,
    files.GROUP: files.files,
    twocuts.GROUP: twocuts.twocuts,
}
"""Groups of cases in the order of the report."""


@lru_cache
def cases(group: str) -> tuple[Case, ...]:
    """Return the cases of one group."""
    return GROUPS[group]()


TABLES: tuple[Callable[[], DistanceTable], ...] = (
    fields.same_currents,
    partial(fields.free, conservative=False),
    partial(fields.free, conservative=True),
    partial(fields.medium_wave, conservative=False),
    partial(fields.medium_wave, conservative=True),
    partial(beams, conservative=False),
    partial(beams, conservative=True),
    partial(families.by_distance, conservative=False),
    partial(families.by_distance, conservative=True),
    families.by_direction,
    surroundings.by_distance,
)
"""What makes the distance tables, in the order of the report; each makes its table once."""


def tables() -> tuple[DistanceTable, ...]:
    """Return the distance tables in the order of the report."""
    return tuple(make() for make in TABLES)


def every_case() -> tuple[Case, ...]:
    """Return the cases of all groups."""
    return tuple(case for group in GROUPS for case in cases(group))


def misses() -> tuple[str, ...]:
    """Return one line for each case or row that is not within what is allowed."""
    found = [
        f"{case.group}: {case.title}, {case.inputs}, {case.quantity}: {case.difference_db:+.2f} dB"
        for case in every_case()
        if not case.passed
    ]
    found += [
        f"{table.title}: {row.kind}, {row.antenna}: {row.low:+.2f} / {row.high:+.2f} dB"
        for table in tables()
        for row in table.rows
        if not row.passed
    ]
    return tuple(found)
