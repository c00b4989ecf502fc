"""The columns of an antenna schedule: what each may be called, and what a header says of unit and meaning.

The words are those of the trade (RC AGL, TPO, line loss, e-tilt), all common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import zip_longest

from core.antennas.base import parameters
from core.antennas.kinds import KINDS
from core.errors import InputError, short
from core.files.schedule.numbers import QUANTITIES, unit_named

HEADINGS: dict[str, tuple[str, str]] = {
    "name": ("antenna", "text"), "kind": ("kind", "kind"), "x": ("x (m)", "length"), "y": ("y (m)", "length"),
    "z": ("z (m)", "length"), "azimuth": ("azimuth (deg)", "angle"), "tilt": ("tilt (deg)", "angle"),
    "roll": ("roll (deg)", "angle"), "state": ("state", "state"), "reflection": ("reflection", "reflection"),
    "estimate": ("estimate", "text"),
    "tower_in_pattern": ("tower in pattern", "flag"), "allows.touch": ("allows touch", "flag"),
    "allows.steps": ("allows steps (%)", "percents"), "allows.stays_on_air": ("stays on air", "flag"),
    "allows.auxiliary_of": ("auxiliary of", "text"), "owner": ("owner", "text"),
    "contact": ("contact", "text"), "remark": ("remark", "text"), "carrier": ("carrier", "text"),
    "frequency": ("frequency", "frequency"), "transmitter": ("transmitter", "power"), "loss": ("loss", "loss"),
    "gain": ("gain", "gain"), "erp": ("erp", "power"), "erp_vertical": ("erp vertical", "power"),
    "eirp": ("eirp", "power"), "duty": ("duty", "share"), "duty_source": ("duty source", "text"),
}  # fmt: skip
"""Key → (header as it is written, form of its cells). Those of a carrier begin with ``carrier``."""

CARRIER = tuple(HEADINGS)[tuple(HEADINGS).index("carrier") :]
"""Keys of what belongs to a carrier; all else belongs to the antenna."""

_MORE_FORMS = {"agl": "length", "above surface": "length", "power": "power"}

_ALIASES: dict[str, tuple[str, ...]] = {
    "name": ("name", "id", "designation", "emitter", "sector", "sector name", "sector id", "ant", "antenna"),
    "kind": ("type", "class"),
    "x": ("east", "x east", "x offset", "offset east"),
    "y": ("north", "y north", "y offset", "offset north"),
    "z": ("height above datum", "above datum"),
    "azimuth": ("az", "azimuth true", "bearing", "orientation", "boresight", "az true", "heading"),
    "tilt": ("mechanical tilt", "m tilt", "mech tilt", "mechanical downtilt", "mech downtilt", "mdt"),
    "state": ("status",),
    "tower_in_pattern": ("tower in the pattern",),
    "allows.touch": ("may be turned down",),
    "allows.steps": ("allows steps", "power steps"),
    "owner": ("licensee", "operator", "tenant"),
    "contact": ("phone", "noc", "whom to call", "contact phone"),
    "remark": ("remarks", "notes", "note", "comment", "comments"),
    "carrier": ("carrier name", "channel", "service", "call sign", "callsign", "technology", "station"),
    "frequency": ("freq", "tx freq", "tx frequency", "transmit frequency", "carrier frequency"),
    "transmitter": ("tpo", "transmitter power", "transmitter power output", "tx power", "transmit power",),
    "loss": ("line loss", "feeder loss", "cable loss", "feedline loss", "transmission line loss", "total loss"),
    "gain": ("ant gain",),
    "erp": ("erp h", "erp horizontal", "h erp", "horizontal erp", "erp hor", "max erp"),
    "erp_vertical": ("erp v", "v erp", "vertical erp", "erp vert"),
    "eirp": ("max eirp", "total eirp"),
    "duty": ("duty factor", "duty cycle"),
    "duty_source": ("source of duty",),
    "power": ("power",),
}  # fmt: skip
_PARAMETERS: dict[str, tuple[str, ...]] = {
    "bays": ("bay count", "number of bays", "no of bays", "# bays"),
    "spacing": ("bay spacing", "element spacing", "panel spacing"),
    "bay": ("bay type", "bay shape"),
    "electrical_tilt": ("e tilt", "edt", "electrical downtilt", "etilt", "ret"),
    "beam_tilt": ("beamtilt",),
    "azimuth_width": (
        "hpbw",
        "horizontal beamwidth",
        "azimuth beamwidth",
        "h beamwidth",
        "beamwidth h",
        "horizontal beam width",
        "azimuth beam width",
        "h beam width",
        "beamwidth",
        "beam width",
        "hbw",
        "h bw",
    ),
    "front_to_back": ("f/b", "fb ratio", "front to back ratio"),
    "diameter": ("dish diameter", "dish size"),
    "file": ("pattern file", "pattern"),
    "entry": ("catalogue class", "generic class"),
}
_HEIGHT = (
    "rad", "radiation", "center", "centre", "centerline", "centreline", "rc", "cl", "c/l", "ctr", "height", "hgt", "ht",
    "elevation", "elev", "mounting", "level", "above", "antenna", "ant", "of", "the", "mount",
)  # fmt: skip
_ABOVE = {
    "agl": "agl", "ground": "agl", "roof": "above surface", "arl": "above surface", "surface": "above surface",
    "amsl": "?amsl", "asl": "?amsl", "msl": "?amsl", "sea": "?amsl", "haat": "?haat", "tip": "?end", "top": "?end",
    "base": "?end", "bottom": "?end",
}  # fmt: skip
REFUSED = {
    "?amsl": "heights above sea level cannot be placed: the site does not say how high its datum is. "
    "Give the height above ground (AGL) or z above the datum",
    "?haat": "a height above average terrain is no height on the site. Give the height above ground (AGL)",
    "?end": "an antenna's place is its middle. Give the height of its middle above ground (AGL) or z above the datum",
    "?tilt": "does not say which tilt. Call it mechanical tilt (the antenna leans) or electrical tilt (its beam does)",
    "?count": "counts what has a row of its own here: the power of one would stand for all of them. Give every carrier "
    "its row, or the power of all together, and leave the column out",
    "?power": "says a power, and not which. Call it TPO (what the transmitter gives), ERP or EIRP, of one carrier, or "
    "leave the column out",
    "?second": "is of a second carrier. Give every carrier its own row, with the antenna's name",
    "?height": "does not say above what. Call it AGL (above ground), above roof, or z (above the site datum)",
}
"""Columns that are known and cannot be used, and why."""
OPEN = ("?tilt", "?count", "?power", "?second")
"""Refused columns whose antennas are not taken: what they say would bring the figures up."""
_TILTS = ("tilt", "downtilt", "uptilt", "dt")
_LEANS = ("mech", "mechanical", "mec", "m")
_LOOKS = ("elec", "electrical", "electric", "el", "e", "ret")
_MANY = ("#", "no", "nr", "num", "number", "numbers", "count", "qty", "quantity", "many", "total")
_COUNTED = (
    "tx", "trx", "rru", "rrh", "radio", "port", "path", "layer", "unit", "antenna", "panel", "transmitter", "channel",
    "carrier", "sector", "mimo", "piece", "pc", "stream",
)  # fmt: skip
_POWERS = ("erp", "eirp", "power", "tpo", "watt", "watts", "kw", "dbm", "dbw")
_WORDS = re.compile(r"[^\s()\[\]{},:;=_]+")
_ANGLES = ("deg", "degrees", "°", "°t", "t", "true", "°m", "mag", "magnetic", "%", "percent")


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its place, its header, what it means, and the unit of cells that have none.

    ``key`` is one of :data:`HEADINGS`, ``agl``, ``above surface``, ``power``, ``model.`` and a parameter of a kind
    (``model.bands.1.low`` for one of its parts), one of :data:`REFUSED`, or empty where the header means nothing here.
    """

    index: int
    header: str
    key: str
    unit: str = ""

    @property
    def form(self) -> str:
        """How its cells are written; empty for parameters, where the kind says it."""
        if self.key in HEADINGS:
            return HEADINGS[self.key][1]
        return _MORE_FORMS.get(self.key, "")

    @property
    def has_numbers(self) -> bool:
        """Whether its cells show which decimal sign the table has."""
        return self.form in (*QUANTITIES, "angle", "share") or self.key.startswith("model.")


