"""Importing this registers the bound of every antenna kind (:mod:`core.proof.bounds.base`)."""

from core.proof.bounds import (  # noqa: F401
    beam_array,
    dish,
    generic,
    mast,
    measured,
    open_tilt,
    panel,
    panel_ring,
    stack,
    whip,
    wire,
    worst_case,
    yagi,
)
