"""What is typed or drawn in the window and is not on the site: refused, half done, or waiting for Enter."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtWidgets import QWidget

from app.window.panels.form import TextField
from app.window.panels.panel import Panel


class Tool(Protocol):
    """Has things of its own that wait."""

    def waiting(self) -> list[str]: ...


def unfinished(window: QWidget, *tools: Tool) -> list[str]:
    """Return the names of what has something typed or drawn that no file has."""
    found = [name for tool in tools for name in tool.waiting()]
    for widget in window.findChildren(QWidget):
        if isinstance(widget, Panel):
            found += widget.unfinished()
        elif isinstance(widget, TextField) and widget.property("refused"):
            found.append(widget.accessibleName())
    return list(dict.fromkeys(found))
