"""What no figure counts, or counts on trust, is said beside every figure (core.reading.provisos)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from app.cli.main import main
from app.draw.furniture import Sheet
from app.draw.sheet import map_sheets, zone_sheets
from core.exposure.raster import raster
from core.files.geojson import feature_collection
from core.files.site_file import load_site
from core.files.site_writer import save_site
from core.files.zone_features import about, zone_features
from core.reading.provisos import provisos
from core.reading.signs import sign_schedule
from core.site.site import Condition, Site, State
from core.views.defaults import default_plan
from core.zones.site_zones import SiteZones, site_zones
from support.simple_sites import ground, isotropic

ROOF = Path("demo_sites/harrow-lane-roof/harrow-lane-roof.json")
SILENT = "off but not locked out"


def with_states(*conditions: Condition) -> Site:
    """Return the roof with states given to its first antennas, all others on."""
    site = load_site(ROOF)
    states = [State(c) for c in conditions] + [State()] * (len(site.antennas) - len(conditions))
    antennas = [replace(a, state=s) for a, s in zip(site.antennas, states, strict=True)]
    return replace(site, antennas=tuple(antennas), fences=())


@pytest.mark.parametrize(
    ("condition", "lines"),
    [
        (Condition.ON, 0),
        (Condition.REDUCED, 0),
        (Condition.LOCKED_OUT, 0),
        (Condition.OFF, 1),
        (Condition.STANDBY, 1),
        (Condition.UNKNOWN, 1),
    ],
)
def test_only_what_can_change_while_somebody_is_up_is_named(
    condition: Condition, lines: int
) -> None:
    site = with_states(condition)
    said = provisos(site)
    assert len(said) == lines
    for line in said:
        assert site.antennas[0].name in line
        assert line.startswith("NOT COUNTED") == (condition is Condition.OFF)


def test_what_counts_on_trust_shares_a_line() -> None:
    site = with_states(Condition.STANDBY, Condition.OFF, Condition.UNKNOWN)
    first, second = provisos(site)
    assert SILENT in first
    assert f"{site.antennas[0].name}: standby; {site.antennas[2].name}: unknown" in second


def faint(first: Condition, second: Condition) -> Site:
    """Return a site where nothing is over a limit, whatever is on, with two antennas in these states."""
    made = [isotropic(name, 1e8, 1e-3, (0.0, 0.0, 20.0)) for name in ("first", "second")]
    antennas = [replace(a, state=State(c)) for a, c in zip(made, (first, second), strict=True)]
    return Site(name="faint", antennas=tuple(antennas), surfaces=(ground(20.0),))


def words_of(sheets: list[Sheet]) -> str:
    """Return the words of the first sheet, which is the one that is looked at."""
    return " ".join(text.get_text() for text in sheets[0].ink.texts)


def test_sheets_and_exports_say_it() -> None:
    site = with_states(Condition.OFF, Condition.STANDBY)
    view = default_plan(site)
    zones = SiteZones(view, ())
    picture = raster(site, view, (20, 20))
    sheets = map_sheets(site, picture, tier="public", contours=(100.0,))
    assert SILENT in words_of(sheets)
    assert "Counted at full power until locked out" in words_of(sheets)
    head = about(site, "software", zones)
    text = feature_collection(site, zone_features(site, zones, "software"), head)
    assert SILENT in text
    assert "standby" in text


def test_zone_sheets_say_it() -> None:
    site = faint(Condition.OFF, Condition.STANDBY)
    found = site_zones(site, default_plan(site), within=True)
    said = words_of(zone_sheets(site, found))
    assert SILENT in said
    assert "Counted at full power until locked out" in said


def test_a_sign_outlives_a_transmitter_that_is_merely_off() -> None:
    site = with_states(Condition.OFF)
    assert site.access_points
    for line in sign_schedule(site):
        assert SILENT in line.note
    for line in sign_schedule(with_states(Condition.LOCKED_OUT)):
        assert SILENT not in line.note


@pytest.mark.parametrize("command", ["map", "zones", "fences"])
def test_commands_say_it(command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    site = faint(Condition.OFF, Condition.UNKNOWN)
    path = tmp_path / "site.json"
    save_site(site, path)
    more = {
        "map": ["-o", str(tmp_path / "m.png"), "--cells", "20x20"],
        "zones": ["-o", str(tmp_path / "z.geojson")],
        "fences": ["--fit", "-o", str(tmp_path / "f.json")],
    }[command]
    code = main([command, str(path), *more])
    said = capsys.readouterr().out
    assert f"NOT COUNTED: {site.antennas[0].name}: {SILENT}" in said
    assert f"{site.antennas[1].name}: unknown" in said
    # What may come back is a finding, though nothing is over now.
    assert code == (0 if command == "map" else 1)
