"""Tagged text (NSMA WG16.99.050, TIA-804): what is refused, and which choices let it in."""

import numpy as np
import pytest

from core.patterns.readers.report import MOST_POINTS
from support.pattern_files import SECTOR, SMALL, noted


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
