"""Power bookkeeping: from what a schedule says to the watts an antenna radiates."""

from __future__ import annotations

from dataclasses import dataclass

from core.antennas.base import Kind
from core.errors import InputError
from core.site.site import Antenna, Carrier
from core.units import DIPOLE_GAIN, from_db, show_power, to_db

GAIN_SLACK_DB = 0.5
"""Stated gain may pass the model's directivity by this much: rounding of data sheets."""

AGREEMENT_DB = 0.5
"""Two ways of stating the same power may differ by this much."""


@dataclass(frozen=True, slots=True)
class Radiated:
    """Average power a carrier radiates at full power, and how it was found.

    Attributes
    ----------
    power : float
        W radiated, before the antenna's state is counted.
    eirp : float
        W over isotropic in the model's strongest direction.
    fed : float or None
        W that can go into the antenna at all; None where only ERP or EIRP is known.
    words : tuple of str
        The steps, for the reading.
    """

    power: float
    eirp: float
    fed: float | None
    words: tuple[str, ...]


def radiated(antenna: Antenna, carrier: Carrier) -> Radiated:
    """Return the average radiated power of a carrier on its antenna.

    Raises
    ------
    InputError
        If the stated gain is more than the pattern can have, or two statements of the power disagree.

    Notes
    -----
    Power into the antenna counts as radiated: no credit for loss inside it. ERP and EIRP are those of the licence:
    towards the horizon beam (:meth:`core.antennas.base.Kind.licence_gain`). Where several statements, or what is
    usual for such antennas, leave the radiated power open, the largest counts.
    """
    entry, kind, frequency = carrier.power, antenna.kind, carrier.frequency
    directivity, licence = kind.directivity(frequency), kind.licence_gain(frequency)
    words: list[str] = []
    stated = _stated(kind, carrier, words)
    fed = None
    if entry.transmitter is not None:
        fed = entry.transmitter * from_db(-entry.loss)
        words.append(
            f"transmitter {show_power(entry.transmitter)} less {entry.loss:g} dB of line and filter loss = "
            f"{show_power(fed)} into the antenna"
        )
        if entry.gain is not None:
            stated["transmitter and gain"] = fed * from_db(entry.gain)
            words.append(f"stated gain {entry.gain:.4g} dBi")
    _agree(stated)
    if fed is not None and entry.gain is None and not kind.is_envelope:
        _reachable(stated, fed * licence)
    if entry.gain is not None:
        _plausible(entry.gain, directivity, envelope=kind.is_envelope)
    candidates = [eirp / licence for eirp in stated.values()]
    if fed is not None and not (kind.is_sphere and stated):
        candidates.append(fed)
        under = to_db(licence) - entry.gain if entry.gain is not None else 0.0
        if under > GAIN_SLACK_DB and fed >= max(candidates):
            words.append(
                f"stated gain is {under:.2f} dB under the pattern's: it leaves another way, so the power into the "
                f"antenna counts"
            )
    if fed is None:
        candidates.append(_at_usual_gain(kind, carrier, max(stated.values()), licence, words))
    power = max(candidates)
    eirp = power * directivity
    if licence < 0.99 * directivity:
        words.append(
            f"ERP and EIRP are those of the horizon beam, {to_db(licence):.2f} dBi; the pattern's largest gain is "
            f"elsewhere"
        )
    words.append(
        f"pattern's own directivity {to_db(directivity):.2f} dBi, so {show_power(power)} radiated"
    )
    if carrier.duty < 1.0:
        power, eirp = power * carrier.duty, eirp * carrier.duty
        words.append(f"duty factor {carrier.duty:g} ({carrier.duty_source})")
    most = None if fed is None else max(power, fed * carrier.duty)
    return Radiated(power, eirp, most, tuple(words))


def _stated(kind: Kind, carrier: Carrier, words: list[str]) -> dict[str, float]:
    """Return the EIRP in W that ERP and EIRP entries mean, by how they were entered."""
    entry = carrier.power
    stated: dict[str, float] = {}
    if entry.erp is not None:
        vertical = entry.erp_vertical
        if vertical is None and kind.is_circular:
            vertical = entry.erp
            words.append(
                "ERP of a circular antenna is stated for each polarisation: the vertical part is taken as equal "
                "(if the total was meant, give eirp)"
            )
        elif vertical is None and kind.may_be_circular(carrier.frequency):
            vertical = entry.erp
            words.append(
                "ASSUMED circular, as most FM antennas are: ERP is then stated for each polarisation and the vertical "
                'part counts too; 3 dB less if it is linear (say "circular": false in its model)'
            )
        both = entry.erp + (vertical or 0.0)
        stated["erp"] = DIPOLE_GAIN * both
        parts = (
            f"{show_power(entry.erp)} horizontal + {show_power(vertical)} vertical"
            if vertical is not None
            else show_power(entry.erp)
        )
        words.append(f"ERP {parts}, EIRP = 1.64 × ERP = {show_power(stated['erp'])}")
    if entry.eirp is not None:
        stated["eirp"] = entry.eirp
        words.append(f"EIRP {show_power(entry.eirp)} as stated")
    return stated


def _at_usual_gain(
    kind: Kind, carrier: Carrier, eirp: float, licence: float, words: list[str]
) -> float:
    """Return the power in W behind an EIRP at the stated gain, or at the lowest that is usual for the kind."""
    gain = carrier.power.gain
    if gain is not None:
        at_gain = eirp / from_db(gain)
        if at_gain > 1.01 * eirp / licence:
            words.append(
                f"EIRP over the stated gain of {gain:.4g} dBi is {show_power(at_gain)} into the antenna, which counts"
            )
        return at_gain
    loss = kind.usual_loss(carrier.frequency)
    usual = eirp / licence * from_db(loss)
    if loss > 0.0:
        words.append(
            f"ASSUMED: only the radiated power is known; such antennas have up to {loss:g} dB less gain than this "
            f"pattern, so up to {show_power(usual)} goes in, which counts (state gain or transmitter to narrow it)"
        )
    return usual


def _agree(stated: dict[str, float]) -> None:
    if len(stated) < 2:
        return
    low, high = min(stated.items(), key=lambda x: x[1]), max(stated.items(), key=lambda x: x[1])
    if to_db(high[1] / low[1]) > AGREEMENT_DB:
        raise InputError(
            f"{high[0]} means EIRP {show_power(high[1])} but {low[0]} means {show_power(low[1])}",
            field=low[0].split()[0],
            fix="Correct one of them, or leave one out",
        )


def _reachable(stated: dict[str, float], most: float) -> None:
    """Refuse a stated ERP that the transmitter and this pattern cannot give, or that wastes 3 dB."""
    for name, eirp in stated.items():
        if not -3.0 <= to_db(eirp / most) <= AGREEMENT_DB:
            raise InputError(
                f"{name} means EIRP {show_power(eirp)} but the transmitter on this pattern gives {show_power(most)}",
                field=name,
                fix="Correct one of them, or leave one out",
            )


def _plausible(gain: float, directivity: float, *, envelope: bool) -> None:
    excess = gain - to_db(directivity)
    if not envelope and excess > GAIN_SLACK_DB:
        hint = " (2.15 dB more: dBd and dBi mixed up?)" if 1.6 < excess < 2.7 else ""
        raise InputError(
            f"stated gain {gain:.4g} dBi is {excess:.2f} dB more than the pattern's directivity "
            f"{to_db(directivity):.2f} dBi{hint}",
            field="gain",
            fix="Check the gain's unit, the number of elements, their spacing and the widths",
        )
