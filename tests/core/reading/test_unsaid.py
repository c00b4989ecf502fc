"""What nobody has said: what is usual, what it would make of the figure, and a warning where that is higher."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from app.cli.main import main
from core.antennas.base import Kind
from core.antennas.generic import Generic
from core.antennas.panel import Panel, PanelBand
from core.antennas.stack import Stack
from core.files.site_writer import save_site
from core.reading.unsaid import DUTY, LOSSES, Unsaid, unsaid
from core.site.site import Antenna, Carrier, Power, Site
from core.units import from_db
from core.views.body import POINT
from support.simple_sites import FREE, isotropic

BAND = PanelBand(low=3.3e9, high=3.8e9, elements=10, spacing=0.06)
PANEL = Panel(length=0.8, width=0.3, bands=(BAND,))
TILTED = replace(PANEL, bands=(replace(BAND, electrical_tilt=4.0),))


def site(kind: Kind, frequency: float, power: Power, tilt: float = 0.0, duty: float = 1.0) -> Site:
    carrier = Carrier(
        name="c", frequency=frequency, power=power, duty=duty, duty_source="desk" * (duty < 1)
    )
    return Site(
        name="s", reflection=FREE,
        antennas=(Antenna(name="A", kind=kind, position=(0, 0, 20), tilt=tilt, carriers=(carrier,)),),
    )  # fmt: skip


def facts(one: Site, at: tuple[float, float, float]) -> dict[str, Unsaid]:
    return {found.fact: found for found in unsaid(one, at, POINT)}


def test_loss_and_duty_bring_the_figure_down_by_what_they_are() -> None:
    found = facts(site(TILTED, 3.5e9, Power(transmitter=40.0)), (0.0, 30.0, 18.0))
    assert set(found) == {"its line loss", "its duty factor"}
    loss, duty = found["its line loss"], found["its duty factor"]
    for got, decibels in ((loss.high, LOSSES[0]), (loss.low, LOSSES[1])):
        assert got == pytest.approx(loss.now * from_db(-decibels), rel=1e-6)
    assert duty.low == pytest.approx(DUTY * duty.now, rel=1e-6)
    assert duty.high == duty.now


def test_what_is_said_is_not_asked() -> None:
    said = Power(transmitter=40.0, loss=1.0)
    assert facts(site(TILTED, 3.5e9, said, duty=0.8), (0.0, 30.0, 18.0)) == {}
    # How a panel leans says nothing of its beam.
    assert "its tilt" in facts(site(PANEL, 3.5e9, said, tilt=3.0), (0.0, 30.0, 18.0))
    assert facts(site(TILTED, 3.5e9, Power(eirp=1e3)), (0.0, 30.0, 18.0)).keys() == {
        "its duty factor"
    }


def test_a_known_shape_with_a_wider_margin_is_not_said_to_be_a_higher_field() -> None:
    """Straight below, rings with stubs keep 1.4 dB more than the envelope of all shapes, which covers their field."""
    kind = Stack(bay="circular", bays=4, spacing=0.5, design_frequency=98e6, beam_tilt=0.0)
    found = facts(site(kind, 98e6, Power(transmitter=100.0)), (0.1, 0.3, -17.0))
    shape = found["the shape of its bays"]
    assert shape.high > shape.now
    said = shape.words("FCC")
    assert "wider margin of a known shape, not its field" in said


def test_a_tilt_that_nobody_said_is_covered_below_the_level_and_at_it() -> None:
    for up in (12.0, 20.0):
        tilt = facts(site(PANEL, 3.5e9, Power(eirp=1e3)), (0.0, 60.0, up))["its tilt"]
        # Between two that are looked at the beam may be a little stronger.
        assert tilt.low < tilt.high <= tilt.now * 1.05
        assert "0 to 10° down" in tilt.words("FCC")


@pytest.mark.parametrize(
    "kind",
    [
        Generic(entry="fm-8-bay-full-wave"),
        Stack(bay="circular", bays=8, design_frequency=98e6, beam_tilt=0.0),
    ],
)
def test_the_figure_of_an_unknown_bay_covers_the_known_shapes(kind: Kind) -> None:
    for at in ((0.0, 0.0, 2.0), (3.0, 4.0, 8.0), (40.0, 0.0, 20.0)):
        shape = facts(site(kind, 98e6, Power(erp=25e3)), at)["the shape of its bays"]
        assert shape.low <= shape.high
        assert shape.high <= shape.now * 1.12  # within the half decibel that the validation allows
        assert "crossed-v" in shape.usual
    known = Stack(bay="slant-ring", bays=8, design_frequency=98e6, beam_tilt=0.0)
    assert facts(site(known, 98e6, Power(erp=25e3)), (3.0, 4.0, 8.0)) == {}


def test_an_antenna_that_hardly_counts_at_the_place_is_not_asked_about() -> None:
    one = site(PANEL, 3.5e9, Power(transmitter=1.0))
    strong = replace(
        one, antennas=(*one.antennas, isotropic("strong", 98e6, 1e6, (0.0, 0.0, 30.0)))
    )
    assert facts(strong, (0.0, 30.0, 18.0)) == {}
    assert unsaid(Site(name="s", antennas=()), (0.0, 0.0, 0.0), POINT) == ()


def test_the_check_says_it_for_a_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "s.json"
    save_site(site(PANEL, 3.5e9, Power(transmitter=40.0)), path)
    main(["check", str(path)])
    assert "is not said" not in capsys.readouterr().out
    assert main(["check", str(path), "--body"]) == 2
    assert "goes with --at only" in capsys.readouterr().err
    assert main(["check", str(path), "--at", "0,60,12"]) == 1
    out = capsys.readouterr().out
    assert "A: its tilt is not said (usual: 0 to 10° down)" in out
    assert (
        "A: its line loss is not said (usual: 0.5 to 3 dB). Known, the figure here would be" in out
    )
