"""A reading as text a person can read aloud, and as plain data for other programs."""

from __future__ import annotations

from core.exposure.fractions import REACTIVE_FRACTION
from core.limits.categories import Category
from core.reading.bar import bar, best_of, deciding, deciding_line
from core.reading.cautions import FULL
from core.reading.data import Reading, SourceLine, TierLine
from core.reading.lines import NARROWEST, WIDEST, bar_lines, by_share, share_lines, wrapped
from core.units import FOOT, show_frequency, show_percent, show_power


def rule_name(category: Category) -> str:
    """Return the rule behind a category, short."""
    return f"{category.source.split(',')[0]}; {category.status}"


def peak_words(peak: float) -> str:
    """Return what a spatial average hides, in words.

    Parameters
    ----------
    peak : float
        The largest total over the body, as a fraction of the limit.
    """
    return (
        f"This is an average over the body; its highest place has {show_percent(peak)}. An average does not show a "
        "local peak, and few sets limit one at every frequency (IEEE C95.1 from 400 MHz)."
    )


def margin_words(line: TierLine) -> str:
    """Return the margin in decibels as words: under or over.

    Parameters
    ----------
    line : TierLine
        Line of the file, for messages.
    """
    if line.margin_db is None:
        return "no exposure"
    if line.margin_db >= 0:
        return f"{line.margin_db:.1f} dB under the limit"
    return f"{-line.margin_db:.1f} dB over the limit"


def as_text(reading: Reading, width: int = WIDEST, *, why: bool = True) -> str:
    """Return a reading as text: the verdict with one number, a table of shares, and the reasons.

    Parameters
    ----------
    reading : Reading
        The reading.
    width : int
        Columns that no line exceeds, within :data:`core.reading.lines.NARROWEST` and ``WIDEST``.
    why : bool
        With the reasons of every emitter, all assumptions and all cautions.
    """
    width = min(max(width, NARROWEST), WIDEST)
    parts = [_verdict(reading, width), _shares(reading, width)]
    parts.append(_reasons(reading, width) if why else _without_reasons(reading, width))
    return "\n".join("\n".join(lines) + "\n" for lines in parts)


def headline(reading: Reading) -> str:
    """Return the one number of a reading with its limit, and the best estimate beside it.

    Parameters
    ----------
    reading : Reading
        The reading.
    """
    line, key = deciding_line(reading), reading.limit_set.key
    if reading.reactive:
        return f"no figure against {key} {line.name}"
    best = best_of(reading, deciding(reading))
    beside = "" if best is None else f"; best estimate {show_percent(best)}"
    return f"{show_percent(line.total)} of {key} {line.name}{beside}"


def notes_of(reading: Reading) -> tuple[str, ...]:
    """Return what has to be known before the number is used: how the height was taken, what can come back.

    Parameters
    ----------
    reading : Reading
        The reading.
    """
    back = reading.if_back.words(reading.limit_set.key) if reading.if_back is not None else ""
    warning = f"{_capital(reading.warning)}." if reading.warning else ""
    raised = (f"{words}." for words in reading.raised)
    return tuple(note for note in (warning, back, *raised) if note)


