"""The maps in front: those of the task, which the keys of the View menu move."""

from __future__ import annotations

from app.window.changes.changes import Changes
from app.window.maps import Maps
from app.window.steering import Steering


class Front:
    """Passes on what is asked of the maps to those that are seen."""

    def __init__(self, maps: Maps, changes: Changes) -> None:
        self.maps, self.changes = maps, changes

    @property
    def _steering(self) -> Steering:
        compared = self.changes.steering if self.changes.on else None
        return compared or self.maps.steering

    def zoom(self, notches: int) -> None:
        """Go closer to the middle of the map that has the keys, or away from it."""
        self._steering.zoom(notches)

    def show_all(self) -> None:
        """Show all there is on every map."""
        self._steering.show_all()

    def back(self) -> None:
        """Show what was seen before the last movement."""
        self._steering.back()

    def show_selection(self) -> None:
        """Fit what is selected, or the pin."""
        if self.changes.on:
            self._steering.show_selection()
        else:
            self.maps.show_selection()

    def cut_here(self) -> None:
        """Cut through the pin."""
        (self.changes if self.changes.on else self.maps).cut_here()

    def nudge(self, right: float, up: float) -> None:
        """Move the pin by metres on the map it was made on."""
        (self.changes if self.changes.on else self.maps).nudge(right, up)
