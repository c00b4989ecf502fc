"""Plain tables of comma separated values."""

import math

import pytest

from core.errors import InputError
from core.patterns.build3d import conservative
from core.patterns.readers import read_pattern
from support.pattern_files import noted


def test_tables_of_loss_power_and_field_agree(read):
    angles = range(-180, 180, 30)
    field = [max(math.cos(math.radians(a)), 0.1) for a in angles]
    made = {
        "relative_field": field,
        "relative_power": [f * f for f in field],
        "loss_db": [-20 * math.log10(f) for f in field],
    }
    cuts = []
    for quantity, values in made.items():
        rows = "\n".join(f"{a},{v:.9f}" for a, v in zip(angles, values, strict=True))
        text = f"# gain_dbd: 4.0\n# frequency_mhz: 98.1\n# name: Invented\nelevation_deg,{quantity}\n{rows}\n"
        data = read(text, name="test.csv")
        assert data.gain == pytest.approx(6.15, abs=0.003)
        assert data.gain_known
        assert (data.name, data.frequency) == ("Invented", 98.1e6)
        cuts.append(data.elevation.loss)
    assert cuts[0] == pytest.approx(cuts[1], abs=1e-5)
    assert cuts[0] == pytest.approx(cuts[2], abs=1e-5)


def test_table_in_three_dimensions(read):
    rows = [
        f"{a},{e},{10 - abs(a) / 10 - abs(e) / 5:.4f}"
        for a in range(-180, 180, 20)
        for e in range(-90, 91, 10)
    ]
    data = read("azimuth_deg,elevation_deg,gain_dbi\n" + "\n".join(rows) + "\n", name="test.csv")
    assert data.grid.gain.shape == (19, 18)
    assert data.gain == 10.0
    assert conservative(data).gain(40.0, -20.0) == pytest.approx(10 ** ((10 - 4 - 4) / 10))


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("azimuth,field\n0,1\n90,1\n180,1\n", "E08"),
        ("azimuth_deg,loss_dbm\n0,1\n90,1\n180,1\n", "E08"),
        ("azimuth_deg,relative_field\n0,1\n90,1\n", "E15"),
        ("azimuth_deg,relative_field\n0,1\n90,0,5\n180,1\n", "E06"),
        ("azimuth_deg;relative_field\n0;1\n90;1\n180;1\n", "E08"),
        ("azimuth_deg,relative_field\n0,1.00\n90,x\n180,1\n", "E06"),
        ("azimuth_deg,relative_field\n0,100\n90,50\n180,30\n", "E17"),
        ("azimuth_deg,relative_field\n0,1\n90,-0.5\n180,1\n", "E06"),
        ("azimuth_deg,loss_db\n0,0\n90,-6\n180,-9\n", "E17"),
        ("# gain_dbi: high\nazimuth_deg,loss_db\n0,0\n90,6\n180,9\n", "E06"),
        ("azimuth_deg,elevation_deg,gain_dbi\n0,0,1\n", "E15"),
        ("azimuth_deg,elevation_deg,gain_dbi\n0,0,1\n0,95,1\n9,0,1\n9,9,1\n20,0,0\n", "E06"),
        ("azimuth_deg,relative_field\n", "E15"),
    ],
)
def test_bad_tables_are_refused(text, code, tmp_path):
    path = tmp_path / "test.csv"
    path.write_text(text)
    with pytest.raises(InputError) as caught:
        read_pattern(path)
    assert caught.value.message.startswith(code)


def test_a_field_without_its_maximum_is_noted(read):
    data = read("azimuth_deg,relative_field\n0,0.9\n120,0.5\n240,0.5\n", name="test.csv")
    assert noted(data, "W18", "-0.92 dB")
