"""The compare command as a person uses it: text, data, areas, a page; exit codes; one line for every mistake."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import shapely

from app.cli.main import main
from core.files.site_writer import save_site
from core.site.places import Anchor
from core.site.state import Condition, NamedState, State
from support.changed import raised, yard

KEYS = {"differences", "zones", "ladders", "access", "fences", "jobs", "newly_over_five_percent"}


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    folder = tmp_path_factory.mktemp("states")
    before, after = folder / "before.json", folder / "after.json"
    save_site(yard(revision="A"), before)
    save_site(raised(yard(revision="B"), "north", 4.0), after)
    return str(before), str(after)


def test_worse_is_a_finding_and_the_way_back_is_none(
    files: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    before, after = files
    assert main(["compare", before, after]) == 1
    text = capsys.readouterr().out
    assert "yard (invented), revision A → yard (invented), revision B" in text
    assert "north: only: power: EIRP 400 W → EIRP 1.6 kW" in text
    assert "WORSE: gate: Category One, INFORMATION (optional) → Category Two, NOTICE" in text
    assert "WORSE: chain: holds with a margin of" in text
    assert "Confirm with a calibrated meter" in text
    assert main(["compare", after, before]) == 0
    assert "WORSE" not in capsys.readouterr().out
    assert main(["compare", before, before]) == 0
    assert "Nothing changed." in capsys.readouterr().out


def test_data_have_the_promised_keys_and_a_page_beside_them_leaves_them_alone(
    files: tuple[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "page.pdf"
    words = ["compare", *files, "--json", "-o", str(page), "--cells", "20x20"]
    assert main(words) == 1
    said = capsys.readouterr()
    data = json.loads(said.out)
    assert set(data) >= KEYS
    assert data["worse"] is True
    assert str(page) in said.err
    assert page.read_bytes().startswith(b"%PDF")


def test_areas_as_geojson_are_those_of_the_data(
    files: tuple[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "areas.geojson"
    assert main(["compare", *files, "--json", "-o", str(path)]) == 1
    data = json.loads(capsys.readouterr().out)
    written = json.loads(path.read_text("utf-8"))
    assert written["verdict"].startswith("WORSE")
    for zone in data["zones"]:
        mine = [
            f for f in written["features"]
            if (f["properties"]["zone"], f["properties"]["surface"]) == (zone["name"], zone["surface"])
        ]  # fmt: skip
        area = sum(
            f["properties"]["area_m2"] for f in mine if f["properties"]["change"] == "gained"
        )
        assert area == pytest.approx(zone["gained_m2"], abs=1e-6)
        shapes = [shapely.from_geojson(json.dumps(f["geometry"])) for f in mine]
        assert sum(s.area for s in shapes) == pytest.approx(
            zone["gained_m2"] + zone["lost_m2"], rel=0.01
        )
        assert all(f["properties"]["caution"] for f in mine)


@pytest.mark.parametrize("name", ["page.png", "page.svg"])
def test_a_page_as_a_picture_of_an_elevation(
    name: str, files: tuple[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / name
    words = ["compare", *files, "-o", str(page), "--cells", "20x20", "--elevation", "90", "--feet"]
    assert main(words) == 1
    assert page.stat().st_size > 10_000
    assert "ft" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["-o", "x.txt"], "x.txt: .txt is not known here. End it in .geojson, .pdf, .png or .svg"),
        (["-o", "x"], "x: no ending is not known here"),
        (["--cells", "0x5"], "'0x5' has no cells. Ask for at least 1x1"),
        (["--elevation", "90"], "--elevation: says what the page shows. Add -o FILE.pdf"),
        (["--region", "0,0,1,1", "-o", "x.geojson"], "--region: says what the page shows"),
        (["--seconds", "0"], "--seconds: 0. Use 0.1 to 3600"),
        (["--percent", "99"], "percent: 99. Use 0.001 to 50"),
        (["-o", "x.pdf", "--elevation", "90", "--height", "2"], "--height: does not go with an elevation"),
    ],
)  # fmt: skip
def test_bad_options_are_one_line_before_any_work(
    words: list[str], said: str, files: tuple[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["compare", *files, *words]) == 2
    shown = capsys.readouterr()
    assert not shown.out
    assert said in shown.err
    assert shown.err.count("\n") == 1


def test_a_file_that_is_missing_or_cannot_be_computed_is_named(
    files: tuple[str, str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, _ = files
    assert main(["compare", before, str(tmp_path / "none.json")]) == 2
    assert "none.json: does not exist" in capsys.readouterr().err
    broken = tmp_path / "broken.json"
    text = Path(before).read_text("utf-8")
    broken.write_text(text.replace('"eirp": "400 W"', '"eirp": "400 W", "erp": "900 W"'), "utf-8")
    assert main(["compare", before, str(broken)]) == 2
    error = capsys.readouterr().err
    assert f"{broken}: antennas[0]" in error
    assert "Correct one of them" in error
    copy = tmp_path / "copy.geojson"
    copy.write_text(text, "utf-8")
    assert main(["compare", str(copy), before, "-o", str(copy)]) == 2
    assert "would overwrite what is read" in capsys.readouterr().err
    assert copy.read_text("utf-8") == text


def test_another_anchor_is_a_note(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one, other = tmp_path / "one.json", tmp_path / "other.json"
    save_site(yard(anchor=Anchor(latitude=10.0, longitude=20.0)), one)
    save_site(yard(anchor=Anchor(latitude=10.1, longitude=20.0)), other)
    assert main(["compare", str(one), str(other)]) == 0
    assert "compared in metres from the datum" in capsys.readouterr().out


def test_named_states_of_one_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "site.json"
    lamp = NamedState(name="for the lamp", states=(("north", State(Condition.LOCKED_OUT)),))
    built = NamedState(name="as built", states=(("north", State()),))
    save_site(yard(states=(lamp, built)), path)
    assert main(["compare", str(path), "--state", "for the lamp"]) == 0
    text = capsys.readouterr().out
    assert "north: state: on → locked out" in text
    assert "state 'as built' → yard (invented), revision none, state 'for the lamp'" in text
    assert main(["compare", str(path), "--state", "for the lamp", "--state", "as built"]) == 1
    assert "north: state: locked out → on" in capsys.readouterr().out
    for words, said in (
        ([], "AFTER: is missing. Name a second file, or --state of the same one"),
        (["--state", "none"], "site.json: state: no state is called 'none'"),
        (["--state", "a", "--state", "b", "--state", "c"], "--state: is given 3 times"),
    ):
        assert main(["compare", str(path), *words]) == 2
        error = capsys.readouterr().err
        assert said in error
        assert error.count("\n") == 1
