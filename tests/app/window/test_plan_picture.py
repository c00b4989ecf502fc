"""The plan picture: chosen, placed by its world file or two points, kept and copied beside the site."""

from __future__ import annotations

import math
import os
import signal
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.draw.picture import draw_picture, picture_path
from app.draw.style import LIGHT
from app.window.document import Document
from app.window.main_window import MainWindow
from core.errors import InputError
from core.files.site_file import load_site
from core.files.world_file import read_world_file, world_file_of
from core.site.parts import THE_PICTURE
from core.site.picturing import by_world_file, laid, scaled_to
from core.site.places import Picture
from core.site.site import Site
from support.drawing_hand import Hand
from support.windows import settle

K = Qt.Key
BASE = Picture(file="plan.png", metres_per_pixel=0.1, origin=(3.0, -2.0), rotation=20.0)


def drawn(folder: Path, name: str = "plan.png") -> Path:
    """Return a picture of two squares, 80 by 60 pixels."""
    folder.mkdir(exist_ok=True)
    pixels = np.full((60, 80, 3), 255, np.uint8)
    pixels[10:50, 20] = pixels[10:50, 60] = pixels[10, 20:60] = pixels[49, 20:60] = 0
    Image.fromarray(pixels).save(folder / name)
    return folder / name


def on_map(picture: Picture, column: float, row_up: float) -> tuple[float, float]:
    """Return where a pixel of a picture lies, counted from its lower left corner."""
    turn = math.radians(-picture.rotation)
    x, y = column * picture.metres_per_pixel, row_up * picture.metres_per_pixel
    u, v = picture.origin
    return u + x * math.cos(turn) - y * math.sin(turn), v + x * math.sin(turn) + y * math.cos(turn)


@pytest.fixture
def hand(window: MainWindow) -> Hand:
    """A hand on the plan of a new site."""
    window.desk.beginning.begin(Site(name="new", antennas=()))
    settle(window)
    return Hand(window)


# where it lies ---------------------------------------------------------------------------------------


def test_two_points_bring_a_picture_where_it_belongs() -> None:
    here = on_map(BASE, 20, 11), on_map(BASE, 60, 50)
    there = (-20.0, -14.0), (20.0, 25.0)
    placed = laid(BASE, here, there)
    assert on_map(placed, 20, 11) == pytest.approx(there[0], abs=2e-6)
    assert on_map(placed, 60, 50) == pytest.approx(there[1], abs=2e-6)
    assert placed.rotation == pytest.approx(0.0, abs=1e-6)
    scaled = scaled_to(BASE, *here, 50.0)
    assert math.dist(on_map(scaled, 20, 11), on_map(scaled, 60, 50)) == pytest.approx(50.0)
    assert on_map(scaled, 20, 11) == pytest.approx(here[0], abs=2e-6)
    assert scaled.rotation == pytest.approx(BASE.rotation)
    for wrong in (
        lambda: laid(BASE, (here[0], here[0]), there),
        lambda: laid(BASE, here, (there[0], there[0])),
        lambda: scaled_to(BASE, *here, 0.0),
        lambda: laid(BASE, ((0.0, 0.0), (0.01, 0.0)), ((0.0, 0.0), (9e4, 9e4))),
    ):
        with pytest.raises(InputError):
            wrong()


