"""A document that is edited and saved at random in a process that is killed, and what is left of it."""

from __future__ import annotations

import os
import random
import signal
import time
from collections.abc import Iterator
from pathlib import Path

from app.window.document import Document
from core.files.site_file import load_site
from core.files.site_writer import save_site, site_text
from core.site.site import Site
from support.edits import random_edit
from support.simple_sites import FREE, isotropic

SAVES = 0.2
"""Share of the steps that save."""


def _first(path: Path) -> None:
    antennas = tuple(isotropic(f"a{i}", 98e6, 100.0, (float(i), 0.0, 3.0)) for i in range(4))
    save_site(
        Site(name="invented", antennas=antennas, reflection=FREE, story="padding " * 500), path
    )


def _work(path: Path, seed: int, pipe: int) -> None:
    """Edit and save until killed; after each step its number is said."""
    document, rng = Document(), random.Random(seed)
    document.open(path)
    step = 0
    while True:
        _step(document, rng, path)
        step += 1
        os.write(pipe, step.to_bytes(4, "big"))


def _step(document: Document, rng: random.Random, path: Path) -> bool:
    """Save, or edit; say whether it was an edit."""
    if rng.random() < SAVES:
        document.save(path)
        return False
    random_edit(document, rng)
    return True


def kept_after_kill(folder: Path, rng: random.Random) -> Iterator[str]:
    """Kill a process that edits and saves, open the file again, and yield what is wrong.

    The steps are made again without a kill, so it is known what there was to keep.
    """
    folder.mkdir()
    path, seed = folder / "site.json", rng.randrange(2**32)
    _first(path)
    first = path.read_text("utf-8")
    out, pipe = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            _work(path, seed, pipe)
        finally:
            os._exit(1)
    os.close(pipe)
    time.sleep(rng.uniform(0.05, 0.4))
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    said = b""
    while chunk := os.read(out, 65536):
        said += chunk
    os.close(out)
    if os.WIFEXITED(status):
        yield "the editing itself failed"
        return
    done = int.from_bytes(said[-4:], "big") if said else 0
    texts, saved, finished = _made_again(folder, seed, done, first)
    if path.read_text("utf-8") not in saved:
        yield "the file is not one that was saved"
    document = Document()
    document.open(path)
    left = document.left()
    if left:
        document.recover(left[0])
    if site_text(document.site) not in texts[finished:]:
        yield f"a finished edit is missing after {done} steps"
    document.save(path)
    if load_site(path) != document.site:
        yield "what was recovered cannot be saved"
    document.close()
    names = {p.name for p in folder.iterdir()} - {path.name, "again.json"}
    if names:
        yield f"left behind: {sorted(names)}"


def _made_again(folder: Path, seed: int, done: int, first: str) -> tuple[list[str], set[str], int]:
    """Return the site after each edit, what may be in the file, and which edit was the last that was finished.

    A movement that goes on is finished with its first step: the next ones are kept when it pauses.
    """
    path = folder / "again.json"
    _first(path)
    document, rng = Document(), random.Random(seed)
    document.open(path)
    texts, finished, on_file = [first], 0, first
    for step in range(done + 1):
        steps = document.stack.index()
        edited = _step(document, rng, path)
        if edited:
            texts.append(site_text(document.site))
        if step < done:
            on_file = path.read_text("utf-8")
            if not edited or document.stack.index() > steps:
                finished = len(texts) - 1
    saved = {on_file, path.read_text("utf-8")}
    document.close()
    return texts, saved, finished
