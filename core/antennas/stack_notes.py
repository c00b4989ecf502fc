"""What a reading says of how a stack of bays was computed."""

from __future__ import annotations

from core.fields.unit_field import Note


def bays_note(trust: float, cover: float | None, *, coupled: bool) -> Note:
    """Return the note on bays of a known shape.

    Parameters
    ----------
    trust : float
        m from the metal from which figures count.
    cover : float or None
        Decibels that are added; None for a best estimate.
    coupled : bool
        Whether currents as equal voltages make them count too.
    """
    floor = (
        "."
        if cover is None
        else "; never less than the arms' powers added blind to phase, because the feed currents are assumed and not "
        "measured."
    )
    if coupled and cover is not None:
        floor += (
            " Bays like these couple: the largest field counts, of equal currents and of those that equal voltages "
            "make (induced-EMF method, Balanis ch. 8)."
        )
    return Note(
        "exact field of every dipole arm, summed",
        "three-wave field of the sinusoidal dipole (Balanis, Antenna Theory, ch. 8); power from the integral of the "
        "whole pattern",
        "Near a stack the far-field formulas fail. Each arm's exact electric and magnetic field is added with its phase"
        + floor,
        f"trusted from {trust:.2g} m (0.1 wavelength) from the metal; with assumed currents up to "
        f"{1.4 if coupled else 2.1} dB low before the added decibels",
        cover or 0.0,
    )


def envelope_note(trust: float, cover: float | None) -> Note:
    """Return the note on bays of an unknown shape.

    Parameters
    ----------
    trust : float
        m from the space that the bays may fill from which figures count.
    cover : float or None
        The most decibels that are added; None for a best estimate.
    """
    return Note(
        "envelope over the shapes of circular bays",
        "exact fields of stacks of slanted, crossed and vertical dipoles (Balanis, Antenna Theory, ch. 8); decibels by "
        "own fit to method-of-moments fields, no published source",
        "The shape of the bays is not known. Some shapes send nothing straight down, others as much as to the "
        "horizon; "
        + (
            "a middle between them is estimated." if cover is None else "the larger of both counts."
        ),
        f"trusted from {trust:.2g} m (0.1 wavelength) from the round space the bays may fill, 0.25 wavelength about "
        "their line",
        cover or 0.0,
    )