def test_a_world_file_says_where_every_pixel_is(tmp_path: Path) -> None:
    turn, side = math.radians(25.0), 0.2
    a, d = side * math.cos(turn), -side * math.sin(turn)
    numbers = (a, d, d, -a, 12.0, 34.0)
    made, used = by_world_file("plan.png", numbers, 60, 0.5)
    assert used
    assert (made.rotation, made.opacity) == (25.0, 0.5)
    assert made.metres_per_pixel == pytest.approx(side)
    # The middle of the upper left pixel, and of one to the right and below.
    assert on_map(made, 0.5, 59.5) == pytest.approx((12.0, 34.0), abs=1e-5)
    x, y = 12.0 + 7 * a + 9 * d, 34.0 + 7 * d - 9 * a
    assert on_map(made, 7.5, 50.5) == pytest.approx((x, y), abs=1e-5)
    grid, used = by_world_file("plan.png", (*numbers[:4], 512_000.0, 5_400_000.0), 60, 0.5)
    assert not used
    assert grid.origin == (0.0, 0.0)
    for wrong in ((a, d, d, a, 0.0, 0.0), (a, 0.0, 0.0, -2 * a, 0.0, 0.0), (0.0,) * 6):
        with pytest.raises(InputError, match="no squares"):
            by_world_file("plan.png", wrong, 60, 0.5)
    for name in ("plan.pgw", "plan.pngw", "plan.png.wld", "plan.wld"):
        world = tmp_path / name
        world.write_text("0.2\n0\n0\n-0.2\n1\n2\n", "utf-8")
        assert world_file_of(tmp_path / "plan.png") == world
        assert read_world_file(world) == (0.2, 0.0, 0.0, -0.2, 1.0, 2.0)
        for junk in ("1 2 3", "a b c d e f", "1 2 3 4 5 nan", "1 " * 9000, "\x00"):
            world.write_text(junk, "utf-8")
            with pytest.raises(InputError, match="is not a world file"):
                read_world_file(world)
        world.unlink()
    assert world_file_of(tmp_path / "plan.png") is None


def test_opacity_changes_lines_and_never_even_areas(tmp_path: Path) -> None:
    from dataclasses import replace

    from matplotlib.figure import Figure

    path = drawn(tmp_path)
    alphas = []
    for opacity in (0.0, 0.6, 1.0):
        site = Site(name="s", antennas=(), picture=replace(BASE, opacity=opacity))
        image = draw_picture(
            Figure().add_axes((0, 0, 1, 1)), site, picture_path(site, tmp_path), LIGHT
        )
        assert image is not None
        alphas.append(image.get_array()[..., 3])
    assert path.is_file()
    assert alphas[0].max() == 0
    assert alphas[1].max() < alphas[2].max() == 255
    assert all(alpha[30, 40] == 0 for alpha in alphas), "the middle of an even area"


# in the window ---------------------------------------------------------------------------------------


def test_a_picture_is_placed_by_two_clicked_points_and_typed_coordinates(
    hand: Hand, tmp_path: Path
) -> None:
    window = hand.window
    assert window.desk.pictures.place(drawn(tmp_path / "from"))
    settle(window)
    assert window.maps.scene.part == THE_PICTURE
    first = window.document.site.picture
    assert first is not None
    shown = [type(a).__name__ for a in window.maps.pane("plan").canvas.map._static]
    assert "AxesImage" in shown, "a picture is seen before it is beside the site"
    hand.action("draw picture").trigger()
    hand.click(on_map(first, 20, 11), on_map(first, 60, 11))
    hand.type("far")
    assert "'far' is not a length" in window.message.text()
    hand.key(K.Key_Escape)
    hand.type("-20; -14", "-20; -14")
    assert "two points are one" in window.message.text()
    hand.key(K.Key_Escape)
    hand.type("20; -14")
    placed = window.document.site.picture
    assert placed is not None
    scale = first.metres_per_pixel / 0.1
    assert on_map(placed, 20, 11) == pytest.approx((-20.0, -14.0), abs=2.0 * scale)
    assert placed.metres_per_pixel == pytest.approx(1.0, abs=0.05)
    assert window.document.stack.undoText() == "place the plan picture"
    hand.action("draw picture").trigger()
    hand.click((0.0, 0.0), (10.0, 0.0))
    hand.type("20")
    again = window.document.site.picture
    assert again is not None
    assert again.metres_per_pixel == pytest.approx(2.0 * placed.metres_per_pixel, rel=0.05)
    window.document.stack.undo()
    window.document.stack.undo()
    assert window.document.site.picture == first
    # Every number of it can be typed.
    editors = hand.window.panel("what is there").form.editors
    for name, text in (
        ("metres_per_pixel", "0.25"), ("origin", "-20; -14"), ("rotation", "30°"), ("opacity", "80 %"),
    ):  # fmt: skip
        line = editors[name].widget
        line.setFocus()
        line.selectAll()
        QTest.keyClicks(line, text)
        QTest.keyClick(line, K.Key_Return)
    assert hand.window.document.site.picture == Picture(
        file="plan.png", metres_per_pixel=0.25, origin=(-20.0, -14.0), rotation=30.0, opacity=0.8
    )
    assert hand.window.document.stack.undoText() == "strength of the plan picture"


