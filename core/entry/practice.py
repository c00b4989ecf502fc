"""What every crew is told whatever the site: the words of practice on a crew's sheet, in our own wording.

Common practice for work at live antennas, no single source; the rules of the site and of the employer come first.
"""

from __future__ import annotations

BEFORE = (
    "Nobody goes in before every line of the list above is filled in: power state told by the owner, locked and tagged "
    "by name, then verified with a meter or a monitor at the place.",
    "Remote control to local; stand-by and automatic switch-over disabled; a note of who is up at the transmitter.",
    "Turned down is not locked out: it is tagged and confirmed.",
    "The site stays as planned until the last person is down; only then the owners restore, after a head count.",
)
"""Before the entry."""

MONITOR = (
    "Everybody wears a personal RF monitor for this limit set, outside the garment, tested, battery full.",
    "It is an alarm, not a survey, and does not sense contact current. On an alarm: stop, go back the way you came, "
    "call, find what is on.",
)

STOP_WORK = (
    "Anybody may stop the work, with the agreed word, and nobody asks why first.",
    "On an alarm that stays, warmth, tingling, a burn, smoke or doubt: away from the antennas by the shortest way, "
    "call for power off, then come down. Report; an RF burn is deep, see a doctor.",
    "If anything changes (an antenna, a power, the weather, the job, a lost lock), stop and get a new sheet.",
)

RESCUE = (
    "The rescue plan does not count on the power being off. Who can switch off everything, and in how many minutes: "
    "____________________",
    "Rescue leader and emergency number: ____________________",
)

PEOPLE = (
    "An implant, a device worn on the body, or a pregnancy: tell the RF safety lead in confidence and ask a doctor "
    "before going in.",
)

CONTACT = (
    "Grip metal firmly with gloves, never with a fingertip. Cranes, winch ropes, long pipes and cables gather RF: bond "
    "them before anybody takes hold.",
)
