"""The README's two antenna swaps: compares the demo sites with their states after, and draws the pages.

python tests/bench/swaps.py FOLDER [SITE ...]

Writes into FOLDER for each site its state after, the page as PNG and the text. Takes minutes: all zones of both states
are proven.
"""

from __future__ import annotations

import contextlib
import io
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from app.cli.main import main as isofence
from support.swaps import SWAPS, before, write_after

VIEWS = {"harrow-lane-roof": [], "cold-ridge-tower": ["--elevation", "90"]}


def main(folder: Path, *only: str) -> None:
    for key in only or SWAPS:
        after = write_after(key, folder / key)
        text, started = io.StringIO(), time.perf_counter()
        words = [
            "compare",
            str(before(key)),
            str(after),
            "--percent",
            "5",
            "--metres",
            "0.1",
            "--seconds",
            "900",
            "--cells",
            "300x300",
        ]
        with contextlib.redirect_stdout(text):
            code = isofence([*words, *VIEWS[key], "-o", str(folder / f"{key}.png")])
        (folder / f"{key}.txt").write_text(text.getvalue(), "utf-8")
        print(f"{key}: exit {code}, {time.perf_counter() - started:.0f} s")
        print(text.getvalue())


if __name__ == "__main__":
    main(Path(sys.argv[1]), *sys.argv[2:])
