"""Text that came from a person or a file: what is let in, and how the rest is shown on one line."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from core.errors import InputError, printable

LONGEST_NAME = 120
LONGEST_TEXT = 4000
_MOVING = ("Cc", "Cf", "Zl", "Zp")


def check_text(text: str, field: str, longest: int = LONGEST_TEXT) -> None:
    """Refuse text that cannot be printed as it stands: control characters, halves of characters, turned writing.

    Line breaks and tabs may stand in long texts (``longest`` over that of a name), not in names.

    Raises
    ------
    InputError
        Naming the ``field`` and the first character that is not allowed.
    """
    if len(text) > longest:
        raise InputError(f"is longer than {longest} characters", field=field, fix="Shorten it")
    if text.isprintable():
        return
    for place, character in enumerate(text, 1):
        if longest > LONGEST_NAME and character in "\n\t":
            continue
        if _unprintable(character):
            raise InputError(
                f"has a character that cannot be printed ({printable(character)}) at place {place}",
                field=field,
                fix="Remove it, or type the text anew",
            )


def check_name(name: str, field: str = "name") -> None:
    """Refuse an empty or endless name, or one that cannot be printed.

    Raises
    ------
    InputError
        Naming the ``field``.
    """
    if not name.strip():
        raise InputError("is empty", field=field, fix="Give a name")
    check_text(name, field, LONGEST_NAME)


def check_word(word: str, field: str) -> None:
    """Refuse a word of a command line that would move a terminal's cursor; a path need not be UTF-8.

    Raises
    ------
    InputError
        Naming the ``field``.
    """
    if any(_unprintable(c) and unicodedata.category(c) in _MOVING for c in word):
        raise InputError(
            f"{word!r} has a character that cannot be printed",
            field=field,
            fix="Write it without control characters",
        )


def cell(text: str) -> str:
    """Return text for a cell of a CSV table, so that a spreadsheet takes it for text and not for a formula.

    Examples
    --------
    >>> cell("=1+1"), cell("North FM")
    ("'=1+1", 'North FM')
    """
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text


def _unprintable(character: str) -> bool:
    """Return whether a character is a control, half a surrogate pair, or turns the writing direction.

    Unicode general categories Cc, Cs, Co, Cn and the explicit directional formatting characters of Unicode
    Standard Annex 9, section 2.
    """
    if (
        character
        in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c\u2028\u2029"
    ):
        return True
    return unicodedata.category(character) in ("Cc", "Cs", "Cn", "Co")


def some(names: Sequence[str], most: int) -> str:
    """Return the first names of many, and how many more there are.

    Parameters
    ----------
    names : sequence of str
        Names.
    most : int
        How many are named.
    """
    shown = ", ".join(names[:most])
    return f"{shown} and {len(names) - most} more" if len(names) > most else shown
