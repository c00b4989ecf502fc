"""The reading of the pinned place, as a page one can read aloud."""

from __future__ import annotations

from html import escape

from PySide6.QtWidgets import QTextBrowser

from app.window.panels.panel import Panel
from app.window.scene import Scene
from core.reading.data import Reading, SourceLine, TierLine
from core.reading.report import margin_words, rule_name
from core.units import FOOT, show_frequency, show_percent, show_power

_EMPTY = (
    "<h2>Reading</h2><p>Click in a map to pin a place and read its values with their reasons. "
    "Alt with an arrow key moves the pin by 0.5 m.</p>"
)


class ReadingPage(QTextBrowser, Panel):
    """Shows one reading; nothing is computed here."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("reading")
        self.setAccessibleName("Reading of the pinned place")
        self.setMinimumWidth(290)
        self.reading: Reading | None = None
        self.setHtml(_EMPTY)

    def show_reading(self, reading: Reading | None, scene: Scene) -> None:
        """Show a reading, in metres or feet; without one, how to get it."""
        self.reading = reading
        place = self.verticalScrollBar().value()
        self.setHtml(_EMPTY if reading is None else page(reading, feet=scene.look.feet))
        self.verticalScrollBar().setValue(place)


def page(reading: Reading, *, feet: bool = False) -> str:
    """Return the reading as HTML."""
    key = reading.limit_set.key
    parts = [
        f"<p><b>At {_place(reading.position, feet=feet)}</b><br>{escape(reading.height_rule)}</p>"
    ]
    parts.append(f"<h2>{escape(reading.verdict)}</h2>")
    notes = [reading.warning, reading.if_back.words(key) if reading.if_back else ""]
    notes += [f"{words}." for words in reading.raised]
    parts += [f"<p style='background:#f6e8d8'><b>{escape(n)}</b></p>" for n in notes if n]
    for line in (reading.public, reading.occupational):
        parts.append(_tier(line, key, reactive=bool(reading.reactive)))
    if reading.span is not None:
        parts.append(f"<p>{escape(reading.span.words(key))}</p>")
    if reading.category is not None:
        c = reading.category
        parts.append(
            f"<p><b>Category {c.name.capitalize()}</b>, sign word {c.word} "
            f"({c.colour_name}){', optional' if c == 1 else ''}. {escape(c.requires)} "
            f"<span style='color:#5b6673'>[{escape(rule_name(c))}]</span></p>"
        )
    parts.append("<h3>Each emitter's share</h3>")
    parts += [
        _emitter(e, key, feet=feet) for e in sorted(reading.emitters, key=lambda e: -e.public)
    ]
    parts.append(f"<h3>Assumptions</h3><p>Estimate: {escape(reading.estimate)}.</p>")
    parts.append(_list(reading.assumptions))
    parts.append("<h3>Cautions</h3>" + _list(reading.cautions))
    return "".join(parts)


def _place(position: tuple[float, float, float], *, feet: bool) -> str:
    x, y, z = (v / FOOT if feet else v for v in position)
    unit = "ft" if feet else "m"
    return f"x {x:.2f}, y {y:.2f}, z {z:.2f} {unit}"


def _tier(line: TierLine, key: str, *, reactive: bool) -> str:
    if reactive:
        return f"<p>No figure against {key} {escape(line.name)}.</p>"
    fix = f"<br>{escape(line.fix)}" if line.fix else ""
    return (
        f"<p><span style='font-size:15pt'><b>{show_percent(line.total)}</b></span> of {key} "
        f"{escape(line.name)}<br>{margin_words(line)}; {line.side}{fix}</p>"
    )


def _emitter(e: SourceLine, key: str, *, feet: bool) -> str:
    head = (
        f"<p><b>{escape(e.name)}</b><br>{show_frequency(e.frequency)}, {show_power(e.power)} radiated, "
        f"{escape(e.state)}"
    )
    if e.power == 0.0:
        return (
            head
            + "<br>counts nothing"
            + "".join(f"<br>{escape(a)}" for a in e.assumptions[-1:])
            + "</p>"
        )
    distance = f"{e.distance / FOOT:.3g} ft" if feet else f"{e.distance:.3g} m"
    body = (
        "<br><b>inside its reactive region: no figure, treat as over every limit</b>"
        if e.reactive
        else f"<br><b>{show_percent(e.public)}</b> of {key} public, {show_percent(e.occupational)} of {key} "
        f"occupational<br>E {e.e:.3g} V/m, H {e.h:.3g} A/m, S {e.s:.3g} W/m² ({e.s / 10:.3g} mW/cm²), {distance} away"
    )
    limits = "".join(
        f"<br>{tier} limit: none at this frequency"
        if limit is None
        else f"<br>{tier} limit: {escape(limit.text)}, averaging {limit.averaging} "
        f"<span style='color:#5b6673'>[{escape(limit.source)}; {limit.status}]</span>"
        for tier, limit in e.limits.items()
    )
    added = f" {e.added_db:g} dB added." if e.added_db else ""
    reasons = (
        f"<br><i>{escape(e.model)}.</i> {escape(e.why)} {escape(e.trust)}.{added} "
        f"<span style='color:#5b6673'>[{escape(e.source)}]</span><br>{escape(e.reflection)}"
    )
    rest = "".join(f"<br>{escape(text)}" for text in (*e.power_words, *e.assumptions))
    return f"{head}{body}{limits}</p><p style='margin-left:14px'>{reasons}{rest}</p>"


def _list(texts: tuple[str, ...]) -> str:
    return "<ul>" + "".join(f"<li>{escape(t)}</li>" for t in texts) + "</ul>"
