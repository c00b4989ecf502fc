"""Schedules taken: nothing changes for nothing, every problem is named, everything else is taken."""

from __future__ import annotations

import csv
import io
import random
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.antennas.generic import Generic
from core.antennas.panel import Panel
from core.antennas.stack import Stack
from core.errors import InputError
from core.files.schedule.columns import columns_of
from core.files.schedule.numbers import COMMA, POINT
from core.files.schedule.table import read_table_text
from core.files.schedule.taking import Taken, take
from core.files.schedule.writer import schedule_text
from core.files.site_file import load_site
from core.files.site_writer import site_text
from core.site.allowance import Allowance
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Condition, Power, Site, State
from core.site.site import State as SiteState
from core.validation.data import PATTERNS
from support.effort import many
from support.generated_sites import KEYS, generated
from support.places import ROOT
from support.simple_sites import ground

ROOF = ROOT / "demo_sites" / "harrow-lane-roof" / "harrow-lane-roof.json"
TOWER = ROOT / "demo_sites" / "cold-ridge-tower" / "cold-ridge-tower.json"
EMPTY = Site(name="new", antennas=(), surfaces=(ground(200.0, 16.0),))
HEAD = "antenna,type,x (m),y (m),AGL (ft),azimuth,freq (MHz),ERP (kW)\n"
GOOD = "FM,fm-8-bay-full-wave,1,2,100,,98.1,25\n"


def lines(taken: Taken) -> list[str]:
    return [problem.line() for problem in taken.problems]


def one(text: str, site: Site = EMPTY) -> Antenna:
    """Return the only antenna of a table without problems."""
    taken = take(site, text, None)
    assert not taken.problems, lines(taken)
    (change,) = taken.changes
    return taken.site.antenna(change.antenna)


# out and in -----------------------------------------------------------------------------------------


def same_again(site: Site, folder: Path) -> None:
    """Hold a site's table to change nothing on the site, and to make its antennas anew on an empty one."""
    text = schedule_text(site)
    taken = take(site, text, folder)
    assert not taken.problems, lines(taken)[:3]
    assert taken.changes == ()
    assert taken.site == site
    assert site_text(taken.site) == site_text(site)
    if len(site.antennas) > 20:
        # The powers of forty panels on frequencies of their own take ten seconds.
        site = replace(site, antennas=site.antennas[::12])
        text = schedule_text(site)
    anew = take(replace(site, antennas=()), text, folder)
    assert not anew.problems, lines(anew)[:3]
    assert site_text(anew.site) == site_text(site)


def test_the_table_of_a_demo_site_changes_nothing(demo: Site, demo_path: Path) -> None:
    same_again(demo, demo_path.parent)


@pytest.mark.parametrize("key", KEYS)
def test_the_table_of_an_invented_site_of_every_kind_changes_nothing(key: str) -> None:
    same_again(generated(key).site, PATTERNS)


_UNPRINTABLE = ("Cc", "Cs", "Cn", "Co", "Cf", "Zl", "Zp")
texts = st.text(st.characters(codec="utf-8", exclude_categories=_UNPRINTABLE), max_size=12)
names = st.one_of(
    st.sampled_from(["clear", "'clear", "=1+1", "'=x", "-3 dB", "+A", " a ", "a;b", 'six"', "1,5", "@", "none"]),
    texts.filter(str.strip),
)  # fmt: skip


allowances = st.one_of(
    st.builds(Allowance, touch=st.just(False), auxiliary_of=names),
    st.builds(
        Allowance, steps=st.sampled_from([(0.0,), (50.5, 25.0, 0.0)]), stays_on_air=st.booleans()
    ),
)


