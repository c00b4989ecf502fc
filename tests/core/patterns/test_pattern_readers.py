"""Pattern files: the invented samples, each warning and refusal, and junk."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.errors import InputError
from core.patterns.build3d import conservative
from core.patterns.readers import read_pattern
from core.patterns.readers.report import MOST_POINTS
from core.validation.data import PATTERNS

SECTOR = PATTERNS / "demo-sector65-0850.adf"
FM = PATTERNS / "demo-fm4-cp-0098.adf"
OMNI = PATTERNS / "demo-omni-0155.adf"
DISH = PATTERNS / "demo-dish12-11g.nsm"
BASTA = PATTERNS / "EXANT_EX-AAS-35-64_3500_TrafficEnvelope_3drp.json"
FIELD = PATTERNS / "demo-fm-directional-relative-field.csv"

SMALL = """REVNUM:,NSMA WG16.99.050
REVDAT:,19990520
ANTMAN:,Example Antennas (invented)
MODNUM:,EX-SMALL
LOWFRQ:,806.0
HGHFRQ:,896.0
GUNITS:,DBI/DBR
MDGAIN:,7.2
ELTILT:,0.0,0.5
PATTYP:,typical
NOFREQ:,1
PATFRE:,850.0
NUMCUT:,2
PATCUT:,H
POLARI:,V/V
NUPOIN:,8
FSTLST:,-180.000,135.000
-180.0,-14.00,
-135.0,-12.00,
-90.0,-9.00,
-45.0,-3.00,
0.0,0.00,
45.0,-3.00,
90.0,-9.00,
135.0,-12.00,
PATCUT:,V
POLARI:,V/V
NUPOIN:,8
FSTLST:,-180.000,135.000
-180.0,-14.00,
-135.0,-12.00,
-90.0,-9.00,
-45.0,-3.00,
0.0,0.00,
45.0,-3.00,
90.0,-9.00,
135.0,-12.00,
ENDFIL:,EOF
"""


@pytest.fixture
def read(tmp_path):
    """Return a reader of text or bytes, with choices."""

    def reader(content, *, name="test.adf", **choices):
        path = tmp_path / name
        data = content.replace("\n", "\r\n").encode() if isinstance(content, str) else content
        path.write_bytes(data)
        return read_pattern(path, **choices)

    return reader


@pytest.fixture
def refused(read):
    """Return a checker that a file is refused with a code, a place and a fix."""

    def checker(content, code, *, place="", **choices):
        with pytest.raises(InputError) as caught:
            read(content, **choices)
        error = caught.value
        assert error.message.startswith(code)
        assert error.source.startswith("test.")
        assert place in error.field
        assert error.fix
        assert "\n" not in error.line()
        return error

    return checker


def noted(data, code, words=""):
    return any(note.startswith(code) and words in note for note in data.notes)


# --- the samples -------------------------------------------------------------------------------


def test_sector_sample():
    data = read_pattern(SECTOR)
    assert (data.name, data.maker) == ("EX-S65-07-4T", "Example Antennas (invented)")
    assert data.gain == pytest.approx(17.4)  # HGGAIN, the largest of the band
    assert data.mid_gain == pytest.approx(17.2)
    assert data.frequency == pytest.approx(850e6)
    assert data.band == pytest.approx((806e6, 896e6))
    assert data.electrical_tilt == 4.0
    assert data.azimuth.angles.size == 72
    assert data.elevation.angles.size == 360
    assert data.azimuth.full_circle
    assert data.elevation.full_circle
    assert data.elevation.peak_angle == -4.0
    assert data.azimuth.at([180.0, -87.5, 0.0]) == pytest.approx([26.97, 26.915, 0.0])
    assert data.azimuth.width() == pytest.approx(65.0, abs=0.5)
    assert data.elevation.width() == pytest.approx(9.8, abs=0.1)
    assert not data.envelope
    assert not data.horizon_azimuth_cut
    assert data.source == SECTOR.name
    assert noted(data, "W25", "17.40 dBi")
    assert len(data.notes) == 1


def test_omni_sample_in_dbd():
    data = read_pattern(OMNI)
    assert data.gain == pytest.approx(5.6 + 2.15, abs=0.003)
    assert data.azimuth.loss.max() == 0.0
    assert data.notes == ()


def test_fm_sample_adds_both_polarisations():
    data = read_pattern(FM)
    # 3.2 dBd in each polarisation; H and V elevation cuts are equal, so 3.01 dB more together.
    assert data.gain == pytest.approx(3.2 + 2.15 + 3.01, abs=0.005)
    h, v = 10 ** (-3.02 / 10), 10 ** (-2.83 / 10)
    total = 3.2 + 2.15 + 10 * math.log10(h + v)
    assert data.gain - data.azimuth.at(-180.0) == pytest.approx(total, abs=0.005)
    assert not data.elevation.full_circle
    assert np.isnan(data.elevation.at([-91.0, 135.0, 180.0])).all()
    assert data.elevation.at(-30.0) == pytest.approx(60.0)
    assert noted(data, "W10", "added as powers")
    larger = read_pattern(FM, polarisations="larger")
    assert larger.gain == pytest.approx(3.2 + 2.15, abs=0.003)
    assert noted(larger, "W10", "the larger counts")


def test_dish_sample_is_a_dish():
    data = read_pattern(DISH)
    assert data.gain == pytest.approx(10 * math.log10(10**4.0 + 10**1.2))  # HH 0 dB, HV -28 dB
    assert data.mid_gain == 40.0
    assert data.band == (10.7e9, 11.7e9)
    assert data.envelope
    assert data.azimuth.at(0.8) == pytest.approx(3.1, abs=0.02)
    assert data.elevation.at([-0.8, 5.0]) == pytest.approx(data.azimuth.at([0.8, 5.0]))
    assert noted(data, "W15", "rotationally symmetric")


def test_basta_sample():
    data = read_pattern(BASTA)
    assert data.gain == 24.5
    assert data.grid.gain.shape == (37, 36)
    assert data.grid.gain.size == 1332
    assert not data.grid.filled.any()
    assert data.frequency == 3.5e9
    assert data.band == (3.4e9, 3.6e9)
    assert data.envelope
    assert data.notes == ()
    rows = json.loads(BASTA.read_text())["Data_Set"]
    up = list(data.grid.elevation)
    # The first row is theta -90, straight up; row 18 * 36 + 3 is the horizon, 30 clockwise.
    assert data.grid.gain[up.index(90.0), 18] == pytest.approx(24.5 - rows[0][0])
    column = list(data.grid.azimuth).index(30.0)
    assert data.grid.gain[up.index(0.0), column] == pytest.approx(24.5 - rows[18 * 36 + 3][0])
    # theta +10 is 10 degrees down.
    assert data.grid.gain[up.index(-10.0), column] == pytest.approx(24.5 - rows[20 * 36 + 3][0])


def test_relative_field_sample():
    data = read_pattern(FIELD)
    assert data.azimuth.angles.size == 36
    assert data.azimuth.loss.max() - data.azimuth.loss.min() == pytest.approx(13.6, abs=0.05)
    steps = np.abs(np.diff(data.azimuth.at(np.arange(0.0, 361.0, 10.0))))
    assert steps.max() == pytest.approx(1.06, abs=0.01)
    assert data.azimuth.at(90.0) == pytest.approx(-20 * math.log10(0.54))
    assert noted(data, "W27", "true north")
    assert not data.gain_known
    with pytest.raises(InputError, match="without a gain"):
        conservative(data)
    assert conservative(data.with_gain(3.0)).peak == pytest.approx(3.0)
    assert read_pattern(FIELD, gain_dbi=2.5).stated_gain() == 2.5


# --- tagged text: what is accepted with a warning -----------------------------------------------


def test_small_sample_is_clean(read):
    assert read(SMALL).notes == ()


@pytest.mark.parametrize("end", ["\n", "\r", "\r\r\n"])
def test_other_line_ends_are_accepted(read, end):
    data = read(SMALL.replace("\n", end).encode())
    assert noted(data, "W03")
    assert data.azimuth.angles.size == 8


def test_missing_last_line_end_is_accepted(read):
    assert noted(read(SMALL.replace("\n", "\r\n").strip().encode()), "W03")


def test_byte_order_mark_is_skipped(read):
    assert noted(read(b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode()), "W02")


def test_latin_1_text_is_accepted(read):
    content = SMALL.replace("EX-SMALL", "EX-65°").replace("\n", "\r\n").encode("latin-1")
    data = read(content)
    assert noted(data, "W02", "Latin-1")
    assert data.name == "EX-65°"


@pytest.mark.parametrize("tag", ["REVDAT", "ANTMAN", "MODNUM", "ELTILT", "PATTYP", "NOFREQ"])
def test_missing_harmless_records_are_noted(read, tag):
    lines = [line for line in SMALL.splitlines() if not line.startswith(tag)]
    assert noted(read("\n".join(lines) + "\n"), "W04", tag)


def test_missing_frequency_blocks_mean_the_band_centre(read):
    lines = [line for line in SMALL.splitlines() if not line.startswith(("PATFRE", "NUMCUT"))]
    data = read("\n".join(lines) + "\n")
    assert data.frequency == 851e6
    assert noted(data, "W04", "PATFRE")
    assert noted(data, "W04", "NUMCUT")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("MODNUM:,EX-SMALL", "MODNUM:,EX-" + "S" * 60, "longer than 42"),
        ("PATTYP:,typical", "PATTYP:,typical\nNEWTAG:,7", "unknown record"),
        ("REVDAT:,19990520\n", "", "MODNUM"),
        ("PATTYP:,typical", "PATTYP:,typical\nANTMAN:,Other (invented)", "more than once"),
    ],
)
def test_odd_records_are_noted(read, old, new, words):
    content = SMALL.replace(old, new)
    if words == "MODNUM":
        content = content.replace("PATTYP:,typical", "PATTYP:,typical\nREVDAT:,19990520")
        words = "out of the standard's order"
    data = read(content)
    assert noted(data, "W05", words)
    assert data.gain == 7.2


def test_the_larger_of_two_gains_counts(read):
    assert read(SMALL.replace("MDGAIN:,7.2", "MDGAIN:,7.2\nMDGAIN:,9.1")).gain == 9.1
    assert read(SMALL.replace("MDGAIN:,7.2", "LWGAIN:,7.6\nMDGAIN:,7.2,0.5")).gain == 7.6


def test_flipped_elevation_is_noted_kept_and_can_be_turned(read):
    content = SECTOR.read_bytes().replace(b"ELTILT:,4.0,0.5", b"ELTILT:,-4.0,0.5")
    data = read(content)
    assert noted(data, "W07", "up and down are probably exchanged")
    assert data.elevation.peak_angle == -4.0
    turned = read(content, flip_elevation=True)
    assert turned.elevation.peak_angle == 4.0
    assert not noted(turned, "W07", "peaks at")
    assert turned.elevation.at(20.0) == pytest.approx(data.elevation.at(-20.0))


def test_tilt_that_does_not_fit_is_noted(read):
    data = read(SECTOR.read_bytes().replace(b"ELTILT:,4.0,0.5", b"ELTILT:,8.0,0.5"))
    assert noted(data, "W07", "should put it at -8")
    assert not noted(
        read(SECTOR.read_bytes().replace(b"ELTILT:,4.0,0.5", b"ELTILT:,5.4,0.5")), "W07"
    )


@pytest.mark.parametrize("text", ["VV", "V-V", "X/V", ""])
def test_unknown_polarisation_counts_as_co_polar(read, text):
    data = read(SMALL.replace("POLARI:,V/V", f"POLARI:,{text}"))
    assert noted(data, "W10", "co-polar")
    assert data.gain == 7.2


def test_first_and_last_angle_that_do_not_fit_are_noted(read):
    assert noted(read(SMALL.replace("FSTLST:,-180.000,135.000", "FSTLST:,-180.000,180.000")), "W12")


def test_swapped_angles_are_sorted(read):
    swapped = SMALL.replace("-45.0,-3.00,\n0.0,0.00,", "0.0,0.00,\n-45.0,-3.00,", 1)
    data = read(swapped)
    assert noted(data, "W13", "sorted")
    assert np.array_equal(data.azimuth.loss, read(SMALL).azimuth.loss)


def test_angles_from_0_to_359_are_the_same_circle(read):
    head, cut = SMALL.split("PATCUT:,V\n")
    rows = "".join(
        f"{a:.1f},{v:.2f},\n"
        for a, v in [
            (0, 0),
            (45, -3),
            (90, -9),
            (135, -12),
            (180, -14),
            (225, -12),
            (270, -9),
            (315, -3),
        ]
    )
    turned = cut.split("135.000\n")[0].replace("-180.000", "0.000") + "315.000\n" + rows
    data = read(head + "PATCUT:,V\n" + turned + "ENDFIL:,EOF\n")
    assert data.notes == ()
    assert np.array_equal(data.elevation.angles, read(SMALL).elevation.angles)
    assert np.array_equal(data.elevation.loss, read(SMALL).elevation.loss)


def test_repeated_end_point_is_dropped_once(read):
    content = SMALL.replace("135.0,-12.00,\nPATCUT", "135.0,-12.00,\n180.0,-13.95,\nPATCUT")
    data = read(content.replace("NUPOIN:,8", "NUPOIN:,9", 1))
    assert noted(data, "W14")
    assert data.azimuth.angles.size == 8
    assert data.azimuth.at(180.0) == pytest.approx(13.95)  # the higher level
    assert data.azimuth.angles[-1] == 135.0


def test_wide_steps_are_noted(read):
    content = SMALL.replace("-45.0,-3.00,", "-45.0,-13.00,").replace(
        "\n45.0,-3.00,", "\n45.0,-13.00,"
    )
    assert noted(read(content), "W15", "step of 45")


def test_wrong_block_counts_are_noted(read):
    assert noted(read(SMALL.replace("NUMCUT:,2", "NUMCUT:,3")), "W16", "2 cuts were read")
    assert noted(read(SMALL.replace("NOFREQ:,1", "NOFREQ:,2")), "W16", "1 frequencies were read")


def test_cut_below_the_peak_is_kept_or_raised_as_chosen(read):
    low = SMALL.replace("\n0.0,0.00,", "\n0.0,-2.00,", 1)
    data = read(low)
    assert noted(data, "W18", "-2.00 dB")
    assert data.azimuth.loss.min() == pytest.approx(2.0)
    assert conservative(data).peak == pytest.approx(7.2)
    raised = read(low, renormalise=True)
    assert noted(raised, "W18", "as chosen")
    assert raised.azimuth.loss.min() == 0.0


def test_horizon_cut_of_a_tilted_antenna_is_recognised(read):
    tilted = SECTOR.read_bytes()
    lines = tilted.decode().split("\r\n")
    start = lines.index("PATCUT:,AZ") + 4
    for k in range(start, start + 72):
        angle, level, _ = lines[k].split(",")
        lines[k] = f"{angle},{float(level) - 1.89:.2f},"
    data = read("\r\n".join(lines).encode())
    assert data.horizon_azimuth_cut
    assert noted(data, "W18", "-1.89 dB")
    pattern = conservative(data)
    assert "horizon azimuth cut raised 1.89 dB" in pattern.method
    assert pattern.peak == pytest.approx(17.4)


def test_widths_and_front_to_back_are_compared(read):
    content = SECTOR.read_bytes()
    assert noted(read(content.replace(b"AZWIDT:,65.0", b"AZWIDT:,90.0")), "W19", "azimuth width")
    assert noted(read(content.replace(b"ELWIDT:,9.8", b"ELWIDT:,6.0")), "W19", "elevation width")
    assert noted(read(content.replace(b"FRTOBA:,26", b"FRTOBA:,35")), "W19", "front-to-back")


def test_gain_is_compared_with_directivity(read):
    content = SECTOR.read_bytes()
    assert noted(read(content.replace(b"HGGAIN:,17.4", b"HGGAIN:,19.9")), "W20", "dBd and dBi")
    assert noted(read(content.replace(b"GUNITS:,DBI", b"GUNITS:,DBD")), "W20", "not possible")
    envelope = content.replace(b"HGGAIN:,17.4", b"HGGAIN:,19.9").replace(b"typical", b"ENVELOPE")
    assert not noted(read(envelope), "W20")
    assert read(envelope).envelope


def test_missing_end_mark_after_a_complete_cut_is_accepted(read):
    assert noted(read(SMALL.replace("ENDFIL:,EOF\n", "")), "W21")
    assert noted(read(SMALL + "0.0,0.0,\n"), "W21", "ignored")


def test_comments_on_a_line_are_stripped(read):
    data = read(SMALL.replace("MDGAIN:,7.2", "MDGAIN:,7.2 ! invented"))
    assert noted(data, "W22", "invented")
    assert data.gain == 7.2


def test_cut_geometry_that_does_not_fit_the_tilt_is_noted(read):
    assert noted(read(SMALL.replace("ELTILT:,0.0", "ELTILT:,1.0")), "W24", "H or V")
    untilted = SECTOR.read_bytes().replace(b"ELTILT:,4.0,0.5", b"ELTILT:,0.0,0.5")
    assert noted(read(untilted), "W24", "peaks at -4")


def test_levels_in_dbi_may_exceed_the_stated_gain(read):
    absolute = SMALL.replace("DBI/DBR", "DBI/DBI").replace("\n0.0,0.00,", "\n0.0,9.00,")
    data = read(absolute)
    assert data.gain == 9.0
    assert noted(data, "W17", "1.80 dB over")
    assert data.azimuth.at(45.0) == pytest.approx(12.0)


def test_a_level_just_over_the_peak_raises_the_gain(read):
    data = read(SMALL.replace("\n0.0,0.00,", "\n0.0,0.04,"))
    assert data.gain == pytest.approx(7.24)
    assert data.azimuth.loss.min() == 0.0


def test_two_frequencies_give_the_larger_level_or_the_chosen_one(read):
    head, blocks = SMALL.split("PATFRE:,850.0\n")
    cuts = blocks.split("ENDFIL")[0]
    lower = cuts.replace("-9.00", "-7.00")
    content = head.replace("NOFREQ:,1", "NOFREQ:,2") + "PATFRE:,810.0\n" + lower
    content += "PATFRE:,890.0\n" + cuts.replace("-12.00", "-10.00") + "ENDFIL:,EOF\n"
    data = read(content)
    assert data.azimuth.at([90.0, 135.0]) == pytest.approx([7.0, 10.0])
    assert noted(data, "W26", "2 frequencies")
    chosen = read(content, frequency=890e6)
    assert chosen.frequency == 890e6
    assert chosen.azimuth.at([90.0, 135.0]) == pytest.approx([9.0, 10.0])


def test_cross_polar_power_is_added_and_two_ports_are_compared(read):
    head, cuts = SMALL.split("NUMCUT:,2\n")
    azimuth = cuts.split("PATCUT:,V")[0]
    cross = azimuth.replace("V/V", "V/H").replace("\n0.0,0.00,", "\n0.0,-10.00,")
    other = azimuth.replace("V/V", "H/H").replace("-9.00", "-5.00")
    body = cuts.split("ENDFIL")[0]
    data = read(head + "NUMCUT:,3\n" + body + cross + "ENDFIL:,EOF\n")
    assert data.gain == pytest.approx(7.2 + 10 * math.log10(1.1))
    both = read(head + "NUMCUT:,4\n" + body + cross + other + "ENDFIL:,EOF\n")
    assert noted(both, "W10", "the larger counts")
    assert both.gain == pytest.approx(7.2 + 10 * math.log10(1.1))
    assert both.gain - both.azimuth.at(90.0) == pytest.approx(7.2 - 5.0)


# --- tagged text: what is refused ---------------------------------------------------------------


def test_missing_signature_is_refused(refused):
    refused(SMALL.replace("REVNUM:,NSMA WG16.99.050\n", ""), "E01", place="line 1")


@pytest.mark.parametrize(
    "data",
    [
        SMALL.encode("utf-16"),
        b"\x00" + SMALL.encode(),
        SMALL.encode() + b"\x07\x03",
        b"\xff\xfe\x01",
    ],
)
def test_bytes_that_are_not_text_are_refused(refused, data):
    refused(data, "E02")


@pytest.mark.parametrize("tag", ["LOWFRQ", "HGHFRQ", "MDGAIN", "PATCUT", "POLARI", "NUPOIN"])
def test_missing_decisive_records_are_refused(refused, tag):
    lines = [line for line in SMALL.splitlines() if not line.startswith(tag)]
    refused("\n".join(lines) + "\n", ("E04", "E06"))


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ("MDGAIN:,7.2", "MDGAIN:,7.2 dBi", "MDGAIN"),
        ("MDGAIN:,7.2", "MDGAIN:,", "MDGAIN"),
        ("MDGAIN:,7.2", "MDGAIN:,7,2", "MDGAIN"),
        ("MDGAIN:,7.2", "MDGAIN:,nan", "MDGAIN"),
        ("MDGAIN:,7.2", "MDGAIN:,1e999", "MDGAIN"),
        ("MDGAIN:,7.2", "MDGAIN:,720", "MDGAIN"),
        ("LOWFRQ:,806.0", "LOWFRQ:,806,5 MHz", "LOWFRQ"),
        ("-90.0,-9.00,", "-90,0,-9,00,", "PATCUT H"),
        ("-90.0,-9.00,", "-90.0;-9.00;", "PATCUT H"),
        ("-90.0,-9.00,", "-90.0,,", "PATCUT H"),
        ("-90.0,-9.00,", "-900.0,-9.00,", "PATCUT H"),
        ("-90.0,-9.00,", "hello", "line 20"),
        ("NUPOIN:,8", "NUPOIN:,eight", "NUPOIN"),
    ],
)
def test_bad_numbers_are_refused(refused, old, new, place):
    refused(SMALL.replace(old, new), "E06", place=place)


def test_decimal_commas_in_whole_levels_are_refused(refused):
    content = SMALL
    for whole in (0, 3, 9, 12, 14):
        content = content.replace(f"-{whole}.00,", f"-{whole},00,").replace(
            f",{whole}.00,", f",{whole},00,"
        )
    refused(content, "E06", place="PATCUT H")


@pytest.mark.parametrize("text", ["DBI", "DBI/DB", "DBR/DBR", "", "LIN/LIN", "DBI/LIN"])
def test_unusable_units_are_refused(refused, text):
    refused(SMALL.replace("GUNITS:,DBI/DBR", f"GUNITS:,{text}"), "E08", place="GUNITS")
    refused(SMALL.replace("GUNITS:,DBI/DBR\n", ""), "E08", place="GUNITS")


@pytest.mark.parametrize(("linear", "loss"), [("field", 6.02), ("power", 3.01)])
def test_linear_levels_need_a_choice(read, linear, loss):
    content = SMALL.replace("DBI/DBR", "DBI/LIN").replace("\n0.0,0.00,", "\n0.0,1.00,")
    for level in ("-3.00", "-9.00", "-12.00", "-14.00"):
        content = content.replace(level, "0.50")
    assert read(content, linear=linear).azimuth.at(90.0) == pytest.approx(loss, abs=0.005)


def test_spherical_cuts_alone_are_refused(refused, read):
    refused(SMALL.replace("PATCUT:,H", "PATCUT:,0").replace("PATCUT:,V", "PATCUT:,90"), "E09")
    data = read(SMALL.replace("PATCUT:,V", "PATCUT:,90"))
    assert noted(data, "E09", "left out")
    assert data.elevation is None


def test_wrong_point_count_is_refused_until_accepted(refused, read):
    wrong = SMALL.replace("NUPOIN:,8", "NUPOIN:,9", 1)
    error = refused(wrong, "E11", place="NUPOIN")
    assert "9" in error.message
    assert "8" in error.message
    assert noted(read(wrong, accept_count=True), "W11", "accepted")
    refused(SMALL.replace("NUPOIN:,8", f"NUPOIN:,{MOST_POINTS + 1}", 1), "E06", place="NUPOIN")


def test_one_direction_with_two_levels_is_refused(refused):
    content = SMALL.replace("135.0,-12.00,\nPATCUT", "135.0,-12.00,\n180.0,-8.00,\nPATCUT")
    refused(content.replace("NUPOIN:,8", "NUPOIN:,9", 1), "E14", place="PATCUT H")
    refused(SMALL.replace("-90.0,-9.00,", "-45.0,-9.00,", 1), "E14", place="PATCUT H")


def test_cuts_of_two_points_are_left_out_unless_power_would_be_lost(read, refused):
    head, cut = SMALL.split("PATCUT:,V\n")
    short = "PATCUT:,V\nPOLARI:,V/V\nNUPOIN:,2\nFSTLST:,0.000,45.000\n0.0,0.00,\n45.0,-3.00,\n"
    data = read(head + short + "ENDFIL:,EOF\n")
    assert noted(data, "E15", "left out")
    assert data.elevation is None
    lost = short.replace("PATCUT:,V", "PATCUT:,H").replace("V/V", "H/H")
    refused(head + lost + "PATCUT:,V\n" + cut, "E15", place="PATCUT H")


def test_attenuations_with_the_wrong_sign_are_refused_until_negated(refused, read):
    turned = SMALL.replace(",-", ",").replace("FSTLST:,180", "FSTLST:,-180")
    refused(turned, "E17", place="PATCUT H")
    data = read(turned, negate=True)
    assert np.array_equal(data.azimuth.loss, read(SMALL).azimuth.loss)
    refused(SMALL.replace("\n0.0,0.00,", "\n0.0,0.06,"), "E17", place="PATCUT H")


def test_half_a_file_is_refused(refused):
    whole = SECTOR.read_bytes()
    refused(whole[: len(whole) // 2], "E21", place="PATCUT EL")
    for size in range(100, len(whole) - 60, 331):
        refused(whole[:size], ("E04", "E06", "E08", "E15", "E21"))


def test_frequencies_not_in_mhz_need_a_choice(refused, read):
    hertz = (
        SMALL.replace("806.0", "806000000").replace("896.0", "896000000").replace("850.0", "850e6")
    )
    refused(hertz, "W23", place="LOWFRQ")
    assert read(hertz, frequency_unit="Hz").frequency == 850e6
    giga = SMALL.replace("806.0", "0.806").replace("896.0", "0.896").replace("850.0", "0.85")
    refused(giga, "W23", place="LOWFRQ")


def test_cross_polar_data_alone_are_refused(refused):
    refused(SMALL.replace("V/V", "V/H"), "E10")


# --- files that are no files --------------------------------------------------------------------


def test_missing_folder_and_empty_files_are_refused(tmp_path, refused):
    for path in (tmp_path / "none.adf", tmp_path, Path("bad\0name.adf"), Path("/dev/zero")):
        with pytest.raises(InputError):
            read_pattern(path)
    for data in (b"", b" \r\n \r\n", b"\x1a"):
        refused(data, "the file is empty")


def test_huge_files_and_lines_are_refused(tmp_path, refused):
    path = tmp_path / "huge.adf"
    with path.open("wb") as file:
        file.truncate(50_000_001)
    with pytest.raises(InputError, match="50 MB"):
        read_pattern(path)
    refused(SMALL.replace("EX-SMALL", "S" * 1000), "E02", place="line 4")


def test_unknown_content_is_refused_whatever_its_name(refused):
    for name in ("test.adf", "test.json", "test.csv"):
        refused("once upon a time\n", "E01 this is no pattern format", name=name)


def test_the_name_does_not_decide_the_format(read):
    for sample in (SECTOR, DISH, BASTA, FIELD):
        data = read(sample.read_bytes(), name="test.txt")
        assert data.gain == read_pattern(sample).gain


# --- WG16.89.003 --------------------------------------------------------------------------------

OLD = """MAKER (INVENTED)
MODEL
NONE
NONE
NONE
01/01/2025
NONE
6525.0 - 6875.0
38.0
NONE
HH      7       
 -180.0   -50.0 
  -10.0   -30.0 
  -10.0   -20.0 
    0.0     0.0 
    5.0   -15.0 
   10.0   -25.0 
  180.0   -49.0 
