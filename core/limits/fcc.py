"""Limits of the United States: 47 CFR 1.1310, Table 1 to paragraph (e)(1).

Power densities are printed in mW/cm2; 1 mW/cm2 is 10 W/m2.
"""

from __future__ import annotations

from functools import partial

from core.limits.model import LimitSet, LimitTable, Row

_occupational = partial(
    Row, averaging="6", source="47 CFR 1.1310(e)(1) Table 1(i)", status="confirmed"
)
_public = partial(Row, averaging="30", source="47 CFR 1.1310(e)(1) Table 1(ii)", status="confirmed")

_NOTE = (
    "Below 30 MHz the printed power density is the plane-wave equivalent of E (E²/377 ohm); near "
    "an antenna E is compared with the E limit and H with the H limit. The limits stand for a "
    "mean over the standing body, but a hot spot next to a radiator has to meet the local SAR "
    "limit as well (OET Bulletin 65, from memory)."
)

OCCUPATIONAL = LimitTable(
    key="FCC occ",
    title="FCC occupational/controlled",
    tier="occupational",
    rows=(
        _occupational(low_hz=0.3e6, high_hz=3e6, e="614", h="1.63", s="1000", plane_wave_s=True),
        _occupational(
            low_hz=3e6, high_hz=30e6, e="1842/f", h="4.89/f", s="9000/f^2", plane_wave_s=True
        ),
        _occupational(low_hz=30e6, high_hz=300e6, e="61.4", h="0.163", s="10"),
        _occupational(low_hz=300e6, high_hz=1.5e9, s="f/30"),
        _occupational(low_hz=1.5e9, high_hz=100e9, s="50"),
    ),
    note=_NOTE,
)

# From 1.34 to 1.344 MHz the printed digits put the public limits up to 0.27 % over the occupational
# ones. That is in the rule and is not smoothed; regions look at the occupational total first.
PUBLIC = LimitTable(
    key="FCC gp",
    title="FCC general population/uncontrolled",
    tier="public",
    rows=(
        _public(low_hz=0.3e6, high_hz=1.34e6, e="614", h="1.63", s="1000", plane_wave_s=True),
        _public(
            low_hz=1.34e6, high_hz=30e6, e="824/f", h="2.19/f", s="1800/f^2", plane_wave_s=True
        ),
        _public(low_hz=30e6, high_hz=300e6, e="27.5", h="0.073", s="2"),
        _public(low_hz=300e6, high_hz=1.5e9, s="f/150"),
        _public(low_hz=1.5e9, high_hz=100e9, s="10"),
    ),
    note=_NOTE,
)

FCC = LimitSet(
    key="FCC",
    title="FCC maximum permissible exposure",
    document="47 CFR 1.1310 (limits), 47 CFR 1.1307(b) (regions); OET Bulletin 65 (guidance)",
    tables=(PUBLIC, OCCUPATIONAL),
    public_name="general population/uncontrolled",
    occupational_name="occupational/controlled",
    averaging=(
        "Not more than 6 minutes occupational, 30 minutes general population. A region is judged "
        "as if a person may stay for ever; for the general population only averaging built into "
        "the source counts."
    ),
    rule=(
        "Each emitter is divided by its own limit at its own frequency, in power terms, and the "
        "fractions are added: one total of E fractions, one of H fractions. An emitter limited "
        "only in S counts in both. The larger total is the result (OET Bulletin 65, from memory)."
    ),
    status="Every number of Table 1 was confirmed; the summing rule is from memory.",
)
