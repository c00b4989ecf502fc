"""Tables that would have been taken for something else: each is asked about, and nothing is lost unsaid."""

from __future__ import annotations

import pytest

from core.antennas.generic import Generic
from core.errors import InputError
from core.files.schedule.numbers import COMMA, POINT, decimals_of
from core.files.schedule.taking import Taken, take
from core.site.places import Surface
from core.site.site import Site

SQUARE = ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0))
ROOF = Surface(name="roof", kind="roof", height=16.0, outline=SQUARE)
SITE = Site(name="new", antennas=(), surfaces=(ROOF,))


def taken(text: str, site: Site = SITE) -> Taken:
    return take(site, text, None)


def table(*rows: str, head: str = "name;class;x (m);y (m);z (m);freq (MHz);ERP (W)") -> str:
    return "\n".join((head, *rows))


def only_problem(found: Taken) -> str:
    (problem,) = found.problems
    assert found.site.antennas == ()
    return problem.line()


def test_a_point_before_three_digits_is_no_decimal_sign_between_semicolons() -> None:
    text = table("A;stick-uhf;1;2;18;460;1.500")
    line = only_problem(taken(text))
    assert "could be 1500 or 1.500" in line
    # Another number of the table settles it, and so does who takes it.
    watts = {
        taken(table("A;stick-uhf;1,5;2;18;460;1.500")).site.antennas[0].carriers[0].power.erp,
        take(SITE, text, None, COMMA).site.antennas[0].carriers[0].power.erp,
    }
    assert watts == {1500.0}
    assert take(SITE, text, None, POINT).site.antennas[0].carriers[0].power.erp == 1.5
    # Between commas and tabs it is one, and is said where nothing else shows it.
    for between in (",", "\t"):
        found = taken(text.replace(";", between))
        assert found.site.antennas[0].carriers[0].power.erp == 1.5
        assert "'1.500' is read as 1.500" in found.words_of(2)
    assert decimals_of(["1.500"], ";").meaning(".") is None
    assert decimals_of(["1.500"]).meaning(".") is True


def test_two_heights_that_do_not_agree_are_asked_about() -> None:
    head = "name,class,x (m),y (m),above roof (m),AGL (m),freq (MHz),ERP (W)"
    line = only_problem(taken(table("A,stick-uhf,1,2,2,30,460,10", head=head)))
    assert "18 m above the datum" in line
    assert "30" in line
    both = taken(table("A,stick-uhf,1,2,2,18,460,10", head=head))
    assert both.site.antennas[0].position == (1.0, 2.0, 18.0)


@pytest.mark.parametrize(
    ("first", "second", "same"), [("0.05", "0.1", False), ("100", "100.5", True)]
)
def test_small_powers_do_not_agree_by_rounding(first: str, second: str, *, same: bool) -> None:
    head = "name,class,x (m),y (m),z (m),freq (MHz),ERP (W),max ERP (W)"
    found = taken(table(f"A,stick-uhf,1,2,18,460,{first},{second}", head=head))
    assert (found.problems == ()) is same


def test_a_paste_may_begin_with_the_mark_of_its_encoding() -> None:
    found = taken("\ufeff" + table("A;stick-uhf;1;2;18;460;10"))
    assert [a.name for a in found.site.antennas] == ["A"]


def test_a_row_with_more_cells_than_headers_is_not_taken() -> None:
    head = "name,class,freq (MHz),ERP (W),x (m),y (m),z (m)"
    line = only_problem(taken(table("A,stick-uhf,460,10,1,5,2,5,18,5", head=head)))
    assert "3 more cells than there are headers" in line
    assert "semicolons" in line
    assert taken(table("A;stick-uhf;1;2;18;460;10;;")).problems == ()


@pytest.mark.parametrize("last", ["B;stick-uhf;1;2;18;460;10", 'B;"stick-uhf";1;2;18;460;10'])
def test_a_quote_that_is_not_closed_swallows_no_row(last: str) -> None:
    head = "name;class;x (m);y (m);z (m);freq (MHz);ERP (W);remark"
    with pytest.raises(InputError, match="quote is not closed") as caught:
        taken(table('A;stick-uhf;1;2;18;460;10;"unclosed', f"{last};", head=head))
    assert "Close it" in caught.value.line()
    # A line end inside of quotes is the cell's own, and inches need none.
    found = taken(table('A;stick-uhf;1;2;18;460;10;"two\nlines"', "", head=head))
    assert [a.name for a in found.site.antennas] == ["A"]


def test_headers_again_are_left_out_and_other_ones_refused() -> None:
    head = "name;class;x (m);y (m);z (m);freq (MHz);ERP (W)"
    rows = ("A;stick-uhf;1;2;18;460;10", "B;stick-uhf;3;2;18;460;10")
    assert len(taken(table(rows[0], head, rows[1])).site.antennas) == 2
    with pytest.raises(InputError, match="other headers again in row 3"):
        taken(table(rows[0], head.replace("z (m)", "z (ft)"), rows[1]))


