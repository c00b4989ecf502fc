"""ICNIRP 1998 and the European rules that took its numbers over.

Documents: ICNIRP 1998, Health Physics 74(4):494-522 (Table 6 workers, Table 7 public); Council
Recommendation 1999/519/EC Annex III Table 2 (the same public numbers); Directive 2013/35/EU Annexes
II and III (workers). National texts that reproduce them: German 26. BImSchV Annex 1 and EMFV, Swiss
NISV Annex 1.1, the Norwegian regulation on action and limit values, Annex 5.
"""

from __future__ import annotations

from functools import partial

from core.limits.model import LimitSet, LimitTable, Row

_SHORTER = "68/fG^1.05"  # minutes above 10 GHz (confirmed for ICNIRP 1998 and 2013/35/EU)

# Public levels of 1998 ----------------------------------------------------------------------------

_NATIONAL = "E and H in 26. BImSchV Annex 1b and NISV Annex 1.1"
_1998_PUBLIC = "ICNIRP 1998 Table 7 = 1999/519/EC Annex III Table 2"

_low = partial(
    Row,
    source=f"{_1998_PUBLIC} ({_NATIONAL}; B in NISV)",
    status="confirmed via another text",
)
_with_s = partial(
    Row,
    source=f"{_1998_PUBLIC} ({_NATIONAL}; S from memory)",
    status="from memory",
)

_PUBLIC_ROWS = (
    _low(low_hz=3e3, high_hz=100e3, e="87", h="5", b="6.25"),
    _low(low_hz=100e3, high_hz=150e3, e="87", h="5", b="6.25", averaging="6"),
    _low(low_hz=150e3, high_hz=1e6, e="87", h="0.73/f", b="0.92/f", averaging="6"),
    _low(low_hz=1e6, high_hz=10e6, e="87/f^0.5", h="0.73/f", b="0.92/f", averaging="6"),
    _with_s(low_hz=10e6, high_hz=400e6, e="28", h="0.073", b="0.092", s="2", averaging="6"),
    _with_s(
        low_hz=400e6,
        high_hz=2e9,
        e="1.375 f^0.5",
        h="0.0037 f^0.5",
        b="0.0046 f^0.5",
        s="f/200",
        averaging="6",
    ),
    _with_s(low_hz=2e9, high_hz=10e9, e="61", h="0.16", b="0.20", s="10", averaging="6"),
    _with_s(low_hz=10e9, high_hz=300e9, e="61", h="0.16", b="0.20", s="10", averaging=_SHORTER),
)
_PUBLIC_STIMULATION_ROWS = (
    Row(
        low_hz=3e3,
        high_hz=10e6,
        e="87",
        h="5",
        source="ICNIRP 1998 and 1999/519/EC Annex IV, constants a and b of the stimulation sum",
        status="from memory",
    ),
)
_HEATING_NOTE = (
    "Printed H and B round differently; the printed H is the limit of the magnetic field. Below "
    "100 kHz the values guard against stimulation and the stimulation table decides."
)
_STIMULATION_NOTE = (
    "Nerve stimulation up to 10 MHz: instantaneous values, field ratios added without squaring, E "
    "and H apart (from memory)."
)

PUBLIC_1998 = LimitTable(
    key="ICNIRP1998 gp",
    title="ICNIRP 1998 general public",
    tier="public",
    rows=_PUBLIC_ROWS,
    note=_HEATING_NOTE,
)
PUBLIC_1998_STIMULATION = LimitTable(
    key="ICNIRP1998-STIM gp",
    title="ICNIRP 1998 nerve stimulation, general public",
    tier="public",
    rows=_PUBLIC_STIMULATION_ROWS,
    exponent=1,
    spatial="peak",
    note=_STIMULATION_NOTE,
)
EU_PUBLIC = LimitTable(
    key="EU1999/519 gp",
    title="1999/519/EC general public",
    tier="public",
    rows=_PUBLIC_ROWS,
    note=_HEATING_NOTE,
)
EU_PUBLIC_STIMULATION = LimitTable(
    key="EU1999/519-STIM gp",
    title="1999/519/EC nerve stimulation, general public",
    tier="public",
    rows=_PUBLIC_STIMULATION_ROWS,
    exponent=1,
    spatial="peak",
    note=_STIMULATION_NOTE,
)

# Workers, 1998 ------------------------------------------------------------------------------------

_worker = partial(
    Row,
    source="ICNIRP 1998 Table 6 (neighbouring rows agree at their edges)",
    status="from memory",
)

