"""What every kind declares about itself."""

from __future__ import annotations

import typing

import pytest

from core.antennas.base import parameters
from core.antennas.catalogue import CATALOGUE
from core.antennas.dish import Dish
from core.antennas.generic import Generic
from core.antennas.kinds import KINDS
from core.antennas.mast import Mast
from core.antennas.measured import Measured
from core.antennas.panel import Panel
from core.antennas.panel_ring import PanelRing
from core.antennas.stack import Stack
from core.antennas.whip import Whip
from core.antennas.yagi import Yagi
from core.errors import InputError
from core.patterns.readers import read_pattern
from core.validation.data import PATTERNS


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda k: k.KEY)
def test_what_may_be_absent_is_typed_so(kind: type) -> None:
    types = typing.get_type_hints(kind)
    for name, (spec, _) in parameters(kind).items():
        admits = type(None) in typing.get_args(types[name])
        assert admits == spec.optional, name


def test_only_kinds_with_a_forward_direction_have_a_boresight() -> None:
    built = {key: Generic(entry=key) for key in CATALOGUE}
    for key, kind in built.items():
        assert kind.has_boresight == key.startswith(("sector", "dish", "tv")), key
    for bay, forward in (
        ("slant-ring", False),
        ("circular", False),
        ("crossed-v", True),
        ("helix", True),
    ):
        assert Stack(bay=bay, bays=1, design_frequency=98e6, beam_tilt=0.0).has_boresight == forward
    assert not Whip.has_boresight.fget(None)  # type: ignore[attr-defined]
    assert not Mast.has_boresight.fget(None)  # type: ignore[attr-defined]
    for kind_forward in (Panel, Dish, Yagi):
        assert kind_forward.has_boresight.fget(None)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("name", "forward"),
    [
        ("demo-omni-0155.adf", False),
        ("demo-sector65-0850.adf", True),
        ("demo-dish12-11g.nsm", True),
    ],
)
def test_a_pattern_without_a_forward_direction_has_no_boresight(name: str, forward: bool) -> None:
    kind = Measured(file=name, length=1.0, data=read_pattern(PATTERNS / name))
    assert kind.has_boresight == forward


@pytest.mark.parametrize("fields", [(1e-300,), (0.0, 1e-7), (-1.0, 1.0), (101.0,)])
def test_faces_without_a_field_are_refused(fields: tuple[float, ...]) -> None:
    with pytest.raises(InputError, match="largest at least 1e-6"):
        PanelRing(
            levels=2,
            spacing=3.0,
            faces=len(fields),
            radius=0.5,
            panel_height=2.5,
            face_fields=fields,
            beam_tilt=0.0,
        )
