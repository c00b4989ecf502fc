"""Reference patterns in print, as functions of angles in degrees.

Only peak (envelope) forms are here. The average side-lobe forms of the same recommendations are
meant for interference statistics and lie about 3 dB under the peaks, so exposure must not use them.
"""

from core.patterns.formulas.broadcast import cosine_power_field, sinusoidal_field, stack_field
from core.patterns.formulas.cellular import (
    PlanarArray,
    m2101_array,
    m2101_envelope,
    tr25996_sector,
    tr36814_sector,
    tr38901_element,
)
from core.patterns.formulas.dishes import f699_dish, fcc_fixed_link
from core.patterns.formulas.f1336 import (
    IMPROVED,
    TYPICAL,
    SideLobes,
    f1336_low_gain,
    f1336_omni,
    f1336_sector,
    f1336_sector_above_6ghz,
)

__all__ = [
    "IMPROVED",
    "TYPICAL",
    "PlanarArray",
    "SideLobes",
    "cosine_power_field",
    "f699_dish",
    "f1336_low_gain",
    "f1336_omni",
    "f1336_sector",
    "f1336_sector_above_6ghz",
    "fcc_fixed_link",
    "m2101_array",
    "m2101_envelope",
    "sinusoidal_field",
    "stack_field",
    "tr25996_sector",
    "tr36814_sector",
    "tr38901_element",
]
