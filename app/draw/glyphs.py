"""Which characters the fonts at hand can print; the others are named, not printed as empty boxes."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from functools import lru_cache

from matplotlib.font_manager import FontProperties, findfont, get_font

INSTEAD = "?"
"""What stands for a character that cannot be printed."""

_JOINED = ("ARABIC", "HEBREW", "SYRIAC", "THAANA", "NKO", "DEVANAGARI", "BENGALI", "GURMUKHI", "GUJARATI",
           "TAMIL", "TELUGU", "KANNADA", "MALAYALAM", "SINHALA", "THAI", "LAO", "TIBETAN", "MYANMAR",
           "KHMER", "MONGOLIAN")  # fmt: skip
"""Scripts that are set from right to left, or whose letters join or stack: the drawing library does neither."""


@lru_cache(maxsize=1)
def _known() -> frozenset[int]:
    """Return the characters of both weights of the font that is used."""
    faces = [get_font(findfont(FontProperties(weight=w))) for w in ("normal", "bold")]
    return frozenset.intersection(*(frozenset(face.get_charmap()) for face in faces))


def script(character: str) -> str:
    """Return the script of a character by the first word of its Unicode name."""
    first = unicodedata.name(character, "unnamed").split()[0]
    return (
        "CHINESE, JAPANESE OR KOREAN"
        if first in ("CJK", "HIRAGANA", "KATAKANA", "HANGUL")
        else first
    )


def is_printable(character: str) -> bool:
    """Return whether a character comes out on paper as it is meant."""
    if character in "\n\t ":
        return True
    return ord(character) in _known() and script(character) not in _JOINED


def printable(text: str) -> str:
    """Return text with a question mark for every character that cannot be printed."""
    if text.isascii():
        return text
    text = unicodedata.normalize("NFC", text)
    return "".join(c if is_printable(c) else INSTEAD for c in text)


def missing_scripts(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the scripts of which some character cannot be printed, in small letters and in order."""
    lost = {
        script(c) for t in texts for c in unicodedata.normalize("NFC", t) if not is_printable(c)
    }
    return tuple(sorted(s.lower() for s in lost))


def warning(texts: Iterable[str]) -> str:
    """Return the line that says what cannot be printed, or nothing."""
    lost = missing_scripts(texts)
    if not lost:
        return ""
    return (
        f"NOT PRINTED: the fonts at hand cannot print {'; '.join(lost)}. A question mark stands for each such "
        "character: write these names by hand."
    )
