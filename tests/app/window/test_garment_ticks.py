"""The checks of the garment before it is worn: ticked in the window, kept in the file, printed, said in the verdict."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.cli.main import main
from app.window import entries
from app.window.main_window import MainWindow
from app.window.panels.garment_card import GarmentCard
from app.window.panels.tick_list import TickList
from core.entry.briefing import briefing
from core.entry.entry import plan_entry
from core.entry.missing import missing
from core.errors import InputError
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.site.job import Job
from core.site.ticks import PRE_USE_CHECKS, Tick
from support.briefed import emitter, in_suit, mast
from support.entry_window import opened, planned
from support.windows import wait_for

K, LEFT = Qt.Key, Qt.MouseButton.LeftButton
STRONG = emitter(eirp=1500.0)
ALL = tuple(Tick(check=check, by="R. Ames", when="2026-12-01") for check in PRE_USE_CHECKS)


@pytest.fixture(autouse=True)
def _no_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(entries, "QUIET", 0)


def ticks(window: MainWindow) -> TickList:
    card = window.panel("garment")
    assert isinstance(card, GarmentCard)
    return card.ticks


def click(window: MainWindow, check: str) -> None:
    """Click into the box of a check."""
    box = ticks(window).boxes[check]
    QTest.mouseClick(box, LEFT, pos=QPoint(8, box.height() // 2))


def type_in(window: MainWindow, by: str, when: str = "") -> None:
    for line, text in ((ticks(window).by, by), (ticks(window).when, when)):
        line.clear()
        QTest.keyClicks(line, text)


def job_of(window: MainWindow) -> Job:
    return window.document.site.jobs[0]


def test_each_is_ticked_with_who_and_when_and_kept_in_the_file(
    window: MainWindow, tmp_path: Path
) -> None:
    path = tmp_path / "mast.json"
    opened(window, path, mast(STRONG, plan=in_suit()))
    assert "12 of its 12 checks before it is worn not done yet" in planned(window)
    click(window, "cloth")
    assert "checked by: nobody is named. Type who looks" in window.message.text()
    assert not ticks(window).boxes["cloth"].isChecked()
    assert job_of(window).garment_checks == ()
    type_in(window, "R. Ames", "tomorrow")
    click(window, "cloth")
    assert "'tomorrow' is no day or time" in window.message.text()
    assert ticks(window).when.text() == "tomorrow", "what was typed stays"
    type_in(window, "R. Ames", "2026-12-01 07:40")
    entry = window.entries.planned.entry
    click(window, "cloth")
    type_in(window, "L. Ortiz")
    click(window, "monitor")
    done = {t.check: t for t in job_of(window).garment_checks}
    assert done["cloth"].words == "R. Ames, 2026-12-01 07:40"
    assert done["monitor"].when.startswith("20"), "now, where nobody says when"
    assert "(R. Ames, 2026-12-01 07:40)" in ticks(window).texts["cloth"].text()
    assert "10 of its 12 checks" in planned(window)
    now = window.entries.planned.entry
    assert now is not None
    assert entry is not None
    assert now.stops is entry.stops, "nothing is computed anew for a tick"
    QTest.keyClick(ticks(window).boxes["monitor"], K.Key_Space)
    assert [t.check for t in job_of(window).garment_checks] == ["cloth"]
    window.document.stack.undo()
    assert [t.check for t in job_of(window).garment_checks] == ["cloth", "monitor"]
    assert window.files.save()
    assert load_site(path).jobs == window.document.site.jobs


def test_ticks_are_of_one_job_and_one_garment(window: MainWindow, tmp_path: Path) -> None:
    opened(window, tmp_path / "mast.json", mast(STRONG, plan=in_suit(garment_checks=ALL)))
    assert planned(window).endswith("within its rating everywhere.")
    jobs = window.panel("jobs")
    jobs._copy()
    assert window.document.site.jobs[1].garment_checks == ()
    window.maps.choose_job("Lamp change")
    box = jobs.garment
    box.setFocus()
    QTest.keyClick(box, K.Key_Up)
    wait_for(lambda: job_of(window).garment == "")
    assert job_of(window).garment_checks == ()
    assert not ticks(window).isVisible()


def test_the_sheet_and_the_commands_say_what_is_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    done = (Tick(check="cloth", by="R. Ames", when="2026-12-01 07:40"),)
    site = mast(STRONG, plan=in_suit(garment_checks=done))
    entry = plan_entry(site, site.jobs[0])
    assert entry.verdict.is_go
    sheet = briefing(entry)
    assert "11 of its 12 checks before it is worn not done yet" in sheet.verdict
    part = next(p for p in sheet.rest if p.heading.startswith("Before the garment is worn"))
    assert [line.done for line in part.lines] == [check == "cloth" for check in PRE_USE_CHECKS]
    assert part.lines[1].text.endswith("(R. Ames, 2026-12-01 07:40)")
    assert any("tick them" in line for line in missing(entry))
    whole = mast(STRONG, plan=in_suit(garment_checks=ALL))
    full = plan_entry(whole, whole.jobs[0])
    assert "not done" not in briefing(full).verdict
    assert not any("tick" in line for line in missing(full))
    path = tmp_path / "mast.json"
    save_site(site, path)
    assert main(["entry", str(path)]) == 0
    said = capsys.readouterr().out
    assert "[x] Cloth, mesh and seams" in said
    assert "(R. Ames, 2026-12-01 07:40)" in said
    assert said.count("[ ] ") == 11
    assert main(["entry", str(path), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert '"cloth": {"by": "R. Ames", "when": "2026-12-01 07:40"}' in json.dumps(data)


@pytest.mark.parametrize(
    ("value", "why"),
    [
        ({"clothes": {"by": "R", "when": "2026-12-01"}}, "clothes"),
        ({"cloth": {"by": "", "when": "2026-12-01"}}, "garment_checks.cloth"),
        ({"cloth": {"by": "R", "when": "soon"}}, "garment_checks.cloth.when"),
        ({"cloth": {"by": "R"}}, "when"),
        (["cloth"], "garment_checks"),
    ],
)
def test_what_is_wrong_in_a_file_is_one_line_that_names_it(
    value: object, why: str, tmp_path: Path
) -> None:
    path = tmp_path / "mast.json"
    save_site(mast(STRONG, plan=in_suit()), path)
    data = json.loads(path.read_text("utf-8"))
    data["jobs"][0]["garment_checks"] = value
    path.write_text(json.dumps(data), "utf-8")
    with pytest.raises(InputError) as caught:
        load_site(path)
    line = caught.value.line()
    assert why in line
    assert "jobs[0]" in line
    assert "\n" not in line
