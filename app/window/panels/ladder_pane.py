"""The ladder strip beside the elevation: follows states and powers at once, the proof after them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from matplotlib.backend_bases import MouseEvent
from matplotlib.figure import Figure
from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QComboBox, QLabel, QVBoxLayout, QWidget

from app.draw.ladder_art import LadderStrip, Strip
from app.window import tones
from app.window.jobs import Worker
from app.window.letters import KeepingCanvas
from app.window.panels.panel import Panel
from app.window.scene import Scene, radiating
from core.exposure.profile import Profile, profile
from core.exposure.raster import LayerCache
from core.limits.tier import TIERS, Tier
from core.progress import Asked
from core.proof.tolerance import Ceiling
from core.reading.data import Reading
from core.site.garment import Garment
from core.site.places import Ladder
from core.site.site import Site
from core.views.body import Body
from core.zones.climbing import climb_words
from core.zones.garment import garment_ladder
from core.zones.ladders import LadderZone, in_words, ladder_zone

CEILING = Ceiling(seconds=30.0)
"""The strip waits at most this long for one proof; past it the spans are looser and say so."""
QUIET = 600
"""ms without a change before spans are proven: maps and percents come first."""
_STEPS = {
    Qt.Key.Key_Up: 0.5, Qt.Key.Key_Down: -0.5, Qt.Key.Key_PageUp: 5.0, Qt.Key.Key_PageDown: -5.0,
}  # fmt: skip
"""m that a key moves the place that is read."""
_TIP = (
    "Heights of the ladder against percent of both limits. Click, or use the arrow keys and Page Up and Down, to "
    "read a place"
)
_TALL = 380
"""Pixels below which the words under the strip give way to it."""
_NEAR = 0.5
"""m from the ladder within which a pinned place is shown on the strip."""


@dataclass(frozen=True)
class _Asked:
    """What the strip depends on: fences and how things look change nothing of it."""

    site: Site
    ladder: Ladder
    body: Body
    worn: Garment | None = None
    margin: float = 0.0


@dataclass(frozen=True)
class _Proven:
    """Both limits proven for what was asked, and where the garment is not enough that is worn."""

    asked: _Asked
    zones: dict[Tier, LadderZone]
    worn: LadderZone | None = None


class LadderPane(QWidget, Panel):
    """Shows one ladder of the site; ``pinned`` carries the place (x, y, z) of a click."""

    pinned = Signal(object)
    refused = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("ladder strip")
        self.setAccessibleName("Ladder strip")
        self.box = QComboBox()
        self.box.setObjectName("ladder")
        self.box.setAccessibleName("Ladder shown")
        self.canvas = _StripCanvas()
        self.words = QLabel()
        self.words.setObjectName("ladder words")
        self.words.setAccessibleName("Spans of the ladder that may be used")
        self.words.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(2, 0, 2, 0)
        column.setSpacing(2)
        for part, stretch in ((self.box, 0), (self.canvas, 1), (self.words, 0)):
            column.addWidget(part, stretch)
        self.cache = LayerCache()
        self.worker = Worker()
        self.wanted = True
        self.profile: Profile | None = None
        self.proven: _Proven | None = None
        self._asked: _Asked | None = None
        self._weighed: _Asked | None = None
        self._scene: Scene | None = None
        self._computing = self._held = False
        self.worker.busy.connect(self._set_computing)
        self.worker.done.connect(self._take)
        self.worker.failed.connect(self.refused)
        self.box.activated.connect(lambda _: self._follow())
        self.canvas.heights.connect(self._pin_at)
        self.canvas.stepped.connect(self._step)
        self._later = QTimer(self, singleShot=True, interval=QUIET)
        self._later.timeout.connect(self._go_on)
        self.hide()

    @property
    def stale(self) -> bool:
        """Whether what is proven is of another site, or nothing is proven yet."""
        return self.proven is None or self.proven.asked != self._asked

    def want(self, on: bool) -> None:
        """Show the strip where there is a ladder, or not."""
        self.wanted = on
        self._follow()

    def show_scene(self, scene: Scene) -> None:
        """Follow the site, its states and powers; only what has changed is computed."""
        self._scene = scene
        names = [ladder.name for ladder in scene.site.ladders]
        if names != [self.box.itemText(i) for i in range(self.box.count())]:
            kept = self.box.currentText()
            self.box.clear()
            self.box.addItems(names)
            self.box.setCurrentIndex(max(self.box.findText(kept), 0))
        self._follow()

    def show_reading(self, reading: Reading | None, scene: Scene) -> None:
        """Mark the height of the pinned place."""
        self._scene = scene
        self._draw()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._draw()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        # Where there is room for one only, the strip stays; its words are its tip.
        self.words.setVisible(self.height() >= _TALL)

    def hold(self, on: bool) -> None:
        """Begin no long work while the maps are being drawn, or go on."""
        self._held = on

    def stop(self) -> None:
        """Stop any work."""
        self._later.stop()
        self.worker.close()

    @property
    def ladder(self) -> Ladder | None:
        """The ladder that is shown."""
        if self._scene is None or not self._scene.site.ladders:
            return None
        return self._scene.site.ladders[max(self.box.currentIndex(), 0)]

    def _follow(self) -> None:
        scene, ladder = self._scene, self.ladder
        shown = self.wanted and ladder is not None
        self.setVisible(shown)
        if not shown or scene is None or ladder is None:
            self._asked = None
            self.worker.submit(lambda cancelled, emit: None)
            return
        # Where a garment is worn it is as on the maps: with transmitters as the job sets them.
        worn, job = scene.worn, scene.chosen
        margin = job.garment_margin if worn is not None and job is not None else 0.0
        asked = _Asked(radiating(scene.zoned), ladder, scene.look.climb_body, worn, margin)
        if asked != self._asked:
            self._asked = asked
            # A new one waits a moment for the first look at the maps; what is only weighed anew follows at once.
            known = self.profile is not None and self.profile.ladder == ladder.name
            if known and scene.carried is None:
                self._weigh(asked)
            self._later.start()
        self._draw()

    def _weigh(self, asked: _Asked) -> None:
        cache, self._weighed = self.cache, asked

        def work(cancelled: Asked, emit: Callable[[Profile], None]) -> None:
            emit(profile(asked.site, asked.ladder, asked.body, cache, cancelled=cancelled))

        self.worker.submit(work)

    def _go_on(self) -> None:
        """Compute what is missing, once nothing has changed for a while: percents first, then the proof."""
        asked, scene = self._asked, self._scene
        if asked is None or scene is None:
            return
        if scene.carried is not None or self._computing:
            self._later.start()
        elif self._weighed != asked:
            # Quick beside the maps: nobody waits for those to see a ladder.
            self._weigh(asked)
            self._later.start()
        elif self._held:
            self._later.start()
        elif self.stale:
            self._prove(asked)

    def _prove(self, asked: _Asked) -> None:
        def work(cancelled: Asked, emit: Callable[[_Proven], None]) -> None:
            site, ladder, body = asked.site, asked.ladder, asked.body
            zones = {
                tier: ladder_zone(
                    site, ladder, 1.0, tier, body, cancelled=cancelled, ceiling=CEILING
                )
                for tier in TIERS
            }
            worn = None
            if asked.worn is not None:
                worn = garment_ladder(
                    site,
                    ladder,
                    asked.worn,
                    asked.margin,
                    body=body,
                    cancelled=cancelled,
                    ceiling=CEILING,
                )
            emit(_Proven(asked, zones, worn))

        self.worker.submit(work)

    def _set_computing(self, on: bool) -> None:
        self._computing = on

    def _take(self, answer: Profile | _Proven | None) -> None:
        match answer:
            case Profile():
                self.profile = answer
            case _Proven():
                self.proven = answer
        self._draw()

    def _draw(self) -> None:
        scene, ladder = self._scene, self.ladder
        if scene is None or ladder is None or self.isHidden() or self.profile is None:
            return
        same = self.proven is not None and self.proven.asked.ladder == ladder
        zones = self.proven.zones if self.proven is not None and same else {}
        worn = (
            self.proven.worn
            if self.proven is not None and same and scene.worn is not None
            else None
        )
        profile = self.profile if self.profile and self.profile.ladder == ladder.name else None
        self.canvas.show_strip(
            Strip(
                scene.zoned, ladder, profile, zones, stale=self.stale, feet=scene.look.feet, pin=self._pin(),
                worn=worn,
            ),
            tones.ground(self.palette()).name(), tones.ink(self.palette()).name(),
        )  # fmt: skip
        if self.stale:
            lines = ["The spans are being proven…"]
        else:
            body = scene.look.climb_body
            lines = climb_words(scene.zoned, ladder, zones, body, feet=scene.look.feet)
            if worn is not None and scene.worn is not None:
                good = f"what {scene.worn.name} is good for"
                said = in_words(worn.intervals, good, feet=scene.look.feet)
                lines.append(f"{said[0].upper()}{said[1:]}, with transmitters as the job sets them")
        self.words.setText("\n".join(lines))
        self.canvas.setAccessibleDescription(self.words.text())
        self.canvas.setToolTip(f"{_TIP}\n\n{self.words.text()}")

    def _pin(self) -> float | None:
        pin = self._scene.pin if self._scene is not None else None
        if pin is None or self.profile is None:
            return None
        gaps = np.linalg.norm(self.profile.places - np.array(pin.place), axis=1)
        return pin.place[2] if float(gaps.min()) <= _NEAR else None

    def _pin_at(self, height: float) -> None:
        if self.profile is not None:
            x, y, z = (float(c) for c in self.profile.places[self.profile.nearest(height)])
            self.pinned.emit((x, y, z))

    def _step(self, metres: float) -> None:
        if self.profile is None:
            return
        start = self._pin()
        foot = float(self.profile.places[0, 2])
        self._pin_at(foot if start is None else start + metres)


class _StripCanvas(KeepingCanvas):
    """The strip on screen. ``heights`` carries the height of a click in m, ``stepped`` the m of a key."""

    heights = Signal(float)
    stepped = Signal(float)

    def __init__(self) -> None:
        self._figure = Figure()
        super().__init__(self._figure)
        self.setObjectName("strip")
        self.setAccessibleName("Percent of the limits along the ladder")
        self.setToolTip(_TIP)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(QSize(175, 150))
        self.strip: LadderStrip | None = None
        self.shown: Strip | None = None
        self._colours = ("", "")
        self._told: tuple[object, ...] = ()
        self._dirty = False
        self._left = 44.0
        self.mpl_connect("button_press_event", self._pressed)
        self.mpl_connect("resize_event", lambda _: self._again())

    def show_strip(self, strip: Strip, paper: str, ink: str) -> None:
        """Draw a strip in the colours of the desktop, once for however many changes come in a row."""
        told = (
            strip.site,
            strip.ladder,
            id(strip.profile),
            id(strip.zones),
            id(strip.worn),
            strip.stale,
            strip.feet,
            strip.pin,
        )
        if self.shown is not None and (paper, ink) == self._colours and told == self._told:
            return
        self._told = told
        if self.strip is None or self._colours != (paper, ink):
            self._figure.clear()
            self._figure.set_facecolor(paper)
            self.strip = LadderStrip(self._figure, (0.0, 0.0, 1.0, 1.0), paper=paper, ink=ink)
            self._colours = (paper, ink)
        self.shown = strip
        self._again()

    def height_y(self, height: float) -> int:
        """Return the row of the widget at a height in m."""
        assert self.strip is not None
        y = self.strip.curves.transData.transform((1.0, height))[1] / self.device_pixel_ratio
        return round(self.height() - y)

    def _again(self) -> None:
        self._dirty = True
        self.draw_idle()

    def draw(self) -> None:
        """Bring the artists up to date, then draw them."""
        if self._dirty and self.strip is not None and self.shown is not None:
            self._dirty = False
            self._bring_up_to_date(self.strip, self.shown)
        super().draw()

    def _bring_up_to_date(self, drawn: LadderStrip, shown: Strip) -> None:
        # What is shown depends on the room there is, and the room on how wide the heights shown are.
        self._place(drawn)
        drawn.show(shown)
        # A height must not lose its first digit.
        left = drawn.heights_width() / self.device_pixel_ratio + 10.0
        if left != self._left:
            self._left = left
            self._place(drawn)
        focus = self.hasFocus()
        for spine in drawn.curves.spines.values():
            spine.set_linewidth(2.0 if focus else 0.8)

    def _place(self, drawn: LadderStrip) -> None:
        """Leave room for heights at the left, words below, and what is being proven above, in pixels."""
        wide, tall, left = self.width(), self.height(), self._left
        drawn.place((left / wide, 62.0 / tall, 1.0 - (left + 6.0) / wide, 1.0 - 80.0 / tall))

    def _pressed(self, event: MouseEvent) -> None:
        if event.button == 1 and self.strip is not None:
            self.heights.emit(self.strip.height_at(float(event.y)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = _STEPS.get(Qt.Key(event.key()))
        if step is not None and event.modifiers() == Qt.KeyboardModifier.NoModifier:
            self.stepped.emit(step)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._again()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._again()
