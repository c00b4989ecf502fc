"""Sites worked on by a running dask.distributed scheduler; an optional extra, imported on a call only."""

from __future__ import annotations

import re
import socket
from collections.abc import Generator, Sequence
from itertools import islice

from core.errors import InputError, short
from core.fleet.assess import assess
from core.fleet.plan import Answer, Plan, lost

_ADDRESS = re.compile(
    r"(?:(?P<scheme>tcp|tls)://)?(?P<host>[^\s:/\[\]]+|\[[0-9A-Fa-f:.%]+\]):(?P<port>\d{1,5})/?"
)
_GREETING = 8
"""Bytes with which a scheduler begins."""
_AHEAD = 4
"""Files handed out for each thread of a worker: enough to keep it busy, few enough to keep memory bounded."""


def check_scheduler(address: str, timeout: float) -> None:
    """Refuse an address where no scheduler speaks: a client that began to ask there waits for ever, or ends in a trace.

    Parameters
    ----------
    address : str
        Of the scheduler; its scheme may be left out.
    timeout : float
        s that it is waited for.

    Raises
    ------
    InputError
        If it is no address, nothing listens there, or what does is no scheduler.
    """
    found = _ADDRESS.fullmatch(address)
    if found is None or not 0 < int(found["port"]) < 65536:
        raise _silent(address, "that is no address")
    try:
        with socket.create_connection(
            (found["host"].strip("[]"), int(found["port"])), timeout
        ) as line:
            # A scheduler speaks first: the length of its greeting. Under TLS it is the other side's turn.
            if found["scheme"] != "tls" and len(line.recv(_GREETING)) < _GREETING:
                raise _silent(address, "what listens there is no scheduler")
    except TimeoutError:
        raise _silent(address, "what listens there says nothing") from None
    except (OSError, UnicodeError) as error:
        raise _silent(address, short(str(error), 120)) from None


def _silent(address: str, why: str) -> InputError:
    return InputError(
        f"no scheduler answers at {short(address, 80)!r} ({why})",
        field="--scheduler",
        fix="Start one, and give its address like tcp://10.0.0.5:8786",
    )


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
        raise _silent(address, short(str(error), 120) or type(error).__name__) from None
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
