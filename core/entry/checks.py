"""What is looked at before a garment is worn, what it is not for, and how it is kept, in our own words.

Common practice for sets of conductive cloth; the card and the instructions of the garment itself come first.
"""

from __future__ import annotations

from collections.abc import Iterator

from core.site.job import Job
from core.site.ticks import PRE_USE_CHECKS, Tick

PRE_USE = (
    "The whole set is here: coverall, head cover with its mesh, gloves, socks. All is worn or none counts.",
    "Cloth, mesh and seams are whole, dry and clean: no hole, thin place, loose thread of metal or burn mark.",
    "Every zip, flap and strip is closed to its end, and its metal touches bare metal, not paint or dirt.",
    "Joints between the parts overlap and touch all round: head cover to collar, gloves to sleeves, socks to legs.",
    "The hard hat is worn with the head cover on, and turning the head opens nothing.",
    "The conductive gloves are under the work gloves and reach into the sleeves.",
    "The socks touch the coverall's legs all round, inside the boots.",
    "No bare skin touches metal across a gap: collar, wrists, ankles, buckles, watch, chain, tool cord.",
    "The harness sits over the set, and no strap or buckle opens a closure.",
    "The wearer can see, hear, use the radio and do every task of this job with it on.",
    "A second person has looked over the wearer before the climb.",
    "The personal monitor works and is worn outside the set.",
)
"""Before each use, in the order of :data:`core.site.ticks.PRE_USE_CHECKS`; who goes in with a line that is not ticked
goes without a garment. No figure depends on it: the verdict says what is not done yet."""


def pre_use(job: Job) -> Iterator[tuple[str, Tick | None]]:
    """Yield every check before the garment is worn, and who has done it for a job; None where nobody has.

    Parameters
    ----------
    job : Job
        The job.
    """
    done = {tick.check: tick for tick in job.garment_checks}
    for check, text in zip(PRE_USE_CHECKS, PRE_USE, strict=True):
        yield text, done.get(check)


def not_done(job: Job) -> str:
    """Return how many checks before the garment is worn are not done yet, in a sentence; empty where all are.

    Parameters
    ----------
    job : Job
        The job.
    """
    count = len(job.unticked)
    return f"{count} of its {len(PRE_USE)} checks before it is worn not done yet" if count else ""


NOT_FOR = (
    "Touching an energised conductor or the hot part of an antenna: the set is conductive, not insulating.",
    "AM towers and other steel that is itself the antenna, and bands where contact current decides.",
    "Frequencies or levels that its card does not have.",
    "Flame, arcs, hot work or power-frequency lines, unless it is rated for these too.",
    "Standing in for what comes first: off and locked, less power, distance.",
    "People who were not trained with it, and the public.",
)
"""What a garment is not for."""

IN_THE_FIELD = (
    "Nothing is opened or taken off until the field is left, however hot it is: plan breaks outside, water and shade.",
    "Long metal carried along (pipes, cables, winch ropes, tapes) gathers and re-radiates: keep it short, keep it away "
    "from the face, take hold of it firmly and not with a fingertip.",
    "A tear, a warm or tingling spot, smoke or an alarm: leave by the shortest way, power off, report.",
    "Damage is mended only to leave the field; there is no entry again before the lasting repair.",
)
"""While it is worn."""

CARE = (
    "Store it dry, loose and in the dark; do not fold the mesh.",
    "Wash it only as its card says and count the washes; no bleach, no ironing of the mesh.",
    "Have seams and joints measured as often as the card says, after every repair and after every doubt.",
    "Write down every use, wash, repair, inspection and measurement with date and name.",
)
"""Care and storage."""
