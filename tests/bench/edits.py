"""Random edits of a site, all undone and all done again: the same bytes.

python tests/bench/edits.py [SITE] [--edits N] [--seed N]
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from PySide6.QtCore import QCoreApplication

from app.window.document import Document
from core.files.site_writer import site_text
from support.edits import random_edit

ROOF = Path(__file__).parents[2] / "demo_sites" / "harrow-lane-roof" / "harrow-lane-roof.json"


def main() -> int:
    """Run, print, and return 1 if any byte differs."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("site", nargs="?", default=str(ROOF))
    parser.add_argument("--edits", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    app = QCoreApplication([])
    document, rng = Document(), random.Random(args.seed)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "site"
        shutil.copytree(Path(args.site).parent, folder)
        document.open(folder / Path(args.site).name)
        first, start = site_text(document.site), time.perf_counter()
        for _ in range(args.edits):
            random_edit(document, rng)
        last, taken = site_text(document.site), time.perf_counter() - start
        while document.stack.canUndo():
            document.stack.undo()
        back = site_text(document.site) == first
        while document.stack.canRedo():
            document.stack.redo()
        again = site_text(document.site) == last
        steps = document.stack.count()
        document.close()
    app.processEvents()
    print(
        f"{args.edits} edits in {taken:.1f} s, {steps} steps of undo; {1e3 * taken / args.edits:.1f} ms an edit"
    )
    print(f"undone to the first byte: {back}; done again to the last: {again}")
    return 0 if back and again else 1


if __name__ == "__main__":
    sys.exit(main())
