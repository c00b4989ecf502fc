"""Sites worked on by a running dask.distributed scheduler; an optional extra, imported on a call only."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from itertools import islice

from core.errors import InputError, short
from core.fleet.assess import assess
from core.fleet.plan import Answer, Plan, lost

_AHEAD = 4
"""Files handed out for each thread of a worker: enough to keep it busy, few enough to keep memory bounded."""


def answers(
    plan: Plan, names: Sequence[str], address: str, timeout: float = 10.0
) -> Generator[Answer, None, None]:
    """Yield the answer for every file, in the order in which they are done.

    The workers see the same folders under the same paths, and have this program.

    Parameters
    ----------
    plan : Plan
        What is asked.
    names : sequence of str
        The files, from the folder on.
    address : str
        Of the scheduler, like ``tcp://10.0.0.5:8786``.
    timeout : float
        s that it is waited for.

    Raises
    ------
    InputError
        If the extra is not installed, or no scheduler answers there.
    """
    try:
        from distributed import Client, as_completed
    except ImportError:
        raise InputError(
            "needs dask.distributed, which is not installed",
            field="--scheduler",
            fix="Install isofence[fleet], or leave it out to use this machine",
        ) from None
    try:
        client = Client(address, timeout=timeout, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise InputError(
            f"no scheduler answers at {address!r} ({short(str(error), 120) or type(error).__name__})",
            field="--scheduler",
            fix="Start one, and give its address like tcp://10.0.0.5:8786",
        ) from None
    with client:
        threads = sum(client.nthreads().values())
        if not threads:
            raise InputError(
                f"the scheduler at {address!r} has no worker", field="--scheduler", fix="Start some"
            )
        waiting = iter(names)
        running: dict[str, str] = {}
        done = as_completed(loop=client.loop, raise_errors=False)

        def hand_out(count: int) -> None:
            for name in islice(waiting, count):
                future = client.submit(assess, plan, name, pure=False)
                running[future.key] = name
                done.add(future)

        hand_out(_AHEAD * threads)
        for future in done:
            name = running.pop(future.key)
            if future.status == "finished":
                yield future.result()
            else:
                why = short(f"lost by its worker ({future.exception()})", 200)
                yield lost(name, why)
            hand_out(1)
