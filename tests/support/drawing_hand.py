"""A hand on the plan of the window: clicks, drags, keys and typed words."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest

from app.window.main_window import MainWindow
from app.window.pointing import PointedCanvas

K, M = Qt.Key, Qt.KeyboardModifier
LEFT, CTRL, SHIFT = Qt.MouseButton.LeftButton, M.ControlModifier, M.ShiftModifier
Place = tuple[float, float]


class Hand:
    """Works on the plan of a window as a person does."""

    def __init__(self, window: MainWindow) -> None:
        self.window = window

    @property
    def plan(self) -> PointedCanvas:
        """The plan."""
        return self.window.maps.pane("plan").canvas

    def pixel(self, place: Place) -> QPoint:
        """Return the pixel over a place."""
        return self.plan.pixel_of(place).toPoint()

    def point(self, place: Place) -> None:
        """Lead the mouse to a place."""
        QTest.mouseMove(self.plan, self.pixel(place))

    def click(self, *places: Place, modifier: M = M.NoModifier) -> None:
        """Click on places."""
        for place in places:
            QTest.mouseClick(self.plan, LEFT, modifier, self.pixel(place))

    def double(self, place: Place) -> None:
        """What a hand does: press, release, the double press, release."""
        self.click(place)
        QTest.mouseDClick(self.plan, LEFT, pos=self.pixel(place))
        QTest.mouseRelease(self.plan, LEFT, pos=self.pixel(place))

    def drag(self, start: Place, end: Place) -> None:
        """Drag from one place to another."""
        a, b = self.pixel(start), self.pixel(end)
        QTest.mousePress(self.plan, LEFT, pos=a)
        for part in (0.3, 0.7, 1.0):
            QTest.mouseMove(self.plan, a + (b - a) * part)
        QTest.mouseRelease(self.plan, LEFT, pos=b)

    def key(self, which: K, modifier: M = M.NoModifier) -> None:
        """Press a key on the plan."""
        QTest.keyClick(self.plan, which, modifier)

    def type(self, *texts: str) -> None:
        """Type texts on the plan, Enter after each."""
        for text in texts:
            QTest.keyClicks(self.plan, text)
            self.key(K.Key_Return)

    def begin(self, kind: str) -> None:
        """Begin to draw a kind of shape by its action."""
        self.action(f"draw {kind}").trigger()

    def action(self, name: str) -> QAction:
        """Return a named action."""
        return self.window.actions_by_name[name]

    def draw(self, kind: str, places: str, *answers: str) -> None:
        """Draw a shape by typed places with | between, and type the answers."""
        self.begin(kind)
        self.type(*(place.strip() for place in places.split("|")))
        if self.window.desk.shapes.mode is not None and kind not in (
            "tower",
            "mast",
            "door",
            "hatch",
            "gate",
        ):
            self.key(K.Key_Return)
        self.type(*answers)


def draw_the_demo_roof(hand: Hand) -> None:
    """Draw all that stands on the demo roof and below it, by typed places."""
    hand.draw("ground", "-60; -60 | 120 @ 90 | 120 @ 0 | 120 m W", "", "Street and yard")
    hand.draw("building", "-20; -14 | 20; -14 | 20; 14 | -20; 14", "16", "Exchange building")
    hand.draw("penthouse", "-5; -4 | 10 @ 90 | 8 @ 0 | 10 @ 270", "+3.5", "Penthouse")
    hand.draw("wall", "-20; 14 | 40 m E", "+1.1", "North parapet")
    hand.draw("wall", "-20; -14 | 40 m E", "17.1", "South parapet")
    hand.draw("plant", "9; -9 | 14; -9 | 14; -5 | 9; -5", "18.2", "Chiller")
    hand.draw("ladder", "5.2; 0; 16 | 19.5", "Penthouse ladder")
    hand.draw("door", "0; -4; 16", "Penthouse door")
    hand.draw("gate", "20; -10", "Fire escape gate")
