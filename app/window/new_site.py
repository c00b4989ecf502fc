"""A new site: asked for, and taken up in the place of the one there is."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.window.dialogs.new_site import NewSite
from app.window.document import Document
from app.window.files import Files
from app.window.keeping import Keeping
from core.site.site import Site


class Beginning(QObject):
    """Begins a site; ``begun`` carries whether its lengths are to be shown in feet."""

    accepted = Signal(str)
    refused = Signal(str)
    begun = Signal(bool)

    def __init__(
        self,
        document: Document,
        files: Files,
        keeping: Keeping,
        feet: Callable[[], bool],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self.document, self.files, self.keeping = document, files, keeping
        self._feet, self._parent = feet, parent

    def ask(self) -> None:
        """Ask for a new site, after what is unsaved was asked about."""
        if not self.files.may_leave():
            return
        dialog = NewSite(self._parent, feet=self._feet())
        if dialog.exec() and dialog.site is not None:
            self.begin(dialog.site, feet=dialog.in_feet)

    def begin(self, site: Site, *, feet: bool = False) -> None:
        """Take up a new site: an edit of an empty one, so that it is kept at once and asked about before it goes."""
        self.files.leaving.emit()
        self.document.begin()
        if self.keeping.look():
            # Over it the new one would be what is kept for the next crash, and the old one gone with that.
            self.refused.emit(
                f"A site that was never saved is back. Save it, then begin {site.name} once more"
            )
            return
        self.document.edit(f"new site '{site.name}'", lambda _: site)
        self.begun.emit(feet)
        self.accepted.emit(
            f"{site.name} is begun, and not saved yet. Draw what is there: ground first, then roofs"
        )
