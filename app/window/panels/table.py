"""The panels of the window, one row each: a new panel is a module and a row here."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from app.window.changes.change_maps import ChangeMaps
from app.window.changes.page import ChangePage
from app.window.document import Document
from app.window.layout import Placed
from app.window.panels.antenna_form import AntennaForm
from app.window.panels.briefing_page import BriefingPage
from app.window.panels.controls import Controls
from app.window.panels.doubt_list import DoubtList
from app.window.panels.emitters import EmitterTable
from app.window.panels.fence_list import FenceList
from app.window.panels.fence_note import FenceNote
from app.window.panels.garment_card import GarmentCard
from app.window.panels.go_to import GoTo
from app.window.panels.job_list import JobList
from app.window.panels.ladder_pane import LadderPane
from app.window.panels.legend import Legend
from app.window.panels.plan_panel import PlanPanel
from app.window.panels.profile_pane import ProfilePane
from app.window.panels.reading_page import ReadingPage
from app.window.panels.state_box import StateBox
from app.window.panels.stop_table import StopTable
from app.window.panels.survey_panel import SurveyPanel
from app.window.panels.verdict_line import VerdictLine
from app.window.panels.what_is_there import WhatIsThere
from app.window.tasks import EVERY, Task

THE_SITE: tuple[Task, ...] = ("site", "field", "entry")
"""Tasks about the site as it is: what is said of that stands nowhere beside another state, or beside paper."""

ON_MAPS: tuple[Task, ...] = (*THE_SITE, "changes")
"""Tasks with maps."""

Row = tuple[str, str, tuple[Task, ...], Callable[[Document], QWidget]]

PANELS: tuple[Row, ...] = (
    ("state shown", "over the left", EVERY, lambda _: StateBox()),
    ("what is there", "left", ("site",), lambda _: WhatIsThere()),
    ("jobs", "left", ("entry", "briefing"), JobList),
    ("controls", "left", ON_MAPS, Controls),
    ("go to", "over the maps", THE_SITE, lambda _: GoTo()),
    ("entry verdict", "over the maps", ("entry",), lambda _: VerdictLine()),
    ("briefing", "instead of the maps", ("briefing",), lambda _: BriefingPage()),
    ("ladder strip", "beside the maps", EVERY, lambda _: LadderPane()),
    ("profile", "under the maps", ("entry",), lambda _: ProfilePane()),
    ("legend", "under the maps", THE_SITE, lambda _: Legend()),
    ("fence note", "under the maps", EVERY, lambda _: FenceNote()),
    ("stops", "below", ("entry",), StopTable),
    ("emitters", "below", ON_MAPS, EmitterTable),
    ("garment", "below", ("entry",), GarmentCard),
    ("power plan", "below", ("entry",), PlanPanel),
    ("survey", "below", ("entry",), SurveyPanel),
    ("fences", "below", ("field",), lambda _: FenceList()),
    ("doubts", "below", ("site",), lambda _: DoubtList()),
    ("antenna", "right", ("site",), AntennaForm),
    ("reading", "right", THE_SITE, lambda _: ReadingPage()),
    ("change maps", "instead of the maps", ("changes",), lambda _: ChangeMaps()),
    ("change page", "right", ("changes",), lambda _: ChangePage()),
)
"""Name, place (:data:`app.window.layout.PLACES`), the tasks it is shown in, and how it is made."""


def make_panels(document: Document) -> dict[str, Placed]:
    """Return every panel with its place, by name."""
    return {name: Placed(place, make(document), tasks) for name, place, tasks, make in PANELS}
