"""The plot of a survey: every reading with a figure where it belongs, what is raised stands out, same bytes again."""

from __future__ import annotations

from pathlib import Path

import pytest
from matplotlib.figure import Figure

from app.draw.survey_plot import draw_survey, save_survey_plot
from core.entry.survey import pairs, survey_report
from core.errors import InputError
from support.surveyed import measured, open_ground, with_readings

FAR = (60.0, 0.0, 1.5)
SITE = with_readings(
    open_ground(),
    measured(80.0),
    measured(80.0, explained="a handset beside it"),
    measured(1.0, position=FAR),
    measured(0.02, "mW/cm²", position=FAR),
    measured(40.0, "%", limit_set="FCC", tier="public"),
)


def test_readings_in_any_unit_stand_where_their_percent_is() -> None:
    report = survey_report(SITE)
    found = pairs(report)
    assert len(found) == 5
    assert [p.raised for p in found] == [
        c.is_above and not c.reading.explained for c in report.comparisons
    ]
    volts, _, _, _, percent = found
    # 80 V/m is 1.7 mW/cm² as a plane wave, and 900 MHz has 3 mW/cm² (FCC, 47 CFR 1.1310).
    assert volts.read == pytest.approx(100.0 * (80.0**2 / 376.73 / 10.0) / 3.0, rel=2e-3)
    # A percent of the public limit is a fifth of that of the occupational one there.
    assert percent.read == pytest.approx(8.0, rel=1e-3)
    assert volts.predicted == pytest.approx(percent.predicted)


def test_the_plot_has_the_equal_line_and_every_point() -> None:
    report = survey_report(SITE)
    axes = draw_survey(Figure(), report)
    lines = {line.get_gid(): line for line in axes.lines}
    x, y = lines["equal"].get_data()
    assert (x == y).all()
    raised, within = (len(lines[gid].get_xdata()) for gid in ("raised", "within"))
    assert raised == len(report.raises)
    assert raised + within == 5
    low, high = axes.get_xlim()
    assert all(low < v < high for p in pairs(report) for v in (p.read, p.predicted))


@pytest.mark.parametrize("ending", ["png", "pdf"])
def test_the_same_survey_is_the_same_bytes(tmp_path: Path, ending: str) -> None:
    report = survey_report(SITE)
    for name in ("a", "b"):
        save_survey_plot(tmp_path / f"{name}.{ending}", report, "s: survey")
    assert (tmp_path / f"a.{ending}").read_bytes() == (tmp_path / f"b.{ending}").read_bytes()
    with pytest.raises(InputError, match="not a picture format"):
        save_survey_plot(tmp_path / "a.txt", report, "s")


def test_a_survey_without_a_figure_is_an_empty_plot(tmp_path: Path) -> None:
    save_survey_plot(tmp_path / "a.png", survey_report(open_ground()), "nothing")
    assert (tmp_path / "a.png").stat().st_size > 1000
