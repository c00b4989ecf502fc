"""A quick site in the window, and what a hand does on its maps."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.window.main_window import MainWindow
from app.window.pointing import PointedCanvas
from core.site.places import Ladder, Surface
from core.site.site import Site
from support.simple_sites import FREE, isotropic

LEFT, MIDDLE = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton
CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def quick_site(eirp: float = 2000.0) -> Site:
    square = ((-30.0, -30.0), (30.0, -30.0), (30.0, 30.0), (-30.0, 30.0))
    return Site(
        name="quick (invented)",
        antennas=(isotropic("source", 98e6, eirp, (2.0, 1.0, 4.0)),),
        reflection=FREE,
        surfaces=(Surface(name="yard", kind="ground", height=0.0, outline=square),),
        ladders=(Ladder(name="mast", points=((0.0, 0.0, 0.0), (0.0, 0.0, 30.0))),),
        extent=(-25.0, -25.0, 25.0, 25.0),
    )


def canvas(window: MainWindow, name: str = "plan") -> PointedCanvas:
    return window.maps.pane(name).canvas


def wheel(on: PointedCanvas, at: QPointF, notches: int) -> None:
    event = QWheelEvent(
        at, QPointF(on.mapToGlobal(at.toPoint())), QPoint(), QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(on, event)


def drag(on: PointedCanvas, start: QPoint, end: QPoint, button: Qt.MouseButton = LEFT) -> None:
    QTest.mousePress(on, button, pos=start)
    for part in (0.2, 0.6, 1.0):
        QTest.mouseMove(on, start + (end - start) * part)
    QTest.mouseRelease(on, button, pos=end)