@st.composite
def antennas(draw: st.DrawFn, name: str) -> Antenna:
    """An antenna with everything that a table can say about it drawn at random."""
    number = st.floats(-500.0, 500.0, allow_nan=False)
    power = draw(
        st.one_of(
            st.builds(Power, transmitter=st.floats(0.01, 1e4), loss=st.floats(0, 9)),
            st.builds(
                Power, erp=st.floats(0.01, 1e4), erp_vertical=st.none() | st.floats(0.01, 1e4)
            ),
        )
    )
    carriers = draw(st.lists(names, min_size=1, max_size=3, unique=True))
    condition = draw(st.sampled_from(Condition))
    percent = draw(st.floats(0.001, 100.0)) if condition is Condition.REDUCED else 100.0
    two_rays = st.builds(
        Reflection,
        st.just(ReflectionKind.TWO_RAY),
        st.floats(1, 100),
        st.floats(0, 10),
        st.none() | number,
    )
    return Antenna(
        name=name,
        kind=Stack(
            bay=draw(st.sampled_from(["slant-ring", "circular", "vertical-dipole"])), bays=draw(st.integers(1, 12)),
            design_frequency=draw(st.floats(9e7, 1e8)), null_fill=draw(st.floats(0.0, 0.3)), beam_tilt=0.0),
        position=(draw(number), draw(number), draw(number)),
        azimuth=draw(st.floats(-360, 360)), tilt=draw(st.floats(-9, 9)), roll=draw(st.floats(-9, 9)),
        state=State(condition, percent),
        reflection=draw(st.none() | two_rays | st.builds(Reflection, st.sampled_from(ReflectionKind))),
        conservative=draw(st.sampled_from([None, True, False])), tower_in_pattern=draw(st.booleans()),
        allows=draw(st.none() | allowances), owner=draw(texts), contact=draw(texts), remark=draw(texts),
        carriers=tuple(
            Carrier(
                name=c, frequency=draw(st.floats(9.5e7, 9.9e7)), power=power,
                duty=draw(st.sampled_from([1.0, 0.75])), duty_source=draw(names),
            )
            for c in carriers
        ),
    )  # fmt: skip


@st.composite
def sites(draw: st.DrawFn) -> Site:
    called = draw(st.lists(names, min_size=1, max_size=4, unique_by=lambda n: n.strip().casefold()))
    return Site(name="invented", antennas=tuple(draw(antennas(name)) for name in called))


@settings(max_examples=many(40), deadline=None)
@given(sites())
def test_the_table_of_any_site_changes_nothing(site: Site) -> None:
    taken = take(site, schedule_text(site), None)
    assert not taken.problems, lines(taken)[:3]
    assert taken.changes == ()
    assert taken.site == site


def test_a_changed_sheet_goes_with_tabs_semicolons_and_decimal_commas() -> None:
    site = load_site(ROOF)
    rows = list(csv.reader(io.StringIO(schedule_text(site))))
    for delimiter in ("\t", ";"):
        out = io.StringIO()
        writer = csv.writer(out, delimiter=delimiter)
        for row in rows:
            writer.writerow(
                [cell.replace(".", ",") if cell[:1].isdigit() else cell for cell in row]
            )
        # The carriers are called by figures, and are other names now.
        text = out.getvalue().replace("929,6" + delimiter, "929.6" + delimiter)
        taken = take(site, text, ROOF.parent, COMMA)
        assert not taken.problems, lines(taken)
        assert taken.changes == ()


# updates --------------------------------------------------------------------------------------------


def test_an_update_by_name_says_what_changes_and_leaves_the_rest() -> None:
    site = load_site(ROOF)
    taken = take(
        site,
        "Antenna\tAz\tTx power (W)\tCarrier\tE-tilt\n"
        "Sector north\t10\t80\tlow band 751\t\n"
        "Sector south-east\t120\t\t\t\n",
        ROOF.parent,
    )
    assert not taken.problems
    (change,) = taken.changes
    assert change.antenna == "Sector north"
    assert change.lines == (
        "azimuth (deg) 0.0 → 10.0",
        "low band 751: transmitter 160 W → 80 W",
    )
    new = taken.site.antennas[0]
    assert new == replace(
        site.antennas[0], azimuth=10.0,
        carriers=(
            replace(site.antennas[0].carriers[0], power=Power(transmitter=80.0, loss=0.4)),
            site.antennas[0].carriers[1],
        ),
    )  # fmt: skip
    assert taken.site.antennas[1:] == site.antennas[1:]
    assert any("kept as they are" in note for note in taken.notes)


