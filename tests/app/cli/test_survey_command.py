"""The survey command: its keys, its exit codes, the site it keeps the readings in."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from matplotlib.figure import Figure

from app.cli.main import main
from app.draw.map import MapView
from core.exposure.surveyed import raises
from core.files.site_file import load_site
from core.views.body import CLIMBING, STANDING
from core.views.defaults import default_elevation, default_plan
from core.views.views import ON_SURFACE
from support.places import ROOT

ROOF = str(ROOT / "demo_sites/harrow-lane-roof/harrow-lane-roof.json")
HEAD = "name,x,y,z,value,unit\n"
LOW = "low,6,10,17,1,V/m\n"
ABOVE = "above,6,10,17,90,V/m\n"
BAD = "bad,6,10,17,90,bushel\n"


def table(tmp_path: Path, *rows: str) -> str:
    path = tmp_path / "walk.csv"
    path.write_text(HEAD + "".join(rows), "utf-8")
    return str(path)


@pytest.mark.parametrize(("rows", "code"), [((LOW,), 0), ((LOW, ABOVE), 1), ((LOW, BAD), 1)])
def test_exit_codes(
    rows: tuple[str, ...], code: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["survey", ROOF, table(tmp_path, *rows)]) == code
    out = capsys.readouterr().out
    assert "bias" in out
    assert ("NOT USED: row 3, column unit: 'bushel'" in out) == (BAD in rows)


def test_the_data_have_their_keys(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["survey", ROOF, table(tmp_path, LOW, ABOVE, BAD), "--json"])
    data = json.loads(capsys.readouterr().out)
    assert {"rows", "rejected", "bias_db", "scatter_db", "worst_low_db", "raised"} <= set(data)
    assert [row["row"] for row in data["rows"]] == [2, 3]
    assert [(bad["row"], bad["column"]) for bad in data["rejected"]] == [(4, "unit")]
    assert "bushel" in data["rejected"][0]["reason"]
    assert [place["name"] for place in data["raised"]] == ["above"]
    errors = [row["error_db"] for row in data["rows"]]
    assert data["worst_low_db"] == min(errors) < 0.0 < max(errors)


def test_kept_readings_raise_every_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    new = tmp_path / "new.json"
    main(["survey", ROOF, table(tmp_path, LOW, ABOVE), "-o", str(new), "--name", "June walk"])
    site = load_site(new)
    assert [s.name for s in site.surveys] == ["June walk"]
    assert len(raises(site)) == 1
    capsys.readouterr()
    main(["read", str(new), "--at", "6,10,17"])
    assert (
        "RAISED within 10 m of 6, 10, 17 m: June walk, above read 90 V/m" in capsys.readouterr().out
    )
    assert main(["check", str(new)]) == 1
    assert "RAISED within 10 m" in capsys.readouterr().out
    picture = str(tmp_path / "map.png")
    main(["map", str(new), "--plan", "--cells", "20x20", "-o", picture])
    assert "RAISED within 10 m" in capsys.readouterr().out


def test_maps_mark_the_readings_and_ring_what_is_raised(tmp_path: Path) -> None:
    new = tmp_path / "new.json"
    main(["survey", ROOF, table(tmp_path, LOW, ABOVE), "-o", str(new)])
    site = load_site(new)
    for view in (
        default_plan(site, ON_SURFACE, STANDING),
        default_elevation(site, 90.0, (6.0, 10.0), CLIMBING),
    ):
        drawn = MapView(Figure().add_subplot())
        drawn.show_site(site, view)
        words = [t.get_text() for t in drawn.axes.texts]
        assert any(w.startswith("RAISED") for w in words), words
        assert [p for p in drawn.axes.patches if type(p).__name__ == "Circle"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--name", "x"], "goes with -o only"),
        (["-o", "new.txt"], "is no site file"),
        (["-o", ROOF], "would overwrite what is read"),
    ],
)
def test_mistakes_are_one_line(
    words: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["survey", ROOF, table(tmp_path, LOW), *words]) == 2
    err = capsys.readouterr().err
    assert said in err
    assert err.count("\n") == 1


@pytest.mark.parametrize("ending", ["png", "pdf"])
def test_the_plot_is_written_and_no_site(tmp_path: Path, ending: str) -> None:
    out = tmp_path / f"plot.{ending}"
    assert main(["survey", ROOF, table(tmp_path, LOW, ABOVE), "-o", str(out)]) == 1
    assert out.read_bytes()[:4] in (b"\x89PNG", b"%PDF")
    assert main(["survey", ROOF, table(tmp_path, LOW), "-o", str(out), "--name", "a"]) == 2
