"""A light and a dark desktop, and the contrast of two colours as WCAG 2.1 defines it."""

from __future__ import annotations

from PySide6.QtGui import QColor, QPalette


def _palette(ground: str, ink: str, window: str) -> QPalette:
    made = QPalette(QColor(window))
    for role, colour in (
        (QPalette.ColorRole.Base, ground),
        (QPalette.ColorRole.Text, ink),
        (QPalette.ColorRole.WindowText, ink),
        (QPalette.ColorRole.Window, window),
    ):
        made.setColor(role, QColor(colour))
    return made


LIGHT = _palette("#ffffff", "#000000", "#efefef")
DARK = _palette("#1e1e1e", "#f0f0f0", "#353535")


def contrast(one: QColor, other: QColor) -> float:
    """Return the contrast ratio of WCAG 2.1 (relative luminance of sRGB, 1 to 21)."""

    def luminance(colour: QColor) -> float:
        parts = []
        for c in colour.getRgbF()[:3]:
            parts.append(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4)
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)
