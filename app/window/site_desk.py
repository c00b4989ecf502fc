"""The tools of the task 'Site' together: the list and the form, drawing, the picture, a new site."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from app.window.document import Document
from app.window.files import Files
from app.window.keeping import Keeping
from app.window.layout import Placed
from app.window.lifting_tool import LiftingTool
from app.window.maps import Maps
from app.window.new_site import Beginning
from app.window.panels.controls import Controls
from app.window.panels.what_is_there import WhatIsThere
from app.window.picture_tools import PictureTools
from app.window.shape_tools import ShapeTools

_FARTHER = -6
"""Steps by which the plan of a new site shows more than the little that an empty one needs."""


class SiteDesk(QObject):
    """Makes the tools and connects them with the panels; ``task_wanted`` turns the window to a task."""

    refused = Signal(str)
    accepted = Signal(str)
    noted = Signal(str)
    task_wanted = Signal(str)

    def __init__(
        self, document: Document, maps: Maps, files: Files, keeping: Keeping, window: QWidget
    ) -> None:
        super().__init__(window)
        self.maps, self.document = maps, document
        self.shapes = ShapeTools(document, maps)
        self.pictures = PictureTools(document, maps, window)
        self.beginning = Beginning(document, files, keeping, lambda: maps.scene.look.feet, window)
        self.lifting = LiftingTool(maps, self.shapes)
        for tool in (self.shapes, self.lifting, self.pictures, self.beginning):
            tool.refused.connect(self.refused)
            tool.accepted.connect(self.accepted)
        self.shapes.noted.connect(self.noted)
        files.leaving.connect(self.shapes.stop)
        maps.scene_changed.connect(lambda scene: self.shapes.set_feet(scene.look.feet))
        self.pictures.placed.connect(self.shapes.choose)
        self.beginning.begun.connect(self._begun)

    def furnish(self, panels: Mapping[str, Placed], actions: Mapping[str, QAction]) -> None:
        """Connect the panels with the tools, and their buttons with the actions of the menus."""
        panel, controls = panels["what is there"].panel, panels["controls"].panel
        assert isinstance(panel, WhatIsThere)
        assert isinstance(controls, Controls)
        self._panel, self._actions, self._feet = panel, actions, controls.feet
        panel.form.tools = self.shapes
        self.document.opened.connect(panel.form.forget)
        panel.part_chosen.connect(self.shapes.choose)
        panel.copy_wanted.connect(self.shapes.copy)
        panel.remove_wanted.connect(self.shapes.remove_chosen)
        panel.picture_wanted.connect(self.pictures.ask_picture)
        panel.draw_wanted.connect(self._toggle_drawing)
        panel.handle_wanted.connect(actions["handle"].toggle)
        panel.points_wanted.connect(actions["draw picture"].toggle)
        for name, action in actions.items():
            kind = name.removeprefix("draw ")
            if panel.kind.findData(kind) >= 0:
                action.triggered.connect(partial(self._offer, kind))

    def waiting(self) -> list[str]:
        """Return what is drawn or typed of shapes and not on the site: half drawn, or refused."""
        return [*self.shapes.waiting(), *self._panel.form.waiting(self.document.site)]

    def handle(self, on: bool) -> None:
        """Begin to take shapes into the hand on both maps, or stop."""
        self.lifting.handle(on)
        self.shapes.handle(on)

    def draw_again(self) -> None:
        """Draw another shape of the kind that the panel offers."""
        self._toggle_drawing(self._panel.kind.currentData())

    def _toggle_drawing(self, key: str) -> None:
        self._actions[f"draw {key}"].toggle()

    def _offer(self, key: str, *_: object) -> None:
        """Let the panel offer the kind that was drawn last."""
        self._panel.kind.setCurrentIndex(self._panel.kind.findData(key))

    def _begun(self, feet: bool) -> None:
        self._feet.setChecked(feet)
        self.task_wanted.emit("site")
        self.maps.steering.zoom(_FARTHER)
