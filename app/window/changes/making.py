"""Makes the parts of the Changes task of a window."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtWidgets import QWidget

from app.window.changes.change_maps import ChangeMaps
from app.window.changes.changes import Changes
from app.window.changes.page import ChangePage
from app.window.changes.writing import ChangeWriting
from app.window.files import Files
from app.window.layout import Placed
from app.window.maps import Maps
from core.exposure.raster import LayerCache


def make_changes(
    maps: Maps, cache: LayerCache, panels: Mapping[str, Placed], files: Files, window: QWidget
) -> tuple[Changes, ChangeWriting]:
    """Return what owns the comparison, and what writes it; the cache is the one of the other maps."""
    shown, page = panels["change maps"].panel, panels["change page"].panel
    assert isinstance(shown, ChangeMaps)
    assert isinstance(page, ChangePage)
    changes = Changes(maps.document, maps, cache, shown, page)
    return changes, ChangeWriting(changes, files, window)
