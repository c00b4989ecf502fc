"""A fleet: broken sites named, kills that cost nothing done, processes that die, one table whoever does the work."""

from __future__ import annotations

import csv
import json
import os
import signal
import time
from collections.abc import Generator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from core.changes.comparison import compare, proven
from core.errors import InputError
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.fleet import processes
from core.fleet.assess import assess, columns
from core.fleet.plan import Answer, Plan, answer_of
from core.fleet.run import Fleet, run
from core.site.job import Job, Work
from support.changed import raised
from support.fleets import BROKEN, DEADLY, OTHERS, deadly_work, one_by_one, write_fleet

COUNT = 4


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A few sites, three broken ones among them, and files that are no sites. Nobody writes here."""
    place = tmp_path_factory.mktemp("fleet") / "sites"
    write_fleet(place, COUNT, broken=True)
    return place


@pytest.fixture(scope="module")
def plain(folder: Path) -> tuple[Fleet, bytes]:
    """The fleet by a plain loop, and its table."""
    table = folder.parent / "plain.csv"
    return run(Plan(folder=str(folder)), table, one_by_one), table.read_bytes()


def rows_of(table: Path | bytes) -> dict[str, dict[str, str]]:
    content = table if isinstance(table, bytes) else table.read_bytes()
    rows = list(csv.DictReader(content.decode("utf-8").splitlines()))
    assert [r["site_file"] for r in rows] == sorted(r["site_file"] for r in rows)
    return {r["site_file"]: r for r in rows}


def test_every_site_has_a_line_and_the_broken_ones_their_error(
    plain: tuple[Fleet, bytes],
) -> None:
    fleet, content = plain
    rows = rows_of(content)
    assert len(rows) == COUNT + len(BROKEN)
    assert {a.name for a in fleet.broken} == set(BROKEN)
    for name, said in (
        ("broken-comma.json", "is not JSON"),
        ("broken-power.json", "eirp"),
        ("deeper/broken-key.json", "is not an Isofence site"),
    ):
        assert rows[name]["result"] == "error"
        assert rows[name]["error"].startswith(f"{name}: ")
        assert said in rows[name]["error"]
    assert {a.name for a in fleet.answers if a.row is None} == set(OTHERS)
    assert fleet.finding


def test_a_line_says_what_the_commands_say(folder: Path, plain: tuple[Fleet, bytes]) -> None:
    rows = rows_of(plain[1])
    plan = Plan(folder=str(folder))
    for name in (n for n, r in rows.items() if r["result"] == "done"):
        state = proven(load_site(folder / name), None, plan.tolerance)
        row = rows[name]
        areas = [f"{z.area:.2f}" for _, z in state.zones.zones]
        assert [row["public_m2"], row["occupational_m2"], row["ten_times_m2"]] == areas
        assert row["fences"] == str(len(state.site.fences))
        leaking = {n for n, c in state.checks.items() if not c.holds}
        assert set(filter(None, row["fences_not_holding"].split("; "))) == leaking
    assert any(float(r["public_m2"] or 0) > 10.0 for r in rows.values())


def killed_after(plan: Plan, table: Path, count: int) -> list[str]:
    """Run in a child, kill it when so many lines are in the journal, and return the files that are done."""
    journal = table.with_name(f"{table.name}.journal")
    child = os.fork()
    if child == 0:
        try:
            run(plan, table, slowly)
        finally:
            os._exit(1)
    ends = time.monotonic() + 30.0
    while not journal.exists() or journal.read_bytes().count(b"\n") < count + 1:
        assert time.monotonic() < ends
        time.sleep(0.002)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    assert not table.exists()
    lines = journal.read_bytes().split(b"\n")[1:-1]
    return [json.loads(line)["name"] for line in lines]


def slowly(plan: Plan, names: Sequence[str]) -> Generator[Answer, None, None]:
    for answer in one_by_one(plan, names):
        yield answer
        time.sleep(0.02)


def test_what_is_done_when_a_run_is_killed_is_not_done_again(
    folder: Path, plain: tuple[Fleet, bytes], tmp_path: Path
) -> None:
    plan, table = Plan(folder=str(folder)), tmp_path / "t.csv"
    first = killed_after(plan, table, 4)
    again = killed_after(plan, table, 7)
    assert again[: len(first)] == first
    asked: list[str] = []

    def counting(plan: Plan, names: Sequence[str]) -> Generator[Answer, None, None]:
        asked.extend(names)
        yield from one_by_one(plan, names)

    fleet = run(plan, table, counting)
    assert fleet.resumed == len(again) >= 7
    assert not set(asked) & set(again)
    assert len(set(again)) == len(again)
    assert sorted([*asked, *again]) == sorted(a.name for a in fleet.answers)
    assert table.read_bytes() == plain[1]
    assert list(tmp_path.iterdir()) == [table]


def test_a_file_that_changed_since_is_done_again_and_another_plan_is_refused(
    tmp_path: Path,
) -> None:
    write_fleet(tmp_path / "sites", 3)
    plan, table = Plan(folder=str(tmp_path / "sites")), tmp_path / "t.csv"

    def stopping(plan: Plan, names: Sequence[str]) -> Generator[Answer, None, None]:
        yield from (assess(plan, n) for n in names[:2])
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run(plan, table, stopping)
    with pytest.raises(InputError, match="journal of another run"):
        run(replace(plan, limits="ICNIRP2020"), table, one_by_one)
    first = sorted((tmp_path / "sites").rglob("*.json"))[0]
    save_site(replace(load_site(first), name="another name"), first)
    fleet = run(plan, table, one_by_one)
    assert fleet.resumed == 1
    assert "another name" in {r["site"] for r in rows_of(table).values()}


def test_a_file_that_is_no_journal_is_left_alone(folder: Path, tmp_path: Path) -> None:
    table, note = tmp_path / "t.csv", tmp_path / "t.csv.journal"
    note.write_text("dear diary\n", "utf-8")
    with pytest.raises(InputError, match=r"t\.csv\.journal: is no journal"):
        run(Plan(folder=str(folder)), table, one_by_one)
    assert note.read_text("utf-8") == "dear diary\n"


def test_processes_make_the_same_lines_and_one_that_dies_costs_its_own_site(tmp_path: Path) -> None:
    names = write_fleet(tmp_path / "sites", 3)
    plan = Plan(folder=str(tmp_path / "sites"))
    deadly = partial(processes.answers, workers=2, work=deadly_work)
    fleet = run(plan, tmp_path / "t.csv", deadly)
    (killed,) = fleet.broken
    assert killed.name.endswith(DEADLY)
    assert killed.row is not None
    assert killed.row["error"].startswith("its process was ended by SIGKILL")
    others = [n for n in names if n != killed.name]
    assert [a for a in fleet.answers if a is not killed] == list(one_by_one(plan, others))


def test_what_changed_and_what_is_gone(tmp_path: Path) -> None:
    names = write_fleet(tmp_path / "before", 4)
    write_fleet(tmp_path / "after", 4)
    old = load_site(tmp_path / "before" / names[1])
    new = raised(old, "source 0", 9.0)
    save_site(new, tmp_path / "after" / names[1])
    (tmp_path / "after" / names[0]).unlink()
    (tmp_path / "before" / names[2]).unlink()
    (tmp_path / "before" / names[3]).write_text("{", "utf-8")
    plan = Plan(folder=str(tmp_path / "after"), against=str(tmp_path / "before"))
    fleet = run(plan, tmp_path / "t.csv", one_by_one)
    rows = rows_of(tmp_path / "t.csv")
    assert tuple(rows[names[1]]) == columns(plan)
    assert rows[names[0]]["result"] == "gone"
    assert fleet.gone == (names[0],)
    row = rows[names[1]]
    found = compare(old, new, plan.tolerance)
    gained = sum(z.gained.area for z in found.zones if z.step.key == "public")
    assert (row["compared"], row["worse"], row["differences"]) == ("yes", "yes", "1")
    assert row["public_gained_m2"] == f"{gained:.2f}"
    assert gained > 5.0
    assert rows[names[2]]["compared"] == "not there before"
    assert rows[names[3]]["compared"].startswith(f"error: {names[3]}: is not JSON")
    assert rows[names[3]]["result"] == "done"


def test_a_change_of_the_rule_is_seen_against_the_same_folder(tmp_path: Path) -> None:
    (name,) = write_fleet(tmp_path / "sites", 1)
    folder = str(tmp_path / "sites")
    plan = Plan(folder=folder, against=folder, limits="ICNIRP2020")
    row = assess(plan, name).row
    assert row is not None
    assert (row["limit_set"], row["compared"], row["differences"]) == ("ICNIRP2020", "yes", "1")
    same = assess(Plan(folder=folder, against=folder), name).row
    assert same is not None
    assert (same["worse"], same["differences"], same["public_gained_m2"]) == ("no", "0", "0.00")


def test_an_answer_survives_its_way_through_a_journal(folder: Path) -> None:
    answer = assess(Plan(folder=str(folder)), "broken-comma.json")
    assert answer_of(json.loads(json.dumps(answer.data))) == answer


def test_an_error_of_the_program_is_a_line_and_no_end(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise ZeroDivisionError("of all things")

    monkeypatch.setattr("core.fleet.assess.proven", fails)
    row = assess(Plan(folder=str(folder)), "area 0/site-000.json").row
    assert row == {
        "result": "error", "finding": "yes", "error": "unexpected error (ZeroDivisionError: of all things)",
    }  # fmt: skip


def test_jobs_are_judged(tmp_path: Path) -> None:
    (name,) = write_fleet(tmp_path / "sites", 1)
    site = load_site(tmp_path / "sites" / name)
    x, y, z = site.antennas[0].position
    far = Job(name="far", work=Work(low=(40.0, 0.0, 0.0), high=(40.0, 0.0, 1.0)))
    near = Job(name="near", work=Work(low=(x, y, z), high=(x, y, z)))
    save_site(replace(site, jobs=(far, near)), tmp_path / "sites" / name)
    row = assess(Plan(folder=str(tmp_path / "sites")), name).row
    assert row is not None
    assert (row["result"], row["jobs"], row["jobs_no_go"]) == ("done", "2", "near")


def test_a_spreadsheet_takes_no_name_for_a_formula(tmp_path: Path) -> None:
    write_fleet(tmp_path / "sites", 1)
    (old,) = (tmp_path / "sites").rglob("*.json")
    old.rename(tmp_path / "sites" / "=1+1.json")
    run(Plan(folder=str(tmp_path / "sites")), tmp_path / "t.csv", one_by_one)
    assert "\n'=1+1.json," in (tmp_path / "t.csv").read_text("utf-8")
