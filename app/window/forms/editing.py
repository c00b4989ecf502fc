"""What a form does with the chosen antenna: texts become values, values an edit, and what cannot be taken waits."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from app.window.document import Document
from app.window.forms.draft import Draft
from app.window.forms.texts import Units, is_dbd, taken
from core.antennas.base import parameters
from core.errors import InputError
from core.files.entries import Entry, made, numbered, parts, values_of, without_part
from core.site.antenna_fields import CARRIER
from core.site.arranging import with_antenna
from core.site.site import Antenna, Condition


class Editing:
    """The antenna of an ``index``, and what waits about each."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.index: int | None = None
        self.units = Units()
        self._drafts: dict[str, Draft] = {}

    @property
    def antenna(self) -> Antenna | None:
        """The antenna that is chosen."""
        antennas = self.document.site.antennas
        if self.index is None or self.index >= len(antennas):
            return None
        return antennas[self.index]

    @property
    def draft(self) -> Draft:
        """What waits to be taken of the chosen antenna."""
        antenna = self.antenna
        return self._drafts.setdefault(antenna.name, Draft()) if antenna is not None else Draft()

    def choose(self, name: str) -> None:
        """Choose an antenna by name; one that is called otherwise now stays chosen."""
        names = [a.name for a in self.document.site.antennas]
        if name in names:
            self.index = names.index(name)
        elif self.index is not None and self.index >= len(names):
            self.index = None

    def waiting(self) -> list[str]:
        """Return the antennas of which something waits that has not been taken."""
        there = {a.name for a in self.document.site.antennas}
        return [name for name, draft in self._drafts.items() if draft.waits and name in there]

    def forget_all(self) -> None:
        """Another site is open."""
        self.index = None
        self._drafts.clear()

    def drop(self) -> None:
        """Let go of all that waits about the chosen antenna."""
        if self.antenna is not None:
            self._drafts.pop(self.antenna.name, None)

    def answer(self, entry: Entry, answer: object) -> None:
        """Take what was typed or chosen; it waits where that cannot be, with the reason where it is wrong."""
        antenna, draft, path = self.antenna, self.draft, entry.path
        if antenna is None:
            return
        draft.texts.pop(path, None)
        draft.errors.pop(path, None)
        if path == "kind":
            draft.set_kind(antenna, str(answer))
            self._take(antenna, entry)
            return
        if isinstance(answer, str) and entry.spec.form != "choice":
            try:
                value = taken(answer, entry.spec, entry.default, self.units)
            except InputError as error:
                draft.texts[path], draft.errors[path] = answer, error.within(entry.label).line()
                return
            if entry.spec.form == "gain" and is_dbd(answer) is not None:
                self.units = replace(self.units, dbd=bool(is_dbd(answer)))
        else:
            value = answer
        draft.values[path] = value
        if path == "percent" and value is not None:
            draft.values["state"] = Condition.REDUCED.value
        self._take(antenna, entry)

    def bring(self, entry: Entry, source: Path) -> None:
        """Take a file that was chosen."""
        try:
            name = self.document.bring_pattern(source)
        except InputError as error:
            self.draft.errors[entry.path] = error.line()
        else:
            self.answer(entry, name)

    def add_part(self, base: str) -> str:
        """Add a part of the kind, or a carrier, with nothing said yet. Return its group."""
        antenna = self.antenna
        assert antenna is not None
        classes = dict(parts(self.draft.over(antenna)))
        first = next(iter(parameters(classes[base]) if base in classes else CARRIER))
        return self.draft.add_part(antenna, base, first)

    def remove_part(self, group: str) -> str:
        """Take a part of the kind, or a carrier, away. Return why that cannot be."""
        antenna, draft = self.antenna, self.draft
        if antenna is None:
            return ""
        base, _, number = group.rpartition(".")
        standing = values_of(antenna)
        there = not draft.kind and int(number) in numbered(standing, base)
        # What waits about the others stays, by their new numbers.
        draft.values = without_part(draft.values, group)
        draft.texts = without_part(draft.texts, group)
        draft.errors = without_part(draft.errors, group)
        if not there:
            return ""
        gone = Entry(group, group, CARRIER["name"], "")
        error = self._try(antenna, without_part(standing, group), gone)
        return error.line() if error is not None else ""

    def _take(self, antenna: Antenna, entry: Entry) -> None:
        """Take all that waits; where that cannot be, what was answered last alone."""
        draft, path = self.draft, entry.path
        if draft.needs(antenna):
            return
        error = self._try(antenna, draft.over(antenna), entry)
        if error is None:
            draft.kind = ""
            draft.values.clear()
            draft.errors = {p: why for p, why in draft.errors.items() if p in draft.texts}
            return
        standing = values_of(antenna)
        if path in standing and len(draft.values) > 1 and not draft.kind:
            error = self._try(antenna, standing | {path: draft.values[path]}, entry)
            if error is None:
                draft.values.pop(path)
                return
        draft.errors[path] = error.line()

    def _try(self, antenna: Antenna, values: dict[str, Any], entry: Entry) -> InputError | None:
        """Make the antenna so, as one edit; return why it cannot be."""
        index, draft = self.index, self.draft
        assert index is not None
        try:
            new = made(antenna, values, self.document.pattern)
            # What waits goes with the name, before anybody asks for it.
            self._drafts = {k: v for k, v in self._drafts.items() if v is not draft}
            self._drafts[new.name] = draft
            self.document.edit(label_of(antenna, new, entry), lambda s: with_antenna(s, index, new))
        except InputError as error:
            self._drafts = {k: v for k, v in self._drafts.items() if v is not draft}
            self._drafts[antenna.name] = draft
            return error
        return None


def label_of(old: Antenna, new: Antenna, entry: Entry) -> str:
    """Return what an edit is called in the list of undo."""
    if old.name != new.name:
        return f"rename {old.name} to {new.name}"
    base, _, number = entry.group.rpartition(".")
    part = f"{base.rpartition('.')[2].removesuffix('s')} {int(number) + 1}" if base else ""
    if entry.path == entry.group:
        return f"{new.name}: remove {part}"
    said = entry.label if entry.label.isupper() else entry.label.lower()
    return f"{new.name}: {said}{f' of {part}' if part else ''}"
