"""Frames of maps that are moved, beside a plain full recompute and full redraw: ratios of one run, never a timed test.

    QT_QPA_PLATFORM=offscreen python tests/bench/interactive.py

Two maps of 512 × 512 pixels, twelve invented antennas of three kinds over drawn ground. A frame is what happens between
an event of the mouse and both maps painted. While an antenna is dragged that includes the fields of a new picture,
with as many cells as the time allows; how many is printed. Beside the time by the clock stands that of this process's
own processors, all threads together, which says more on a machine that has other work. At the end the zones of both
demo sites weighed again after a change of power beside fresh ones (tests/bench/followed.py).
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.draw.isobands import isobands
from app.window import pane as panes_room
from app.window.main_window import MainWindow
from app.window.pane import Pane, shape
from app.window.pointing import PointedCanvas
from app.window.scene import Carried, Scene
from bench import followed
from bench.zones import site as twelve_of
from core.exposure.raster import LayerCache, raster
from core.files.site_writer import save_site
from core.site.places import Surface
from core.site.site import Site
from support.windows import settle

SIDE = 512
FRAMES = 40
LEFT = Qt.MouseButton.LeftButton


def subject() -> Site:
    """Twelve antennas within 60 m on drawn ground."""
    edge = 100.0
    square = ((-edge, -edge), (edge, -edge), (edge, edge), (-edge, edge))
    ground = Surface(name="ground", kind="ground", height=0.0, outline=square)
    return replace(twelve_of(12, 60.0), surfaces=(ground,), extent=(-30.0, -30.0, 30.0, 30.0))


Spent = tuple[float, float]
"""Seconds by the clock, and of this process's processors."""


def said(what: str, spent: list[Spent]) -> None:
    """Print median and 95th percentile in ms."""
    clock, own = (np.percentile(1e3 * np.array(one), [50, 95]) for one in zip(*spent, strict=True))
    print(f"  {what:48s} {clock[0]:9.1f} {clock[1]:9.1f} {own[0]:9.1f} {own[1]:9.1f}", flush=True)


def timed(act: Callable[[], object]) -> Spent:
    clock, own = time.perf_counter(), time.process_time()
    act()
    return time.perf_counter() - clock, time.process_time() - own


def painted(panes: tuple[Pane, ...]) -> None:
    for pane in panes:
        pane.canvas.repaint()


def composed(pane: Pane) -> None:
    pane.canvas.compose_now()
    pane.canvas.repaint()


def wheel(on: object, at: QPointF, notches: int) -> None:
    none = Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
    event = QWheelEvent(
        at, at, QPoint(), QPoint(0, 120 * notches), *none, Qt.ScrollPhase.NoScrollPhase, False
    )
    QApplication.sendEvent(on, event)


def zoom_and_pan(window: MainWindow) -> None:
    """Frames while nothing is computed: the picture at hand is scaled."""
    panes = window.panes
    plan = panes[0].canvas
    zooms, pans = [], []
    for i in range(FRAMES):

        def zoom(i: int = i) -> None:
            wheel(plan, QPointF(200.0, 220.0), 1 if i % 20 < 10 else -1)
            painted(panes)

        zooms.append(timed(zoom))
    settle(window)
    QTest.mousePress(plan, LEFT, pos=QPoint(250, 250))
    for i in range(FRAMES):

        def pan(i: int = i) -> None:
            QTest.mouseMove(plan, QPoint(250 + 3 * (i % 30), 250 - 2 * (i % 30)))
            painted(panes)

        pans.append(timed(pan))
    QTest.mouseRelease(plan, LEFT, pos=QPoint(250, 250))
    settle(window)
    said("zoom frame, both maps (draw; nothing computed)", zooms)
    said("pan frame, both maps (draw; nothing computed)", pans)


def sharp(window: MainWindow) -> None:
    for pane in window.panes:
        pane.show(window.maps.scene)
        pane.canvas.draw()