def columns_of(headers: Sequence[str]) -> tuple[Column, ...]:
    """Return the columns that some ``headers`` mean, one each."""
    return tuple(_column(i, header) for i, header in enumerate(headers))


def known(columns: Iterable[Column]) -> int:
    """Return how many ``columns`` mean something."""
    return len({c.key for c in columns if c.key})


def heading(key: str) -> str:
    """Return the header that is written for a ``key``."""
    if key in HEADINGS:
        return HEADINGS[key][0]
    return key.replace(".", " ").replace("_", " ")


def _column(index: int, header: str) -> Column:
    shown, words = short(header.strip(), 60), _without_in(_WORDS.findall(header)[:12])
    key = _key(words)
    if key:
        return Column(index, shown, key)
    for at in range(len(words) - 1, -1, -1):
        rest = words[:at] + words[at + 1 :]
        key = _key(rest) if rest else ""
        if not key:
            continue
        column = Column(index, shown, key)
        unit = _unit(words[at], column)
        if unit is not None:
            return Column(index, shown, key, unit)
    angles = [word.lower() for word in words if word.lower() in _ANGLES]
    rest = [word for word in words if word.lower() not in _ANGLES]
    if len(angles) > 1 and HEADINGS.get(_key(rest), ("", ""))[1] == "angle":
        return Column(index, shown, _key(rest), " ".join(angles))
    key = _left_open([word.lower().strip(".") for word in words])
    if key:
        return Column(index, shown, key)
    return Column(index, shown, "")


