"""What a reading says of how a sector panel was computed."""

from __future__ import annotations

from core.fields.unit_field import Note


def panel_notes(trust: float, covers: tuple[float, float] | None) -> tuple[Note, Note]:
    """Return the notes on the field ahead of a panel, and on that all round.

    Parameters
    ----------
    trust : float
        m from the radome from which figures count.
    covers : tuple of float or None
        Decibels that are added ahead and all round; None for a best estimate.
    """
    front, side = covers or (0.0, 0.0)
    careful = covers is not None
    return (
        Note(
            "dipoles with their images in the reflector, exact fields summed",
            "three-wave field of the sinusoidal dipole (Balanis, Antenna Theory, ch. 8) with image "
            "theory; power from the integral of the whole pattern",
            "In front of a panel the near field of every dipole and its "
            "mirror image is added with its phase and shaped to the stated azimuth width."
            + (
                " A share of the dipoles' powers added blind to phase comes on top, because coupled dipoles do not "
                "take even currents."
                if careful
                else ""
            ),
            f"trusted from {trust:.2g} m (0.2 wavelength) from the radome; even currents are assumed: a feed that "
            "gives the ends -4 dB on purpose can be higher in front of the middle, within 3 wavelengths",
            front,
        ),
        Note(
            "dipoles without the reflector, exact fields summed",
            "three-wave field of the sinusoidal dipole (Balanis, Antenna Theory, ch. 8); decibels and credit "
            "behind by own fit to method-of-moments panels, no published source",
            "Past a reflector's edges the wave comes from the dipoles themselves. "
            + (
                "No credit for the front-to-back ratio above, below and beside, and at most 7 dB behind: close in "
                "it is not earned. Never less than most of the dipoles' powers added blind to phase."
                if careful
                else "Behind, the stated front-to-back ratio is taken as it is."
            ),
            f"trusted from {trust:.2g} m (0.2 wavelength) from the radome; behind, some 10 dB high",
            side,
        ),
    )
