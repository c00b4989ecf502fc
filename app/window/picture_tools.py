"""The plan picture: chosen, and placed by its world file or in the middle of what is seen."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from app.draw.picture import load_picture
from app.window.document import Document
from app.window.maps import Maps
from core.errors import InputError
from core.files.paths import is_file, same_file, within
from core.files.site_file import LARGEST_PICTURE
from core.files.world_file import read_world_file, world_file_of
from core.site.moving import tidy
from core.site.parts import THE_PICTURE, Part
from core.site.picturing import by_world_file
from core.site.places import OPACITY, Picture
from core.text import check_name

_SHARE = 0.9
"""Part of the plan that a picture fills whose scale nobody knows yet."""


class PictureTools(QObject):
    """Brings a picture in; ``placed`` carries which part of the site it is."""

    refused = Signal(str)
    accepted = Signal(str)
    placed = Signal(object)

    def __init__(self, document: Document, maps: Maps, parent: QWidget) -> None:
        super().__init__(parent)
        self.document, self.maps, self._parent = document, maps, parent

    def ask_picture(self) -> None:
        """Ask for a picture and place it."""
        name, _ = QFileDialog.getOpenFileName(
            self._parent, "Place a plan picture", str(self.document.folder or ""),
            "Pictures (*.png *.jpg *.jpeg);;All files (*)",
        )  # fmt: skip
        if name:
            self.place(Path(name))

    def place(self, path: Path) -> bool:
        """Place a picture; return whether it could be."""
        try:
            said = self._place(path)
        except InputError as error:
            self.refused.emit(error.line())
            return False
        part: Part = THE_PICTURE
        self.placed.emit(part)
        self.accepted.emit(said)
        return True

    def _place(self, path: Path) -> str:
        rows, columns = load_picture(path).shape[:2]
        if path.stat().st_size > LARGEST_PICTURE:
            raise InputError("is too large", source=str(path), fix="Use a picture under 100 MB")
        name, world = self._name(path), world_file_of(path)
        before = self.document.site.picture
        opacity = before.opacity if before is not None else OPACITY
        if world is not None:
            try:
                picture, used = by_world_file(name, read_world_file(world), rows, opacity)
            except InputError as error:
                raise error if error.source else error.within(source=str(world)) from None
            said = f"The picture is placed by {world.name}"
            if not used:
                said = (
                    f"{world.name} has coordinates of a national grid: its scale is used, and the lower left corner "
                    "lies on the datum. Move the picture to where it belongs"
                )
        else:
            picture = self._in_the_middle(name, rows, columns, opacity)
            said = "The picture is placed. Now its scale: by two points (Ctrl+Shift+I)"
        self.document.bring(name, path)
        self.document.edit("place the plan picture", lambda site: replace(site, picture=picture))
        return said

    def _in_the_middle(self, name: str, rows: int, columns: int, opacity: float) -> Picture:
        """Return the picture as large as the plan that is seen."""
        pane = self.maps.pane("plan")
        west, south, east, north = pane.view(self.maps.scene).bounds
        scale = _SHARE * min((east - west) / columns, (north - south) / rows)
        scale = min(max(scale, 1e-5), 1e3)
        x = (west + east - scale * columns) / 2.0
        y = (south + north - scale * rows) / 2.0
        origin = tidy(round(x, 2)), tidy(round(y, 2))
        return Picture(
            file=name, metres_per_pixel=float(f"{scale:.4g}"), origin=origin, opacity=opacity
        )

    def _name(self, path: Path) -> str:
        """Return what the site calls the file: where it is in the site's folder, else a name that is free there.

        Raises
        ------
        InputError
            If no site can name it.
        """
        folder = self.document.folder
        if folder is not None and path.absolute().is_relative_to(folder.absolute()):
            name = path.absolute().relative_to(folder.absolute()).as_posix()
        else:
            name, count = path.name, 1
            while folder is not None and _is_another(folder / name, path):
                count += 1
                name = f"{path.stem} {count}{path.suffix}"
        check_name(name, "picture.file")
        within(folder or Path(), name, "picture.file")
        return name


def _is_another(there: Path, path: Path) -> bool:
    """Return whether a file is there that is not the same, nor has the same content."""
    if not there.exists():
        return False
    if same_file(there, path):
        return False
    return not is_file(there) or there.read_bytes() != path.read_bytes()