def drag(window: MainWindow) -> None:
    """Frames while an antenna is carried: its fields anew on both maps, and both drawn."""
    panes, plan = window.panes, window.panes[0].canvas
    cells: dict[str, int] = {}

    def noted(pane: Pane) -> Callable[[object], None]:
        def note(picture: object) -> None:
            cells[pane.name] = picture.cells  # type: ignore[attr-defined]

        return note

    for pane in panes:
        pane.worker.done.connect(noted(pane))
    window.set_movable(True)
    x, y, _ = window.document.site.antennas[4].position
    start = plan.pixel_of((x, y)).toPoint()
    QTest.mousePress(plan, LEFT, pos=start)
    frames, drawn = [], []
    for i in range(FRAMES + 12):
        cells.clear()

        def frame(i: int = i) -> None:
            QTest.mouseMove(plan, start + QPoint(6 + i % 25, 4 + i % 17))
            while len(cells) < len(panes):
                QApplication.processEvents()
                time.sleep(2e-4)
            painted(panes)

        whole = timed(frame)
        if i >= 12:
            # The first frames find out how many cells there is time for.
            frames.append(whole)
            drawn.append(timed(lambda: [composed(p) for p in panes]))
    said("drag frame, both maps, computed and drawn", frames)
    said("  of it one drawing of both maps", drawn)
    print(f"  cells across while dragging: {cells}")
    scene = window.maps.scene
    fields = []
    for i in range(FRAMES):
        carried = replace(scene, carried=Carried(4, (x + 0.013 * i, y, 5.0)))

        def compute(carried: Scene = carried) -> None:
            for pane in panes:
                view = pane.view(carried)
                raster(carried.shown, view, shape(view, cells[pane.name]), pane.cache)

        fields.append(timed(compute))
    said("  of it the fields of both maps, one after the other", fields[1:])
    QTest.keyClick(plan, Qt.Key.Key_Escape)
    QTest.mouseRelease(plan, LEFT, pos=start)
    settle(window)


def two_states(window: MainWindow, folder: Path) -> None:
    """Frames of two states: switched by a key, wiped by the mouse, two maps of each plane moved as one."""
    after = subject()
    louder = replace(after.antennas[4], position=(6.0, 2.0, 5.0))
    after = replace(after, antennas=(*after.antennas[:4], louder, *after.antennas[5:]))
    save_site(after, folder / "after.json")
    window.show_task("changes")
    changes = window.changes
    changes.open(1, folder / "after.json")
    changes.work.cancel()
    for pane in changes.panes:
        pane.setFixedSize(SIDE, SIDE + 20)

    def quiet() -> None:
        settle(window)
        while changes.busy:
            QApplication.processEvents()
            time.sleep(1e-3)

    def both() -> None:
        for pane in changes.panes:
            for canvas in pane.in_front:
                canvas.repaint()

    def switch() -> None:
        QTest.keyClick(window, Qt.Key.Key_F8)
        both()

    changes.show_way("before")
    quiet()
    said("switch frame, both maps (key, painted)", [timed(switch) for _ in range(FRAMES)])
    changes.show_way("wipe")
    quiet()
    canvas = changes.panes[0].after
    QTest.mousePress(canvas, LEFT, pos=QPoint(round(changes.scene.edge * canvas.width()), 200))
    frames = []
    for i in range(FRAMES):

        def slide(i: int = i) -> None:
            QTest.mouseMove(canvas, QPoint(260 + 4 * (i % 30), 200 + i % 3))
            both()

        frames.append(timed(slide))
    QTest.mouseRelease(canvas, LEFT, pos=QPoint(260, 200))
    said("wipe frame, both maps", frames)
    for way, words in (
        ("wipe", "pan frame of the wipe, both maps"),
        ("side by side", "pan frame side by side, four maps"),
        ("difference", "pan frame of the difference, both maps"),
    ):
        changes.show_way(way)  # type: ignore[arg-type]
        quiet()
        at, frames = changes.panes[0].canvas, []
        QTest.mousePress(at, LEFT, pos=QPoint(150, 150))
        for i in range(FRAMES):

            def pan(i: int = i, at: PointedCanvas = at) -> None:
                QTest.mouseMove(at, QPoint(150 + 3 * (i % 30), 150 - 2 * (i % 30)))
                both()

            frames.append(timed(pan))
        QTest.mouseRelease(at, LEFT, pos=QPoint(150, 150))
        said(words, frames)
        quiet()


def plain(window: MainWindow) -> None:
    """Everything anew: fields at 512 × 512 cells of both maps, and both drawn from nothing."""
    scene = window.maps.scene

    def compute() -> None:
        for pane in window.panes:
            made = raster(scene.site, pane.view(scene), (SIDE, SIDE), LayerCache(200_000_000))
            isobands(made, "public", scene.look.contours)

    said("plain: fields of both maps at 512 × 512 cells", [timed(compute)])
    said("plain: both maps drawn from nothing", [timed(lambda: sharp(window)) for _ in range(8)])


def main() -> None:
    app = QApplication.instance() or QApplication(["bench"])
    assert app is not None
    # What is seen when nothing moves is not what is measured here.
    panes_room.FINE = 100
    window = MainWindow()
    window.resize(1700, 900)
    for pane in window.panes:
        pane.canvas.setFixedSize(SIDE, SIDE)
    window.show()
    window.document.edit("bench", lambda _: subject())
    settle(window)
    print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    print(f"  {'ms: median and 95th percentile, by the clock; own':48s}")
    zoom_and_pan(window)
    with tempfile.TemporaryDirectory() as folder:
        two_states(window, Path(folder))
    window.show_task("field")
    settle(window)
    drag(window)
    plain(window)
    window.document.stack.setClean()
    window.close()
    followed.main([])


if __name__ == "__main__":
    main()
