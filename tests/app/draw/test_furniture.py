"""Sheets of paper: true sizes, a whole title block, nothing cut off, the same bytes twice."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from app.draw.book import as_pdf, numbered
from app.draw.flow import Block, Entry, flow, lines_of
from app.draw.furniture import Setup, Sheet, Title
from app.draw.paper import PAPERS, Box, best_scale, chosen_scale, fits, paper_of, scale_of
from app.draw.text_sheets import columns_of, rest_sheets, text_sheets
from app.draw.titles import check_setup, emitter_block, title_of
from core.errors import InputError
from core.reading.cautions import SHORT
from core.site.site import Condition, Site, State
from core.validation.document import Section, Table
from core.views.defaults import default_elevation, default_plan
from support.paper import on_ink, outside, overlapping, pdf_lines, words

TITLE = Title(
    site="Some roof", what="Plan", limit_set="FCC", tier="public", body="spatial peak",
    scale="1:200 on A4", north="up", job="mast inspection", revision="B", date="2026-01-02",
)  # fmt: skip
LONG = Title(
    site="An exchange with a name of many words " * 3,
    what="W" * 120,
    limit_set="IEEE C95.1-2019",
    tier="occupational: permitted in restricted environments and some more words",
    body="spatial average over the whole body, 0 ft to 6.6 ft, as nobody would say it",
    scale="1:1000000 on Letter",
    north="y axis is 123.456° clockwise of true north",
    job="j" * 120,
    revision="revision " * 13,
    date="2026-01-02",
)


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [("A4", 297.0, 210.0), ("Letter", 279.4, 215.9), ("A3", 420.0, 297.0)],
)
def test_a_page_is_as_large_as_its_paper(name: str, width: float, height: float) -> None:
    # ISO 216; ANSI/ASME Y14.1 (both from memory).
    data = as_pdf(numbered([Sheet(paper_of(name.lower()), TITLE)]))
    (box,) = re.findall(rb"/MediaBox \[ ([^\]]*) \]", data)
    assert [float(x) for x in box.split()[2:]] == pytest.approx(
        [width / 25.4 * 72.0, height / 25.4 * 72.0], abs=0.01
    )


def test_the_frame_is_ten_millimetres_from_the_edge_of_the_paper() -> None:
    sheet = Sheet(paper_of("A4"), TITLE)
    sheet.line(20.0, 50.0, 120.0, 50.0)
    lines = pdf_lines(as_pdf([sheet]))
    # 100 mm are 283.46 points, from 56.69 on.
    assert any(one == pytest.approx((56.693, 141.732, 340.157, 141.732), abs=0.01) for one in lines)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("title", [TITLE, LONG], ids=["usual", "long"])
def test_every_element_of_the_title_block_is_there_and_inside(paper: str, title: Title) -> None:
    (sheet,) = numbered([Sheet(PAPERS[paper], title)])
    found = words(sheet)
    said = " ".join(text for text, _ in found)
    for label in (
        "Site",
        "Job",
        "Revision",
        "Date",
        "Scale",
        "Limit set",
        "Tier",
        "Body rule",
        "North",
        "Sheet",
    ):
        assert any(text == label for text, _ in found), label
    for value in (title.limit_set, title.date, "1 of 1", SHORT):
        assert value in said
    squeezed = re.sub(r"\s", "", said)
    for value in (title.site, title.what, title.tier, title.body, title.north, title.job):
        assert re.sub(r"\s", "", value) in squeezed, value
    assert not outside(sheet, found)
    assert not overlapping(found)


def test_what_was_not_given_is_said() -> None:
    sheet = Sheet(PAPERS["A4"], replace(TITLE, job="", revision="", date=""))
    assert sum(text == "not given" for text, _ in words(sheet)) == 3


def test_the_same_sheets_are_the_same_bytes() -> None:
    one, two = (as_pdf(numbered([Sheet(PAPERS["A4"], LONG)])) for _ in range(2))
    assert one == two
    assert b"CreationDate" not in one


@pytest.mark.parametrize("text", ["1:200", " 1 : 200", "200"])
def test_a_scale_is_read(text: str) -> None:
    assert scale_of(text) == 200


@pytest.mark.parametrize(
    "text", ["", "0", "1:0", "2:1", "1:-5", "1:2.5", "a", "1:99999999999", "²00", "1:"]
)
def test_a_bad_scale_is_one_clear_error(text: str) -> None:
    with pytest.raises(InputError, match=r"is not a scale\. Write it like 1:200"):
        scale_of(text)


def test_bad_paper_and_date_are_clear_errors() -> None:
    with pytest.raises(InputError, match=r"paper: 'A5' is no size .*\. Use A4, Letter or A3"):
        paper_of("A5")
    with pytest.raises(InputError, match="date: 'tomorrow' is not a date"):
        check_setup("", "tomorrow")
    with pytest.raises(InputError, match="job"):
        check_setup("x" * 121, "")
    check_setup("mast", "2026-12-31")


def test_the_scale_that_is_chosen_is_the_largest_that_fits() -> None:
    room = Box(0.0, 0.0, 180.0, 140.0)
    assert best_scale(18.0, 14.0, room) == 100
    assert best_scale(18.1, 14.0, room) == 125
    assert fits(18.0, 14.0, room, 100)
    assert not fits(18.1, 14.0, room, 100)
    assert chosen_scale(5.0, 5.0, room, 200, "the plan") == 200
    with pytest.raises(InputError, match=r"1:50 is too large: the plan is 18 × 14 m.*Use 1:100"):
        chosen_scale(18.0, 14.0, room, 50, "the plan")


@pytest.mark.parametrize("tall", [30.0, 60.0, 140.0])
def test_no_word_of_a_block_is_lost_or_outside_its_columns(tall: float) -> None:
    blocks = [
        Block(
            heading="A heading of some words that is wider than its column",
            entries=lines_of([f"word{i}" for i in range(40)]),
        ),
        Block(heading="Another", entries=(Entry(text=" ".join(f"long{i}" for i in range(300))),)),
    ]
    left, seen = tuple(blocks), ""
    for _ in range(60):
        sheet = Sheet(PAPERS["A4"], TITLE)
        room = Box(sheet.room.left, sheet.room.low, 130.0, tall)
        columns = columns_of(room, 60.0)
        before = len(sheet.ink.texts)
        left = flow(sheet, columns, left)
        sheet.figure.canvas.draw()
        found = on_ink(sheet)[before:]
        for text, b in found:
            assert any(
                b.x0 > c.left - 0.2
                and b.x1 < c.right + 0.2
                and b.y0 > c.low - 0.8
                and b.y1 < c.top + 0.2
                for c in columns
            ), text
        assert not overlapping(found)
        seen += " ".join(text for text, _ in found) + " "
        if not left:
            break
    assert not left
    spoken = seen.split()
    for name, count in (("word", 40), ("long", 300)):
        assert [w for w in spoken if re.fullmatch(rf"{name}\d+", w)] == [
            f"{name}{i}" for i in range(count)
        ]


def test_tables_and_rests_stay_in_the_room_of_their_sheets() -> None:
    table = Table(
        head=("name", "what is said of it"),
        rows=tuple((f"row {i}", "words " * (i % 30)) for i in range(120)),
    )
    sheets = text_sheets(TITLE, PAPERS["Letter"], [Section(title="Many rows", tables=(table,))])
    sheets += rest_sheets(
        TITLE, PAPERS["Letter"], [Block(heading="B", entries=lines_of(["w " * 900]))]
    )
    assert len(sheets) > 3
    for sheet in numbered(sheets):
        found = words(sheet)
        assert not outside(sheet, found)
        assert not overlapping(found)


def test_the_power_that_counts_now_is_listed(roof: Site) -> None:
    states = (
        State(Condition.REDUCED, 25.0),
        State(Condition.OFF),
        State(Condition.LOCKED_OUT),
        State(Condition.STANDBY),
    )
    changed = (
        tuple(replace(a, state=s) for a, s in zip(roof.antennas[:4], states, strict=True))
        + roof.antennas[4:]
    )
    said = [e.text for e in emitter_block(replace(roof, antennas=changed)).entries]
    # 145.9 W is what the panel radiates at full power, as the reading of a site with it on says; a quarter counts.
    assert "low band 751: 751 MHz, 36.48 W now (145.9 W at full power)" in said
    assert "low band 751: 751 MHz, 0 W now (145.9 W at full power)" in said
    assert said.count("OFF BUT NOT LOCKED OUT: it can come back") == 1
    assert "929.6: 929.612 MHz, 114.7 W now" in said
    assert "4 Paging stick: standby (counts as on)".replace("4 ", "4  ") in said


def test_titles_say_the_plane_the_tier_and_north(roof: Site) -> None:
    setup = Setup(job="J")
    plan = title_of(roof, "Plan", setup, view=default_plan(roof), scale=500)
    assert (plan.scale, plan.date) == ("1:500 on A4", "2026-11-24")
    assert plan.north.startswith("up")
    side = title_of(roof, "Elevation", setup, view=default_elevation(roof, 45.0))
    assert side.north == "plane along azimuth 45° (true)"
    assert side.scale == "none: no drawing on this sheet"
    given = title_of(roof, "Plan", replace(setup, date="2026-12-01"), body="none")
    assert given.date == "2026-12-01"
