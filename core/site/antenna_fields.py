"""What of an antenna besides its kind can be changed, declared as parameters of kinds are: unit, range, meaning."""

from __future__ import annotations

from core.antennas.base import Parameter
from core.site.reflection import ReflectionKind
from core.site.site import Condition

FARTHEST = 100_000.0
"""m: coordinates of a site."""
ESTIMATES = ("conservative", "best")


def _watts(meaning: str) -> Parameter:
    return Parameter("power", meaning, 0.0, 1e9, optional=True)


ANTENNA: dict[str, Parameter] = {
    "name": Parameter("text", "its name on every list and sheet"),
    "state": Parameter(
        "choice", "what its transmitters do; standby and unknown count as on",
        choices=tuple(c.value for c in Condition),
    ),
    "percent": Parameter("number", "percent of full power, where it is reduced", 0.0, 100.0, optional=True),
    "x": Parameter("length", "east of the site's origin", -FARTHEST, FARTHEST),
    "y": Parameter("length", "north of the site's origin", -FARTHEST, FARTHEST),
    "z": Parameter(
        "length", "height of its middle above the datum; of its foot if it stands on ground", -FARTHEST, FARTHEST
    ),
    "azimuth": Parameter("angle", "bearing of its boresight, clockwise from true north", -360.0, 360.0),
    "tilt": Parameter("angle", "mechanical tilt, down", -90.0, 90.0),
    "roll": Parameter("angle", "turned about its boresight, clockwise seen from behind", -180.0, 180.0),
}  # fmt: skip
"""Name, what it does, where it hangs and where it looks."""

NOTES: dict[str, Parameter] = {
    "owner": Parameter("text", "whose it is"),
    "contact": Parameter("text", "whom to call before anybody goes near it"),
    "remark": Parameter("words", "anything else that should be known"),
    "reflection": Parameter(
        "choice", "what reflects its wave; left open, as the site has it", optional=True,
        choices=tuple(k.value for k in ReflectionKind),
    ),
    "estimate": Parameter(
        "choice", "left open, as the site has it; best can be low", optional=True, choices=ESTIMATES
    ),
    "tower_in_pattern": Parameter("flag", "its pattern was measured with the tower in it"),
    "touch": Parameter("flag", "whether its owner lets it be turned down or off at all", optional=True),
    "steps": Parameter(
        "numbers", "percents of full power that it can be set to; 0 is off and locked out", optional=True
    ),
    "stays_on_air": Parameter("flag", "it, or what shares its place on the air, must radiate"),
    "auxiliary_of": Parameter("text", "the main antenna that it is the auxiliary of"),
}  # fmt: skip
"""Whose it is, what is counted about it, and what its owner allows."""

CARRIER: dict[str, Parameter] = {
    "name": Parameter("text", "name of the emission"),
    "frequency": Parameter("frequency", "its frequency", 1e3, 3e11),
    "transmitter": _watts("average power of the transmitter"),
    "erp": _watts("effective radiated power over a dipole, of the licence"),
    "erp_vertical": _watts("the vertical part, where it is stated by itself"),
    "eirp": _watts("effective radiated power over isotropic"),
    "loss": Parameter("loss", "line and filter loss between transmitter and antenna", 0.0, 60.0),
    "gain": Parameter("gain", "stated gain of the antenna", -30.0, 80.0, optional=True),
    "duty": Parameter("number", "average over the averaging time over the power entered", 0.0, 1.0),
    "duty_source": Parameter("text", "whose figure the duty factor is"),
}  # fmt: skip
"""One emission: powers may be entered in any combination that agrees."""

POWERS = ("transmitter", "erp", "erp_vertical", "eirp", "loss", "gain")
DEFAULTS: dict[str, object] = {
    "state": Condition.ON.value, "azimuth": 0.0, "tilt": 0.0, "roll": 0.0, "owner": "", "contact": "", "remark": "",
    "tower_in_pattern": False, "stays_on_air": False, "auxiliary_of": "", "loss": 0.0, "duty": 1.0, "duty_source": "",
}  # fmt: skip
"""What counts where nothing is said; the others are needed, or None."""
