"""How hard random cases are tried: a part of them with every run, all of them before a release.

``ISOFENCE_TESTS=full`` tries all. What is checked of a case is the same; ``tests/bench`` tries far more still.
"""

from __future__ import annotations

import os

FULL = os.environ.get("ISOFENCE_TESTS") == "full"
_PART = 0.2


def many(count: int, least: int = 10) -> int:
    """Return how many of so many random cases are tried in this run, ``least`` of them at any rate."""
    return count if FULL else min(count, max(least, round(_PART * count)))
