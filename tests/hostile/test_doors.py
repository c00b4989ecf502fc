"""Each door where something enters: what is let in, what is refused, and that outputs stay sound."""

from __future__ import annotations

import io
import json
import os
import stat
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from app.cli.main import main
from core.errors import LONGEST_LINE, InputError
from core.exposure.sources import Source, fields, sources
from core.files.atomic import write_file
from core.files.site_file import load_site
from core.files.site_writer import save_site, site_text
from core.site.places import AccessPoint, Ladder, Surface
from core.site.site import Site
from core.text import cell, check_name
from support.places import ROOT
from support.simple_sites import FREE, isotropic

ODD_NAMES = (
    "$x^$", "$\\frac{a}{b}$ & <b>x</b>", "50% of #1_a^2", "=1+1", "\\alpha ~{}", "a < b & c > d", "名前 🗼",
    "x [1,2] y",
)  # fmt: skip


def named(name: str) -> Site:
    """A site on which everything has an odd name."""
    square = ((-9.0, -9.0), (9.0, -9.0), (9.0, 9.0), (-9.0, 9.0))
    return Site(
        name=name,
        antennas=(
            replace(isotropic(name, 98e6, 500.0, (0.0, 0.0, 4.0)), owner=name, contact=name),
        ),
        surfaces=(Surface(name=name, kind="ground", height=0.0, outline=square),),
        ladders=(Ladder(name=name, points=((1.0, 1.0, 0.0), (1.0, 1.0, 8.0))),),
        access_points=(AccessPoint(name=name, kind="gate", position=(9.0, 0.0, 0.0)),),
        reflection=FREE,
        extent=(-10.0, -10.0, 10.0, 10.0),
    )