OCCUPATIONAL_1998 = LimitTable(
    key="ICNIRP1998 occ",
    title="ICNIRP 1998 occupational",
    tier="occupational",
    rows=(
        _worker(low_hz=65e3, high_hz=100e3, e="610", h="1.6/f", b="2.0/f"),
        _worker(low_hz=100e3, high_hz=1e6, e="610", h="1.6/f", b="2.0/f", averaging="6"),
        _worker(low_hz=1e6, high_hz=10e6, e="610/f", h="1.6/f", b="2.0/f", averaging="6"),
        _worker(low_hz=10e6, high_hz=400e6, e="61", h="0.16", b="0.2", s="10", averaging="6"),
        _worker(
            low_hz=400e6,
            high_hz=2e9,
            e="3 f^0.5",
            h="0.008 f^0.5",
            b="0.01 f^0.5",
            s="f/40",
            averaging="6",
        ),
        _worker(low_hz=2e9, high_hz=10e9, e="137", h="0.36", b="0.45", s="50", averaging="6"),
        _worker(
            low_hz=10e9, high_hz=300e9, e="137", h="0.36", b="0.45", s="50", averaging=_SHORTER
        ),
    ),
    note=_HEATING_NOTE,
)
OCCUPATIONAL_1998_STIMULATION = LimitTable(
    key="ICNIRP1998-STIM occ",
    title="ICNIRP 1998 nerve stimulation, occupational",
    tier="occupational",
    rows=(
        Row(
            low_hz=65e3,
            high_hz=10e6,
            e="610",
            h="24.4",
            source="ICNIRP 1998, constants a and b of the stimulation sum for workers",
            status="from memory",
        ),
    ),
    exponent=1,
    spatial="peak",
    note=_STIMULATION_NOTE,
)

# Workers, 2013/35/EU; the Directive writes f in Hz and prints B only -----------------------------

_action = partial(
    Row,
    source=(
        "2013/35/EU Annex III Table B1 (E in the Norwegian regulation Annex 5; B from memory, "
        "agrees with H in EMFV Table A3.4)"
    ),
    status="from memory",
)

EU_OCCUPATIONAL = LimitTable(
    key="EU2013/35 occ",
    title="2013/35/EU action levels, thermal effects",
    tier="occupational",
    rows=(
        _action(low_hz=100e3, high_hz=1e6, e="6.1e2", b="2.0e6/fHz", averaging="6"),
        _action(low_hz=1e6, high_hz=10e6, e="6.1e8/fHz", b="2.0e6/fHz", averaging="6"),
        _action(low_hz=10e6, high_hz=400e6, e="61", b="0.2", averaging="6"),
        _action(low_hz=400e6, high_hz=2e9, e="3e-3 fHz^0.5", b="1.0e-5 fHz^0.5", averaging="6"),
        _action(low_hz=2e9, high_hz=6e9, e="1.4e2", b="4.5e-1", averaging="6"),
        _action(low_hz=6e9, high_hz=10e9, e="1.4e2", b="4.5e-1", s="50", averaging="6"),
        _action(low_hz=10e9, high_hz=300e9, e="1.4e2", b="4.5e-1", s="50", averaging=_SHORTER),
    ),
    spatial="peak",
    note=(
        "The levels are maxima at the worker's place (Norwegian regulation Annex 5), so the "
        "highest value over the body counts even where a mean was asked for."
    ),
)
EU_OCCUPATIONAL_STIMULATION = LimitTable(
    key="EU2013/35-STIM occ",
    title="2013/35/EU action levels, non-thermal effects",
    tier="occupational",
    rows=(
        Row(
            low_hz=3e3,
            high_hz=10e6,
            e="170",
            b="100",
            source=(
                "2013/35/EU Annex II, low action level of E (Norwegian regulation Annex 5) and "
                "action level of B (EMFV, which prints peak values)"
            ),
            status="confirmed via another text",
        ),
    ),
    exponent=1,
    spatial="peak",
    note=(
        "Instantaneous values next to the thermal levels. The high action level of E, 610 V/m, and "
        "300 µT for limbs need protective measures that a map cannot see and are not used here."
    ),
)

# The sets -----------------------------------------------------------------------------------------

_RULE = (
    "Heating: squared field ratios and S ratios are added over all emitters, E and H as two "
    "separate conditions. Stimulation up to 10 MHz: field ratios are added unsquared, E and H "
    "apart. Each sum has to stay within 1 (constants from memory, form as in 26. BImSchV Annex "
    "2)."
)
_AVERAGING = (
    "Squares over any 6 minutes from 100 kHz to 10 GHz, over 68/f^1.05 minutes (f in GHz) above; "
    "stimulation values are instantaneous."
)

ICNIRP1998 = LimitSet(
    key="ICNIRP1998",
    title="ICNIRP 1998",
    document="ICNIRP 1998, Health Physics 74(4):494-522, Tables 6 and 7",
    tables=(
        PUBLIC_1998,
        PUBLIC_1998_STIMULATION,
        OCCUPATIONAL_1998,
        OCCUPATIONAL_1998_STIMULATION,
    ),
    public_name="general public",
    occupational_name="occupational",
    averaging=_AVERAGING,
    rule=_RULE,
    status=(
        "Public E and H were confirmed in national laws; public S, all worker levels and the "
        "stimulation constants are from memory."
    ),
)

EU = LimitSet(
    key="EU",
    title="European Union: 1999/519/EC public, 2013/35/EU workers",
    document=(
        "Council Recommendation 1999/519/EC Annexes III and IV; Directive 2013/35/EU Annexes II "
        "and III"
    ),
    tables=(EU_PUBLIC, EU_PUBLIC_STIMULATION, EU_OCCUPATIONAL, EU_OCCUPATIONAL_STIMULATION),
    public_name="general public",
    occupational_name="workers",
    averaging=_AVERAGING,
    rule=_RULE,
    status=(
        "E and H of the public, E of the workers and the non-thermal levels were confirmed in "
        "national laws; public S, B of the workers' thermal levels and the public stimulation "
        "constants are from memory."
    ),
)
