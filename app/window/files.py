"""Opening and saving: what is asked, what was open before, what is dropped on the window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, QSettings, Signal
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QFileDialog,
    QLineEdit,
    QMenu,
    QMessageBox,
    QWidget,
)

from app.draw.picture import picture_doubt
from app.window.document import Document
from core.errors import InputError, short
from core.files.paths import same_file
from core.files.site_writer import save_site
from core.text import some

_SITE_FILES = "Isofence sites (*.json);;All files (*)"
_RECENT, _MOST = "recent", 8


class Files(QObject):
    """Opens, saves and copies the document. ``leaving`` comes before another site takes its place.

    ``complaints`` tells how often the window has complained: what is typed and refused is not passed over. ``waiting``
    names the antennas and shapes of which something typed or drawn waits for more: no file has it.
    """

    refused = Signal(str)
    accepted = Signal(str)
    leaving = Signal()

    def __init__(self, document: Document, window: QWidget) -> None:
        super().__init__(window)
        self.document, self.window = document, window
        self.complaints: Callable[[], int] = lambda: 0
        self.waiting: Callable[[], list[str]] = list
        window.setAcceptDrops(True)
        window.installEventFilter(self)

    # opening ---------------------------------------------------------------------------------------

    def open(self, path: Path) -> bool:
        """Open a site; on an error keep what there was and say why."""
        self.leaving.emit()
        try:
            self.document.open(path)
        except InputError as error:
            self._forget(path)
            self.refused.emit(error.line())
            return False
        self._remember(path)
        self.accepted.emit("")
        doubt = picture_doubt(self.document.site, self.document.pictured)
        if doubt:
            self.refused.emit(doubt[0].upper() + doubt[1:])
        return True

    def ask_open(self) -> None:
        """Ask for a site file and open it."""
        if not self.may_leave():
            return
        name, _ = QFileDialog.getOpenFileName(
            self.window, "Open site", str(self.document.folder or ""), _SITE_FILES
        )
        if name:
            self.open(Path(name))

    def open_instead(self, path: Path) -> None:
        """Open a site, after what is unsaved was asked about."""
        if self.may_leave():
            self.open(path)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # A site file that is dropped anywhere on the window is opened.
        if event.type() in (QEvent.Type.DragEnter, QEvent.Type.Drop):
            assert isinstance(event, QDropEvent)
            paths = [Path(u.toLocalFile()) for u in event.mimeData().urls() if u.isLocalFile()]
            if not paths:
                return False
            event.acceptProposedAction()
            if event.type() == QEvent.Type.Drop:
                self._dropped(paths)
            return True
        return super().eventFilter(watched, event)

    def _dropped(self, paths: list[Path]) -> None:
        if len(paths) > 1:
            self.refused.emit(f"{len(paths)} files were dropped. Drop one site file (.json)")
        else:
            self.open_instead(paths[0])

    # what was open before --------------------------------------------------------------------------

    def recent(self) -> list[Path]:
        """Return the sites that were open before, the last one first."""
        kept = _settings().value(_RECENT, [])
        # A list of one comes back as text.
        names = [kept] if isinstance(kept, str) else kept if isinstance(kept, list) else []
        return [Path(n) for n in names if isinstance(n, str) and n]

    def fill_recent(self, menu: QMenu) -> None:
        """Fill a menu with the sites that were open before."""
        menu.clear()
        for i, path in enumerate(self.recent(), 1):
            words = f"{path.name}  in {path.parent}".replace("&", "&&")
            menu.addAction(f"&{i}  {words}").triggered.connect(
                lambda _=False, path=path: self.open_instead(path)
            )
        if menu.isEmpty():
            menu.addAction("No site was open before").setEnabled(False)
        else:
            menu.addSeparator()
            menu.addAction("&Forget these").triggered.connect(
                lambda _=False: _settings().remove(_RECENT)
            )

    def _remember(self, path: Path) -> None:
        whole = path.absolute()
        self._keep([whole, *(p for p in self.recent() if p != whole)][:_MOST])

    def _forget(self, path: Path) -> None:
        if not path.exists():
            self._keep([p for p in self.recent() if p != path.absolute()])

    def _keep(self, paths: list[Path]) -> None:
        _settings().setValue(_RECENT, [str(p) for p in paths])

    # saving ----------------------------------------------------------------------------------------

    def save(self) -> bool:
        """Save to the present path, or ask for one."""
        return self.save_to(self.document.path) if self.document.path else self.ask_save()

    def ask_save(self) -> bool:
        """Ask for a path and save."""
        name, _ = QFileDialog.getSaveFileName(
            self.window, "Save site", str(self.document.path or "site.json"), _SITE_FILES
        )
        path = self.ended(name, ".json")
        return self.save_to(path) if path is not None else False

    def save_to(self, path: Path) -> bool:
        """Save, with the pattern and picture files beside it where the folder is another."""
        if not self.finish_typing():
            return False
        try:
            self.document.save(path)
        except InputError as error:
            self.refused.emit(error.line())
            return False
        self._remember(path)
        self._said(f"Saved: {path}")
        return True

    def ask_copy(self) -> bool:
        """Ask for a path and write a copy."""
        name, _ = QFileDialog.getSaveFileName(
            self.window, "Save a copy with its files", "", _SITE_FILES
        )
        path = self.ended(name, ".json")
        return self.save_copy(path) if path is not None else False

    def save_copy(self, path: Path) -> bool:
        """Write the site and its files elsewhere; the window stays with the file it has."""
        own = self.document.path
        if own is not None and same_file(path, own):
            # Also by another name of it: a file that somebody else has changed is asked about.
            return self.save_to(own)
        if not self.finish_typing():
            return False
        try:
            taken = self.document.take_along(path.parent)
            save_site(self.document.site, path)
        except InputError as error:
            self.refused.emit(error.line())
            return False
        beside = f" with {', '.join(taken)}" if taken else ""
        self._said(f"A copy is written: {path}{beside}")
        return True

    def ended(self, name: str, ending: str) -> Path | None:
        """Return a path that ends as files of its kind do; None where nothing was chosen.

        A name that got its ending here was not asked about by the file dialog: where such a file is there already, it
        is asked about now.
        """
        if not name:
            return None
        path = Path(name)
        if path.suffix:
            return path
        path = path.with_name(path.name + ending)
        if not path.exists():
            return path
        answer = QMessageBox.question(
            self.window, "Is there already", f"{path.name} is there already. Replace it?"
        )
        return path if answer == QMessageBox.StandardButton.Yes else None

    def finish_typing(self) -> bool:
        """Take up what is typed and not entered yet; False where it is refused, and is said and stays as it is."""
        field, before = self.window.focusWidget(), self.complaints()
        if field is None:
            return True
        if isinstance(field, QLineEdit) and not isinstance(field.parentWidget(), QAbstractSpinBox):
            # A window that lies behind another has no focus to take away.
            field.editingFinished.emit()
        if field.hasFocus():
            # The editor of a cell is told that it is left, as it is by the mouse.
            field.clearFocus()
            field.setFocus()
        if bool(field.property("refused")) and self.complaints() == before:
            why = field.toolTip() or f"{field.text() if isinstance(field, QLineEdit) else ''!r}"
            self.refused.emit(f"Not written, what is typed cannot be used: {why}")
        return self.complaints() == before

    def may_leave(self) -> bool:
        """Ask about unsaved changes, and return whether the site may go."""
        if not self.finish_typing() and not self._may_lose_what_is_typed():
            return False
        if not self._may_lose_what_waits():
            return False
        if not self.document.dirty:
            return True
        b = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self.window, "Unsaved changes", "Save the changes to this site?",
            b.Save | b.Discard | b.Cancel,
        )  # fmt: skip
        return answer == b.Discard or (answer == b.Save and self.save())

    def _may_lose_what_is_typed(self) -> bool:
        field = self.window.focusWidget()
        text = field.text() if isinstance(field, QLineEdit) else ""
        return self._may_lose("Typed and refused", f"What is typed cannot be used: {text[:60]!r}")

    def _may_lose_what_waits(self) -> bool:
        names = self.waiting()
        return not names or self._may_lose(
            "Not taken yet",
            f"What is typed or drawn of {_some(names)} waits to be mended or for more",
        )

    def _may_lose(self, title: str, what: str) -> bool:
        b = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self.window, title, f"{what}. Leave without it?", b.Discard | b.Cancel
        )
        return answer == b.Discard

    def _said(self, what: str) -> None:
        """Say that something is written, and loudly what is not in it."""
        names = self.waiting()
        self.accepted.emit(what)
        if names:
            self.refused.emit(
                f"{what}. NOT in it: what is typed or drawn of {_some(names)} and waits to be mended or for more"
            )


def _some(names: list[str]) -> str:
    return some([short(name, 40) for name in names], 1)


def _settings() -> QSettings:
    return QSettings("Isofence", "Isofence")
