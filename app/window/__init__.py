"""The window (PySide6)."""