def _left_open(words: list[str]) -> str:
    """Return what a header means that nothing here knows: left out, its figures could be too low."""
    tilts = [word for word in words if word in _TILTS or word.endswith("tilt")]
    if tilts:
        said = " ".join(words)
        leans, looks = (
            any(w in words or said.startswith(w) for w in them) for them in (_LEANS, _LOOKS)
        )
        rest = set(words) - {*tilts, *_LEANS, *_LOOKS, *_ANGLES, "down", "angle"}
        if leans != looks and not rest:
            return "tilt" if leans else "model.electrical_tilt"
        return "?tilt"
    plain = [word for word in words if not word.isdigit() and not _is_unit(word)]
    if any(word.isdigit() for word in words) and _key(plain) in (*CARRIER, "power"):
        return _key(plain) if "1" in words else "?second"
    if any(word in _POWERS for word in words):
        return "?power"
    counted = [word for word in words if word.rstrip("s") in _COUNTED]
    many = any(word in _MANY for word in words)
    if (many and counted) or any(word.endswith("s") for word in counted) or "mimo" in words:
        return "?count"
    return "?count" if words and set(words) <= {"qty", "quantity", "count"} else ""


def _without_in(words: list[str]) -> list[str]:
    """Return words without an "in" that stands before a unit: "ERP in watts" is "ERP (W)"."""
    return [
        word
        for word, after in zip_longest(words, words[1:], fillvalue="")
        if not (word == "in" and _is_unit(after))
    ]


def _is_unit(word: str) -> bool:
    def names(form: str) -> bool:
        try:
            return bool(unit_named(word, form))
        except InputError:
            return True

    return bool(word) and (word.lower() in _ANGLES or any(names(form) for form in QUANTITIES))


def _unit(word: str, column: Column) -> str | None:
    """Return the unit a word of a header is; nothing where the cells have to say it themselves, None if it is none."""
    for form in (column.form,) if column.form else QUANTITIES:
        if form == "gain" and word.lower() == "db":
            # Over what, a dipole or isotropic?
            return ""
        if form in QUANTITIES:
            try:
                unit = unit_named(word, form)
            except InputError:
                return ""
            if unit:
                return unit
    if word.lower() in _ANGLES and (
        column.form in ("angle", "share", "percents") or not column.form
    ):
        return word.lower()
    return None


def _key(words: Sequence[str]) -> str:
    phrase = " ".join(words).lower().replace("-", " ").replace(".", "").strip()
    if phrase.startswith("model "):
        return _parameter(phrase.removeprefix("model ").split())
    table = _table()
    if phrase in table:
        return table[phrase]
    parts = phrase.split()
    rest = [w for w in parts if w not in ("antenna", "ant", "the")]
    if " ".join(rest) in table:
        return table[" ".join(rest)]
    left = [w for w in parts if w not in _HEIGHT]
    if "above" not in parts and any(w in ("ground", "roof", "surface") for w in left):
        # The ground's own elevation is no height of an antenna.
        return ""
    if parts and all(w in _ABOVE for w in left) and len(set(map(_ABOVE.get, left))) < 2:
        return str(_ABOVE[left[0]]) if left else "?height"
    return ""


def _parameter(words: list[str]) -> str:
    """Return the key of a parameter as it is written behind ``model``."""
    for at, word in enumerate(words):
        if word.isdigit() and 0 < at < len(words) - 1:
            part, name = "_".join(words[:at]), "_".join(words[at + 1 :])
            return f"model.{part}.{int(word)}.{name}" if name in _names() else ""
    name = "_".join(words)
    return f"model.{name}" if name in _names() else ""


@lru_cache(maxsize=1)
def _names() -> frozenset[str]:
    """Return the names of all parameters of all kinds and of their parts."""
    names: set[str] = set()
    for kind in KINDS.values():
        for name, (spec, _) in parameters(kind).items():
            names |= set(parameters(spec.parts)) if spec.parts is not None else {name}
    return frozenset(names)


@lru_cache(maxsize=1)
def _table() -> dict[str, str]:
    """Return phrase → key; what belongs to an antenna or a carrier goes before parameters of the same name."""
    table = {name.replace("_", " "): f"model.{name}" for name in _names()}
    for name, aliases in _PARAMETERS.items():
        table |= dict.fromkeys(aliases, f"model.{name}")
    # "height" is a parameter of masts, and of everything else an unclear place.
    for name in ("height", "distance", "field", "phase", "low", "high", "size"):
        table.pop(name, None)
    for key, aliases in _ALIASES.items():
        table |= dict.fromkeys(aliases, key)
    return table | {words.partition(" (")[0]: key for key, (words, _) in HEADINGS.items()}
