"""What an antenna's transmitters are doing, and how much of their power counts for it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from core.errors import InputError
from core.site.places import check_unique
from core.text import check_name


class Condition(StrEnum):
    """What a transmitter is doing, as far as the plan knows."""

    ON = "on"
    REDUCED = "reduced"
    OFF = "off"
    LOCKED_OUT = "locked out"
    STANDBY = "standby"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class State:
    """Condition of an antenna's transmitters; ``percent`` is the power left when reduced.

    A transmitter that is merely off, on standby or unknown can come back while a crew is up: standby
    and unknown count at full power, off and locked out count as silent.
    """

    condition: Condition = Condition.ON
    percent: float = 100.0

    def __post_init__(self) -> None:
        if not 0.0 < self.percent <= 100.0:
            raise InputError(
                f"{self.percent:g} % is not a power reduction",
                field="percent",
                fix="Use more than 0 and at most 100, or the state off",
            )

    @property
    def factor(self) -> float:
        """Share of the full power that counts."""
        if self.condition in (Condition.OFF, Condition.LOCKED_OUT):
            return 0.0
        return self.percent / 100.0 if self.condition is Condition.REDUCED else 1.0

    @property
    def words(self) -> str:
        """The state as the lists show it."""
        if self.condition is Condition.REDUCED:
            return f"reduced to {self.percent:g} %"
        if self.condition in (Condition.STANDBY, Condition.UNKNOWN):
            return f"{self.condition.value} (counts as on)"
        return self.condition.value


ON = State()
"""At full power."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedState:
    """A state of the site by name: which antennas are how; those it does not name stay as they are.

    ``states`` are pairs of an antenna's name and its state.
    """

    name: str
    states: tuple[tuple[str, State], ...]

    def __post_init__(self) -> None:
        check_name(self.name)
        if not self.states:
            raise InputError("names no antenna", fix="Name at least one, or remove the state")
        for antenna, _ in self.states:
            check_name(antenna, "")
        check_unique([antenna for antenna, _ in self.states], "", "antenna")