def test_an_empty_cell_leaves_and_clear_takes_away() -> None:
    site = load_site(TOWER)
    text = "antenna,loss,remark,erp vertical\nFM auxiliary,,clear,\nFM main,,,clear\n"
    taken = take(site, text, TOWER.parent)
    auxiliary = taken.site.antenna("FM auxiliary")
    assert auxiliary.carriers[0].power.loss == 0.6
    assert auxiliary.remark == ""
    assert taken.site.antenna("FM main").carriers[0].power == Power(erp=25e3)
    taken = take(site, "antenna,azimuth\nFM main,clear\n", TOWER.parent)
    assert "cannot be cleared" in lines(taken)[0]
    assert taken.site == site


def test_a_carrier_is_found_by_name_by_frequency_or_because_it_is_the_only_one() -> None:
    roof = load_site(ROOF)
    taken = take(roof, "antenna,freq,TPO (W)\nSector north,751 MHz,50\n", None)
    assert taken.changes[0].lines == ("low band 751: transmitter 160 W → 50 W",)
    taken = take(roof, "antenna,freq,TPO (W)\nSector north,780 MHz,50\n", None)
    assert "does not say which carrier" in lines(taken)[0]
    taken = take(roof, "antenna,carrier,freq,TPO (W)\nSector north,third,780 MHz,50\n", None)
    assert taken.changes[0].lines == ("new carrier third",)
    assert len(taken.site.antennas[0].carriers) == 3
    taken = take(roof, "antenna,ERP (W)\nPaging stick,500\n", None)
    assert taken.changes[0].lines == ("929.6: erp 1 kW → 500 W",)


def test_another_kind_does_not_keep_the_parameters_of_the_old_one() -> None:
    roof = load_site(ROOF)
    text = "antenna,kind,model gain,dish size\nPaging stick,dish,,\n"
    assert 'column "dish size": is missing' in lines(take(roof, text, None))[0]
    taken = take(roof, "antenna,kind\nSector north,sector-700\n", None)
    (problem,) = taken.problems
    assert (problem.row, problem.column) == (2, "frequency")
    assert "1962.5 MHz is outside the panel's bands" in problem.line()
    taken = take(roof, "antenna,kind,tpo\nPaging stick,stick-850,5 W\n", None)
    assert "Correct one of them" in lines(taken)[0]
    taken = take(roof, "antenna,kind\nPaging stick,stick-850\n", None)
    assert taken.site.antenna("Paging stick").kind == Generic(entry="stick-850")


# new antennas ---------------------------------------------------------------------------------------


def test_a_new_antenna_hangs_where_the_trade_says() -> None:
    made = one(HEAD + GOOD)
    assert made.kind == Generic(entry="fm-8-bay-full-wave")
    assert made.position == (1.0, 2.0, 16.0 + 100 * 0.3048)
    assert made.carriers == (Carrier(name="98.1 MHz", frequency=98.1e6, power=Power(erp=25e3)),)
    roof = one(
        "antenna,type,x ft,y ft,above roof ft,freq,power\nFM,fm-1-bay-full-wave,0,0,10,98 MHz,1 kW EIRP\n"
    )
    assert roof.position[2] == pytest.approx(16.0 + 3.048)
    assert roof.carriers[0].power == Power(eirp=1e3)


@pytest.mark.parametrize(
    ("y", "z"), [(13.9, 18.5), (14.3, 18.5), (15.2, None), (-13.7, 18.5), (3.5, 22.0)]
)
def test_a_height_above_the_roof_counts_from_the_roof_a_bracket_hangs_at(
    roof: Site, y: float, z: float | None
) -> None:
    """Past the edge it counted from the yard, sixteen metres too low; on the penthouse it counts from that one."""
    header = "antenna,type,x (m),y (m),height above roof (m),az,freq,power\n"
    taken = take(roof, f"{header}F,sector-700,2,{y},2.5,0,750 MHz,20 W EIRP\n", None)
    if z is None:
        (problem,) = taken.problems
        assert "no roof is drawn under it, nor within 1 m" in problem.line()
        return
    assert taken.site.antenna("F").position[2] == pytest.approx(z)
    beside = any("beside 'Main roof'" in note for note in taken.notes)
    assert beside is (y > 14.0)


