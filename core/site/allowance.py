"""What the owner of an emitter allows to be done with its power."""

from __future__ import annotations

import math
from dataclasses import dataclass

from core.errors import InputError
from core.text import check_name

FULL = 100.0
SILENT = 0.0
MOST_STEPS = 20
"""Steps of power of one emitter: more are a slip, and every plan would try them all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """What may be asked of an emitter, and what it can do.

    Attributes
    ----------
    touch : bool
        Whether it may be turned down or off at all.
    steps : tuple of float
        The percents of its full power that it can be set to, highest first; 0 is off and locked out. Full power is
        always one of them and is not listed. Where nobody has said, it can only be locked out; what may not be touched
        has none.
    stays_on_air : bool
        It, or one that shares its place (``auxiliary_of``), must radiate.
    auxiliary_of : str
        The main antenna that it is the auxiliary of: of a main and its auxiliaries one at most may radiate.
    """

    touch: bool = True
    steps: tuple[float, ...] = (SILENT,)
    stays_on_air: bool = False
    auxiliary_of: str = ""

    def __post_init__(self) -> None:
        if self.auxiliary_of:
            check_name(self.auxiliary_of, "auxiliary_of")
        if len(self.steps) > MOST_STEPS:
            raise InputError(
                f"has {len(self.steps)} steps", field="steps", fix=f"Use at most {MOST_STEPS}"
            )
        for step in self.steps:
            if not (math.isfinite(step) and SILENT <= step < FULL):
                raise InputError(
                    f"{step:g} % is no step of power",
                    field="steps",
                    fix="Use percents of full power from 0 (locked out) to under 100",
                )
        if len(set(self.steps)) < len(self.steps):
            raise InputError(
                "has the same step twice", field="steps", fix="Write each percent once"
            )
        if self.touch and not self.steps:
            raise InputError(
                "is empty for an emitter that may be touched",
                field="steps",
                fix='Give a step, like [50, 0], or say "touch": false',
            )
        if not self.touch and self.steps not in ((), (SILENT,)):
            raise InputError(
                "are given for an emitter that may not be touched",
                field="steps",
                fix='Leave the steps out, or say "touch": true',
            )
        steps = tuple(sorted(map(float, self.steps), reverse=True)) if self.touch else ()
        object.__setattr__(self, "steps", steps)


UNSAID = Allowance()
"""What counts where nobody has said anything: full power, or locked out."""
