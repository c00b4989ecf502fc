"""How many of many like cases are tried: a part of them with every run, all of them before a release.

``ISOFENCE_TESTS=full`` tries all. What is checked of a case is the same; ``tests/bench`` tries far more still.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Sequence

FULL = os.environ.get("ISOFENCE_TESTS") == "full"
_PART = 0.2


def many(count: int, least: int = 10) -> int:
    """Return how many of so many random cases are tried in this run, ``least`` of them at any rate."""
    return count if FULL else min(count, max(least, round(_PART * count)))


SAMPLED = (
    "app/cli/test_brief_command.py",
    "app/cli/test_cli.py",
    "app/cli/test_cli_sheets.py",
    "app/cli/test_compare.py",
    "app/draw/test_brief_sheet.py",
    "app/draw/test_furniture.py",
    "app/draw/test_ladder_sheet.py",
    "app/draw/test_sheets.py",
    "app/window/test_antenna_form.py",
    "app/window/test_antenna_tools.py",
    "app/window/test_choosing_antennas.py",
    "app/window/test_drawing_shapes.py",
    "app/window/test_fence_drawing.py",
    "app/window/test_fence_list.py",
    "app/window/test_habits.py",
    "app/window/test_handling_shapes.py",
    "app/window/test_hostile_window.py",
    "app/window/test_lifting_shapes.py",
    "app/window/test_moving_maps.py",
    "app/window/test_on_the_maps.py",
    "app/window/test_printing.py",
    "app/window/test_states_window.py",
    "app/window/test_survey_window.py",
    "app/window/test_take_schedule.py",
    "app/window/test_unsaved_picture.py",
    "app/window/test_zones_window.py",
    "core/antennas/test_catalogue.py",
    "core/antennas/test_dish_beside.py",
    "core/antennas/test_handover.py",
    "core/antennas/test_measured.py",
    "core/antennas/test_stack.py",
    "core/antennas/test_yagi.py",
    "core/entry/test_power_plan.py",
    "core/exposure/test_exposure.py",
    "core/exposure/test_raster.py",
    "core/exposure/test_whole_column.py",
    "core/fields/test_directions.py",
    "core/files/test_schedule_taking.py",
    "core/patterns/test_two_cuts.py",
    "core/proof/test_bounds.py",
    "core/proof/test_near_grid.py",
    "core/proof/test_proven.py",
    "core/proof/test_surroundings.py",
    "core/reading/test_bar.py",
    "core/reading/test_reading.py",
    "core/zones/test_generated_zones.py",
    "hostile/test_doors.py",
    "hostile/test_kills.py",
)
"""Files whose tests have many parameters and take long: of each test every fifth set of them is tried."""
_EVERY = 5


def left_out(names: Sequence[tuple[str, str, bool]]) -> list[bool]:
    """Return which tests wait for a full run.

    Parameters
    ----------
    names : sequence of (file, test, has parameters)
        The tests in order; files from ``tests`` on.
    """
    seen: Counter[tuple[str, str]] = Counter()
    out = []
    for file, test, varied in names:
        number = seen[file, test]
        seen[file, test] += 1
        out.append(not FULL and varied and file in SAMPLED and number % _EVERY != 0)
    return out
