"""The reading of the pinned place in three depths: the verdict, the shares, the reasons of one emitter."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QEvent, QUrl, Signal
from PySide6.QtGui import QPalette, QTextCursor
from PySide6.QtWidgets import QLabel, QTextBrowser, QVBoxLayout, QWidget

from app.window import tones
from app.window.panels.limit_bar import LimitBar
from app.window.panels.panel import Panel
from app.window.scene import Scene
from core.reading.bar import bar, best_of, deciding, deciding_line
from core.reading.data import Reading, SourceLine, TierLine
from core.reading.lines import by_share, share
from core.reading.report import headline, margin_words, notes_of, peak_words, reasons, rule_name
from core.units import FOOT, show_percent

_HOW = (
    "Click in a map to pin a place and read its values with their reasons. "
    "Alt with an arrow key moves the pin by 0.5 m."
)
_WHY = "why"


class ReadingPage(QWidget, Panel):
    """Shows one reading; nothing is computed here. The reasons of one emitter at a time are unfolded."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("reading")
        self.setAccessibleName("Reading of the pinned place")
        self.setMinimumWidth(290)
        self.reading: Reading | None = None
        self.unfolded = ""
        self._feet, self._warning = False, ""
        self.verdict, self.number, self.of = QLabel(), QLabel(), QLabel()
        for label, name in ((self.verdict, "verdict"), (self.number, "number"), (self.of, "of")):
            label.setObjectName(name)
            label.setWordWrap(True)
        font = self.verdict.font()
        font.setPointSizeF(1.25 * font.pointSizeF())
        font.setBold(True)
        self.verdict.setFont(font)
        font.setPointSizeF(1.6 * font.pointSizeF())
        self.number.setFont(font)
        self.bar = LimitBar()
        self.text = _Page()
        self.text.followed.connect(self._fold)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 4, 2, 2)
        column.setSpacing(3)
        for part in (self.verdict, self.number, self.of, self.bar):
            column.addWidget(part)
        column.addWidget(self.text, 1)
        self._show()

    def toPlainText(self) -> str:
        """Return all that is shown, as text."""
        heads = (self.verdict, self.number, self.of)
        parts = [label.text() for label in heads if not label.isHidden()]
        return "\n".join([*parts, self.text.toPlainText()])

    def show_scene(self, scene: Scene) -> None:
        """Follow the unit of lengths."""
        if scene.look.feet != self._feet:
            self._feet = scene.look.feet
            self._show()

    def show_reading(self, reading: Reading | None, scene: Scene) -> None:
        """Show a reading, in metres or feet; without one, how to get it."""
        self.reading, self._feet, self._warning = reading, scene.look.feet, scene.warning
        self._show()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._show()

    def _fold(self, name: str) -> None:
        self.unfolded = "" if name == self.unfolded else name
        self._show()
        self.text.focus_link(name)

    def _show(self) -> None:
        reading = self.reading
        for part in (self.number, self.of):
            part.setVisible(reading is not None and not reading.reactive)
        if reading is None:
            self.verdict.setText("No place is pinned")
            self.bar.show_bar(None, "")
            self.text.replace(f"<p>{_HOW}</p>")
            return
        key, line = reading.limit_set.key, deciding_line(reading)
        self.verdict.setText(f"{self._warning}{reading.verdict}")
        self.number.setText(show_percent(line.total))
        best = best_of(reading, deciding(reading))
        beside = "" if best is None else f"\nbest estimate {show_percent(best)}"
        other = reading.public if line is reading.occupational else reading.occupational
        self.of.setText(
            f"of {key} {line.name}{beside}\n{show_percent(other.total)} of {key} {other.name}\n"
            f"{reading.height_rule}"
        )
        self.bar.show_bar(bar(reading), headline(reading))
        self.text.replace(page(reading, self.palette(), feet=self._feet, unfolded=self.unfolded))


class _Page(QTextBrowser):
    """Text with links that fold; ``followed`` carries the name of the one that was activated."""

    followed = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("reasons")
        self.setAccessibleName("Shares, reasons, assumptions and cautions")
        self.setOpenLinks(False)
        self.setFrameShape(QTextBrowser.Shape.NoFrame)
        self.anchorClicked.connect(self._clicked)

    def replace(self, html: str) -> None:
        """Show other text; the place on the page stays."""
        place = self.verticalScrollBar().value()
        self.setHtml(html)
        self.verticalScrollBar().setValue(place)

    def focus_link(self, name: str) -> None:
        """Give a link the focus of the keys, as if one had come to it with Tab."""
        cursor = QTextCursor(self.document())
        while not cursor.atEnd():
            cursor.movePosition(QTextCursor.MoveOperation.NextCharacter)
            if cursor.charFormat().anchorHref() == _link(name):
                place = self.verticalScrollBar().value()
                cursor.movePosition(QTextCursor.MoveOperation.PreviousCharacter)
                self.setTextCursor(cursor)
                self.focusNextPrevChild(True)
                self.verticalScrollBar().setValue(place)
                return

    def _clicked(self, url: QUrl) -> None:
        self.followed.emit(bytes.fromhex(url.toString().partition(":")[2]).decode())