def test_a_panel_of_one_band_takes_its_columns_without_numbers() -> None:
    made = one(
        "name,kind,x (m),y (m),z (m),az,length,width,low (MHz),high (MHz),model bands 1 low,model bands 1 high,"
        "elements,element spacing (m),HPBW,e-tilt,freq (MHz),TPO (W)\n"
        "S,panel,0,0,20,120,2 m,1 ft,,,700 MHz,900 MHz,6,0.3,65,4,750,40\n"
    )
    assert isinstance(made.kind, Panel)
    (band,) = made.kind.bands
    assert (band.elements, band.spacing, band.electrical_tilt) == (6, 0.3, 4.0)


def test_several_rows_are_several_carriers_of_one_antenna() -> None:
    made = one(
        "antenna,kind,x (m),y (m),z (m),az,carrier,freq (MHz),TPO (W)\n"
        "S,sector-700,0,0,20,10,a,750,40\nS,,,,,,b,760,20\nS,sector-700,0,0,20,10,c,770,10\n"
    )
    assert [c.name for c in made.carriers] == ["a", "b", "c"]


def test_what_nobody_said_is_said() -> None:
    taken = take(Site(name="n", antennas=()), "site tag,antenna,kind,x (m),y (m),AGL m,az,freq (MHz),TPO (W)\n"
                 "77,S,sector-700,0,0,20,10,750,40\n", None)  # fmt: skip
    text = " ".join(taken.notes)
    for words in (
        "site tag",
        "no line loss is said",
        "no contact is said",
        "count from the site datum",
    ):
        assert words in text


@pytest.mark.parametrize(
    ("head", "row", "column", "words"),
    [
        ("", "FM,fm-8-bay-full-wave,1,2,100,,98.1,25 hp", "ERP (kW)", "not a unit of power"),
        ("", "FM,fm-8-bay-full-wave,1,2,100,,98.1,", "transmitter", "has no power"),
        ("", "FM,fm-8-bay-full-wave,1,2,100,,,25", "freq (MHz)", "is missing"),
        ("", "FM,fm-8-bay-full-wave,1,2,,,98.1,25", "z (m)", "is missing"),
        ("", "FM,fm-8-bay-full-wave,,2,100,,98.1,25", "x (m)", "is missing"),
        ("", "FM,fm-9-bay-full-wave,1,2,100,,98.1,25", "type", "Did you mean"),
        ("", "FM,,1,2,100,,98.1,25", "type", "is missing"),
        ("", "FM,fm-8-bay-full-wave,1e9,2,100,,98.1,25", "x (m)", "not a place on a site"),
        ("", "FM,fm-8-bay-full-wave,1,2,100,720,98.1,25", "azimuth", "Use -360 to 360"),
        ("", "FM,fm-8-bay-full-wave,1,2,100,N,98.1,25", "azimuth", "is not a number"),
        ("", "FM,sector-700,1,2,100,,750,25", "azimuth", "has a direction"),
        ("", "FM,fm-8-bay-full-wave,1,2,100,,98.1,-25", "ERP (kW)", "is not a power"),
        ("", ",fm-8-bay-full-wave,1,2,100,,98.1,25", "antenna", "is empty"),
        ("antenna,kind,x (m),y (m),z (m),freq,ERP (kW),z (ft)\n", "FM,fm-8-bay-full-wave,1,2,10,98 MHz,1,10",
         "z (ft)", "is not what row 2 says"),
        ("antenna,kind,x (m),y (m),z (m),freq,ERP (kW),AGL (ft)\n", "FM,fm-8-bay-full-wave,1,2,10,98 MHz,1,10",
         "AGL (ft)", "but z (m) says 10 m"),
        ("antenna,kind,x (m),y (m),z (m),freq,power kW\n", "FM,fm-8-bay-full-wave,1,2,10,98 MHz,1",
         "power kW", "does not say what power"),
        ("antenna,kind,x (m),y (m),z (m),freq,erp,diameter m\n", "FM,fm-8-bay-full-wave,1,2,10,98 MHz,1 kW,3",
         "diameter m", "is no parameter of a generic"),
        ("antenna,kind,x (m),y (m),z (m),freq,erp,pattern file,length (m)\n", "FM,pattern,1,2,10,98 MHz,1 kW,a.csv,2",
         "pattern file", "Save the site first"),
        ("antenna,kind,x (m),y (m),z (m),freq,TPO,gain\n", "S,stack,1,2,10,98 MHz,1 kW,30 dBi",
         "model bay", "is missing"),
        ("antenna,type,x (m),y (m),z (m),freq,TPO,gain\n", "FM,fm-1-bay-full-wave,1,2,10,98 MHz,1 kW,30 dBi",
         "gain", "more than the pattern's directivity"),
    ],
)  # fmt: skip
def test_a_problem_is_named_by_row_column_and_cure_and_the_rest_is_taken(
    head: str, row: str, column: str, words: str
) -> None:
    columns = (head or HEAD).rstrip("\n").split(",")
    good = dict(zip(HEAD.rstrip("\n").split(","), GOOD.rstrip("\n").split(","), strict=True)) | {
        "kind": "fm-8-bay-full-wave", "z (m)": "20", "freq": "98 MHz", "erp": "1 kW", "TPO": "1 kW",
        "power kW": "1 ERP", "antenna": "Good",
    }  # fmt: skip
    if "z (m)" in columns:
        good.pop("AGL (ft)")
    text = (head or HEAD) + row + "\n" + ",".join(good.get(c, "") for c in columns) + "\n"
    taken = take(EMPTY, text, None)
    assert [c.antenna for c in taken.changes] == ["Good"]
    (problem,) = taken.problems
    assert (problem.row, problem.column) == (2, column)
    assert words in problem.line()
    assert problem.fix


