"""Tagged text (NSMA WG16.99.050, TIA-804): what is accepted, with a warning or without."""

import math

import numpy as np
import pytest

from core.patterns.build3d import conservative
from support.pattern_files import SECTOR, SMALL, noted


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