def _verdict(reading: Reading, width: int) -> list[str]:
    """The first depth: what it means, one number, where that lies between the limits, what would change it."""
    x, y, z = reading.position
    key = reading.limit_set.key
    revision = f" (revision {reading.revision})" if reading.revision else ""
    where = f"At x {x:g} m, y {y:g} m, z {z:g} m. {_capital(reading.height_rule)}."
    lines = wrapped(reading.verdict, width)
    for note in notes_of(reading):
        lines += wrapped(f"NOTE: {note}", width, 2, 4)
    lines += wrapped(headline(reading), width, 2)
    drawn = bar(reading)
    if drawn is not None:
        lines += bar_lines(drawn, width)
    lines += ["", *wrapped(f"{reading.site}{revision}", width), *wrapped(where, width)]
    for line in (reading.public, reading.occupational):
        if reading.reactive:
            lines += wrapped(f"no figure against {key} {line.name}", width, 2)
            continue
        said = f"{show_percent(line.total)} of {key} {line.name}: {margin_words(line)}; {line.side}"
        lines += wrapped(said, width, 2, 6)
        surveyed = (
            f"{show_percent(line.raised)} of it is what the survey adds" if line.raised else ""
        )
        for more in ("" if line.peak is None else peak_words(line.peak), surveyed, line.fix):
            lines += wrapped(more, width, 6) if more else []
    if reading.span is not None:
        lines += wrapped(reading.span.words(key), width, 2)
    if reading.category is not None:
        c = reading.category
        sign = "no sign required" if c == 1 else f"sign word {c.word}"
        lines += wrapped(f"Category {c.name.capitalize()} ({rule_name(c)}): {sign}", width, 2, 6)
    return lines


def _shares(reading: Reading, width: int) -> list[str]:
    """The second depth: each emitter's share."""
    if not reading.emitters:
        return []
    return ["Shares of the total, largest first:", *share_lines(reading, width)]


def _reasons(reading: Reading, width: int) -> list[str]:
    """The third depth: an emitter at a time, then assumptions and cautions."""
    lines = ["Emitters, largest share first:"]
    for emitter in by_share(reading):
        head, *rest = reasons(emitter, reading.limit_set.key)
        lines += wrapped(f"{emitter.name}: {head}", width, 2, 6)
        for text in rest:
            lines += wrapped(text, width, 6, 8)
    lines += ["", *wrapped(f"Estimate: {reading.estimate}.", width), "Assumptions:"]
    lines += [row for text in reading.assumptions for row in wrapped(f"- {text}", width, 2, 4)]
    return [*lines, "", "Cautions:", *_listed(reading.cautions, width)]


def _without_reasons(reading: Reading, width: int) -> list[str]:
    """What stands in the place of the reasons: what no reading may be without."""
    own = tuple(c for c in reading.cautions if c not in FULL)
    lines = wrapped(f"Estimate: {reading.estimate}.", width)
    if reading.limit_set.status:
        lines += wrapped(f"Status of the limits: {reading.limit_set.status}", width)
    return [*lines, "", "Cautions:", *_listed((reading.caution, *own), width)]


def _listed(texts: tuple[str, ...], width: int) -> list[str]:
    return [row for text in texts for row in wrapped(f"- {text}", width, 2, 4)]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def reasons(e: SourceLine, key: str, *, feet: bool = False) -> list[str]:
    """Return why an emitter counts as it does, one line a reason; the first says what it is.

    Parameters
    ----------
    e : SourceLine
        The emitter.
    key : str
        Of the limit set.
    feet : bool
        Lengths in feet instead of metres.
    """
    head = f"{show_frequency(e.frequency)}, {show_power(e.power)} radiated, {e.state}"
    if e.power == 0.0:
        return [head, *e.assumptions[-1:]]
    lines = [head]
    if e.reactive:
        lines.append("inside its reactive region: no figure, treat as over every limit")
    else:
        away = f"{e.distance / FOOT:.3g} ft" if feet else f"{e.distance:.3g} m"
        lines.append(
            f"{show_percent(e.public)} of {key} public, {show_percent(e.occupational)} of {key} "
            f"occupational; E {e.e:.3g} V/m, H {e.h:.3g} A/m, S {e.s:.3g} W/m² ({e.s / 10.0:.3g} mW/cm²), "
            f"{away} away"
        )
    for tier, limit in e.limits.items():
        lines.append(
            f"{tier} limit: no limit at this frequency in {key}"
            if limit is None
            else f"{tier} limit: {limit.text}, averaging {limit.averaging} ({limit.source}; {limit.status})"
        )
    lines.append(f"model: {e.model}. {e.why} [{e.source}]; {e.trust}")
    if e.added_db:
        lines.append(f"added because the model can be low: {e.added_db:g} dB")
    return [*lines, e.reflection, *e.power_words, *e.assumptions]


