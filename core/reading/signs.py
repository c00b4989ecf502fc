"""The sign schedule: what has to stand at each way in, by the regulation.

Sign words and their safety colours appear here and nowhere else in the program.
"""

from __future__ import annotations

from dataclasses import dataclass

from core.limits.categories import POSITIVE_ACCESS_CONTROL, SIGN_PARTS, Category
from core.limits.sets import DEFAULT_SET
from core.reading.data import Reading
from core.reading.reading import read
from core.site.places import AccessPoint
from core.site.site import Site
from core.views.body import STANDING

OTHER_RULES = (
    "The sign words are those of 47 CFR 1.1307(b)(4), which is not the rule behind this limit set: follow the "
    "national rule; the warning sign for non-ionising radiation is ISO 7010 W005 (from memory)."
)


@dataclass(frozen=True, slots=True)
class SignLine:
    """What one way in needs.

    ``category`` is None where no verdict is possible. ``content`` lists the parts a sign must carry,
    each with what is known for this place.
    """

    access: AccessPoint
    reading: Reading
    category: Category | None
    word: str
    colour: str
    requires: str
    source: str
    content: tuple[str, ...]
    note: str


def sign_schedule(site: Site) -> tuple[SignLine, ...]:
    """Return the sign schedule of a site's access points, for a standing body at each.

    Raises
    ------
    InputError
        If the site's data are inconsistent.
    """
    return tuple(_line(site, access) for access in site.access_points)


def _line(site: Site, access: AccessPoint) -> SignLine:
    rule = f"standing at {access.name}, {STANDING.words}"
    reading = read(site, access.position, STANDING, rule)
    category = reading.category
    note = "" if site.limit_set == DEFAULT_SET else OTHER_RULES
    if reading.if_back is not None:
        # A sign stays when a transmitter comes back.
        note = f"{reading.if_back.words(site.limit_set)} {note}".strip()
    if category is None:
        words = reading.verdict.rstrip(".").replace("No verdict", "no verdict")
        return SignLine(access, reading, None, "not determined", "", words, "", (), note)
    if access.public and category >= Category.TWO:
        note = f"Open to the public: {POSITIVE_ACCESS_CONTROL.text} {note}".strip()
    word = f"{category.word} (optional)" if category is Category.ONE else category.word
    return SignLine(
        access,
        reading,
        category,
        word,
        category.colour_name,
        category.requires,
        category.source,
        _content(site, reading, category),
        note,
    )


def _content(site: Site, reading: Reading, category: Category) -> tuple[str, ...]:
    """The five parts every sign carries, in the order of the rule, with what is known here."""
    if category is Category.ONE:
        return ()
    strongest = [e for e in sorted(reading.emitters, key=lambda e: -e.public) if e.public > 0][:3]
    names = list(dict.fromkeys(e.antenna for e in strongest))
    contacts = {a.name: a.contact for a in site.antennas}
    calls = "; ".join(f"{n}: {contacts.get(n) or 'CONTACT MISSING'}" for n in names)
    behaviour = (
        "stay out; trained and authorised persons only, by the entry plan"
        if category >= Category.THREE
        else "the public stays out; trained persons follow the site rules"
    )
    known = (f"{category.word}, {category.colour_name}", "", ", ".join(names), behaviour, calls)
    return tuple(
        f"{part.text}: {text}" if text else part.text
        for part, text in zip(SIGN_PARTS, known, strict=True)
    )
