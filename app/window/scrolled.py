"""Texts that scroll where there are more of them than fit."""

from __future__ import annotations

from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget


def scrolled(*labels: QWidget) -> QScrollArea:
    """Return an area with labels one below the other."""
    texts = QWidget()
    column = QVBoxLayout(texts)
    column.setContentsMargins(0, 0, 0, 0)
    for label in labels:
        column.addWidget(label)
    column.addStretch(1)
    area = QScrollArea()
    area.setWidget(texts)
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    return area