@pytest.mark.parametrize(
    ("header", "says"),
    [
        *((h, "which tilt") for h in ("Downtilt", "Down tilt", "Total tilt (deg)", "Uptilt", "Main DT")),
        *((h, "counts what has a row of its own") for h in (
            "# Channels", "No. of channels", "# of transmitters", "Qty", "# Tx", "# of radios", "Ports",
            "No. of antennas", "MIMO", "Quantity")),
        *((h, "says a power, and not which") for h in ("Total ERP (W)", "Max power", "ERP per channel")),
        *((h, "is of a second carrier") for h in ("Freq 2 (MHz)", "ERP 2 (W)", "TPO 3")),
    ],
)  # fmt: skip
def test_a_column_that_would_bring_figures_up_is_not_left_out(header: str, says: str) -> None:
    head = f"name,class,x (m),y (m),z (m),azimuth,{header},freq (MHz),ERP (W)"
    line = only_problem(taken(table("A,sector-700,1,2,18,90,6,746,500", head=head)))
    assert says in line
    assert header in line
    # Where its cells are empty it says nothing; one of a thing is one.
    assert taken(table("A,sector-700,1,2,18,90,,746,500", head=head)).problems == ()
    if "counts" in says:
        assert taken(table("A,sector-700,1,2,18,90,1,746,500", head=head)).problems == ()


@pytest.mark.parametrize(
    "header",
    ["DT mech", "Mech DT", "Mech. Downtilt (deg)", "MDT", "DT elec", "Elec. Tilt", "E-tilt"],
)
def test_a_tilt_that_says_which_is_taken(header: str) -> None:
    head = f"name,class,x (m),y (m),z (m),azimuth,{header},freq (MHz),ERP (W)"
    (antenna,) = taken(table("A,sector-700,1,2,18,90,6,746,500", head=head)).site.antennas
    mechanical = header.startswith("M") or "mech" in header
    assert antenna.tilt == (6.0 if mechanical else 0.0)
    assert isinstance(antenna.kind, Generic)
    assert antenna.kind.electrical_tilt == (None if mechanical else 6.0)


def test_two_rows_of_one_antenna_with_two_classes_are_asked_about() -> None:
    head = "name,class,x (m),y (m),z (m),azimuth,freq (MHz),ERP (W)"
    rows = ("A,stick-850,1,2,18,90,900,500", "A,sector-700,1,2,18,90,746,500")
    line = only_problem(taken(table(*rows, head=head)))
    assert "is another kind than in an earlier row" in line


def test_a_row_without_a_name_that_goes_on_with_the_one_above_holds_it_back() -> None:
    head = "name,class,x (m),y (m),z (m),azimuth,freq (MHz),ERP (W)"
    found = taken(table("A,sector-700,1,2,18,90,751,500", ",,,,,,746,500", head=head))
    assert found.site.antennas == ()
    (problem,) = found.problems
    assert problem.row == 3
    assert "merged cells" in problem.line()
    assert found.held == (2,)
    # A row with a place of its own is another antenna.
    found = taken(
        table("A,sector-700,1,2,18,90,751,500", ",sector-700,4,2,18,90,746,500", head=head)
    )
    assert [a.name for a in found.site.antennas] == ["A"]


@pytest.mark.parametrize("name", ["sector‑north", "Sector–North", " sector-north "])
def test_a_name_with_another_dash_is_not_another_antenna(name: str) -> None:
    site = taken(table("sector-north;stick-uhf;1;2;18;460;10")).site
    found = taken(table(f"{name};stick-uhf;1;2;18;460;20"), site)
    assert len(found.site.antennas) == 1
    assert found.problems == () or "the site has 'sector-north'" in found.problems[0].line()


@pytest.mark.parametrize("cell", ["500-1000", "500 to 1000", "500/1000", "500–1000"])
def test_a_range_is_no_number(cell: str) -> None:
    assert "is not one number" in only_problem(taken(table(f"A;stick-uhf;1;2;18;460;{cell}")))


def test_a_power_beside_another_that_the_antenna_had_says_how_that_goes() -> None:
    site = taken(table("A;stick-uhf;1;2;18;460;10")).site
    (problem,) = take(site, "name,TPO (W)\nA,2000\n", None).problems
    assert problem.column == "TPO (W)"
    assert "a column erp with the word clear" in problem.fix
    (change,) = take(site, "name,TPO (W),ERP\nA,2000,clear\n", None).changes
    assert change.lines


def test_the_class_that_would_do_has_as_many_bays() -> None:
    head = "name,kind,bays,x (m),y (m),z (m),freq (MHz),ERP (kW)"
    line = only_problem(taken(table("A,stack,8,1,2,30,98.1,10", head=head)))
    assert "fm-8-bay" in line
