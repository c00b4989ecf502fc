"""What a pattern file leaves open is answered in the antenna's model, in the site file."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from app.cli.main import main
from core.antennas.measured import Measured
from core.errors import InputError
from core.files.kinds import write_kind
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.validation.data import PATTERNS

# An invented antenna: 20 dB down behind, 12 dB down at 30° up, 6 dB down at 30° down.
SMALL = """\
REVNUM:,NSMA WG16.99.050
COMNT1:,invented
ANTMAN:,Example Antennas (invented)
MODNUM:,EX-1
LOWFRQ:,800
HGHFRQ:,900
GUNITS:,DBD/DBR
MDGAIN:,5.0
PATTYP:,typical
NOFREQ:,1
PATFRE:,850.0
NUMCUT:,2
PATCUT:,H
POLARI:,V/V
NUPOIN:,4
FSTLST:,-180.0,90.0
-180.0,-20.00,
-90.0,-9.00,
0.0,0.00,
90.0,-9.00,
PATCUT:,V
POLARI:,V/V
NUPOIN:,5
FSTLST:,-90.0,90.0
-90.0,-30.00,
-30.0,-6.00,
0.0,0.00,
30.0,-12.00,
90.0,-30.00,
ENDFIL:,EOF
"""


def site_with(folder: Path, pattern: str, **answers: object) -> Path:
    """Write a site with one antenna known by a pattern file, and return its path."""
    (folder / "p.adf").write_text(pattern, encoding="utf-8")
    site = {
        "format": "isofence-site",
        "version": 1,
        "name": "s",
        "antennas": [
            {
                "name": "a",
                "kind": "pattern",
                "model": {"file": "p.adf", "length": "1 m", **answers},
                "position": [0, 0, 10],
                "carriers": [{"name": "c", "frequency": "850 MHz", "transmitter": "10 W"}],
            }
        ],
    }
    path = folder / "site.json"
    path.write_text(json.dumps(site), encoding="utf-8")
    return path


def levels(path: Path, azimuth: float = 0.0, elevation: float = 0.0) -> float:
    """Return the level in dB relative to straight ahead in a direction, as the site uses it."""
    (antenna,) = load_site(path).antennas
    assert isinstance(antenna.kind, Measured)
    pattern = antenna.kind.pattern(conservative_build=False)
    ahead, there = pattern.gain(np.array([0.0, azimuth]), np.array([0.0, elevation]))
    return float(10.0 * np.log10(there / ahead))


def test_as_the_file_is_written(tmp_path: Path) -> None:
    path = site_with(tmp_path, SMALL)
    assert levels(path, azimuth=180.0) == pytest.approx(-20.0, abs=0.1)
    assert levels(path, elevation=-30.0) == pytest.approx(-6.0, abs=0.1)
    assert levels(path, elevation=30.0) == pytest.approx(-12.0, abs=0.1)


def linear() -> str:
    """Return the pattern with linear levels, 0.5 at the sides."""
    text = SMALL.replace("DBD/DBR", "DBD/LIN")
    ratios = {
        "0.00": 1.0,
        "-9.00": 0.5,
        "-20.00": 0.1,
        "-6.00": 0.5,
        "-12.00": 0.25,
        "-30.00": 0.01,
    }
    for level, ratio in ratios.items():
        text = text.replace(f",{level},", f",{ratio},")
    return text


@pytest.mark.parametrize(("linear_is", "level"), [("field", -6.02), ("power", -3.01)])
def test_linear_levels_are_field_or_power_as_said(
    tmp_path: Path, linear_is: str, level: float
) -> None:
    path = site_with(tmp_path, linear(), linear=linear_is)
    assert levels(path, azimuth=90.0) == pytest.approx(level, abs=0.1)


def test_a_linear_table_is_refused_with_the_parameter_that_helps(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = site_with(tmp_path, linear())
    assert main(["check", str(path)]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert '"linear"' in error
    assert "p.adf" in error


def test_signs_are_turned_where_asked(tmp_path: Path) -> None:
    losses = "\n".join(
        line if line.startswith("FSTLST") else line.replace(",-", ",") for line in SMALL.split("\n")
    )
    path = site_with(tmp_path, losses)
    with pytest.raises(InputError, match="negate"):
        load_site(path)
    path = site_with(tmp_path, losses, negate=True)
    assert levels(path, azimuth=180.0) == pytest.approx(-20.0, abs=0.1)


def test_an_elevation_cut_written_upside_down_is_turned(tmp_path: Path) -> None:
    path = site_with(tmp_path, SMALL, flip_elevation=True)
    assert levels(path, elevation=30.0) == pytest.approx(-6.0, abs=0.1)
    assert levels(path, elevation=-30.0) == pytest.approx(-12.0, abs=0.1)


def test_a_cut_below_the_peak_is_raised_where_asked(tmp_path: Path) -> None:
    low = SMALL.replace("\n0.0,0.00,", "\n0.0,-2.00,", 1)
    least = {}
    for raised in (False, True):
        (antenna,) = load_site(site_with(tmp_path, low, renormalise=raised)).antennas
        least[raised] = float(antenna.kind.data.azimuth.loss.min())  # type: ignore[attr-defined]
    assert least == {False: pytest.approx(2.0), True: 0.0}


def test_a_wrong_count_is_taken_where_asked(tmp_path: Path) -> None:
    wrong = SMALL.replace("NUPOIN:,4", "NUPOIN:,3")
    with pytest.raises(InputError, match="accept_count"):
        load_site(site_with(tmp_path, wrong))
    assert levels(site_with(tmp_path, wrong, accept_count=True), azimuth=180.0) < -19.0


def test_the_unit_of_frequencies_is_said_where_it_is_not_mhz(tmp_path: Path) -> None:
    hertz = SMALL.replace("LOWFRQ:,800", "LOWFRQ:,800e6").replace("HGHFRQ:,900", "HGHFRQ:,900e6")
    hertz = hertz.replace("PATFRE:,850.0", "PATFRE:,850e6")
    with pytest.raises(InputError, match="frequency_unit"):
        load_site(site_with(tmp_path, hertz))
    (antenna,) = load_site(site_with(tmp_path, hertz, frequency_unit="Hz")).antennas
    assert antenna.kind.data.band == (800e6, 900e6)  # type: ignore[attr-defined]


def test_one_of_several_frequencies_is_taken_where_asked(tmp_path: Path) -> None:
    head, blocks = SMALL.split("PATFRE:,850.0\n")
    cuts = blocks.split("ENDFIL")[0]
    two = (
        head.replace("NOFREQ:,1", "NOFREQ:,2") + "PATFRE:,810.0\n" + cuts.replace("-9.00", "-7.00")
    )
    two += "PATFRE:,890.0\n" + cuts + "ENDFIL:,EOF\n"
    assert levels(site_with(tmp_path, two), azimuth=90.0) == pytest.approx(-7.0, abs=0.1)
    path = site_with(tmp_path, two, pattern_frequency="890 MHz")
    assert levels(path, azimuth=90.0) == pytest.approx(-9.0, abs=0.1)


def test_polarisations_join_as_said(tmp_path: Path) -> None:
    text = (PATTERNS / "demo-fm4-cp-0098.adf").read_text("utf-8")
    gains = {}
    for how in ("sum", "larger"):
        (antenna,) = load_site(site_with(tmp_path, text, polarisations=how)).antennas
        gains[how] = antenna.kind.data.gain  # type: ignore[attr-defined]
    # Equal parts in both polarisations: the sum is 3.01 dB over the larger.
    assert gains["sum"] - gains["larger"] == pytest.approx(3.01, abs=0.01)


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        ({"linear": "voltage"}, "linear"),
        ({"negate": "yes"}, "negate"),
        ({"frequency_unit": "THz"}, "frequency_unit"),
        ({"pattern_frequency": "850"}, "pattern_frequency"),
        ({"polarisations": "both"}, "polarisations"),
    ],
)
def test_a_wrong_answer_is_named(tmp_path: Path, answers: dict[str, object], said: str) -> None:
    with pytest.raises(InputError) as caught:
        load_site(site_with(tmp_path, SMALL, **answers))
    assert said in caught.value.line()


def test_answers_come_back_from_a_saved_site(tmp_path: Path) -> None:
    path = site_with(
        tmp_path, linear(), linear="field", flip_elevation=True, polarisations="larger",
        pattern_frequency="850 MHz",
    )  # fmt: skip
    site = load_site(path)
    again = tmp_path / "again.json"
    save_site(site, again)
    kinds = [write_kind(load_site(p).antennas[0].kind) for p in (path, again)]
    assert kinds[0] == kinds[1]
    assert set(kinds[1]) > {"linear", "flip_elevation", "polarisations", "pattern_frequency"}
