"""A fleet on a local cluster of two workers makes the same table, byte for byte; skipped without the extra"""

from __future__ import annotations

import builtins
import socket
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from core.errors import InputError
from core.fleet import distributed
from core.fleet.plan import Plan
from core.fleet.run import run
from support.fleets import one_by_one, write_fleet


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    found = pytest.importorskip("distributed")
    with found.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None
    ) as two:
        yield two


@pytest.mark.filterwarnings("default")
def test_a_cluster_of_two_workers_makes_the_same_table(cluster: Any, tmp_path: Path) -> None:
    write_fleet(tmp_path / "sites", 3, broken=True)
    plan = Plan(folder=str(tmp_path / "sites"))
    run(plan, tmp_path / "plain.csv", one_by_one)
    engine = partial(distributed.answers, address=cluster.scheduler_address)
    fleet = run(plan, tmp_path / "cluster.csv", engine)
    assert (tmp_path / "cluster.csv").read_bytes() == (tmp_path / "plain.csv").read_bytes()
    assert len(fleet.broken) == 3


@pytest.mark.filterwarnings("default")
def test_no_scheduler_is_one_clear_error(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    for address in ("tcp://127.0.0.1:1", "no address"):
        with pytest.raises(InputError, match="--scheduler: no scheduler answers at") as caught:
            list(distributed.answers(Plan(folder="."), ["a.json"], address, timeout=0.3))
        assert "give its address" in caught.value.line()


@pytest.mark.parametrize(
    ("address", "why"),
    [
        ("nonsense://", "that is no address"),
        ("inproc://1/2/3", "that is no address"),
        ("tcp://10.0.0.5", "that is no address"),
        ("10.0.0.5:99999", "that is no address"),
        ("a b:1", "that is no address"),
    ],
)
def test_what_is_no_address_is_refused_before_anything_is_asked(address: str, why: str) -> None:
    with pytest.raises(InputError, match="no scheduler answers at") as caught:
        distributed.check_scheduler(address, 1.0)
    assert why in caught.value.line()


def test_what_listens_and_is_no_scheduler_is_refused() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        with pytest.raises(InputError, match="what listens there says nothing"):
            distributed.check_scheduler(f"tcp://127.0.0.1:{port}", 0.2)
        # Under TLS the client speaks first: reached is enough.
        distributed.check_scheduler(f"tls://127.0.0.1:{port}", 0.2)
    with pytest.raises(InputError, match="refused"):
        distributed.check_scheduler(f"127.0.0.1:{port}", 0.2)


@pytest.mark.filterwarnings("default")
def test_a_scheduler_that_runs_is_found() -> None:
    found = pytest.importorskip("distributed")
    with found.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None,
        host="127.0.0.1", protocol="tcp",
    ) as one:  # fmt: skip
        distributed.check_scheduler(one.scheduler_address, 5.0)


def test_without_the_extra_it_is_said_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any, **named: Any) -> Any:
        if name.split(".")[0] == "distributed":
            raise ImportError(name)
        return real(name, *rest, **named)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(InputError, match=r"Install isofence\[fleet\]"):
        list(distributed.answers(Plan(folder="."), [], "tcp://127.0.0.1:1"))
