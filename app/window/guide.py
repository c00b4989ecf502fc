"""Help, what the program is, and what somebody sees who starts without a site."""

from __future__ import annotations

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMainWindow, QMessageBox

from app.window.dialogs.help_dialog import HelpDialog
from app.window.files import Files
from app.window.help import about_text, help_page
from app.window.panels.welcome import Welcome


class Guide(QObject):
    """Shows a new user where to begin, and any user what things mean."""

    def __init__(self, window: QMainWindow, files: Files) -> None:
        super().__init__(window)
        self.window, self.files = window, files
        self.help: HelpDialog | None = None

    def show_help(self) -> None:
        """Show the help page beside the window."""
        if self.help is None:
            self.help = HelpDialog(help_page(self.window.findChildren(QAction)), self.window)
        self.help.show()
        self.help.raise_()

    def show_about(self) -> None:
        """Say what the program is."""
        QMessageBox.about(self.window, "About Isofence", about_text())

    def welcome(self) -> Welcome:
        """Show the demo sites and what to do, until a site is opened or begun."""
        shown = Welcome(self.window.centralWidget() or self.window, self.files.recent())
        shown.wanted.connect(self.files.open_instead)
        shown.asked.connect(self.files.ask_open)
        self.files.document.site_changed.connect(shown.hide)
        return shown
