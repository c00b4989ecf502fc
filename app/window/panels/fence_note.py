"""What the checks of the fences said, in words under the maps."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtWidgets import QLabel

from app.window.panels.panel import Panel
from app.window.scene import Scene
from core.fences.fence import Check
from core.fences.site_fences import UNFENCED
from core.site.site import Site

_MOST = 3
"""Fences named one by one; leaks come first."""


class FenceNote(QLabel, Panel):
    """One line a fence; not there when the site has none."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("fence checks")
        self.setAccessibleName("Checks of the fences")
        self.setWordWrap(True)
        self.hide()

    def show_scene(self, scene: Scene) -> None:
        """Say of each fence whether it holds; without checks, that they are being made, or why they are not."""
        # Beside another state nobody should take the checks for those of that one.
        self.setVisible(bool(scene.site.fences) and scene.task != "changes")
        lines = check_lines(scene.site, scene.checks, scene.trouble, feet=scene.look.feet)
        self.setText("\n".join(lines))


def check_lines(
    site: Site, checks: Mapping[str, Check], trouble: str = "", *, feet: bool = False
) -> list[str]:
    """Return the checks in lines, what leaks first."""
    if not checks:
        said = f"not checked. {trouble}" if trouble else "being checked…"
        return [f"Fences: {said}"] if site.fences else []
    ranked = sorted(checks.items(), key=lambda c: (c[0] != UNFENCED, c[1].holds, c[1].margin))
    lines = [f"{name}: {check.words(feet=feet)}" for name, check in ranked]
    if len(lines) <= _MOST:
        return lines
    rest = [check for _, check in ranked[_MOST - 1 :]]
    leaking = sum(not check.holds for check in rest)
    counts = (leaking, "that leak"), (len(rest) - leaking, "that hold")
    more = " and ".join(f"{count} more {what}" for count, what in counts if count)
    return [*lines[: _MOST - 1], f"and {more}"]
