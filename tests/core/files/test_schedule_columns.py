"""What headers of schedules mean: the words of the trade, with units, and those that mean nothing safe."""

from __future__ import annotations

import pytest

from core.antennas.base import parameters
from core.antennas.kinds import KINDS
from core.files.schedule.columns import HEADINGS, REFUSED, columns_of, heading


@pytest.mark.parametrize(
    ("header", "key", "unit"),
    [
        ("Antenna", "name", ""), ("ANTENNA ID", "name", ""), ("Type", "kind", ""), ("AGL ft", "agl", "ft"),
        ("RC AGL (ft)", "agl", "ft"), ("Rad Center AGL [m]", "agl", "m"), ("Height above ground, ft", "agl", "ft"),
        ("Height (ft) AGL", "agl", "ft"), ("Centerline above roof ft", "above surface", "ft"), ("x (m)", "x", "m"),
        ("East ft", "x", "ft"), ("Az", "azimuth", ""), ("Azimuth (°T)", "azimuth", "°t"),
        ("Azimuth (mag)", "azimuth", "mag"), ("Mech. tilt", "tilt", ""), ("E-tilt", "model.electrical_tilt", ""),
        ("Freq. MHz", "frequency", "MHz"), ("FREQUENCY (MHZ)", "frequency", "MHz"), ("TPO (W)", "transmitter", "W"),
        ("Tx power dBm", "transmitter", "dBm"), ("ERP (kW)", "erp", "kW"), ("ERP V kW", "erp_vertical", "kW"),
        ("Ant. gain (dBd)", "gain", "dBd"), ("Gain (dB)", "gain", ""), ("Line loss dB", "loss", "dB"),
        ("TPO (mw)", "transmitter", ""), ("Power kW", "power", "kW"), ("Duty (%)", "duty", "%"),
        ("# bays", "model.bays", ""), ("model front to back", "model.front_to_back", ""),
        ("HPBW", "model.azimuth_width", ""),
        ("model bands 2 low", "model.bands.2.low", ""), ("model gain", "model.gain", ""),
        ("Dish size ft", "model.diameter", "ft"),
        ("Rad center AMSL ft", "?amsl", "ft"), ("Tip height ft", "?end", "ft"), ("Height ft", "?height", "ft"),
        ("HAAT m", "?haat", "m"), ("Structure owner tag", "", ""), ("Ground elevation ft", "", ""),
        ("ERP in watts", "erp", "W"), ("Height AGL in feet", "agl", "ft"), ("bay spacing (in)", "model.spacing", "in"),
        ("Azimuth in degrees", "azimuth", "degrees"), ("In service", "", ""),
        ("Tilt (electrical)", "model.electrical_tilt", ""), ("DT mech", "tilt", ""), ("Az (deg T)", "azimuth", "deg t"),
        ("Qty", "?count", ""), ("Total ERP", "?power", ""), ("Freq 2 (MHz)", "?second", ""), ("Site No.", "", ""),
        ("", "", ""),
        ("?", "", ""),
    ],
)  # fmt: skip
def test_a_header_means_what_the_trade_means(header: str, key: str, unit: str) -> None:
    (column,) = columns_of([header])
    assert (column.key, column.unit) == (key, unit)
    assert (key in REFUSED) == key.startswith("?")


def test_every_header_that_is_written_is_read() -> None:
    for key in HEADINGS:
        assert columns_of([heading(key)])[0].key == key
    for kind in KINDS.values():
        for name, (spec, _) in parameters(kind).items():
            if spec.parts is None:
                assert columns_of([heading(f"model.{name}")])[0].key == f"model.{name}"
                continue
            for inner in parameters(spec.parts):
                path = f"model.{name}.12.{inner}"
                assert columns_of([heading(path)])[0].key == path
