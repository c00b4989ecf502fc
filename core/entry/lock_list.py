"""A power plan in words and as data: what is turned down, by whom, and the list that is locked and tagged by."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from core.entry.plans import Least, Plan
from core.entry.power_plan import PowerPlan
from core.entry.steps import Step
from core.exposure.sources import sources
from core.exposure.surveyed import raised_words
from core.reading.cautions import FULL, contact_cautions
from core.reading.provisos import uncounted
from core.site.site import Antenna, Site
from core.site.state import Condition
from core.units import show_power

BLANK = "________"
"""What is left for a hand to fill in."""
OVER_THE_LIMIT = "NOTE: the target is over the limit: nobody goes there but in a garment that is rated for it, checked"
_NUMBER = re.compile(r"\+?\d[\d ()/.-]{3,}\d")
_REACTIVE = 1e5


@dataclass(frozen=True, slots=True)
class LockLine:
    """One emitter of the lock-and-tag list; empty text is for a hand to fill in."""

    emitter: str
    owner: str
    contact: str
    number: str
    before: str
    after: str
    when: str = ""
    verified_by: str = ""
    restored_by: str = ""

    def as_data(self) -> dict[str, str]:
        """Return the line as it stands in JSON."""
        return {
            "emitter": self.emitter,
            "owner": self.owner,
            "contact": self.contact,
            "number": self.number,
            "from": self.before,
            "to": self.after,
            "when": self.when,
            "verified_by": self.verified_by,
            "restored_by": self.restored_by,
        }


def lock_list(site: Site, plan: Plan, when: str = "") -> tuple[LockLine, ...]:
    """Return the lock-and-tag list of a plan: what it turns down, then what is off and has to be locked out.

    Parameters
    ----------
    site : Site
        The site as it is before.
    plan : Plan
        The plan.
    when : str
        For when it is asked; empty for a hand to fill in.
    """
    return tuple(_line(site.antenna(s.antenna), s, when) for s in (*plan.steps, *plan.locks))


def _line(antenna: Antenna, step: Step, when: str) -> LockLine:
    contact, number = called(antenna.contact)
    before, after = step.before.words, step.after.words
    return LockLine(antenna.name, antenna.owner, contact, number, before, after, when)


def called(contact: str) -> tuple[str, str]:
    """Return who is called and the number from the one line that a contact is; empty where it has none.

    Examples
    --------
    >>> called("night desk 555-0142"), called("not known")
    (('night desk', '555-0142'), ('not known', ''))
    """
    found = _NUMBER.search(contact)
    if found is None:
        return contact.strip(), ""
    who = (contact[: found.start()] + contact[found.end() :]).strip(" ,;:")
    return who, found.group().strip()


def notes(site: Site, plan: Plan) -> tuple[str, ...]:
    """Return what has to be known of a plan besides, in sentences, the gravest first.

    Parameters
    ----------
    site : Site
        The site as it is before.
    plan : Plan
        The plan.
    """
    return tuple(_notes(site, plan))


def _notes(site: Site, plan: Plan) -> Iterator[str]:
    for text in uncounted(plan.applied(site)):
        yield f"NOT COUNTED: {text}"
    for line in lock_list(site, plan):
        if not line.number:
            yield f"NOBODY TO CALL for {line.emitter}: find its owner before the plan is relied on"
    for step in (*plan.steps, *plan.locks):
        if step.before.condition is Condition.UNKNOWN:
            yield f"{step.antenna}: nobody knows what it does; treat it as on until it is seen to be locked out"
    for step in plan.steps:
        if site.antenna(step.antenna).allows is None:
            yield f"{step.antenna}: nobody has said what its owner allows; it was taken as on or locked out"
    for name in _reduced(plan):
        yield f"{name}: reduced power is no lockout; tag it, and check it with a meter before entry"
    for step in plan.steps:
        if step.before.factor == 0.0 and step.after.factor > 0.0:
            yield f"{step.antenna} is turned ON in place of another: nobody may be near it then"


def _reduced(plan: Plan) -> list[str]:
    return [s.antenna for s in (*plan.steps, *plan.locks) if s.after.condition is Condition.REDUCED]


_PROVEN = "Proven for all of it, by a bound and not by samples: nowhere over."
NOT_THERE = "NOT proven: a plan counts the models only, and readings of a survey there are above them, unexplained"


def plan_data(found: PowerPlan) -> dict[str, Any]:
    """Return what was found as the key ``plan`` of an entry has it: ``steps``, ``meets``, ``reason``."""
    steps = [_step_data(s) for s in found.best.steps] if found.best is not None else []
    return {"steps": steps, "meets": found.meets, "reason": reason(found)}


def _step_data(step: Step) -> dict[str, str]:
    return {"emitter": step.antenna, "from": step.before.words, "to": step.after.words}


def reason(found: PowerPlan) -> str:
    """Return why none meets the criteria and what would have to change, in one sentence; empty where one does.

    Parameters
    ----------
    found : PowerPlan
        What was found.
    """
    if found.best is not None:
        return NOT_THERE if found.raised else ""
    text = f"No plan: {found.reason}"
    if found.change is None:
        return text
    rules = ", ".join(dict.fromkeys(found.change.broken))
    return f"{text}. It would do if this were changed: {rules}" if rules else text


def as_data(site: Site, found: PowerPlan, when: str = "") -> dict[str, Any]:
    """Return everything of a plan for JSON.

    Parameters
    ----------
    site : Site
        The site as it is before.
    found : PowerPlan
        The plan.
    when : str
        For when it is asked.
    """
    best = found.best
    return {
        "site": site.name,
        "revision": site.edition,
        "raised": list(raised_words(site)),
        "area": found.area.words,
        "criteria": [
            {"words": c.said(site.limit_set), "tier": c.tier, "percent": c.percent, "margin_db": c.margin}
            for c in found.criteria
        ],
        "before_percent_of_target": None if found.before >= _REACTIVE else 100.0 * found.before,
        "plan": plan_data(found),
        **(_plan_data(best) if best is not None else {}),
        "lock_list": [] if best is None else [line.as_data() for line in lock_list(site, best, when)],
        "proof": None if found.least is None else _proof_data(found.least),
        "others": [_plan_data(p) | {"steps": [_step_data(s) for s in p.steps]} for p in found.others],
        "change": None
        if found.change is None
        else {
            "rules": list(dict.fromkeys(found.change.broken)),
            "steps": [_step_data(s) for s in found.change.steps],
        },
        "notes": [
            *([OVER_THE_LIMIT] if any(c.is_over_the_limit for c in found.criteria) else []),
            *(notes(site, best) if best is not None else ()),
        ],
        "cautions": [*contact_cautions(sources(site), site.limit_set), *FULL],
    }  # fmt: skip


def _plan_data(plan: Plan) -> dict[str, Any]:
    return {
        "owners": list(plan.owners),
        "lost_w": plan.lost,
        "highest_percent_of_target": 100.0 * plan.highest,
        "highest_at": list(plan.where),
    }


def _proof_data(least: Least) -> dict[str, Any]:
    return {
        "least_emitters": least.touched,
        "least_owners": least.owners,
        "least_lost_w": least.lost,
        "exact": least.exact,
        "passed_over": least.passed,
    }


def as_text(site: Site, found: PowerPlan, when: str = "") -> str:
    """Return a plan as text, with its lock-and-tag list.

    Parameters
    ----------
    site : Site
        The site as it is before.
    found : PowerPlan
        The plan.
    when : str
        For when it is asked.
    """
    head = f"Power plan: {site.name}" + (f" (revision {site.edition})" if site.edition else "")
    wanted = " and ".join(c.said(site.limit_set) for c in found.criteria)
    lines = [head, f"For {found.area.words}: at most {wanted}.", f"Now: {_before(found)}.", ""]
    lines += plan_lines(site, found, when)
    raised = raised_words(site)
    if raised:
        lines += ["", "A plan counts the models only. About these places none is proven:"]
        lines += [f"  {line}." for line in raised]
    lines += ["", "Cautions:"]
    lines += [f"  {line}" for line in (*contact_cautions(sources(site), site.limit_set), *FULL)]
    return "\n".join(lines) + "\n"


def plan_lines(site: Site, found: PowerPlan, when: str = "") -> list[str]:
    """Return what has to be done, or why nothing is enough, line by line, with the lock-and-tag list.

    Parameters
    ----------
    site : Site
        The site as it is before.
    found : PowerPlan
        The plan.
    when : str
        For when it is asked.
    """
    if found.best is not None:
        return _best(site, found, found.best, when)
    lines = [f"{reason(found)}."]
    if found.change is not None:
        lines += ["Then:", *(f"  {_said(s)}" for s in found.change.steps)]
    return lines


def _before(found: PowerPlan) -> str:
    if found.before >= _REACTIVE:
        return "inside the reactive region of an antenna, over every limit"
    return f"{100.0 * found.before:.4g} % of what is allowed was seen there"


def _said(step: Step) -> str:
    return f"{step.antenna}: {step.before.words} -> {step.after.words}"


def _best(site: Site, found: PowerPlan, best: Plan, when: str) -> list[str]:
    if not best.steps:
        lines = ["Nothing has to be turned down."]
    else:
        lines = [f"Turn down {_counted(best)}:", *(f"  {_said(s)}" for s in best.steps)]
    if best.locks:
        lines += ["Set as well (only off now and counted as silent, or set by the job):"]
        lines += [f"  {_said(s)}" for s in best.locks]
    x, y, z = best.where
    lines.append(
        f"Then at most {100.0 * best.highest:.4g} % of what is allowed was seen, at {x:.2f}, {y:.2f}, {z:.2f} m. "
        + (f"{NOT_THERE}." if found.raised else _PROVEN)
    )
    if found.least is not None and best.steps:
        lines.append(_least_words(found.least, best))
    if any(c.is_over_the_limit for c in found.criteria):
        lines.append(OVER_THE_LIMIT)
    lines += [f"NOTE: {note}" for note in notes(site, best)]
    lines += _table(lock_list(site, best, when))
    for i, other in enumerate(found.others, 1):
        lines += ["", f"Next best {i}: {_counted(other)}"] + [f"  {_said(s)}" for s in other.steps]
    if best.steps and not found.others:
        lines += ["", "Every other plan touches all of these emitters too."]
    return lines


def _counted(plan: Plan) -> str:
    n, m = len(plan.steps), len(plan.owners)
    return (
        f"{n} emitter{'' if n == 1 else 's'} of {m} owner{'' if m == 1 else 's'}, "
        f"{show_power(plan.lost) if plan.lost else '0 W'} less radiated"
    )


def _least_words(least: Least, best: Plan) -> str:
    if least.exact:
        return (
            f"Proven to be the least: no plan touches fewer emitters than {least.touched:g}, none of those fewer "
            f"owners than {least.owners:g}, and none of those loses less power."
        )
    passed = ""
    if least.passed:
        were = "plan was" if least.passed == 1 else "plans were"
        passed = (
            f" {least.passed} {were} passed over because a search could not decide them, and with them what is as high "
            "at the same places."
        )
    return f"NOT PROVEN to be the least: at least {least.touched:g} emitters and {least.owners:g} owners.{passed}"


def _table(lines: tuple[LockLine, ...]) -> list[str]:
    if not lines:
        return []
    head = (
        "emitter",
        "owner",
        "contact",
        "number",
        "from",
        "to",
        "when",
        "verified by",
        "restored by",
    )
    rows = [[v or BLANK for v in line.as_data().values()] for line in lines]
    wide = [max(len(r[i]) for r in (head, *rows)) for i in range(len(head))]
    return ["", "Lock and tag:"] + [
        "  " + "  ".join(v.ljust(w) for v, w in zip(row, wide, strict=True)).rstrip()
        for row in (head, *rows)
    ]
