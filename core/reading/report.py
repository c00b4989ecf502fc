"""A reading as text a person can read aloud, and as plain data for other programs."""

from __future__ import annotations

from core.exposure.fractions import REACTIVE_FRACTION
from core.limits.categories import Category
from core.reading.data import Reading, SourceLine, TierLine
from core.units import show_frequency, show_percent, show_power


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


def as_text(reading: Reading) -> str:
    """Return the whole reading as text."""
    x, y, z = reading.position
    key = reading.limit_set.key
    lines = [
        f"{reading.site}" + (f" (revision {reading.revision})" if reading.revision else ""),
        f"At x {x:g} m, y {y:g} m, z {z:g} m. {_capital(reading.height_rule)}.",
        "",
        reading.verdict,
    ]
    if reading.warning:
        lines.append(f"  NOTE: {reading.warning}.")
    if reading.if_back is not None:
        lines.append(f"  NOTE: {reading.if_back.words(key)}")
    lines += [f"  {words}." for words in reading.raised]
    for line in (reading.public, reading.occupational):
        if reading.reactive:
            lines.append(f"  no figure against {key} {line.name}")
            continue
        lines.append(
            f"  {show_percent(line.total)} of {key} {line.name}: {margin_words(line)}; {line.side}"
            + ("" if line.peak is None else f"\n      {peak_words(line.peak)}")
        )
        if line.raised > 0.0:
            lines.append(f"      {show_percent(line.raised)} of it is what the survey adds")
        if line.fix:
            lines.append(f"      {line.fix}")
    if reading.span is not None:
        lines.append(f"  {reading.span.words(key)}")
    if reading.category is not None:
        c = reading.category
        sign = "no sign required" if c == 1 else f"sign word {c.word}"
        lines.append(f"  Category {c.name.capitalize()} ({rule_name(c)}): {sign}")
    lines += ["", "Emitters, largest share first:"]
    for emitter in sorted(reading.emitters, key=lambda e: -e.public):
        lines += _source_text(emitter, key)
    lines += ["", f"Estimate: {reading.estimate}.", "Assumptions:"]
    lines += [f"  - {text}" for text in reading.assumptions]
    lines += ["", "Cautions:"]
    lines += [f"  - {text}" for text in reading.cautions]
    return "\n".join(lines) + "\n"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _source_text(e: SourceLine, key: str) -> list[str]:
    head = f"  {e.name}: {show_frequency(e.frequency)}, {show_power(e.power)} radiated, {e.state}"
    if e.power == 0.0:
        return [head, *(f"      {text}" for text in e.assumptions[-1:])]
    lines = [head]
    if e.reactive:
        lines.append("      inside its reactive region: no figure, treat as over every limit")
    else:
        lines.append(
            f"      {show_percent(e.public)} of {key} public, {show_percent(e.occupational)} of {key} "
            f"occupational; E {e.e:.3g} V/m, H {e.h:.3g} A/m, S {e.s:.3g} W/m² ({e.s / 10.0:.3g} mW/cm²), "
            f"{e.distance:.3g} m away"
        )
    for tier, limit in e.limits.items():
        lines.append(
            f"      {tier} limit: no limit at this frequency in {key}"
            if limit is None
            else f"      {tier} limit: {limit.text}, averaging {limit.averaging} ({limit.source}; {limit.status})"
        )
    lines.append(f"      model: {e.model} [{e.source}]; {e.trust}")
    if e.added_db:
        lines.append(f"      added because the model can be low: {e.added_db:g} dB")
    lines.append(f"      {e.reflection}")
    lines += [f"      {text}" for text in (*e.power_words, *e.assumptions)]
    return lines


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
