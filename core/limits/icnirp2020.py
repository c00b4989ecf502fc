"""Reference levels of ICNIRP 2020, with the stimulation levels of ICNIRP 2010 beside them.

Documents: ICNIRP 2020, Health Physics 118(5):483-524; ICNIRP 2010, Health Physics 99(6):818-836.
"""

from __future__ import annotations

from functools import partial

from core.limits.model import LimitSet, LimitTable, Row

_REPRINT = "reprinted in the handbook Bioelectromagnetism"

_whole = partial(
    Row,
    averaging="30",
    source="ICNIRP 2020 Table 5 (neighbouring rows agree at their edges)",
    status="from memory",
)
_local = partial(
    Row,
    averaging="6",
    source=f"ICNIRP 2020 Table 6, {_REPRINT}",
    status="confirmed via another text",
)
_local_high = partial(
    Row,
    averaging="6",
    source=f"ICNIRP 2020 Table 6, {_REPRINT}; sign of the exponent from continuity at both ends",
    status="confirmed via another text",
)
_stimulation = partial(
    Row,
    low_hz=0.1e6,
    high_hz=10e6,
    status="confirmed via another text",
)

_WHOLE_NOTE = (
    "A quantity without a level is not checked, and it may not be rebuilt from another one. In "
    "the reactive near field S may not be used up to 2 GHz, and above 2 GHz these levels may not "
    "be used at all (from memory)."
)
_LOCAL_NOTE = (
    "Compared with the highest value over the body. In the reactive near field S may not be used "
    "up to 6 GHz, and above 6 GHz these levels may not be used at all; above 6 GHz S is a mean "
    "over 4 cm² (from memory)."
)
_STIMULATION_NOTE = (
    "Nerve stimulation: instantaneous values, field ratios added without squaring, E and H apart. "
    "They apply as well as the heating levels and are the stricter ones at medium wave."
)

WHOLE_PUBLIC = LimitTable(
    key="ICNIRP2020-WB gp",
    title="ICNIRP 2020 whole body, general public",
    tier="public",
    rows=(
        _whole(low_hz=0.1e6, high_hz=30e6, e="300/f^0.7", h="2.2/f"),
        _whole(low_hz=30e6, high_hz=400e6, e="27.7", h="0.073", s="2"),
        _whole(low_hz=400e6, high_hz=2e9, e="1.375 f^0.5", h="0.0037 f^0.5", s="f/200"),
        _whole(low_hz=2e9, high_hz=300e9, s="10"),
    ),
    note=_WHOLE_NOTE,
)

WHOLE_OCCUPATIONAL = LimitTable(
    key="ICNIRP2020-WB occ",
    title="ICNIRP 2020 whole body, occupational",
    tier="occupational",
    rows=(
        _whole(low_hz=0.1e6, high_hz=30e6, e="660/f^0.7", h="4.9/f"),
        _whole(low_hz=30e6, high_hz=400e6, e="61", h="0.16", s="10"),
        _whole(low_hz=400e6, high_hz=2e9, e="3 f^0.5", h="0.008 f^0.5", s="f/40"),
        _whole(low_hz=2e9, high_hz=300e9, s="50"),
    ),
    note=_WHOLE_NOTE,
)

LOCAL_PUBLIC = LimitTable(
    key="ICNIRP2020-LOCAL gp",
    title="ICNIRP 2020 local, general public",
    tier="public",
    rows=(
        _local(low_hz=0.1e6, high_hz=30e6, e="671/f^0.7", h="4.9/f"),
        _local(low_hz=30e6, high_hz=400e6, e="62", h="0.163", s="10"),
        _local(low_hz=400e6, high_hz=2e9, e="4.72 f^0.43", h="0.0123 f^0.43", s="0.058 f^0.86"),
        _local(low_hz=2e9, high_hz=6e9, s="40"),
        _local_high(low_hz=6e9, high_hz=300e9, s="55/fG^0.177"),
        _local(low_hz=300e9, high_hz=300e9, s="20"),
    ),
    spatial="peak",
    note=_LOCAL_NOTE,
)

LOCAL_OCCUPATIONAL = LimitTable(
    key="ICNIRP2020-LOCAL occ",
    title="ICNIRP 2020 local, occupational",
    tier="occupational",
    rows=(
        _local(low_hz=0.1e6, high_hz=30e6, e="1504/f^0.7", h="10.8/f"),
        _local(low_hz=30e6, high_hz=400e6, e="139", h="0.36", s="50"),
        _local(low_hz=400e6, high_hz=2e9, e="10.58 f^0.43", h="0.0274 f^0.43", s="0.29 f^0.86"),
        _local(low_hz=2e9, high_hz=6e9, s="200"),
        _local_high(low_hz=6e9, high_hz=300e9, s="275/fG^0.177"),
        _local(low_hz=300e9, high_hz=300e9, s="100"),
    ),
    spatial="peak",
    note=_LOCAL_NOTE,
)

STIMULATION_PUBLIC = LimitTable(
    key="ICNIRP2010-STIM gp",
    title="ICNIRP 2010 nerve stimulation, general public",
    tier="public",
    rows=(
        _stimulation(
            e="83", h="21", b="27", source=f"ICNIRP 2010 Table 4, {_REPRINT}; 26. BImSchV Annex 1"
        ),
    ),
    exponent=1,
    spatial="peak",
    note=_STIMULATION_NOTE,
)

STIMULATION_OCCUPATIONAL = LimitTable(
    key="ICNIRP2010-STIM occ",
    title="ICNIRP 2010 nerve stimulation, occupational",
    tier="occupational",
    rows=(_stimulation(e="170", h="80", b="100", source=f"ICNIRP 2010 Table 3, {_REPRINT}"),),
    exponent=1,
    spatial="peak",
    note=_STIMULATION_NOTE,
)

ICNIRP2020 = LimitSet(
    key="ICNIRP2020",
    title="ICNIRP 2020",
    document=(
        "ICNIRP 2020, Health Physics 118(5):483-524, Tables 5 and 6; 0.1 to 10 MHz also ICNIRP "
        "2010, Health Physics 99(6):818-836, Tables 3 and 4"
    ),
    tables=(
        WHOLE_PUBLIC,
        LOCAL_PUBLIC,
        STIMULATION_PUBLIC,
        WHOLE_OCCUPATIONAL,
        LOCAL_OCCUPATIONAL,
        STIMULATION_OCCUPATIONAL,
    ),
    public_name="general public",
    occupational_name="occupational",
    averaging=(
        "Whole body 30 minutes, local 6 minutes, in both tiers; squares of the fields are "
        "averaged. Stimulation levels are instantaneous."
    ),
    rule=(
        "Heating: squared field ratios and S ratios are added over all emitters. Below 30 MHz the "
        "E and the H ratio are added to each other, which is the safe reading of a rule known "
        "only from memory. Stimulation: field ratios are added unsquared, E and H apart. Whole "
        "body, local and stimulation each have to stay within 1."
    ),
    status=(
        "Local and stimulation levels were confirmed in reprints; whole-body levels and the "
        "summing rules are from memory."
    ),
    add_e_and_h_below=30e6,
)
