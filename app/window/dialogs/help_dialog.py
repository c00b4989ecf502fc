"""The help inside the window: a page that stays open beside the work."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget


class HelpDialog(QDialog):
    """Shows a page; the window can be used meanwhile."""

    def __init__(self, html: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Isofence help")
        self.setModal(False)
        self.page = QTextBrowser()
        self.page.setAccessibleName("Help: method, words, cautions, keys")
        self.page.setHtml(html)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.close)
        column = QVBoxLayout(self)
        column.addWidget(self.page, 1)
        column.addWidget(buttons)
        self.resize(640, 560)
