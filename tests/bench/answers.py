"""How soon the window answers while it computes: a minute of random clicks, keys, drags on each demo site.

    QT_QPA_PLATFORM=offscreen python tests/bench/answers.py [--seconds 60] [--seed 1] [SITE ...]

A timer of Qt's own loop asks to be called every 4 ms; how much later it is called is how long the window was deaf, to
mouse and keys as well. Zones, rasters, readings, checks and comparisons are at work all the time, since every act
makes them begin anew. Nothing is saved. Printed are percentiles of what acts took, the longest and what was being
done, beside a plain full redraw of both maps in the same run: on a machine with other work compare with that.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field, replace
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from PySide6.QtCore import QObject, QPoint, QPointF, QSettings, Qt, QTimer
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.window.main_window import MainWindow
from app.window.start import application
from app.window.tasks import TASKS

DEMOS = sorted((Path(__file__).parents[2] / "demo_sites").glob("*/*.json"))
BEAT, ACT = 4, 90
"""ms between beats, and between acts."""
LONG = 0.1
"""s; the window may be deaf for so long."""
K, M = Qt.Key, Qt.KeyboardModifier
KEYS = (
    (K.Key_Plus, M.NoModifier), (K.Key_Minus, M.NoModifier), (K.Key_0, M.NoModifier),
    (K.Key_Left, M.NoModifier), (K.Key_Up, M.NoModifier), (K.Key_B, M.ControlModifier),
    (K.Key_Z, M.ControlModifier), (K.Key_Y, M.ControlModifier), (K.Key_F7, M.NoModifier),
    (K.Key_F8, M.NoModifier), (K.Key_F9, M.NoModifier), (K.Key_Tab, M.NoModifier),
)  # fmt: skip


@dataclass
class Heard:
    """What the beats heard."""

    gaps: list[float] = field(default_factory=list)
    long: list[tuple[float, str]] = field(default_factory=list)
    acts: Counter[str] = field(default_factory=Counter)


class Listening(QObject):
    """Acts at random and notes how long the window was deaf after each."""

    def __init__(self, window: MainWindow, seed: int) -> None:
        super().__init__(window)
        self.window, self.rng, self.heard = window, random.Random(seed), Heard()
        self.doing, self._last = "opening", time.perf_counter()
        self._held: tuple[QWidget, QPoint] | None = None
        self._beat, self._acting = QTimer(self), QTimer(self)
        self._beat.setTimerType(Qt.TimerType.PreciseTimer)
        self._beat.timeout.connect(self._listen)
        self._acting.timeout.connect(self._act)
        self._beat.start(BEAT)
        self._acting.start(ACT)

    def stop(self) -> None:
        """Act and listen no more."""
        self._beat.stop()
        self._acting.stop()

    def _listen(self) -> None:
        now = time.perf_counter()
        gap, self._last = now - self._last - BEAT * 1e-3, now
        self.heard.gaps.append(gap)
        if gap > LONG:
            self.heard.long.append((gap, self.doing))
        self.doing = "nothing by hand"

    def _act(self) -> None:
        act = self.rng.choice((
            self._click, self._click, self._key, self._wheel, self._drag, self._drag,
            self._task, self._power, self._move,
        ))  # fmt: skip
        self.doing = (act.__doc__ or "").strip(" .").lower()
        self.heard.acts[self.doing] += 1
        act()

    def _place(self) -> tuple[QWidget, QPoint]:
        canvas = self.rng.choice([pane.canvas for pane in self.window.panes])
        return canvas, QPoint(
            self.rng.randrange(20, max(canvas.width() - 20, 21)),
            self.rng.randrange(20, max(canvas.height() - 20, 21)),
        )

    def _click(self) -> None:
        """A click on a map."""
        canvas, at = self._place()
        QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=at)

    def _key(self) -> None:
        """A key."""
        key, modifier = self.rng.choice(KEYS)
        QTest.keyClick(self.rng.choice(self.window.panes).canvas, key, modifier)
        self.doing = f"a key ({modifier.name}+{key.name})"

    def _wheel(self) -> None:
        """A turn of the wheel."""
        canvas, at = self._place()
        event = QWheelEvent(
            QPointF(at), QPointF(at), QPoint(), QPoint(0, self.rng.choice((-120, 120))),
            Qt.MouseButton.NoButton, M.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QApplication.sendEvent(canvas, event)

    def _drag(self) -> None:
        """A drag, begun, led on or ended."""
        left = Qt.MouseButton.LeftButton
        if self._held is None:
            canvas, at = self._place()
            QTest.mousePress(canvas, left, pos=at)
            self._held = canvas, at
            return
        canvas, at = self._held
        to = at + QPoint(self.rng.randrange(-60, 61), self.rng.randrange(-60, 61))
        QTest.mouseMove(canvas, to)
        if self.rng.random() < 0.5:
            QTest.mouseRelease(canvas, left, pos=to)
            self._held = None

    def _task(self) -> None:
        """Another task."""
        if self.rng.random() < 0.3:
            name = self.rng.choice(TASKS).task
            self.doing = f"the task {name}"
            self.window.show_task(name)

    def _power(self) -> None:
        """Another power."""
        document = self.window.document
        index = self.rng.randrange(len(document.site.antennas))
        power = document.site.antennas[index].carriers[0].power
        key = next(k for k in ("transmitter", "erp", "eirp") if getattr(power, k) is not None)
        new = getattr(power, key) * self.rng.uniform(0.8, 1.25)
        document.set_power(index, 0, replace(power, **{key: new}))

    def _move(self) -> None:
        """An antenna moved."""
        document = self.window.document
        index = self.rng.randrange(len(document.site.antennas))
        x, y, z = document.site.antennas[index].position
        document.move(index, (x + self.rng.uniform(-0.3, 0.3), y, z))


def redraw(window: MainWindow) -> float:
    """Return seconds of a plain full redraw of both maps."""
    spent = []
    for _ in range(5):
        started = time.perf_counter()
        for pane in window.panes:
            pane.canvas.draw()
            pane.canvas.repaint()
        spent.append(time.perf_counter() - started)
    return float(np.median(spent))


def listened(app: QApplication, path: Path, seconds: float, seed: int) -> None:
    """Print one site's figures."""
    window = MainWindow()
    window.resize(1440, 900)
    # Nobody is there to be asked whether to save.
    window.files.may_leave = lambda: True  # type: ignore[method-assign]
    window.show()
    window.open(path)
    listening = Listening(window, seed)
    QTimer.singleShot(round(seconds * 1e3), app.quit)
    app.exec()
    listening.stop()
    heard, plain = listening.heard, redraw(window)
    gaps = 1e3 * np.array(heard.gaps)
    print(
        f"{path.stem}: {sum(heard.acts.values())} acts in {seconds:g} s, deaf for "
        + ", ".join(f"{np.percentile(gaps, p):.0f} ms ({p:g} %)" for p in (50, 95, 99, 99.9))
        + f", at most {gaps.max():.0f} ms; over {1e3 * LONG:g} ms {len(heard.long)} times; "
        f"a full redraw of both maps {1e3 * plain:.0f} ms",
        flush=True,
    )
    why = Counter(what for _, what in heard.long)
    for what, count in why.most_common(8):
        worst = max(gap for gap, other in heard.long if other == what)
        print(f"    {count:4d} times up to {1e3 * worst:.0f} ms: {what}")
    window.document.stack.setClean()
    window.close()


def main() -> None:
    """Listen to each site in turn."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("site", nargs="*", type=Path)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_STATE_HOME"] = folder
        QSettings.setPath(QSettings.Format.NativeFormat, QSettings.Scope.UserScope, folder)
        app = application()
        for path in args.site or DEMOS:
            # A copy: changes that are not saved are kept beside the file.
            copy = Path(shutil.copytree(path.parent, Path(folder) / path.stem)) / path.name
            listened(app, copy, args.seconds, args.seed)


if __name__ == "__main__":
    main()