def test_a_picture_is_copied_beside_the_site_when_that_is_saved(hand: Hand, tmp_path: Path) -> None:
    window, source = hand.window, drawn(tmp_path / "from")
    (tmp_path / "from" / "plan.pgw").write_text("0.5\n0\n0\n-0.5\n-20\n15\n", "utf-8")
    assert window.desk.pictures.place(source)
    picture = window.document.site.picture
    assert picture == Picture(file="plan.png", metres_per_pixel=0.5, origin=(-20.25, -14.75))
    assert "plan.pgw" in window.statusBar().currentMessage()
    there = tmp_path / "sites"
    there.mkdir()
    assert window.files.save_to(there / "s.json")
    assert (there / "plan.png").read_bytes() == source.read_bytes()
    assert load_site(there / "s.json").picture == picture
    # Another picture of the same name gets another, and only what the site names is copied.
    other = drawn(tmp_path / "other")
    with Image.open(other) as image:
        image.resize((40, 30)).save(other)
    assert window.desk.pictures.place(other)
    assert window.document.site.picture is not None
    assert window.document.site.picture.file == "plan 2.png"
    window.document.stack.undo()
    assert window.files.save_to(there / "s.json")
    assert sorted(p.name for p in there.iterdir()) == ["plan.png", "s.json"]
    window.document.stack.redo()
    copy = tmp_path / "copy"
    copy.mkdir()
    assert window.files.save_copy(copy / "s.json")
    assert sorted(p.name for p in copy.iterdir()) == ["plan 2.png", "s.json"]
    assert window.desk.pictures.place(there / "plan.png")
    assert window.document.site.picture.file == "plan.png", "one beside the site is named as it is"


def test_what_is_no_picture_is_one_error_and_nothing_changes(hand: Hand, tmp_path: Path) -> None:
    broken, text = tmp_path / "broken.png", tmp_path / "text.png"
    broken.write_bytes(drawn(tmp_path).read_bytes()[:60])
    text.write_text("no picture", "utf-8")
    for path in (broken, text, tmp_path, tmp_path / "gone.png"):
        assert not hand.window.desk.pictures.place(path)
        assert hand.window.message.isVisible()
        assert "\n" not in hand.window.message.text()
    good = drawn(tmp_path, "good.png")
    good.with_suffix(".pgw").write_text("1 2 3", "utf-8")
    assert not hand.window.desk.pictures.place(good)
    assert "is not a world file" in hand.window.message.text()
    hand.action("draw picture").trigger()
    assert "There is no plan picture" in hand.window.message.text()
    assert not hand.action("draw picture").isChecked()
    assert hand.window.document.stack.count() == 1


@pytest.mark.skipif(sys.platform == "win32", reason="kills of POSIX")
@pytest.mark.usefixtures("beside", "qt")
def test_a_picture_that_is_not_copied_yet_survives_a_kill(tmp_path: Path) -> None:
    source = drawn(tmp_path / "from")
    child = os.fork()
    if child == 0:
        document = Document()
        document.begin()
        document.bring("plan.png", source)
        site = Site(name="s", antennas=(), picture=BASE)
        document.edit("place the plan picture", lambda _: site)
        os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(child, 0)
    document = Document()
    (left,) = document.left()
    document.recover(left)
    assert document.pictured == source
    document.save(tmp_path / "s.json")
    assert (tmp_path / "plan.png").read_bytes() == source.read_bytes()
    document.close()
