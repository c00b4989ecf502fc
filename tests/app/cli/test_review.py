"""What an independent reader of the program stumbled over, so that nobody does again."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from app.cli.main import main
from app.draw.map import MapView
from core.antennas.stack import Stack
from core.errors import InputError
from core.exposure.power import radiated
from core.exposure.sources import sources
from core.exposure.totals import exposure
from core.files.site_file import load_site
from core.reading.doubts import doubts
from core.reading.reading import read
from core.reading.report import as_data, as_text
from core.site.site import Antenna, Carrier, Condition, Power, Site, State
from core.views.body import STANDING
from core.views.defaults import default_elevation
from support.places import DEMOS, ROOT

ROOF = "demo_sites/harrow-lane-roof/harrow-lane-roof.json"
TOWER = "demo_sites/cold-ridge-tower/cold-ridge-tower.json"


@pytest.fixture(autouse=True)
def _at_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def reading(capsys: pytest.CaptureFixture[str], *words: str) -> dict:  # type: ignore[type-arg]
    main(["read", *words, "--json"])
    data: dict = json.loads(capsys.readouterr().out)  # type: ignore[type-arg]
    return data


def test_a_body_on_an_edge_stands_on_the_surface_its_height_means(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # The door at (0, -4, 16) lies on the edge that roof and penthouse roof share.
    door = reading(capsys, ROOF, "--at", "0,-4,16", "--body")
    assert door["at"]["z"] == 16.0
    assert not door["warning"]
    assert reading(capsys, ROOF, "--at", "0,-4,19.5", "--body")["at"]["z"] == 19.5


def test_a_height_that_is_not_used_is_said_with_the_verdict(
    capsys: pytest.CaptureFixture[str],
) -> None:
    off = reading(capsys, ROOF, "--at", "20.01,-10,16", "--body")
    assert "16 m below" in off["warning"]
    ladder = reading(capsys, TOWER, "--at", "-0.5,0.35,140", "--body")
    assert "140 m is not used" in ladder["warning"]


def test_the_points_file_tells_the_height_body_and_limit_set(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    points, out = tmp_path / "in.csv", tmp_path / "out.csv"
    points.write_text("x,y,z\n-0.5,0.35,140\n", "utf-8")
    main(["read", TOWER, "--points", str(points), "--body", "-o", str(out)])
    (row,) = csv.DictReader(out.read_text("utf-8").splitlines())
    assert float(row["read_at_z"]) == 132.0
    assert "spatial peak" in row["body"]
    assert row["limit_set"] == "FCC"


def test_check_says_where_no_surface_is_drawn(capsys: pytest.CaptureFixture[str]) -> None:
    words = "no walking surface is drawn here, so there is no verdict"
    for at, said in (("500,500,1.5", True), ("0,10,1.5", False)):
        main(
            [
                "check",
                str(DEMOS / "harrow-lane-roof" / "harrow-lane-roof.json"),
                "--at",
                at,
                "--body",
            ]
        )
        assert (words in capsys.readouterr().out) is said


def test_points_never_overwrite_what_is_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    points = tmp_path / "in.csv"
    points.write_text("x,y,z\n1,2,3\n", "utf-8")
    for target in (ROOF, str(points), str(tmp_path / "out.json")):
        before = Path(ROOF).read_bytes(), points.read_bytes()
        assert main(["read", ROOF, "--points", str(points), "-o", target]) == 2
        assert (Path(ROOF).read_bytes(), points.read_bytes()) == before


def test_bare_wavelengths_are_refused(tmp_path: Path) -> None:
    text = Path(TOWER).read_text("utf-8").replace('"0.9 wl"', "0.9")
    (tmp_path / "s.json").write_text(text, "utf-8")
    with pytest.raises(InputError, match=r'"Dispatch stick": model\.spacing: 0\.9 has no unit'):
        load_site(tmp_path / "s.json")


def fm(power: Power, frequency: float = 98.1e6) -> Antenna:
    kind = Stack(bay="slant-ring", bays=4, design_frequency=98.1e6, beam_tilt=0.0)
    carrier = Carrier(name="c", frequency=frequency, power=power)
    return Antenna(name="FM", kind=kind, position=(0.0, 0.0, 30.0), carriers=(carrier,))


def test_erp_of_a_circular_antenna_counts_for_both_polarisations() -> None:
    single, both = fm(Power(erp=10e3)), fm(Power(erp=10e3, erp_vertical=10e3))
    assert radiated(single, single.carriers[0]).power == radiated(both, both.carriers[0]).power
    assert any("each polarisation" in w for w in radiated(single, single.carriers[0]).words)


@pytest.mark.parametrize("frequency", [9.81e9, 98.1e9, 9.81e6])
def test_a_slipped_frequency_unit_is_refused_at_once(frequency: float) -> None:
    with pytest.raises(InputError, match=r"bays made for 98\.1 MHz"):
        sources(Site(name="s", antennas=(fm(Power(erp=1e3), frequency),)))


def test_an_antenna_that_is_off_is_in_the_headline() -> None:
    site = load_site(TOWER)
    locked = tuple(
        a if a.name == "FM auxiliary" else replace(a, state=State(Condition.LOCKED_OUT))
        for a in site.antennas
    )
    inside = read(replace(site, antennas=locked), (2.0, -0.5, 89.5))
    assert inside.if_back is not None
    assert "off but not locked out" in as_text(inside).split("Emitters")[0]
    near = as_data(read(replace(site, antennas=locked), (9.0, -0.5, 88.0)))
    assert near["percent"]["public"] == 0.0
    assert near["if_back"]["percent"]["public"] > 100.0


def test_an_empty_list_of_emitters_gives_no_verdict() -> None:
    empty = read(Site(name="s", antennas=()), (0.0, 0.0, 0.0))
    assert empty.category is None
    assert "No verdict" in empty.verdict
    assert any("no antenna" in d for d in doubts(Site(name="s", antennas=())))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            {"carriers": (Carrier(name="c", frequency=98.1e6, power=Power(erp=0.01)),)},
            "check the unit",
        ),
        (
            {
                "carriers": (
                    Carrier(name="c", frequency=98.1e6, power=Power(transmitter=1e3, loss=20.0)),
                )
            },
            "line loss",
        ),
        ({"state": State(Condition.REDUCED, 0.5)}, "fraction meant"),
        ({"position": (0.0, 0.0, -60.0)}, "lowest surface"),
        ({"position": (0.0, 0.0, 9000.0)}, "lowest surface"),
        (
            {
                "kind": Stack(
                    bay="slant-ring", bays=4, design_frequency=98.1e6, spacing=3.05, beam_tilt=0.0
                )
            },
            "metres taken",
        ),
        (
            {"kind": Stack(bay="slant-ring", bays=4, design_frequency=150e6, beam_tilt=0.0)},
            "design frequency",
        ),
    ],
)
def test_check_doubts_what_looks_like_a_slip(change: dict, words: str) -> None:  # type: ignore[type-arg]
    site = Site(name="s", antennas=(replace(fm(Power(erp=1e3)), contact="x", **change),))
    assert any(words in line for line in doubts(site)), doubts(site)


def test_the_pole_of_a_stack_is_metal() -> None:
    site = load_site(ROOF)
    stick = site.antenna("Paging stick")
    assert exposure(site, np.array([stick.position])).reactive[0]


def test_an_antenna_off_the_cut_is_hollow_and_says_how_far() -> None:
    from matplotlib.figure import Figure

    site = load_site(ROOF)
    view = MapView(Figure().add_subplot())
    view.show_site(site, default_elevation(site, 90.0))
    texts = [t.get_text() for t in view.axes.texts]
    assert any("off)" in t and t.startswith("1") for t in texts)
    view.feet = True
    view.show_site(site, default_elevation(site, 90.0))
    assert any("ft off)" in t.get_text() for t in view.axes.texts)
    assert view.axes.get_xlabel().startswith("W")
    assert view.axes.get_xlabel().endswith("E")


@pytest.mark.parametrize(
    "words",
    [
        ["map", ROOF, "--elevation", "0", "--height", "3", "-o", "x.png"],
        ["map", ROOF, "--plan", "--up", "0,3", "-o", "x.png"],
        ["read", ROOF, "--at", "1,2,3", "--points", "p.csv", "-o", "x.csv"],
        ["chekc", ROOF],
    ],
)
def test_contradictions_and_misspelt_commands_are_one_clear_line(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    if words[0] == "chekc":
        assert "'chekc' is neither a command nor a site file" in err


def test_feet_are_feet_everywhere_in_a_posture() -> None:
    from core.views.words import posture

    site = load_site(ROOF)
    text = posture(site, (6.0, 10.0, 16.0), STANDING, feet=True)
    assert "52.5 ft" in text
    assert " m" not in text.replace(" main", "")
