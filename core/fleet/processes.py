"""Sites worked on in processes of this machine, each by itself: one that brings its process down costs itself only."""

from __future__ import annotations

import contextlib
import multiprocessing
import signal
from collections import deque
from collections.abc import Callable, Generator, Sequence
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess

from core.caches import MOST_BYTES, SHARED
from core.fleet.assess import assess
from core.fleet.plan import Answer, Plan, lost

Work = Callable[[Plan, str], Answer]

_LEAST_CACHE = 50_000_000


def answers(
    plan: Plan, names: Sequence[str], workers: int, work: Work = assess
) -> Generator[Answer, None, None]:
    """Yield the answer for every file, in the order in which they are done.

    A process is started once and asked again and again; what it keeps for reuse is bounded for all together. When the
    caller stops listening, the processes are ended.

    Parameters
    ----------
    plan : Plan
        What is asked.
    names : sequence of str
        The files, from the folder on.
    workers : int
        How many processes.
    work : callable
        What is done with each file; a function that another process can import.
    """
    waiting = deque(names)
    crew: dict[Connection, tuple[SpawnProcess, str]] = {}
    share = max(_LEAST_CACHE, MOST_BYTES // workers)
    try:
        while waiting or crew:
            while waiting and len(crew) < workers:
                line, process = _started(plan, work, share)
                crew[line] = process, waiting.popleft()
                line.send(crew[line][1])
            ready = wait(list(crew))
            for line in [one for one in crew if one in ready]:
                process, name = crew[line]
                try:
                    answer = line.recv()
                except (EOFError, OSError):
                    _ended(line, process)
                    del crew[line]
                    yield lost(name, _fate(process.exitcode))
                    continue
                if waiting:
                    crew[line] = process, waiting.popleft()
                    line.send(crew[line][1])
                else:
                    del crew[line]
                    _ended(line, process)
                yield answer
    finally:
        for line, (process, _) in crew.items():
            process.terminate()
            _ended(line, process)


def _started(plan: Plan, work: Work, share: int) -> tuple[Connection, SpawnProcess]:
    context = multiprocessing.get_context("spawn")
    here, there = context.Pipe()
    process = context.Process(target=_serve, args=(there, plan, work, share), daemon=True)
    process.start()
    # Ours alone, so that the end of either process is seen at the other end.
    there.close()
    return here, process


def _ended(line: Connection, process: SpawnProcess) -> None:
    line.close()
    process.join()


def _serve(line: Connection, plan: Plan, work: Work, share: int) -> None:
    """Answer for one file after another, until the other end is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    SHARED.most_bytes = share
    with contextlib.suppress(EOFError, OSError):
        while True:
            line.send(work(plan, line.recv()))


def _fate(code: int | None) -> str:
    """Return what became of a process."""
    if code is not None and code < 0:
        with contextlib.suppress(ValueError):
            name = signal.Signals(-code).name
            return f"its process was ended by {name}: too little memory, or an error of the program"
    return f"its process ended by itself (exit code {code}): an error of the program"
