"""Exposure reference levels of IEEE C95.1-2019.

All numbers are from memory; the rows agree at their edges. That the lower tier is that of 2005 and
the upper tier above 300 MHz was lowered to keep a factor of five is confirmed in the scope of the
standard, so the 100 W/m2 of older tables must not come back.
"""

from __future__ import annotations

from functools import partial

from core.limits.model import LimitSet, LimitTable, Row

_whole = partial(
    Row,
    averaging="30",
    source="IEEE C95.1-2019 whole-body exposure reference levels (neighbouring rows agree)",
    status="from memory",
)
_local = partial(
    Row,
    averaging="6",
    source="IEEE C95.1-2019 local exposure reference levels",
    status="from memory",
)
_stimulation = partial(
    Row,
    low_hz=0.1e6,
    high_hz=5e6,
    source="IEEE C95.1-2019 electrostimulation exposure reference levels, head and trunk",
    status="low confidence",
)

_WHOLE_NOTE = (
    "Below 100 MHz E and H stand for different power densities, so there is no S to check there."
)
_LOCAL_NOTE = (
    "Compared with the highest value over the body; above 30 GHz small areas of 1 cm² may reach "
    "twice the value, which is not used here."
)
_STIMULATION_NOTE = (
    "Nerve stimulation: instantaneous values, field ratios added without squaring, E and H apart. "
    "Read the standard before relying on the H value."
)

WHOLE_UNRESTRICTED = LimitTable(
    key="IEEE-C95.1-2019 unrestricted",
    title="IEEE C95.1-2019 whole body, unrestricted",
    tier="public",
    rows=(
        _whole(low_hz=0.1e6, high_hz=1.34e6, e="614", h="16.3/f"),
        _whole(low_hz=1.34e6, high_hz=30e6, e="823.8/f", h="16.3/f"),
        _whole(low_hz=30e6, high_hz=100e6, e="27.5", h="158.3/f^1.668"),
        _whole(low_hz=100e6, high_hz=400e6, e="27.5", h="0.0729", s="2"),
        _whole(low_hz=400e6, high_hz=2e9, s="f/200"),
        _whole(low_hz=2e9, high_hz=300e9, s="10"),
    ),
    note=(
        f"{_WHOLE_NOTE} Just above 30 MHz the remembered H law lies up to 0.13 % over the "
        "restricted one, a matter of rounding."
    ),
)
WHOLE_RESTRICTED = LimitTable(
    key="IEEE-C95.1-2019 restricted",
    title="IEEE C95.1-2019 whole body, restricted",
    tier="occupational",
    rows=(
        _whole(low_hz=0.1e6, high_hz=1e6, e="1842", h="16.3/f"),
        _whole(low_hz=1e6, high_hz=30e6, e="1842/f", h="16.3/f"),
        _whole(low_hz=30e6, high_hz=100e6, e="61.4", h="16.3/f"),
        _whole(low_hz=100e6, high_hz=400e6, e="61.4", h="0.163", s="10"),
        _whole(low_hz=400e6, high_hz=2e9, s="f/40"),
        _whole(low_hz=2e9, high_hz=300e9, s="50"),
    ),
    note=_WHOLE_NOTE,
)
LOCAL_UNRESTRICTED = LimitTable(
    key="IEEE-C95.1-2019-LOCAL unrestricted",
    title="IEEE C95.1-2019 local, unrestricted",
    tier="public",
    rows=(
        _local(low_hz=400e6, high_hz=2e9, s="0.058 f^0.86"),
        _local(low_hz=2e9, high_hz=6e9, s="40"),
        _local(low_hz=6e9, high_hz=300e9, s="55/fG^0.177"),
    ),
    spatial="peak",
    note=_LOCAL_NOTE,
)
LOCAL_RESTRICTED = LimitTable(
    key="IEEE-C95.1-2019-LOCAL restricted",
    title="IEEE C95.1-2019 local, restricted",
    tier="occupational",
    rows=(
        _local(low_hz=400e6, high_hz=2e9, s="0.29 f^0.86"),
        _local(low_hz=2e9, high_hz=6e9, s="200"),
        _local(low_hz=6e9, high_hz=300e9, s="274.8/fG^0.177"),
    ),
    spatial="peak",
    note=_LOCAL_NOTE,
)
STIMULATION_UNRESTRICTED = LimitTable(
    key="IEEE-C95.1-2019-STIM unrestricted",
    title="IEEE C95.1-2019 electrostimulation, unrestricted",
    tier="public",
    rows=(_stimulation(e="614", h="163"),),
    exponent=1,
    spatial="peak",
    note=_STIMULATION_NOTE,
)
STIMULATION_RESTRICTED = LimitTable(
    key="IEEE-C95.1-2019-STIM restricted",
    title="IEEE C95.1-2019 electrostimulation, restricted",
    tier="occupational",
    rows=(_stimulation(e="1842", h="490"),),
    exponent=1,
    spatial="peak",
    note=_STIMULATION_NOTE,
)

IEEE = LimitSet(
    key="IEEE-C95.1-2019",
    title="IEEE C95.1-2019",
    document="IEEE C95.1-2019, exposure reference levels",
    tables=(
        WHOLE_UNRESTRICTED,
        LOCAL_UNRESTRICTED,
        STIMULATION_UNRESTRICTED,
        WHOLE_RESTRICTED,
        LOCAL_RESTRICTED,
        STIMULATION_RESTRICTED,
    ),
    public_name="unrestricted environment (lower tier)",
    occupational_name="restricted environment (upper tier, inside an RF safety programme)",
    averaging=(
        "Whole body 30 minutes in both tiers at all frequencies, local 6 minutes; "
        "electrostimulation is instantaneous."
    ),
    rule=(
        "Squared E ratios, squared H ratios and S ratios are added over all emitters, E and H as "
        "two totals, each within 1 (from memory). Electrostimulation: field ratios added "
        "unsquared."
    ),
    status=(
        "Every number is from memory; the electrostimulation levels, H above all, are of low "
        "confidence."
    ),
)
