"""What a title block says of a site and a view, and the assumptions and cautions of every sheet."""

from __future__ import annotations

import re

from app.draw.flow import Block, Entry, lines_of
from app.draw.furniture import Setup, Title
from core.errors import InputError
from core.exposure.sources import not_covered, sources
from core.limits.sets import get_set
from core.limits.tier import Tier
from core.reading.cautions import FULL, contact_cautions
from core.reading.data import NO_SURFACE
from core.reading.provisos import uncounted
from core.site.site import Condition, Site
from core.text import LONGEST_NAME, check_text
from core.units import show_frequency, show_length, show_power
from core.views.defaults import true_azimuth
from core.views.views import PlanView, View
from core.views.words import body_words

_DATE = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")


def title_of(
    site: Site,
    what: str,
    setup: Setup,
    *,
    tier: str = "public and occupational",
    view: View | None = None,
    body: str = "",
    scale: int | None = None,
) -> Title:
    """Return the title of a sheet.

    Parameters
    ----------
    site : Site
        The site.
    what : str
        What is on the sheet.
    setup : Setup
        Job, date and units; without a date that of the site's revision is printed, if it has one.
    tier : str
        Whose limit.
    view : PlanView or ElevationView, optional
        What is drawn, for the body rule and the direction of north.
    body : str
        The body rule where there is no view.
    scale : int, optional
        N of the drawing's scale.
    """
    dated = _DATE.search(site.revision)
    limits = get_set(site.limit_set)
    drawn = {} if scale is None else {"scale": f"1:{scale} on {setup.paper.name}"}
    facing = {} if view is None else {"north": _north(site, view)}
    return Title(
        site=site.name,
        what=what,
        limit_set=limits.key,
        tier=tier,
        body=body if view is None else body_words(view.body, feet=setup.feet),
        job=setup.job,
        revision=site.revision,
        date=setup.date or (dated[0] if dated else ""),
        **drawn,
        **facing,
    )


def check_setup(job: str, date: str) -> None:
    """Refuse a job that cannot be printed and a date that is none.

    Raises
    ------
    InputError
        Naming the field.
    """
    check_text(job, "job", LONGEST_NAME)
    if date and not _DATE.fullmatch(date):
        raise InputError(f"{date!r} is not a date", field="date", fix="Write it like 2026-03-01")


def _north(site: Site, view: View) -> str:
    turn = site.grid_north
    if isinstance(view, PlanView):
        # The map's up is the site's y axis.
        return "up (y axis)" if not turn else f"y axis is {turn:g}° clockwise of true north"
    return f"plane along azimuth {true_azimuth(site, view):g}° (true)"


def tier_name(site: Site, tier: Tier) -> str:
    """Return a tier as the site's limit set calls it."""
    return f"{tier}: {get_set(site.limit_set).name_of(tier)}"


def where(site: Site, view: View, *, feet: bool = False) -> str:
    """Return which plane a view is."""
    if isinstance(view, PlanView):
        return f"plan, {view.height.said(feet=feet)}"
    x, y = view.origin
    place = f"x {show_length(x, feet=feet)}, y {show_length(y, feet=feet)}"
    return f"elevation through {place} along azimuth {true_azimuth(site, view):g}°"


def emitter_block(site: Site) -> Block:
    """Return the list of emitters by their number on the map, with the power that counts now."""
    found = sources(site)
    limits = get_set(site.limit_set)
    outside = set(not_covered(found, limits))
    entries = []
    for i, antenna in enumerate(site.antennas, 1):
        entries.append(
            Entry(text=f"{i}  {antenna.name}: {antenna.state.words}", heavy=True, apart=0.0)
        )
        if antenna.state.condition is Condition.OFF:
            entries.append(
                Entry(text="OFF BUT NOT LOCKED OUT: it can come back", indent=3.0, apart=0.0)
            )
        for source in found:
            if source.antenna is antenna:
                mark = f"; NOT COVERED by {limits.key}" if source in outside else ""
                full = source.radiated.power
                power = f"{show_power(source.power)} now" if source.power else "0 W now"
                if source.power != full:
                    power += f" ({show_power(full)} at full power)"
                tone = show_frequency(source.carrier.frequency)
                text = f"{source.carrier.name}: {tone}, {power}{mark}"
                entries.append(Entry(text=text, indent=3.0, apart=0.0))
    if not entries:
        entries.append(Entry(text="There is no emitter on the list."))
    return Block(
        heading="Emitters: average power radiated now, state counted", entries=tuple(entries)
    )


def warning_block(site: Site, notes: tuple[str, ...] = ()) -> tuple[Block, ...]:
    """Return what must be read first: what is not counted, what is open, what is unknown; nothing if there is none."""
    lines = [f"NOT COUNTED: {line}" for line in uncounted(site)]
    if not site.surfaces:
        lines.append(f"NO VERDICT: {NO_SURFACE}, figures are for a stated height only.")
    lines += [f"{n}." for n in notes]
    if not lines:
        return ()
    entries = tuple(Entry(text=line, heavy=True) for line in lines)
    return (Block(heading="Read this first", entries=entries),)


def assumption_block(site: Site) -> Block:
    """Return what every figure of the sheet assumes."""
    estimate = (
        "conservative estimate"
        if site.conservative
        else "BEST ESTIMATE of the site, which can be low"
    )
    own = [a.name for a in site.antennas if a.conservative is False]
    if own and site.conservative:
        estimate += f"; BEST ESTIMATE, which can be low, of {', '.join(own)}"
    return Block(
        heading="Assumptions",
        entries=lines_of(
            (
                f"{estimate[0].upper()}{estimate[1:]}.",
                f"{site.reflection.words[0].upper()}{site.reflection.words[1:]}.",
                "Modelled sources only; continuous exposure; no shading counted.",
                f"Limits: {get_set(site.limit_set).title}.",
            )
        ),
    )


def caution_block(site: Site) -> Block:
    """Return the cautions that stand wherever a figure is printed."""
    return Block(
        heading="Cautions",
        entries=lines_of((*FULL, *contact_cautions(sources(site), site.limit_set))),
    )