def as_data(reading: Reading) -> dict[str, object]:
    """Return the reading as JSON-ready data; percents are numbers, fields SI with the unit in the name.

    Inside a reactive region ``no_figure`` is true and every percent is held at or above 10 000, so that a
    program that overlooks the flag still sees the place over every limit.
    """
    x, y, z = reading.position
    return {
        "site": reading.site,
        "revision": reading.revision,
        "at": {"x": x, "y": y, "z": z},
        "height_rule": reading.height_rule,
        "limit_set": reading.limit_set.key,
        "percent": {
            "public": 100.0 * reading.public.total,
            "occupational": 100.0 * reading.occupational.total,
        },
        "raised_percent": {
            "public": 100.0 * reading.public.raised,
            "occupational": 100.0 * reading.occupational.raised,
        },
        "raised": list(reading.raised),
        "peak_percent": {
            tier: None if line.peak is None else 100.0 * line.peak
            for tier, line in (("public", reading.public), ("occupational", reading.occupational))
        },
        "best_percent": _both(None if reading.span is None else reading.span.best),
        "direct_percent": _both(None if reading.span is None else reading.span.direct),
        "to_find_out": None if reading.span is None else reading.span.fact,
        "margin_db": {
            "public": reading.public.margin_db,
            "occupational": reading.occupational.margin_db,
        },
        "governing": {
            "public": _governing(reading.public),
            "occupational": _governing(reading.occupational),
        },
        "category": None if reading.category is None else reading.category.name.capitalize(),
        "verdict": reading.verdict,
        "warning": reading.warning,
        "if_back": None
        if reading.if_back is None
        else {
            "antennas": list(reading.if_back.names),
            "percent": {
                "public": 100.0 * reading.if_back.public,
                "occupational": 100.0 * reading.if_back.occupational,
            },
            "no_figure": reading.if_back.reactive,
        },
        "no_figure": bool(reading.reactive),
        "held_at_least_percent": 100.0 * REACTIVE_FRACTION if reading.reactive else None,
        "no_surface": reading.no_surface,
        "not_covered": list(reading.uncovered),
        "emitters": [_source_data(e) for e in reading.emitters],
        "estimate": reading.estimate,
        "assumptions": list(reading.assumptions),
        "cautions": list(reading.cautions),
    }


def _both(fractions: tuple[float, float] | None) -> dict[str, float] | None:
    if fractions is None:
        return None
    return {"public": 100.0 * fractions[0], "occupational": 100.0 * fractions[1]}


def _governing(line: TierLine) -> dict[str, object]:
    return {
        "tier": line.name,
        "table": line.table,
        "side": line.side,
        "body_height_m": line.height,
        "fix": line.fix,
    }


def _source_data(e: SourceLine) -> dict[str, object]:
    return {
        "name": e.name,
        "frequency_hz": e.frequency,
        "state": e.state,
        "power_radiated_w": e.power,
        "percent": {"public": 100.0 * e.public, "occupational": 100.0 * e.occupational},
        "e_v_per_m": e.e,
        "h_a_per_m": e.h,
        "s_w_per_m2": e.s,
        "distance_m": e.distance,
        "no_figure": e.reactive,
        "model": e.model,
        "model_source": e.source,
        "why": e.why,
        "trust": e.trust,
        "added_db": e.added_db,
        "reflection": e.reflection,
        "power": list(e.power_words),
        "assumptions": list(e.assumptions),
        "limit": {
            tier: None
            if limit is None
            else {
                "table": limit.table,
                "text": limit.text,
                "source": limit.source,
                "status": limit.status,
                "averaging": limit.averaging,
            }
            for tier, limit in e.limits.items()
        },
    }