def _link(name: str) -> str:
    # Names come from people: as hexadecimal digits they are no part of any address.
    return f"{_WHY}:{name.encode().hex()}"


def page(reading: Reading, palette: QPalette, *, feet: bool = False, unfolded: str = "") -> str:
    """Return what stands below the bar as HTML: notes, both tiers, shares, reasons, assumptions, cautions."""
    key = reading.limit_set.key
    quiet = tones.quiet(palette).name()
    parts = [_note(n) for n in notes_of(reading)]
    if reading.emitters:
        parts.append(_table(reading, palette, feet=feet, unfolded=unfolded))
    if reading.span is not None:
        parts.append(f"<p>{escape(reading.span.words(key))}</p>")
    for line in (reading.public, reading.occupational):
        parts.append(_tier(line, key, reactive=bool(reading.reactive)))
    parts.append(
        f"<p>At {_place(reading.position, feet=feet)}<br>{escape(reading.height_rule)}</p>"
    )
    if reading.category is not None:
        c = reading.category
        parts.append(
            f"<p><b>Category {c.name.capitalize()}</b>, sign word {c.word} "
            f"({c.colour_name}){', optional' if c == 1 else ''}. {escape(c.requires)} "
            f"<span style='color:{quiet}'>[{escape(rule_name(c))}]</span></p>"
        )
    parts.append(f"<h3>Assumptions</h3><p>Estimate: {escape(reading.estimate)}.</p>")
    parts.append(_list(reading.assumptions))
    parts.append("<h3>Cautions</h3>" + _list(reading.cautions))
    return "".join(parts)


def _note(text: str) -> str:
    return f"<p style='background:{tones.NOTE_GROUND}; color:{tones.NOTE_INK}'><b>{escape(text)}</b></p>"


def _place(position: tuple[float, float, float], *, feet: bool) -> str:
    x, y, z = (v / FOOT if feet else v for v in position)
    unit = "ft" if feet else "m"
    return f"x {x:.2f}, y {y:.2f}, z {z:.2f} {unit}"


def _tier(line: TierLine, key: str, *, reactive: bool) -> str:
    if reactive:
        return f"<p>No figure against {key} {escape(line.name)}.</p>"
    more = ("" if line.peak is None else peak_words(line.peak), line.fix)
    said = "".join(f"<br>{escape(text)}" for text in more if text)
    return (
        f"<p><b>{escape(show_percent(line.total))}</b> of {key} {escape(line.name)}: "
        f"{margin_words(line)}; {line.side}{said}</p>"
    )


def _table(reading: Reading, palette: QPalette, *, feet: bool, unfolded: str) -> str:
    rows = [
        "<tr><td><b>Shares</b></td><td align='right'>public</td><td align='right'>&nbsp;workers</td></tr>"
    ]
    for e in by_share(reading):
        rows += _rows(e, reading, palette, unfolded=e.name == unfolded)
        if e.name == unfolded:
            lines = reasons(e, reading.limit_set.key, feet=feet)
            said = "<br>".join(escape(text) for text in lines)
            rows.append(f"<tr><td colspan='3'><p style='margin-left:10px'>{said}</p></td></tr>")
    return f"<table width='100%' cellspacing='0' cellpadding='1'>{''.join(rows)}</table>"


def _rows(e: SourceLine, reading: Reading, palette: QPalette, *, unfolded: bool) -> list[str]:
    """Return an emitter's row, and its bar below."""
    link = (
        f"<a href='{_link(e.name)}' style='color:{tones.ink(palette).name()}'>"
        f"{'▾' if unfolded else '▸'} {escape(e.name)}</a>"
    )
    if e.power == 0.0 or e.reactive:
        said = "<b>no figure</b>" if e.reactive else f"nothing: {escape(e.state)}"
        return [f"<tr><td>{link}</td><td colspan='2' align='right'>&nbsp;{said}</td></tr>"]
    figures = "".join(
        f"<td align='right'>&nbsp;{escape(show_percent(v)).replace(' ', '&nbsp;')}</td>"
        for v in (e.public, e.occupational)
    )
    drawn = _drawn(share(e, reading), palette)
    return [f"<tr><td>{link}</td>{figures}</tr>", f"<tr><td colspan='3'>{drawn}</td></tr>"]


def _drawn(part: float, palette: QPalette) -> str:
    """Return a thin bar as cells of a table: the share, and what is left of the whole."""
    filled = round(100.0 * part)
    cells = [(filled, tones.ink(palette)), (100 - filled, tones.faint(palette))]
    drawn = "".join(
        f"<td width='{w}%' bgcolor='{c.name()}' style='font-size:3pt'>&nbsp;</td>"
        for w, c in cells
        if w
    )
    return f"<table width='100%' cellspacing='0' cellpadding='0'><tr>{drawn}</tr></table>"


def _list(texts: tuple[str, ...]) -> str:
    return "<ul>" + "".join(f"<li>{escape(t)}</li>" for t in texts) + "</ul>"
