"""Where the tests find what is not theirs."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).parents[2]
DEMOS = ROOT / "demo_sites"
