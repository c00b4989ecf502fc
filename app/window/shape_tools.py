"""Shapes of the site drawn, chosen, moved, turned, copied and removed in the window, every edit one undo step."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Signal

from app.modes.drawing import Left, Mode, Said
from app.modes.handling import Deleted, Handling, Picked, Reshaped
from app.modes.making import check_answer, foot_of, made, outline_of, stem_of
from app.modes.picking import under, upright
from app.modes.shape_kinds import BY_KEY, Ask, said
from app.modes.tracing import Answered, Closed, Tracing, Typed
from app.window.document import Document
from app.window.maps import Maps
from app.window.mode_hand import ModeHand
from app.window.pane import Pane
from app.window.typed import length
from app.window.typed_steps import coordinates, height, step
from core.errors import InputError
from core.fences.snapping import Snapped, targets
from core.site.moving import moved, turned
from core.site.parts import (
    THE_PICTURE,
    Part,
    Shape,
    free_name,
    part_of,
    parts,
    value_of,
)
from core.site.picturing import laid, scaled_to
from core.site.places import Picture
from core.site.roofs import left_behind, with_changed, with_copy, without_part
from core.site.site import Site
from core.text import some

_STEPS = 3_000_000
"""Where the keys of steps of a part begin: those in a row undo as one."""

_REACH = 9.0
"""Pixels within which a click means a line."""
_BESIDE = 2.0
"""m to the east and to the south that a copy lies beside what it was copied from."""


class ShapeTools(ModeHand):
    """Holds the mode of the plan that draws shapes or takes them into the hand, and carries out its effects."""

    refused = Signal(str)
    accepted = Signal(str)
    noted = Signal(str)
    drawing_ended = Signal()
    handling_ended = Signal()

    def __init__(self, document: Document, maps: Maps) -> None:
        super().__init__()
        self.document, self.maps = document, maps
        self.plan = maps.pane("plan").canvas
        document.site_changed.connect(self._follow)
        for pane in maps.panes:
            pane.clicked.connect(self._clicked)

    # what is chosen --------------------------------------------------------------------------------

    @property
    def part(self) -> Part | None:
        """The chosen part of the site."""
        return self.maps.scene.part

    def choose(self, part: Part | None) -> None:
        """Mark a part on all maps and show its form; None marks nothing."""
        self.maps.choose(part)
        if isinstance(self.mode, Handling):
            self.turn(self.mode.on(self.document.site, part), None)

    def _clicked(self, pane: Pane, u: float, v: float) -> None:
        """Choose what was clicked on a map, in the task of what is there."""
        scene, reach = self.maps.scene, _REACH * pane.canvas.scale
        if scene.task != "site" or pane.canvas.antennas_at((u, v)):
            # What stands before the shapes comes first: see AntennaTools.
            return
        if pane.name == "plan":
            part = under(scene.site, (u, v), reach)
        else:
            part = upright(scene.site, pane.view(scene), (u, v), reach)
        if part is not None:
            self.choose(part)

    # edits of what is chosen -----------------------------------------------------------------------

    def change(self, part: Part, value: Shape | Site, done: str, key: int = -1) -> None:
        """Change a part; it stays chosen, also under another name.

        Raises
        ------
        InputError
            If the site cannot have it.
        """
        behind = left_behind(self.document.site, part, value)
        self.document.edit(
            f"{done} {said(part)}", lambda site: with_changed(site, part, value), key
        )
        new = part_of(value)
        if self.part == part or self.part is None:
            self.choose(new)
        self.accepted.emit("")
        if behind:
            self.noted.emit(
                f"{said(new)} takes along what stands on it; antennas stay where they are: {some(behind, 3)}"
            )

    def reshape(self, effect: Reshaped) -> None:
        """Change a part as a hand on a map has done; steps of keys in a row undo as one. Raises as :meth:`change`."""
        steps = _STEPS + parts(self.document.site).index(effect.part)
        self.change(effect.part, effect.shape, effect.done, steps if effect.stepped else -1)

    def copy(self) -> None:
        """Copy what is chosen, a little to the side."""
        shape = value_of(self.document.site, self.part) if self.part is not None else None
        if shape is None or isinstance(shape, Site | Picture):
            self.refused.emit("There is nothing to copy. Choose a part of the site first")
            return
        part = part_of(shape)
        name = free_name(self.document.site, part.group, re.sub(r" \d+$", "", shape.name))
        new: Any = moved(shape, (_BESIDE, -_BESIDE, 0.0))
        new = replace(new, name=name)
        self._do(f"copy {said(part)}", *with_copy(self.document.site, shape, new))

    def remove_chosen(self) -> None:
        """Remove what is chosen; undo brings it back."""
        self.remove(self.part)

    def remove(self, part: Part | None) -> None:
        """Remove a part; undo brings it back."""
        if part is None or value_of(self.document.site, part) is None:
            self.refused.emit("Nothing is chosen. Choose a part of the site first")
            return
        try:
            self._do(f"remove {said(part)}", without_part(self.document.site, part), None)
        except InputError as error:
            self.refused.emit(error.line())
            return
        self.accepted.emit(f"{said(part)} is removed. Undo brings it back")

    def turn_by(self, degrees: float) -> None:
        """Turn what is chosen clockwise about its middle.

        Raises
        ------
        InputError
            If nothing is chosen, or the site cannot have it.
        """
        self._reshape("turn", lambda shape: turned(shape, degrees))

    def move_by(self, by: tuple[float, float, float]) -> None:
        """Move what is chosen, m to the east, to the north and up; raises as :meth:`turn_by`."""
        self._reshape("move", lambda shape: moved(shape, by))

    def _reshape(self, done: str, to: Any) -> None:
        value = value_of(self.document.site, self.part) if self.part is not None else None
        if value is None or isinstance(value, Site):
            raise InputError(f"there is nothing to {done}", fix="Choose a part of the site first")
        self.change(part_of(value), to(value), done)

    def _do(self, text: str, site: Site, part: Part | None) -> None:
        self.document.edit(text, lambda _: site)
        self.choose(part)

    # modes -----------------------------------------------------------------------------------------

    def draw(self, key: str, on: bool) -> None:
        """Begin to draw a shape of a kind, or stop."""
        if on:
            scene, kind = self.maps.scene, BY_KEY[key]
            on_plan = scene.pin is not None and scene.pin.pane == "plan"
            start = scene.pin.place[:2] if scene.pin is not None and on_plan else scene.origin
            # What is drawn is marked as what is chosen is: one of them at a time.
            self.maps.choose(None)
            near = targets(scene.site if kind.trace != "pair" else Site(name="none", antennas=()))
            self._enter(
                Tracing(
                    kind, scene.site, near, at=Snapped((float(start[0]), float(start[1]))),
                    feet=scene.look.feet,
                )
            )  # fmt: skip
        elif isinstance(self.mode, Tracing) and self.mode.kind.key == key:
            self._let_go()

    def set_picture(self, on: bool) -> None:
        """Begin to place the plan picture by two points of it, or stop."""
        if on and self.document.site.picture is None:
            self.refused.emit(
                "There is no plan picture. Choose one first (File, Place a plan picture)"
            )
            self.drawing_ended.emit()
            return
        self.draw("picture", on)

    def handle(self, on: bool) -> None:
        """Begin to take shapes into the hand, or stop."""
        if on:
            scene = self.maps.scene
            self._enter(Handling(scene.site, scene.part, feet=scene.look.feet))
        elif isinstance(self.mode, Handling):
            self._let_go()

    def stop(self) -> None:
        """Leave any mode; nothing is changed."""
        if self.mode is not None:
            self._leave()

    def set_feet(self, on: bool) -> None:
        """Say and read lengths in feet, or in metres, from now on."""
        if isinstance(self.mode, Tracing | Handling):
            self.turn(replace(self.mode, feet=on), None)

    def _enter(self, mode: Mode) -> None:
        self.mode, self.plan.hand = mode, self
        self.plan.setFocus()
        self.plan.show_sketch(mode.sketch())

    def _let_go(self) -> None:
        self.mode = None
        if self.plan.hand is self:
            self.plan.hand = None
            self.plan.show_sketch(None)

    def _leave(self) -> None:
        # The actions are switched off only when a mode ends by itself: of two kinds, one takes the place of the other.
        ended = self.drawing_ended if isinstance(self.mode, Tracing) else self.handling_ended
        self._let_go()
        ended.emit()

    def _follow(self, site: Site) -> None:
        """Keep the mode right on a changed site."""
        if isinstance(self.mode, Tracing):
            near = self.mode.targets if self.mode.kind.trace == "pair" else targets(site)
            self.turn(replace(self.mode, site=site, targets=near), None)
        elif isinstance(self.mode, Handling):
            self.turn(self.mode.on(site, self.part), None)

    # the mouse and the keys, from the canvas -------------------------------------------------------

    def lets_pan(self) -> bool:
        """Return whether a press that took hold of nothing moves the map."""
        return isinstance(self.mode, Handling) and self.mode.carried is None

    def takes_back(self) -> bool:
        """Return whether undo means the last place that was put, not the last edit."""
        return isinstance(self.mode, Tracing) and bool(self.mode.corners or self.mode.text)

    def typed(self, text: str) -> bool:
        """Take a letter or a figure, where something is being traced."""
        mode = self.mode.typed(text) if isinstance(self.mode, Tracing) else None
        if mode is None:
            return False
        self.turn(mode, None)
        return True

    def waiting(self) -> list[str]:
        """Return what is drawn and not finished yet: no file has it."""
        mode = self.mode
        if isinstance(mode, Tracing) and (mode.corners or mode.answers):
            return [f"the half drawn {mode.kind.title.lower()}"]
        return []

    # effects ---------------------------------------------------------------------------------------

    def turn(self, mode: Mode, effect: object | None) -> None:
        """Take over the next mode and carry out what it brings about; what is refused changes nothing."""
        self.mode = mode
        if effect is not None:
            try:
                self._carry_out(mode, effect)
            except InputError as error:
                self.refused.emit(error.line())
        if isinstance(self.mode, Tracing):
            self.mode = replace(self.mode, usual=self._usual(self.mode))
        self.plan.show_sketch(self.mode.sketch() if self.mode is not None else None)

    def _usual(self, mode: Tracing) -> str:
        if mode.ask is not None and mode.ask.form == "text":
            return stem_of(mode.kind, self.document.site)
        return mode.ask.usual if mode.ask is not None else ""

    def _carry_out(self, mode: Mode, effect: object) -> None:
        match effect:
            case Left():
                self._leave()
            case Said(text):
                self.refused.emit(text)
            case Picked(part):
                self.maps.choose(part)
            case Reshaped():
                self.reshape(effect)
            case Deleted(part):
                self.remove(part)
            case Typed(text, here) if isinstance(mode, Tracing):
                self._put(mode, text, here=here)
            case Closed() if isinstance(mode, Tracing):
                outline_of(mode.kind, mode.corners)
                self.accepted.emit("")
                self._or_stay(mode, mode.asked())
            case Answered(ask, text) if isinstance(mode, Tracing):
                value = self._answer(mode, ask, text or self._usual(mode))
                check_answer(self.document.site, mode.kind, mode.corners, ask.name, value)
                self.accepted.emit("")
                self._or_stay(mode, mode.answered(value))

    def _put(self, mode: Tracing, text: str, *, here: bool) -> None:
        """Put the place that was typed."""
        last = mode.corners[-1] if mode.corners else None
        toward = mode.at.place if mode.at is not None else None
        there: tuple[float, ...]
        if mode.kind.trace == "climb" and last is not None and _is_length(text):
            spot = toward if here and toward is not None else last
            there = (*spot, height(text, mode.heights[-1], feet=mode.feet))
        else:
            north = self.document.site.grid_north
            there = step(text, last, toward, feet=mode.feet, grid_north=north)
        self.accepted.emit("")
        self.turn(*mode.put((there[0], there[1]), there[2] if len(there) > 2 else None))

    def _answer(self, mode: Tracing, ask: Ask, text: str) -> Any:
        """Return what a text answers.

        Raises
        ------
        InputError
            If it is no answer.
        """
        if not text.strip():
            raise InputError(f"type it: {ask.words}", field=mode.kind.title)
        try:
            if ask.form == "text":
                return text.strip()
            if ask.form == "height":
                floor = foot_of(self.document.site, mode.kind, mode.corners)
                return height(text, floor, feet=mode.feet)
            if ask.form == "length":
                return length(text, feet=mode.feet)
            there = coordinates(text, feet=mode.feet)
            if there is None and ask.form == "length or place":
                return length(text, feet=mode.feet)
            if there is None or len(there) != 2:
                raise InputError(f"{text!r} is no place", fix="Write x; y")
            return there
        except InputError as error:
            raise error.within(ask.name.capitalize()) from None

    def _or_stay(self, before: Tracing, mode: Tracing) -> None:
        """Go on to a mode; where the site cannot have the shape, all stays as it was typed before."""
        try:
            self._ask_on(mode)
        except InputError:
            self.mode = before
            raise

    def _ask_on(self, mode: Tracing) -> None:
        """Ask the next question, or make the shape where all is known."""
        self.mode = mode
        answers = dict(mode.answers)
        if mode.kind.trace == "pair":
            if "second" in answers or isinstance(answers.get("apart"), float):
                self._lay(mode, answers)
            return
        if mode.ask is None:
            site, part = made(self.document.site, mode.kind, mode.corners, mode.heights, answers)
            done = "cut a hole in" if mode.kind.key == "hole" else "draw"
            self.document.edit(f"{done} {said(part)}", lambda _: site)
            self._leave()
            self.choose(part)
            self.accepted.emit(f"{said(part)} is drawn. Its numbers are in the form")

    def _lay(self, mode: Tracing, answers: dict[str, Any]) -> None:
        picture, here = self.document.site.picture, (mode.corners[0], mode.corners[1])
        if picture is None:
            raise InputError("the plan picture is gone", fix="Choose one again")
        apart = answers["apart"]
        placed = (
            scaled_to(picture, *here, apart)
            if isinstance(apart, float)
            else laid(picture, here, (apart, answers["second"]))
        )
        self.document.edit("place the plan picture", lambda site: replace(site, picture=placed))
        self._leave()
        self.choose(THE_PICTURE)
        self.accepted.emit("The plan picture is placed")


def _is_length(text: str) -> bool:
    try:
        length(text)
    except InputError:
        return False
    return True