def test_heights_above_the_sea_are_refused_by_their_column() -> None:
    taken = take(
        EMPTY,
        "antenna,type,x m,y m,RC AMSL ft,freq,erp\nFM,fm-1-bay-full-wave,0,0,900,98 MHz,1 kW\n",
        None,
    )
    assert [(p.row, p.column) for p in taken.problems] == [(1, "RC AMSL ft"), (2, "z (m)")]
    assert taken.site == EMPTY


def test_an_antenna_with_a_problem_is_taken_in_none_of_its_rows() -> None:
    text = (
        "antenna,kind,x (m),y (m),z (m),az,carrier,freq (MHz),TPO (W)\n"
        "S,sector-700,0,0,20,10,a,750,40\nS,,,,,,b,760,4o\n"
    )
    taken = take(EMPTY, text, None)
    assert taken.site == EMPTY
    assert [p.row for p in taken.problems] == [3]
    assert taken.held == (2,)


def test_rows_of_one_antenna_that_do_not_agree_are_asked_about() -> None:
    head = "antenna,kind,bay,bays,design frequency (MHz),x (m),y (m),z (m),az,carrier,freq (MHz),TPO (W)\n"
    first = "S,stack,circular,4,98,0,0,20,10,a,98,40\n"
    for second, column in (
        ("S,,,6,,,,,,b,99,40\n", "bays"),
        ("S,,helix,,,,,,,b,99,40\n", "bay"),
        ("S,,,,99,,,,,b,99,40\n", "design frequency (MHz)"),
        ("S,,,,,,,,20,b,99,40\n", "az"),
        ("S,,,,,,,25,,b,99,40\n", "z (m)"),
        ("S,dish,,,,,,,,b,99,40\n", "kind"),
        ("S,,,,,,,,,a,99,40\n", "carrier"),
    ):
        taken = take(EMPTY, head + first + second, None)
        assert [(p.row, p.column) for p in taken.problems] == [(3, column)]
        assert taken.site == EMPTY
    assert (
        len(take(EMPTY, head + first + "S,,circular,4,98,0,0,20,10,b,99,40\n", None).changes) == 1
    )


