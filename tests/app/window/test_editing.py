"""What waits in the antenna form, without the form."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QApplication

from app.window.document import Document
from app.window.forms.editing import Editing
from core.files.entries import entries, values_of
from core.site.site import Site
from support.simple_sites import isotropic


def test_what_waits_about_a_carrier_stays_with_it_when_another_is_removed(qt: QApplication) -> None:
    del qt
    one = isotropic("a", 98e6, 100.0)
    three = replace(one, carriers=tuple(
        replace(one.carriers[0], name=name, frequency=f) for name, f in (("c", 98e6), ("d", 99e6), ("e", 100e6))
    ))  # fmt: skip
    document = Document()
    document.edit("begin", lambda _: Site(name="s", antennas=(three,)))
    editing = Editing(document)
    editing.index = 0
    known = {entry.path: entry for entry in entries(values_of(three))}
    for path, text in (("carriers.0.frequency", "many MHz"), ("carriers.2.frequency", "none")):
        editing.answer(known[path], text)
    assert editing.remove_part("carriers.1") == ""
    assert [c.name for c in document.site.antennas[0].carriers] == ["c", "e"]
    assert editing.draft.texts == {
        "carriers.0.frequency": "many MHz",
        "carriers.1.frequency": "none",
    }
    assert set(editing.draft.errors) == set(editing.draft.texts)
    # Its own texts go with a carrier.
    assert editing.remove_part("carriers.1") == ""
    assert editing.draft.texts == {"carriers.0.frequency": "many MHz"}