@pytest.mark.parametrize("name", ODD_NAMES)
def test_names_of_people_go_through_every_output_as_they_are(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "site.json"
    save_site(named(name), path)
    assert load_site(path) == named(name)
    points = tmp_path / "p.csv"
    points.write_text("x,y,z\n1,1,0\n")
    runs = [
        ["check"],
        ["read", "--at", "3,0,0", "--body"],
        ["read", "--at", "3,0,0", "--json"],
        ["read", "--points", str(points), "-o", str(tmp_path / "r.csv")],
        ["zones", "-o", str(tmp_path / "z.geojson")],
        ["zones", "-o", str(tmp_path / "z.csv")],
        ["zones", "-o", str(tmp_path / "z.png")],
        ["fences", "--fit", "-o", str(tmp_path / "f.json")],
    ]
    runs += [
        ["map", "--cells", "10x10", "-o", str(tmp_path / f"m{e}")] for e in (".png", ".svg", ".pdf")
    ]
    runs += [["map", "--elevation", "90", "--cells", "10x10", "-o", str(tmp_path / "e.svg")]]
    for words in runs:
        assert main([words[0], str(path), *words[1:]]) in (0, 1), words
        said = capsys.readouterr()
        assert "Traceback" not in said.err
    ElementTree.parse(tmp_path / "m.svg")
    ElementTree.parse(tmp_path / "e.svg")
    strongest = (tmp_path / "r.csv").read_text("utf-8").splitlines()[1]
    assert not any(c.strip('"').startswith(("=", "+", "@")) for c in strongest.split(","))


@pytest.mark.parametrize(
    "name",
    ["\x1b[31mred", "bell\x07", "back\x08", "half \ud800", "\u202etxt.exe", "line\nbreak", "nul\x00", "a\u2028b"],
)  # fmt: skip
def test_names_that_cannot_be_printed_are_refused(name: str) -> None:
    with pytest.raises(InputError) as caught:
        check_name(name)
    line = caught.value.line()
    assert line.isprintable()
    assert "cannot be printed" in line


@given(st.text(max_size=3000), st.text(max_size=900), st.text(max_size=900), st.text(max_size=900))
def test_an_error_is_one_printable_line_of_bounded_length(
    message: str, source: str, field: str, fix: str
) -> None:
    line = InputError(message, source=source, field=field, fix=fix).line()
    assert len(line) <= LONGEST_LINE
    assert line.isprintable()


@given(
    st.text(
        alphabet=st.characters(exclude_categories=("Cc", "Cs", "Cn", "Co")),
        min_size=1,
        max_size=100,
    )
)
def test_every_name_that_is_let_in_comes_back_from_a_file(name: str) -> None:
    try:
        check_name(name)
    except InputError:
        return
    text = site_text(named(name))
    assert json.loads(text)["name"] == name
    assert json.loads(text)["antennas"][0]["name"] == name


def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "site.json"
    os.mkfifo(pipe)
    with pytest.raises(InputError, match="no ordinary file"):
        load_site(pipe)
    assert main(["read", str(tmp_path / "x.json"), "--points", str(pipe), "-o", "o.csv"]) == 2


def test_a_number_of_thousands_of_digits_is_one_clear_error(tmp_path: Path) -> None:
    path = tmp_path / "site.json"
    text = site_text(named("a")).replace('"azimuth": 0.0', f'"azimuth": {"9" * 6000}')
    path.write_text(text)
    with pytest.raises(InputError, match="thousands of digits") as caught:
        load_site(path)
    assert str(path) in caught.value.line()


def test_a_field_that_is_no_number_names_antenna_and_place(monkeypatch: pytest.MonkeyPatch) -> None:
    (source,) = sources(named("north mast"))
    whole = Source._whole_field

    def broken(self: Source, points: np.ndarray) -> object:
        field = whole(self, points)
        field.e2[1] = np.nan
        return field

    monkeypatch.setattr(Source, "_whole_field", broken)
    with pytest.raises(InputError) as caught:
        fields((source,), np.array([[1.0, 0.0, 0.0], [7.0, 8.0, 9.0]]))
    assert "north mast" in caught.value.line()
    assert "7, 8, 9 m" in caught.value.line()


# --- files ------------------------------------------------------------------------------------------------


def test_new_files_have_the_users_own_mask(tmp_path: Path) -> None:
    old = os.umask(0o027)
    try:
        write_file(tmp_path / "new.txt", "x")
    finally:
        os.umask(old)
    assert stat.S_IMODE((tmp_path / "new.txt").stat().st_mode) == 0o640


def test_rights_and_links_are_kept(tmp_path: Path) -> None:
    real, link = tmp_path / "sub" / "real.json", tmp_path / "link.json"
    real.parent.mkdir()
    real.write_text("old")
    real.chmod(0o604)
    link.symlink_to(Path("sub") / "real.json")
    write_file(link, "new")
    assert link.is_symlink()
    assert real.read_text() == "new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o604


@pytest.mark.parametrize("name", ["a" * 300 + ".json", "no/such/folder.json", "nul\x00.json"])
def test_names_no_file_can_have_are_one_clear_error(name: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be written"):
        save_site(named("a"), tmp_path / name)
    with pytest.raises(InputError):
        load_site(tmp_path / name)


def test_a_folder_or_a_device_is_not_replaced(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        write_file(tmp_path, "x")
    with pytest.raises(InputError):
        write_file("/dev/null", "x")
    assert stat.S_ISCHR(Path("/dev/null").stat().st_mode)


def picture_site(folder: Path, data: bytes | None) -> Path:
    """A site with a plan picture of these bytes, or with one that is missing."""
    if data is not None:
        (folder / "plan.png").write_bytes(data)
    value = json.loads(site_text(named("a")))
    value["picture"] = {"file": "plan.png", "metres_per_pixel": 0.5, "origin": [0, 0]}
    path = folder / "site.json"
    path.write_text(json.dumps(value))
    return path


def test_what_is_wrong_with_a_picture_is_said_and_the_map_drawn_without_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good = io.BytesIO()
    Image.new("RGB", (20, 10)).save(good, "PNG")
    other = io.BytesIO()
    Image.new("RGB", (20, 10)).save(other, "BMP")
    postscript = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 20 10\nshowpage\n"
    whole = good.getvalue()
    cases = {
        whole: True,
        None: False,
        whole[:40]: False,
        other.getvalue(): False,
        postscript: False,
    }
    for i, (data, fine) in enumerate(cases.items()):
        folder = tmp_path / str(i)
        folder.mkdir()
        path = picture_site(folder, data)
        main(["check", str(path)])
        assert ("picture is left out" in capsys.readouterr().out) != fine
        assert main(["read", str(path), "--at", "3,0,1"]) in (0, 1)
        assert main(["map", str(path), "--cells", "8x8", "-o", str(folder / "m.png")]) == 0
        assert ("picture is left out" in capsys.readouterr().err) != fine


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "latin-1"])
def test_terminals_without_our_letters_get_replacements(encoding: str, tmp_path: Path) -> None:
    path = tmp_path / "site.json"
    save_site(named("名前 π²"), path)
    done = subprocess.run(
        [sys.executable, "-m", "app", "read", str(path), "--at", "3,0,1"],
        cwd=ROOT, capture_output=True, env={**os.environ, "PYTHONIOENCODING": encoding}, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode in (0, 1)
    assert b"Traceback" not in done.stderr
    assert b"% of FCC" in done.stdout


def test_a_path_that_is_no_utf8_is_printed_all_the_same(tmp_path: Path) -> None:
    odd = os.fsencode(tmp_path) + b"/\xff\xfe.json"
    done = subprocess.run(
        [sys.executable, "-m", "app", "check", odd],
        cwd=ROOT,
        capture_output=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.count(b"\n") == 1
    assert b"does not exist" in done.stderr


@pytest.mark.parametrize("text", ["=1+1", "+A1", "-2", "@sum", "\tx", "\rx"])
def test_a_spreadsheet_takes_names_for_text(text: str) -> None:
    assert cell(text) == "'" + text
    assert cell("plain") == "plain"