def test_a_name_that_differs_only_by_its_case_is_asked_about() -> None:
    taken = take(load_site(ROOF), "antenna,az\nSECTOR NORTH,10\n", None)
    assert "the site has 'Sector north'" in lines(taken)[0]


def test_two_hundred_antennas_with_twelve_problem_rows() -> None:
    rng = random.Random(12)
    rows = [
        [f"A{i}", "sector-700", f"{rng.uniform(-90, 90):.2f}", f"{rng.uniform(-90, 90):.2f}", f"{rng.randint(30, 90)}",
         f"{rng.randrange(360)}", rng.choice(["745", "881.5", "870.03"]), f"{rng.uniform(0.1, 1):.3f}", "desk"]
        for i in range(200)
    ]  # fmt: skip
    wrong = {
        5: (7, "1,2,3"), 17: (6, "98.1 GHZ"), 30: (5, "north"), 44: (4, ""), 61: (1, "wok"), 80: (0, ""),
        99: (2, "9e9"), 120: (7, "0.5 MWh"), 133: (6, ""), 150: (5, "400"), 171: (7, ""), 199: (3, "12 furlongs"),
    }  # fmt: skip
    for at, (column, text) in wrong.items():
        rows[at][column] = text
    head = [
        "Antenna",
        "Type",
        "x (m)",
        "y (m)",
        "AGL (ft)",
        "Azimuth",
        "Freq (MHz)",
        "ERP (kW)",
        "Contact",
    ]
    out = io.StringIO()
    csv.writer(out).writerows([["Schedule of an invented site"], [], head, *rows])
    taken = take(EMPTY, out.getvalue(), None)
    # Row 1 is a title, row 3 the header.
    assert [p.row for p in taken.problems] == [at + 4 for at in wrong]
    where = {at + 4: head[column] for at, (column, _) in wrong.items()} | {
        48: "z (m)",
        175: "transmitter",
    }
    for problem in taken.problems:
        assert problem.column == where[problem.row]
        assert problem.fix
        assert f'row {problem.row}, column "{problem.column}"' in problem.line()
    assert len(taken.changes) == len(taken.site.antennas) == 188
    assert "188 new" in taken.words()
    again = schedule_text(taken.site)
    assert take(taken.site, again, None).changes == ()


# texts that are no table ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text", ["", "hello", "a,b\n1,2\n", "\x00\x00", '"' * 7, "kind,az\npanel,3\n"]
)
def test_text_without_headers_is_one_clear_error(text: str) -> None:
    with pytest.raises(InputError, match="row of headers") as caught:
        take(EMPTY, text, None)
    assert caught.value.fix


@settings(max_examples=many(80), deadline=None)
@given(
    st.lists(
        st.lists(
            st.text(max_size=8) | st.sampled_from(["1e400", "-", "clear", "1,5", "kW", "=a"]),
            max_size=9,
        )
    )
)
def test_junk_never_ends_in_anything_but_problems(cells: list[list[str]]) -> None:
    out = io.StringIO()
    csv.writer(out).writerows(cells)
    try:
        taken = take(EMPTY, HEAD + out.getvalue(), None, POINT)
    except InputError:
        return
    assert all(p.line() for p in taken.problems)


def test_files_of_every_code_page_are_read(tmp_path: Path) -> None:
    for name, encoding in (("a", "utf-8-sig"), ("b", "utf-16"), ("c", "cp1252"), ("d", "utf-8")):
        path = tmp_path / name
        path.write_bytes((HEAD.replace("azimuth", "azimuth (°)") + GOOD).encode(encoding))
        assert not take(EMPTY, read_table_text(path), None).problems
    with pytest.raises(InputError, match="does not exist"):
        read_table_text(tmp_path / "none.csv")
    with pytest.raises(InputError, match="no ordinary file"):
        read_table_text(tmp_path)


def test_what_an_owner_allows_is_a_part_of_the_table() -> None:
    roof = load_site(ROOF)
    taken = take(
        roof,
        "antenna,may be turned down,allows steps,stays on air\nPaging stick,yes,50 % 0 %,no\n",
        None,
    )
    assert taken.site.antenna("Paging stick").allows == Allowance(steps=(50.0, 0.0))
    gone = "antenna,allows touch,allows steps (%),stays on air\nPaging stick,clear,clear,clear\n"
    assert take(taken.site, gone, None).site == roof
    taken = take(roof, "antenna,power steps\nPaging stick,120\n", None)
    (problem,) = taken.problems
    assert problem.column == "power steps"
    assert "is no step of power" in problem.message


