"""What a new site is called, where it is, and by which limits; made from the same fields as the form of a site."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from app.modes.shape_kinds import SITE_FIELDS
from app.window.document import EMPTY
from app.window.fields import Editor, editor
from app.window.tones import NOTE_GROUND, NOTE_INK
from core.errors import InputError
from core.site.site import Site


class NewSite(QDialog):
    """Asks for a site; ``site`` holds the answer, ``in_feet`` whether lengths are to be shown in feet."""

    def __init__(self, parent: QWidget | None = None, *, feet: bool = False) -> None:
        super().__init__(parent)
        self.setWindowTitle("New site")
        self.setObjectName("new site")
        self.site: Site | None = None
        self.message = QLabel()
        self.message.setWordWrap(True)
        self.message.setTextFormat(Qt.TextFormat.PlainText)
        self.message.setStyleSheet(f"background:{NOTE_GROUND}; color:{NOTE_INK}; padding:4px")
        self.message.hide()
        self.feet = QCheckBox("feet")
        self.feet.setAccessibleName("Units")
        self.feet.setChecked(feet)
        self.editors: dict[str, Editor] = {}
        rows = QFormLayout()
        rows.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        for field in SITE_FIELDS:
            made = editor(field)
            made.show_value(field.value(EMPTY), feet=feet)
            self.editors[field.name] = made
            rows.addRow(field.label, made.widget)
        rows.addRow("Units", self.feet)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self._try)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addLayout(rows)
        layout.addWidget(self.message)
        layout.addWidget(buttons)
        first = self.editors["name"].widget
        first.setFocus()
        if isinstance(first, QLineEdit):
            first.selectAll()
        self.setMinimumWidth(440)

    @property
    def in_feet(self) -> bool:
        """Whether lengths are to be shown in feet."""
        return self.feet.isChecked()

    def _try(self) -> None:
        """Take the site; what cannot be used is said and marked, and all that was typed stays."""
        site = EMPTY
        for field in SITE_FIELDS:
            made = self.editors[field.name]
            try:
                site = field.with_value(site, made.read(feet=self.in_feet))
                made.refuse("")
            except InputError as error:
                line = error.line() if error.field else error.within(field.label).line()
                made.refuse(line)
                made.widget.setFocus()
                self.message.setText(line)
                self.message.show()
                return
        self.site = site
        self.accept()
