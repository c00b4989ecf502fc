"""Pattern files of the NGMN BASTA paper (JSON)."""

import math

import numpy as np
import pytest

from core.errors import InputError
from core.patterns.build3d import conservative
from core.patterns.readers import read_pattern
from support.pattern_files import as_json, noted, small_basta


def test_coordinate_systems_of_basta_agree(read, basta):
    ahead = {"azimuth": 45.0, "elevation": -30.0}
    marked = np.full((7, 8), 30.0)
    marked[4, 1] = 0.0  # theta +30 is down, phi 45
    rows = [[value] for value in marked.ravel()]

    def peak(**changes):
        grid = read(small_basta(basta, Data_Set=rows, **changes)).grid
        row, column = np.unravel_index(grid.gain.argmax(), grid.gain.shape)
        return {"azimuth": grid.azimuth[column], "elevation": grid.elevation[row]}

    assert peak(Coordinate_System="SPCS_CW") == ahead
    assert peak(Coordinate_System="SPCS_CCW") == ahead | {"azimuth": -45.0}
    polar = peak(Coordinate_System="SPCS_Polar", Theta_Sampling=[0.0, 30.0, 180.0])
    assert polar == ahead | {"azimuth": -45.0}


def test_directions_may_stand_in_the_rows_and_holes_are_filled_high(read, basta):
    theta, phi = np.meshgrid(
        np.arange(-90.0, 91.0, 30.0), np.arange(0.0, 360.0, 45.0), indexing="ij"
    )
    loss = np.abs(theta) / 5.0 + np.minimum(phi, 360.0 - phi) / 6.0
    rows = np.column_stack((theta.ravel(), phi.ravel(), loss.ravel())).tolist()
    changes = {
        "Theta_Sampling": None,
        "Phi_Sampling": None,
        "Data_Set_Row_Structure": ["Theta", "Phi", "MagAttenuationTP"],
    }
    whole = read(as_json(basta | changes | {"Data_Set": rows})).grid
    assert whole.gain.shape == (7, 8)
    assert not whole.filled.any()
    kept = [row for row in rows if not (row[0] == 30.0 and row[1] == 135.0)]
    data = read(as_json(basta | changes | {"Data_Set": kept}))
    assert noted(data, "W15", "filled high")
    assert data.grid.filled.sum() == 1
    assert np.all(data.grid.gain >= whole.gain - 1e-9)
    part = [row for row in rows if abs(row[0]) <= 30.0 and min(row[1], 360.0 - row[1]) <= 90.0]
    data = read(as_json(basta | changes | {"Data_Set": part}))
    assert data.grid.filled.any()
    unknown = data.grid.gain[data.grid.filled]
    assert np.all(unknown >= 24.5 - 20.0 - 1e-9)  # unknown directions: 20 dB at most


def test_co_and_cross_polar_attenuations_are_added(read, basta):
    rows = [[3.0103, 3.0103] for _ in range(56)]
    changes = {"Data_Set_Row_Structure": ["MagAttenuationCo", "MagAttenuationCr"], "Data_Set": rows}
    data = read(small_basta(basta, **changes))
    assert data.grid.gain == pytest.approx(np.full((7, 8), 24.5), abs=1e-3)


def test_gain_of_basta_comes_from_eirp_if_need_be(read, basta):
    data = read(small_basta(basta, Gain=None))
    assert data.gain == pytest.approx(77.5 - 10 * math.log10(200e3), abs=1e-9)
    assert noted(data, "W04", "EIRP")
    higher = read(small_basta(basta, Gain={"value": 20.0, "unit": "dBi"}))
    assert higher.gain == pytest.approx(24.49, abs=0.01)
    assert noted(higher, "W20", "larger")
    dipole = read(small_basta(basta, Gain={"value": 22.5, "unit": "dBd"}))
    assert dipole.gain == pytest.approx(24.65, abs=0.003)


def test_odd_basta_files_are_noted(read, basta):
    assert noted(read(small_basta(basta, Pattern_Type="Traffic Beam")), "W26", "envelope")
    rows = [[1.0 + k / 10] for k in range(56)]
    unsampled = read(small_basta(basta, Data_Set=rows))
    assert noted(unsampled, "W18", "1.00 dB")
    pattern = conservative(unsampled)
    assert pattern.peak == pytest.approx(24.5)
    assert "raised 1.00 dB" in pattern.method
    renamed = {key: value for key, value in basta.items() if key != "Theta_Electrical_Tilt"}
    data = read(as_json(renamed | {"Theta_Tilt": 6.0}))
    assert data.electrical_tilt == 6.0
    assert data.notes == ()
    del renamed["Supplier"]
    assert noted(read(as_json(renamed)), "W04", "Supplier")


