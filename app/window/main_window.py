"""The window: it makes the parts and connects them, no more."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QLabel, QMainWindow, QProgressBar, QPushButton, QWidget

from app.window import contrast
from app.window.actions import build_menus, follow_stack
from app.window.antenna_tools import AntennaTools
from app.window.changes.making import make_changes
from app.window.document import Document
from app.window.entries import Entries
from app.window.fence_tools import FenceTools
from app.window.files import Files
from app.window.front import Front
from app.window.geometry import keep_geometry, restore_geometry
from app.window.guide import Guide
from app.window.keeping import Keeping
from app.window.layout import Middle, plain
from app.window.lines import Banner, Title
from app.window.maps import Maps
from app.window.measuring_tool import MeasuringTool
from app.window.pane import Pane
from app.window.panels.ladder_pane import LadderPane
from app.window.panels.panel import Panel
from app.window.panels.table import make_panels
from app.window.planes import Elevation, Plan
from app.window.printing import Printing
from app.window.scene import Look, Scene, zones_title
from app.window.schedules import Schedules
from app.window.site_desk import SiteDesk
from app.window.tasks import Task, TaskBar
from app.window.unfinished import unfinished
from core.exposure.raster import LayerCache
from core.reading.cautions import SHORT
from core.reading.data import NO_SURFACE, Reading


class MainWindow(QMainWindow):
    """Maps in the middle, what is on the site to the left, the reading to the right."""

    def __init__(self) -> None:
        super().__init__()
        self.document = Document()
        cache = LayerCache()
        self.panes = tuple(Pane(plane, cache) for plane in (Plan(), Elevation()))
        self.maps = Maps(self.document, self.panes)
        self.fences = FenceTools(self.document, self.maps.pane("plan").canvas, self.maps)
        self.files = Files(self.document, self)
        self.guide = Guide(self, self.files)
        self.schedules, self.keeping = Schedules(self.document, self), Keeping(self.document, self)
        self.desk = SiteDesk(self.document, self.maps, self.files, self.keeping, self)
        self.measuring = MeasuringTool(self.panes, lambda: self.maps.scene)
        self.printing = Printing(self.document, self.maps, self.files, self)
        self.panels = make_panels(self.document)
        emitters, form = self.panel("emitters"), self.panel("antenna")
        self.antennas = AntennaTools(self.document, self.maps, emitters, form, self)
        self.entries = Entries(self.document, self.maps, self.files, self.panels)
        made = make_changes(self.maps, cache, self.panels, self.files, self)
        self.changes, self.change_writing = made
        self.front = Front(self.maps, self.changes)
        self.message, self.tasks, self.progress = Banner(), TaskBar(), QProgressBar()
        self.files.complaints = lambda: self.message.times
        self.files.waiting = lambda: unfinished(self, self.antennas, self.desk)
        self.cancel = QPushButton("&Cancel the fit")
        self.titles = {pane.name: Title(f"{pane.name} title") for pane in self.panes}
        self._furnish()
        self._connect()
        self.actions_by_name = build_menus(self)
        self.desk.furnish(self.panels, self.actions_by_name)
        self.entries.attach(self.actions_by_name)
        follow_stack(self.document.stack, self.actions_by_name)
        self.antennas.put_wanted.connect(self.actions_by_name["put"].trigger)
        self.actions_by_name["strong contrast"].setChecked(contrast.was_wanted())
        restore_geometry(self)
        self.show_task("field")
        self._title()

    def panel(self, name: str) -> QWidget:
        """Return the panel of a name."""
        return self.panels[name].panel

    def _furnish(self) -> None:
        placed = tuple(self.panels.values())
        self.middle = Middle(self.message, self.tasks, self.panes, self.titles, placed)
        self.setCentralWidget(self.middle)
        self.cancel.setObjectName("cancel fit")
        self.cancel.hide()
        self.statusBar().addPermanentWidget(self.cancel)
        self.progress.setRange(0, 0)
        self.progress.setMaximumWidth(110)
        self.progress.hide()
        caution = QLabel(SHORT)
        caution.setObjectName("caution")
        for widget in (self.progress, caution):
            self.statusBar().addPermanentWidget(widget)
        plain(self)
        self.setMinimumSize(900, 600)
        self.resize(1500, 900)

    def _connect(self) -> None:
        self.document.path_changed.connect(self._title)
        self.document.stack.cleanChanged.connect(self._title)
        for placed in self.panels.values():
            panel = placed.panel
            assert isinstance(panel, Panel)
            self.maps.scene_changed.connect(panel.show_scene)
            for signal, slot in (
                ("refused", self.complain),
                ("look_changed", self._look),
                ("chosen", self.maps.select),
                ("gone", self.maps.look_at),
                ("doubts_found", self.maps.set_doubts),
                ("doubt_chosen", self.maps.go_to),
                ("pinned", self.maps.pin_climber),
                ("fence_chosen", self.maps.select_fence),
                ("fence_removed", self.fences.remove),
                ("fit_wanted", self.fences.fit),
                ("state_chosen", self.maps.show_state),
            ):
                if hasattr(panel, signal):
                    getattr(panel, signal).connect(slot)
        self.desk.task_wanted.connect(self.show_task)
        self.desk.noted.connect(self.message.note)
        self.tasks.chosen.connect(self.show_task)
        self.maps.reading_ready.connect(self._show_reading)
        self.maps.problem.connect(self.complain)
        for said in (self.maps.hover, self.maps.proving.said, self.fences.working):
            said.connect(self.statusBar().showMessage)
        self.maps.working.connect(self.progress.setVisible)
        self.maps.working.connect(self._ladders.hold)
        self.maps.scene_changed.connect(self._titles)
        self.antennas.task_wanted.connect(self.show_task)
        for tool in (
            self.fences, self.files, self.schedules, self.keeping, self.printing, self.desk,
            self.antennas, self.entries, self.changes, self.change_writing,
        ):  # fmt: skip
            tool.refused.connect(self.complain)
            tool.accepted.connect(self._accepted)
        self.files.leaving.connect(self._leave)
        self.document.opened.connect(self._opened)
        self.fences.worker.busy.connect(self.cancel.setVisible)
        self.cancel.clicked.connect(self.fences.cancel)
        self.document.site_changed.connect(self._edited)

    def show_task(self, task: Task) -> None:
        """Turn to a task: its panels are shown, the maps stay where they are."""
        self.tasks.show_task(task)
        self.maps.set_task(task)
        self.middle.show_task(task)

    def set_movable(self, on: bool) -> None:
        """Let the mouse move antennas, or not."""
        for pane in self.panes:
            pane.canvas.movable = on

    def set_contrast(self, on: bool) -> None:
        """Paint with strong contrast, or as the desktop asks for."""
        contrast.want(on=on)

    def show_ladders(self, on: bool) -> None:
        """Show the strip of a ladder beside the maps, or not."""
        self._ladders.want(on)

    @property
    def _ladders(self) -> LadderPane:
        strip = self.panel("ladder strip")
        assert isinstance(strip, LadderPane)
        return strip

    def _edited(self, _: object) -> None:
        """Let what was said of the state before go: "Saved" is no longer true."""
        self.message.hide()
        self.statusBar().clearMessage()

    def _accepted(self, text: str) -> None:
        self.message.hide()
        self.statusBar().showMessage(text)

    def _look(self, look: Look) -> None:
        self.message.hide()
        self.maps.set_look(look)
        self.fences.set_feet(look.feet)
        self.measuring.set_feet(look.feet)

    def focus(self, panel: str) -> None:
        """Let the keys go to a panel."""
        self.panel(panel).setFocus()

    def _show_reading(self, reading: Reading | None) -> None:
        for placed in self.panels.values():
            assert isinstance(placed.panel, Panel)
            placed.panel.show_reading(reading, self.maps.scene)

    def _title(self, *_: object) -> None:
        self.setWindowTitle(f"{'*' * self.document.dirty}{self.document.site.name} - Isofence")
        self._titles(self.maps.scene)

    def _titles(self, scene: Scene) -> None:
        bare = scene.site.antennas and not scene.site.surfaces
        first = f"NO VERDICT: {NO_SURFACE}. " if bare else ""
        for pane in self.panes:
            what = f"% of {scene.site.limit_set} {scene.look.tier}"
            if pane.name in scene.standing:
                what = zones_title(scene, pane.name)
            elif scene.zones and scene.site.antennas:
                what += " until its zones are proven"
            title = (
                f"{pane.name.capitalize()}: {scene.warning}{first}{what}, {pane.plane.title(scene)}"
            )
            self.titles[pane.name].setText(title)

    def complain(self, text: str) -> None:
        """Show one error line over the maps until the next success; nothing entered is lost."""
        self.message.say(text)

    def open(self, path: Path) -> bool:
        """Open a site; on an error keep what there was and say why."""
        return self.files.open(path)

    def _opened(self) -> None:
        self._show_reading(None)
        self._title()

    def _leave(self) -> None:
        self.fences.stop()
        self.measuring.stop()
        self.antennas.putting.stop()

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.files.may_leave():
            event.ignore()
            return
        # What is at work may need some seconds to stop; nobody has to watch that.
        self.hide()
        self.document.close()
        self.maps.close()
        self.printing.close()
        self.fences.close()
        self.entries.close()
        self.changes.close()
        self.change_writing.close()
        for placed in self.panels.values():
            assert isinstance(placed.panel, Panel)
            placed.panel.stop()
        keep_geometry(self)
        event.accept()