"""  # noqa: W291


def test_a_step_takes_the_higher_level_and_both_ends_are_one_direction(read):
    data = read(OLD)
    assert data.azimuth.angles.size == 5
    assert data.azimuth.at([-10.0, 180.0]) == pytest.approx([20.0, 49.0])
    assert data.elevation.at([5.0, -5.0, 10.0]) == pytest.approx([10.0, 10.0, 20.0])


def test_elevation_blocks_are_used(read):
    data = read(OLD + OLD[OLD.index("HH") :].replace("HH  ", "ELHH").replace("-15.0", "-12.0"))
    assert data.elevation.at(5.0) == pytest.approx(12.0)


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("NONE\nNONE\nNONE\n", "NONE\n", "E04"),
        ("HH      7", "HH      8", "E11"),
        ("HH      7", "HH      6", "E11"),
        ("HH      7", "HH      999999999999", "E11"),
        ("-25.0", "-25,0", "E06"),
        ("-25.0", "", "E06"),
        ("HH      7", "HV      7", "E04"),
        ("6525.0 - 6875.0", "6525 to 6875", "E06"),
        ("6525.0 - 6875.0", "6.5.25 - 6875.0", "E06"),
        ("\n38.0\n", "\n380\n", "E06"),
        ("\n38.0\n", "\nNONE\n", "E06"),
        ("    0.0     0.0 ", "    0.0     0.5 ", "E17"),
    ],
)
def test_bad_dish_files_are_refused(refused, old, new, code):
    assert old in OLD
    refused(OLD.replace(old, new), code)


# --- BASTA --------------------------------------------------------------------------------------


@pytest.fixture
def basta():
    return json.loads(BASTA.read_text())


def as_json(document):
    return json.dumps(document).encode()


def small_basta(document, **changes):
    """Return a document on a 30 by 45 degree grid with a peak straight ahead."""
    theta, phi = np.arange(-90.0, 91.0, 30.0), np.arange(0.0, 360.0, 45.0)
    off = np.abs(theta)[:, None] / 10.0 + np.minimum(phi, 360.0 - phi)[None, :] / 12.0
    document = document | {
        "Theta_Sampling": [-90.0, 30.0, 90.0],
        "Phi_Sampling": [0.0, 45.0, 315.0],
        "Data_Set": [[value] for value in off.ravel()],
    }
    return as_json(document | changes)


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


# --- plain tables -------------------------------------------------------------------------------


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


# --- junk ---------------------------------------------------------------------------------------

FUZZ = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def only_input_errors(path, data, **choices):
    path.write_bytes(data)
    failure = None
    try:
        pattern = read_pattern(path, **choices)
    except InputError as error:
        failure = error
    if failure is None:
        assert math.isfinite(pattern.gain)
        built = conservative(pattern if pattern.gain_known else pattern.with_gain(0.0))
        assert built.peak == pytest.approx(pattern.gain, abs=1e-6)
    else:
        assert "\n" not in failure.line()
        assert failure.source == path.name


@FUZZ
@given(data=st.binary(max_size=400))
def test_arbitrary_bytes_raise_nothing_but_an_input_error(tmp_path, data):
    only_input_errors(tmp_path / "fuzz.adf", data)


@FUZZ
@given(text=st.text(max_size=200), head=st.sampled_from(["REVNUM:,", "{", "azimuth_deg,loss_db\n"]))
def test_arbitrary_text_raises_nothing_but_an_input_error(tmp_path, text, head):
    only_input_errors(tmp_path / "fuzz.adf", (head + text).encode("utf-8", "surrogatepass"))


@settings(FUZZ, max_examples=600)
@given(
    sample=st.sampled_from([SMALL.encode(), OLD.encode(), FIELD.read_bytes(), DISH.read_bytes()]),
    edits=st.lists(
        st.tuples(
            st.floats(0.0, 1.0),
            st.integers(0, 12),
            st.one_of(
                st.binary(max_size=4),
                st.sampled_from(
                    [b",", b"-", b"\n", b"0", b"1e9", b".", b"/", b"nan", b"!", b" ", b"9"]
                ),
            ),
        ),
        min_size=1,
        max_size=4,
    ),
    accept=st.booleans(),
)
def test_mutated_samples_raise_nothing_but_an_input_error(tmp_path, sample, edits, accept):
    data = sample
    for where, length, new in edits:
        at = int(where * len(data))
        data = data[:at] + new + data[at + length :]
    only_input_errors(tmp_path / "fuzz.adf", data, accept_count=accept, linear="field")


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)


@settings(FUZZ, max_examples=300)
@given(data=st.data())
def test_mutated_json_raises_nothing_but_an_input_error(tmp_path, data):
    document = json.loads(small_basta(json.loads(BASTA.read_text())))
    for _ in range(data.draw(st.integers(1, 3))):
        key = data.draw(st.sampled_from(sorted(document)))
        if key in ("Gain", "EIRP", "Frequency", "Frequency_Range") and data.draw(st.booleans()):
            document[key] = {"value": data.draw(JSON_VALUES), "unit": data.draw(JSON_VALUES)}
        else:
            document[key] = data.draw(JSON_VALUES)
    only_input_errors(tmp_path / "fuzz.json", as_json(document))
