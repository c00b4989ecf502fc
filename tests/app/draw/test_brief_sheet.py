"""The crew's sheet on paper: two sides at most, nothing clipped or over one another, the same bytes twice."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.text import Text
from PIL import Image

from app.draw.brief_sheet import SIZES, brief_sheets, save_brief
from app.draw.furniture import Setup, Sheet, Title
from app.draw.glyphs import missing_scripts, printable, warning
from app.draw.paper import PAPERS
from app.draw.ruled import draw_table, table_height
from core.entry.entry import Entry, plan_entry
from core.entry.sheet_tables import Table
from core.errors import InputError
from core.site.site import Site
from core.site.state import Condition, State
from support.briefed import GATE, LOCKED, OFF, emitter, in_suit, job, mast
from support.paper import on_ink, outside, overlapping, words

MARK = "3f9a 41c2 77d0"
EMPTY = Title(site="", what="", limit_set="", tier="", body="")
LONG = "An emitter with a name of many words that goes on and on " * 2


@pytest.fixture(autouse=True)
def _measured_as_printed() -> Iterator[None]:
    with mpl.rc_context({"text.hinting": "no_hinting"}):
        yield


def entry_of(site: Site) -> Entry:
    return plan_entry(site, site.jobs[0])


def many() -> Site:
    states = (State(), State(Condition.UNKNOWN), OFF, LOCKED, State(Condition.REDUCED, 25.0))
    antennas = [
        emitter(f"Emitter {i} of the mast", 20.0, position=(4.0 + i, 0.0, 10.0 + i), state=states[i % 5])
        for i in range(14)
    ]  # fmt: skip
    return mast(*antennas, plan=in_suit())


SITES = {
    "garment": mast(emitter(eirp=2000.0), plan=in_suit()),
    "time": mast(emitter(eirp=500.0)),
    "long": mast(
        emitter(LONG[:118], owner=LONG, contact=LONG), name=LONG[:119], revision=LONG[:100],
        plan=in_suit(name=LONG[:110], when=LONG[:110], remark=LONG),
    ),
    "languages": mast(
        emitter("Żółć FM Łódź"), name="Ψυχρή Ράχη / Холодный хребет / Wieża Źrebię",
        plan=job(name="Wymiana / Замена / Αλλαγή"),
    ),
    "many": many(),
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "paper"), [*((name, "A4") for name in SITES if name != "time"), ("long", "Letter")]
)
def test_two_sides_at_most_and_every_word_is_inside_and_apart(name: str, paper: str) -> None:
    sheets = brief_sheets(entry_of(SITES[name]), Setup(paper=PAPERS[paper]), MARK)
    assert 1 <= len(sheets) <= 2
    for sheet in sheets:
        assert outside(sheet, words(sheet)) == []
        assert overlapping(on_ink(sheet)) == []
    said = " ".join(text for sheet in sheets for text, _ in words(sheet))
    assert MARK in said
    assert "…" not in said


def test_the_text_is_as_large_as_it_can_be_and_never_under_five_points() -> None:
    sheets = brief_sheets(entry_of(SITES["time"]), Setup(), MARK)
    sizes = {t.get_fontsize() for s in sheets for t in s.ink.texts if t.get_text().startswith("☐")}
    assert len(sizes) == 1
    assert min(SIZES) >= 4.99
    assert sizes.pop() >= 6.0


def test_the_same_entry_gives_the_same_bytes(tmp_path: Path) -> None:
    for i in range(2):
        save_brief(tmp_path / f"{i}.pdf", entry_of(SITES["time"]), Setup(), MARK)
    one, other = ((tmp_path / f"{i}.pdf").read_bytes() for i in range(2))
    assert one == other
    assert b"CreationDate" not in one


def test_a_picture_has_both_sides_and_reads_in_grey(tmp_path: Path) -> None:
    save_brief(tmp_path / "a.png", entry_of(SITES["garment"]), Setup(), MARK)
    data = (tmp_path / "a.png").read_bytes()
    assert len(data) < 700_000
    whole = Image.open(io.BytesIO(data))
    sheet = PAPERS["A4"]
    assert whole.height / whole.width == pytest.approx(2.0 * sheet.height / sheet.width, rel=0.01)
    grey = np.asarray(whole.convert("L"))
    # Ink and paper stay far apart without colour, on both sides.
    for half in np.array_split(grey, 2):
        assert (half < 70).mean() > 0.005
        assert (half > 240).mean() > 0.6


def test_no_go_is_white_on_black_and_go_is_not() -> None:
    for site, go in ((SITES["garment"], True), (mast(emitter(eirp=30000.0)), False)):
        entry = entry_of(site)
        assert entry.verdict.is_go is go
        first = brief_sheets(entry, Setup(), MARK)[0]
        verdict = next(t for t in first.ink.texts if t.get_text().startswith(("Go", "NO GO")))
        assert (verdict.get_color() == "#ffffff") is not go


def test_lists_too_long_for_two_sides_have_sides_of_their_own_and_nothing_is_cut() -> None:
    entry = entry_of(mast(emitter(eirp=1.0)))
    endless = replace(entry, stops=entry.stops * 16)
    sheets = brief_sheets(endless, Setup(), MARK)
    assert 3 <= len(sheets) <= 4
    for sheet in sheets:
        assert outside(sheet, words(sheet)) == []
        assert overlapping(on_ink(sheet)) == []
    first = [text for text, _ in words(sheets[0])]
    assert any("on a side of its own" in text for text in first)
    names = [text for sheet in sheets[2:] for text, _ in words(sheet)]
    for line in entry.stops:
        assert sum(line.place.stop.name == text for text in names) == 16


def test_what_does_not_fit_on_two_sides_is_an_error_and_never_cut() -> None:
    gates = tuple(replace(GATE, name=f"Gate {i} of a very long fence") for i in range(150))
    endless = mast(emitter(eirp=1.0), access_points=gates)
    with pytest.raises(InputError, match="does not fit on two sides") as caught:
        brief_sheets(entry_of(endless), Setup(), MARK)
    assert 'job "Lamp change"' in caught.value.field
    assert caught.value.fix


def test_letters_of_europe_are_printed_and_others_are_said_not_drawn_as_boxes() -> None:
    for text in (
        "Ψυχρή Ράχη",
        "Холодный хребет",
        "Zażółć gęślą jaźń",
        "Þórshöfn ñ ç ß ő ř",
        "→ ☐ … ≤ ²",
    ):
        assert printable(text) == text
        assert missing_scripts([text]) == ()
    assert printable("冷嶺塔 FM") == "??? FM"
    assert missing_scripts(["冷嶺塔", "สถานี", "مكة", "तार"]) == (
        "arabic", "chinese, japanese or korean", "devanagari", "thai",
    )  # fmt: skip
    assert "write these names by hand" in warning(["冷"])
    assert warning(["Łódź"]) == ""
    # A letter and its mark are one character where there is one.
    assert printable("e\u0301") == "é"


def test_a_sheet_with_letters_that_cannot_be_printed_warns_in_bold() -> None:
    sheets = brief_sheets(entry_of(mast(emitter("冷嶺 FM"))), Setup(), MARK)
    texts = [t for s in sheets for t in s.figure.findobj(Text) if t.get_text()]
    found = [t for t in texts if t.get_text().startswith("NOT PRINTED")]
    assert found
    assert found[0].get_fontweight() == "bold"
    assert all(printable(t.get_text()) == t.get_text() for t in texts)


def test_tables_are_as_high_as_they_say_and_have_room_to_write() -> None:
    table = Table("Heading", ("A", "B"), (("one " * 40, "x"), ("two", "")), (0.3, 0.7))
    sheet = Sheet(PAPERS["A4"], EMPTY)
    box = replace(sheet.room, height=100.0, low=sheet.room.top - 100.0)
    low = draw_table(sheet, box, table, 7.0)
    assert box.top - low == pytest.approx(table_height(table, box.width, 7.0), abs=1e-6)
    for text, at in on_ink(sheet):
        if text.startswith(("one", "two")):
            assert box.left <= at.x0
            assert at.x1 <= box.left + 0.3 * box.width + 0.3
