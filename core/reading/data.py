"""A reading as data: what one place shows, with everything behind it."""

from __future__ import annotations

from dataclasses import dataclass

from core.limits.categories import Category
from core.limits.model import LimitSet
from core.reading.cautions import SHORT
from core.reading.span import Span
from core.units import show_percent

NO_SURFACE = "no walking surface is drawn here"
"""Why there is no verdict where nothing is drawn that a person could stand on."""


@dataclass(frozen=True, slots=True)
class LimitLine:
    """The limit that one emitter is held against, and where it is printed."""

    table: str
    text: str
    source: str
    status: str
    averaging: str


@dataclass(frozen=True, slots=True)
class SourceLine:
    """One emitter's part of a reading. Fields are rms at the governing height, reflection included."""

    name: str
    antenna: str
    frequency: float
    state: str
    power: float
    public: float
    occupational: float
    e: float
    h: float
    s: float
    distance: float
    reactive: bool
    model: str
    why: str
    source: str
    trust: str
    added_db: float
    reflection: str
    power_words: tuple[str, ...]
    assumptions: tuple[str, ...]
    limits: dict[str, LimitLine | None]


@dataclass(frozen=True, slots=True)
class TierLine:
    """The total against one tier; with a spatial average also ``peak``, the largest total over the body.

    ``raised`` is the part of the total that readings of surveys add.
    """

    name: str
    total: float
    margin_db: float | None
    side: str
    table: str
    height: float | None
    fix: str
    peak: float | None = None
    raised: float = 0.0


@dataclass(frozen=True, slots=True)
class IfBack:
    """What the place would read if antennas that are off, but not locked out, came back."""

    names: tuple[str, ...]
    public: float
    occupational: float
    reactive: bool

    def words(self, key: str) -> str:
        """The warning in one sentence."""
        who = f"{', '.join(self.names)} {'is' if len(self.names) == 1 else 'are'} off but not locked out"
        if self.reactive:
            return (
                f"{who}: if back on, there is no figure for this place. Treat as over every limit."
            )
        return (
            f"{who}: if back on, {show_percent(self.public)} of {key} public, "
            f"{show_percent(self.occupational)} of {key} occupational."
        )


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading at one place.

    Fractions are of the limit in power terms: 1 is 100 %. ``category`` is None where no verdict is
    possible (an emitter outside the limit set, or no walking surface drawn, and nothing over a limit; or a pole near by
    that carries a wave, ``poles``). ``raised`` says in sentences which readings of surveys raise the place.
    """

    site: str
    revision: str
    position: tuple[float, float, float]
    height_rule: str
    limit_set: LimitSet
    public: TierLine
    occupational: TierLine
    category: Category | None
    reactive: tuple[str, ...]
    uncovered: tuple[str, ...]
    emitters: tuple[SourceLine, ...]
    estimate: str
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]
    warning: str = ""
    poles: tuple[str, ...] = ()
    if_back: IfBack | None = None
    no_surface: bool = False
    span: Span | None = None
    caution: str = SHORT
    raised: tuple[str, ...] = ()

    @property
    def verdict(self) -> str:
        """The reading in one sentence."""
        if self.reactive:
            return f"Inside the reactive region of {', '.join(self.reactive)}: no figure. Treat as over every limit."
        if not self.emitters and not self.raised:
            return "No verdict: there is no emitter on the list."
        if self.category is None and self.poles:
            return (
                f"No verdict beside {', '.join(self.poles)}: treat as over the occupational limit."
            )
        if self.category is None and self.no_surface:
            return f"No verdict: {NO_SURFACE}. The figures are those of the stated height only."
        if self.category is None:
            return f"No verdict: {', '.join(self.uncovered)} is outside the limit set {self.limit_set.key}."
        words = {
            Category.ONE: "Under the public limit.",
            Category.TWO: "Over the public limit, under the occupational limit.",
            Category.THREE: "Over the occupational limit.",
            Category.FOUR: "Over ten times the occupational limit.",
        }[self.category]
        if self.no_surface:
            words = f"{NO_SURFACE.capitalize()}, so this is of the stated height only: {words[0].lower()}{words[1:]}"
        if self.uncovered:
            words += f" Not counted, because outside the limit set: {', '.join(self.uncovered)}."
        return words
