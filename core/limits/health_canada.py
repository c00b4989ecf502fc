"""Limits of Canada: Health Canada, Safety Code 6 (2015).

All numbers are from memory; every edge agrees within 0.4 %. Both tiers average over 6 minutes.
"""

from __future__ import annotations

from functools import partial

from core.limits.model import LimitSet, LimitTable, Row

_SHORTER = "616000/f^1.2"  # minutes above 15 GHz, f in MHz

_heating = partial(
    Row,
    averaging="6",
    source="Safety Code 6 (2015), reference levels based on SAR and power density",
    status="from memory",
)
_stimulation = partial(
    Row,
    low_hz=3e3,
    high_hz=10e6,
    source="Safety Code 6 (2015), reference levels based on nerve stimulation",
    status="from memory",
)
_HEATING_NOTE = (
    "The E column starts where the heating curve passes below the stimulation level (1.10 MHz "
    "uncontrolled, 1.29 MHz controlled), the H column at 0.1 MHz."
)
_STIMULATION_NOTE = (
    "Nerve stimulation: instantaneous rms values, field ratios added without squaring, E and H "
    "apart."
)

UNCONTROLLED = LimitTable(
    key="SC6-2015 uncontrolled",
    title="Safety Code 6 uncontrolled",
    tier="public",
    rows=(
        _heating(low_hz=0.1e6, high_hz=1.10e6, h="0.73/f"),
        _heating(low_hz=1.10e6, high_hz=10e6, e="87/f^0.5", h="0.73/f"),
        _heating(low_hz=10e6, high_hz=20e6, e="27.46", h="0.0728", s="2"),
        _heating(low_hz=20e6, high_hz=48e6, e="58.07/f^0.25", h="0.1540/f^0.25", s="8.944/f^0.5"),
        _heating(low_hz=48e6, high_hz=300e6, e="22.06", h="0.05852", s="1.291"),
        _heating(
            low_hz=300e6,
            high_hz=6e9,
            e="3.142 f^0.3417",
            h="0.008335 f^0.3417",
            s="0.02619 f^0.6834",
        ),
        _heating(low_hz=6e9, high_hz=15e9, e="61.4", h="0.163", s="10"),
        _heating(low_hz=15e9, high_hz=150e9, e="61.4", h="0.163", s="10", averaging=_SHORTER),
        _heating(
            low_hz=150e9,
            high_hz=300e9,
            e="0.158 f^0.5",
            h="4.21e-4 f^0.5",
            s="6.67e-5 f",
            averaging=_SHORTER,
        ),
    ),
    note=_HEATING_NOTE,
)
CONTROLLED = LimitTable(
    key="SC6-2015 controlled",
    title="Safety Code 6 controlled",
    tier="occupational",
    rows=(
        _heating(low_hz=0.1e6, high_hz=1.29e6, h="1.6/f"),
        _heating(low_hz=1.29e6, high_hz=10e6, e="193/f^0.5", h="1.6/f"),
        _heating(low_hz=10e6, high_hz=20e6, e="61.4", h="0.163", s="10"),
        _heating(low_hz=20e6, high_hz=48e6, e="129.8/f^0.25", h="0.3444/f^0.25", s="44.72/f^0.5"),
        _heating(low_hz=48e6, high_hz=100e6, e="49.33", h="0.1309", s="6.455"),
        _heating(low_hz=100e6, high_hz=6e9, e="15.60 f^0.25", h="0.04138 f^0.25", s="0.6455 f^0.5"),
        _heating(low_hz=6e9, high_hz=15e9, e="137", h="0.364", s="50"),
        _heating(low_hz=15e9, high_hz=150e9, e="137", h="0.364", s="50", averaging=_SHORTER),
        _heating(
            low_hz=150e9,
            high_hz=300e9,
            e="0.354 f^0.5",
            h="9.40e-4 f^0.5",
            s="3.33e-4 f",
            averaging=_SHORTER,
        ),
    ),
    note=_HEATING_NOTE,
)
UNCONTROLLED_STIMULATION = LimitTable(
    key="SC6-2015-STIM uncontrolled",
    title="Safety Code 6 nerve stimulation, uncontrolled",
    tier="public",
    rows=(_stimulation(e="83", h="90"),),
    exponent=1,
    spatial="peak",
    note=_STIMULATION_NOTE,
)
CONTROLLED_STIMULATION = LimitTable(
    key="SC6-2015-STIM controlled",
    title="Safety Code 6 nerve stimulation, controlled",
    tier="occupational",
    rows=(_stimulation(e="170", h="180"),),
    exponent=1,
    spatial="peak",
    note=_STIMULATION_NOTE,
)

SC6 = LimitSet(
    key="SC6-2015",
    title="Safety Code 6 (2015)",
    document="Health Canada, Safety Code 6 (2015), 3 kHz to 300 GHz",
    tables=(UNCONTROLLED, UNCONTROLLED_STIMULATION, CONTROLLED, CONTROLLED_STIMULATION),
    public_name="uncontrolled environment",
    occupational_name="controlled environment",
    averaging=(
        "6 minutes in both tiers, 616000/f^1.2 minutes (f in MHz) above 15 GHz; stimulation "
        "levels are instantaneous."
    ),
    rule=(
        "Heating: squared field ratios and S ratios are added over all emitters. Stimulation: "
        "field ratios are added unsquared. Each family has to stay within 1 (from memory)."
    ),
    status=(
        "Every number is from memory; scope, edition and that it is stricter than before were "
        "confirmed."
    ),
)
