"""What the help page says: method, words, cautions, and every key, the last from the menus themselves."""

from __future__ import annotations

from html import escape

from PySide6.QtGui import QAction, QKeySequence

from app import __version__
from core.reading.cautions import FULL, SHORT
from core.zones.steps import STEPS

METHOD = (
    (
        "What the percent is",
        "Each emitter's field at a place is divided by its own limit at its own frequency, in terms of power, and the "
        "parts are added. 100 % is the limit. Standby and unknown count as on, at full power.",
    ),
    (
        "Where the body is",
        "On the plan a person stands, 0 to 2 m above the surface; on the elevation and on ladders a climber reaches "
        "from 1 m below to 1 m above. The highest percent over the body counts, unless an average is chosen.",
    ),
    (
        "How it errs",
        "High, and it says by how much: the best estimate stands beside the figure with what makes the difference. "
        "Nearer to an antenna than its model can be trusted there is no figure: treat it as over every limit.",
    ),
    (
        "Shading and zones",
        "Shading is computed at points. A proven zone holds every place over its limit, between the points too, by a "
        "mathematical bound; so do the closed spans of the ladder strip.",
    ),
    (
        "Where a garment is enough",
        "In the Entry task the zones are of the transmitters as the job sets them, and the end of its garment is among "
        "them: beyond it the garment is not enough, or gives no credit.",
    ),
    (
        "Fences",
        "Lines a crew can follow around a zone, and heights of a ladder nobody stops in. They are checked again "
        "whenever the site changes: each holds with a margin, or leaks at a place.",
    ),
    (
        "Two states",
        "The Changes task shows a state before and one after; every title and badge says which. A rise is solid, a "
        "fall hatched, paper is no change to speak of. Gained and lost zones are proven, the largest rises are read at "
        "places.",
    ),
)
WORDS = (
    ("emitter", "one transmitter's carrier on one antenna"),
    ("public, occupational", "limits for everybody (general population), and for trained workers"),
    ("tier", "which of the two limits is shown"),
    ("off, locked out", "off can come back while somebody is up; locked out cannot"),
    ("reactive region", "so near to an antenna that no figure can be given"),
    ("shown figure, best estimate", "with and without what is added for what is not known"),
    ("margin, leak", "how far a fence stands outside its zone, or how far the zone passes it"),
    *((step.words, step.meaning) for step in STEPS),
)
ON_MAPS = (
    ("click", "pin a place and read it"),
    ("click on an antenna in the task Site", "choose it; again: the next of several in one place"),
    ("Ctrl or Shift with a click on an antenna", "choose it too, or no longer"),
    (
        "Ctrl+Shift+M, then drag or arrows on the elevation",
        "move a height, a top, a point of a ladder, a way in",
    ),
    ("Alt with an arrow", "move the pin"),
    ("arrows, Page Up, Page Down on the ladder strip", "read higher or lower"),
    ("Tab and Enter in the reading", "unfold the reasons of an emitter"),
    ("Enter, Delete in the list of fences", "show a fence, remove it"),
    ("Ctrl+C, Ctrl+V, Delete in the list of emitters", "copy, paste, remove the chosen antennas"),
    ("Shift or Ctrl with a click in the list of emitters", "choose several antennas"),
    ("Escape in a field of the form", "take back what was refused"),
)
INTRODUCTION = (
    "Isofence shows how strong the radio field is over a site, as a percent of the limit for people.",
    "Open a site, click where somebody will stand or climb, and read one sentence, one number and their reasons.",
    "It is a planning estimate: confirm with a calibrated meter; local codes, site rules and licensed practice decide.",
)
"""For somebody who sees the window for the first time."""


def help_page(actions: list[QAction]) -> str:
    """Return the help as HTML; ``actions`` are those of the menus."""
    keys = [
        (action.shortcut().toString(QKeySequence.SequenceFormat.NativeText), said(action))
        for action in actions
        if not action.shortcut().isEmpty()
    ]
    return "".join(
        (
            f"<h2>Isofence</h2><p>{' '.join(INTRODUCTION)}</p>",
            "<h3>Method</h3>",
            *(f"<p><b>{escape(head)}.</b> {escape(text)}</p>" for head, text in METHOD),
            "<h3>Words</h3>",
            _table(WORDS),
            "<h3>Cautions</h3>",
            "<ul>" + "".join(f"<li>{escape(text)}</li>" for text in FULL) + "</ul>",
            "<h3>Keys</h3>",
            _table((*keys, *ON_MAPS)),
            "<h3>Numbers</h3><p>A decimal comma is as good as a point. Lengths take m, cm, ft and in, as 5 ft 6 in; "
            "powers and frequencies their unit, as 2.5 kW. A comma between thousands is refused.</p>",
        )
    )


def about_text() -> str:
    """Return what the program is, in plain text."""
    return (
        f"Isofence {__version__}\n\n"
        "Predicts percent of the limit of radio fields over a site, for crews that work near live antennas. MIT "
        f"licence.\n\n{SHORT}\n\n"
        "The demo sites, with their stations, makers and models, are invented."
    )


def said(action: QAction) -> str:
    """Return the text of an action without its marks."""
    return action.text().replace("&&", "\0").replace("&", "").replace("\0", "&").rstrip("…")


def _table(rows: tuple[tuple[str, str], ...]) -> str:
    cells = "".join(
        f"<tr><td><b>{escape(a)}</b>&nbsp;&nbsp;</td><td>{escape(b)}</td></tr>" for a, b in rows
    )
    return f"<table cellpadding='2'>{cells}</table>"
