"""What every panel beside the maps is asked; each answers what concerns it."""

from __future__ import annotations

from app.window.scene import Scene
from core.reading.data import Reading


class Panel:
    """Mixed into a widget.

    A panel may have signals ``refused`` (a line of complaint), ``look_changed`` (a new
    :class:`~app.window.scene.Look`), ``chosen`` (the index of an antenna), ``doubts_found`` (all of them),
    ``doubt_chosen`` (one), ``pinned`` (a climber's place (x, y, z)), ``fence_chosen`` and ``fence_removed`` (its
    name), ``fit_wanted`` and ``state_chosen`` (its name, empty: as filed); the window connects those there are.
    """

    def show_scene(self, scene: Scene) -> None:
        """Follow what is looked at."""

    def show_reading(self, reading: Reading | None, scene: Scene) -> None:
        """Follow the reading of the pinned place; None where there is none yet."""

    def unfinished(self) -> list[str]:
        """Return what has a text that was typed and refused, and waits to be mended: it is in no file."""
        return []

    def stop(self) -> None:
        """Stop any work of its own: the window is closing."""