@pytest.mark.parametrize(
    ("changes", "code", "tag"),
    [
        ({"Pattern_Type": "Uplink"}, "E08", "Pattern_Type"),
        ({"Pattern_Type": "Lobe"}, "E08", "Pattern_Type"),
        ({"Pattern_Type": ["Generic"]}, "E08", "Pattern_Type"),
        ({"Coordinate_System": "SPCS_Geo"}, "E08", "Coordinate_System"),
        ({"Gain": None, "EIRP": None}, "E04", "Gain"),
        ({"Gain": {"value": "24", "unit": "dBi"}}, "E06", "Gain"),
        ({"Gain": {"value": 24, "unit": "dB"}}, "E08", "Gain"),
        ({"Gain": {"value": 24, "unit": ["dBi"]}}, "E08", "Gain"),
        ({"Gain": {"value": 240, "unit": "dBi"}}, "E06", "Gain"),
        ({"Configured_Output_Power": {"value": 0, "unit": "W"}}, "E06", "Configured_Output_Power"),
        ({"Theta_Sampling": None}, "E04", "Theta_Sampling"),
        ({"Theta_Sampling": None, "Phi_Sampling": None}, "E04", "Data_Set_Row_Structure"),
        ({"Theta_Sampling": [-90, 7, 90]}, "E06", "Theta_Sampling"),
        ({"Theta_Sampling": [-90, 0, 90]}, "E06", "Theta_Sampling"),
        ({"Theta_Sampling": [-90, 1e-12, 90]}, "E06", "Theta_Sampling"),
        ({"Theta_Sampling": [0, 30, 180]}, "E06", "Theta"),
        ({"Phi_Sampling": [0, 30, 330]}, "E11", "Data_Set"),
        ({"Data_Set": []}, "E04", "Data_Set"),
        ({"Data_Set": [[1.0, 2.0]]}, "E11", "Data_Set"),
        ({"Data_Set": [["a"]] * 56}, "E06", "Data_Set"),
        ({"Data_Set": [[True]] * 56}, "E06", "Data_Set"),
        ({"Data_Set": [[-1.0]] * 56}, "E17", "Data_Set"),
        ({"Data_Set_Row_Structure": ["Loss"]}, "E08", "Data_Set_Row_Structure"),
        ({"Data_Set_Row_Structure": ["PhaseCo"]}, "E04", "Data_Set_Row_Structure"),
        ({"Data_Set_Row_Structure": [1]}, "E08", "Data_Set_Row_Structure"),
    ],
)
def test_bad_basta_files_are_refused(refused, basta, changes, code, tag):
    refused(small_basta(basta, **changes), code, place=tag)


@pytest.mark.parametrize("key", ["Coordinate_System", "Gain", "Data_Set", "Frequency"])
def test_missing_decisive_keys_are_refused(refused, basta, key):
    del basta[key]
    refused(as_json(basta), "E04", place=key)


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "[1, 2]",
        '{"a": NaN}',
        "[" * 100_000,
        '{"a": ' + "9" * 5000 + "}",
        '{"a": 1}',
        "{'a': 1}",
    ],
)
def test_broken_json_is_refused(text, tmp_path):
    path = tmp_path / "test.json"
    path.write_text(text)
    with pytest.raises(InputError, match=r"E0[14]"):
        read_pattern(path)


def test_one_direction_twice_is_refused(refused, basta):
    rows = [
        [0.0, 0.0, 0.0],
        [0.0, 0.0, 3.0],
        [0.0, 120.0, 9.0],
        [30.0, 240.0, 9.0],
        [-30.0, 0.0, 9.0],
    ]
    changes = {
        "Theta_Sampling": None,
        "Phi_Sampling": None,
        "Data_Set_Row_Structure": ["Theta", "Phi", "MagAttenuationTP"],
        "Data_Set": rows,
    }
    refused(as_json(basta | changes), "E14")