def test_reduced_states_are_read_as_people_write_them() -> None:
    site = load_site(TOWER)
    for text in ("reduced to 25 %", "Reduced 25%", "REDUCED TO 25 percent"):
        taken = take(site, f"antenna,status\nFM main,{text}\n", None)
        assert taken.site.antenna("FM main").state == SiteState(Condition.REDUCED, 25.0)
    taken = take(site, "antenna,status\nFM main,Locked-out\n", None)
    assert taken.site.antenna("FM main").state.condition is Condition.LOCKED_OUT


# what a new user was stopped by ---------------------------------------------------------------------


def test_all_that_a_kind_lacks_is_said_at_once_with_the_class_that_would_do() -> None:
    head = "antenna,type,x (m),y (m),z (m),az,freq (MHz),TPO (W),length (m)\n"
    (line,) = lines(take(EMPTY, f"{head}S,panel,0,0,20,120,751.5,40,2\n", None))
    for words in (
        "model width",
        "low",
        "high",
        "elements",
        "spacing",
        "or use the class sector-700",
    ):
        assert words in line
    assert "length" not in line.partition("Add")[0]
    assert one(f"{head}S,sector panel 65°%s 700 to 900 MHz%s 2.6 m,0,0,20,120,751.5,40,\n"
               .replace(",", "\t").replace("%s", ",")).kind == Generic(entry="sector-700")  # fmt: skip


@pytest.mark.parametrize(
    "header", ["HBW", "H BW", "Beamwidth", "HBW (deg)", "horizontal beam width"]
)
def test_a_beam_width_is_known_by_the_names_of_the_trade(header: str) -> None:
    (column,) = columns_of([header])
    assert column.key == "model.azimuth_width"


def test_a_width_that_the_class_has_by_itself_may_be_said() -> None:
    head = "antenna,type,x (m),y (m),z (m),az,freq (MHz),TPO (W),HBW\n"
    made = one(f"{head}S,sector-700,0,0,20,120,751.5,40,65°\n")
    assert made.kind == Generic(entry="sector-700")
    (line,) = lines(take(EMPTY, f"{head}S,sector-700,0,0,20,120,751.5,40,90\n", None))
    assert "a class has its own" in line


def test_a_dipole_above_short_wave_is_no_wire_for_short_wave() -> None:
    head = "antenna,type,x (m),y (m),z (m),az,freq (MHz),TPO (W)\n"
    (line,) = lines(take(EMPTY, f"{head}S,dipole,0,0,20,120,155.2,40\n", None))
    assert "Did you mean 'stack'?" in line
    assert "stick-vhf" in line
    assert "hf-dipole" not in line
    (line,) = lines(take(EMPTY, f"{head}S,dipole,0,0,20,120,7.1,40\n", None))
    assert "'hf-dipole'" in line


def test_an_azimuth_in_words_is_told_what_an_azimuth_is() -> None:
    text = HEAD + GOOD.replace(",100,,", ",100,west,")
    (line,) = lines(take(EMPTY, text, None))
    assert line.endswith("'west' is not a number. Write degrees from north, like 270")


def test_a_number_that_the_rest_of_the_table_settles_says_so_in_its_row() -> None:
    text = HEAD + GOOD.replace(",25\n", ',"1,250"\n')
    taken = take(EMPTY, text, None)
    assert "ERP (kW): '1,250' is read as 1250" in taken.words_of(2)
    with_comma = text.replace("98.1", '"98,1"')
    assert "'1,250' is read as 1.250" in take(EMPTY, with_comma, None).words_of(2)
    assert "is read as" not in take(EMPTY, with_comma, None, COMMA).words_of(2)
    (line,) = lines(take(EMPTY, text.replace("98.1", "98"), None))
    assert "could be 1250 or 1.250" in line
