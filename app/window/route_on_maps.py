"""The way of the chosen job on plan and elevation: line, stops by number, where nobody stops, the work volume."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QObject

from app.draw.route_lines import Point, RouteArt, RouteLines
from app.window.canvas import Told
from app.window.maps import Maps
from app.window.planned import Planned
from app.window.scene import Scene
from core.entry.entry import work_box
from core.entry.way import way_of
from core.errors import InputError
from core.site.job import Job
from core.site.site import Site


class RouteOnMaps(QObject):
    """Follows the scene and what was found for its job; nothing is computed here but where things are."""

    def __init__(self, maps: Maps) -> None:
        super().__init__()
        self.maps = maps
        self._art = [(pane, RouteArt(pane.canvas.map.axes)) for pane in maps.panes]
        self._planned = Planned()
        maps.scene_changed.connect(self._show)

    def show_planned(self, planned: Planned) -> None:
        """Follow what was found."""
        self._planned = planned
        self._show(self.maps.scene)

    def _show(self, scene: Scene) -> None:
        job = scene.chosen if scene.task == "entry" else None
        lines = None if job is None else lines_of(scene.site, job, self._planned)
        for pane, art in self._art:
            drawn = art.show(lines, pane.view(scene), pane.canvas.map.palette)
            if drawn:
                pane.canvas.draw_idle()

    def tell(self, place: Sequence[float] | None, words: str) -> None:
        """Mark a place of the site on every map, with words; None takes the mark off."""
        scene = self.maps.scene
        for pane, _ in self._art:
            if place is None:
                pane.canvas.tell(None)
                continue
            u, v = pane.view(scene).to_view(np.array([place], dtype=np.float64))[0]
            pane.canvas.tell(Told((float(u), float(v)), f"◂ {words}"))


def lines_of(site: Site, job: Job, planned: Planned) -> RouteLines | None:
    """Return what is drawn of a job; None where it names what is not on the site."""
    stops: list[tuple[float, float, float]] = []
    line: list[tuple[float, float, float]] = []
    work = None
    try:
        if job.route is not None:
            way = way_of(site, job)
            # The same way back lies on the way there.
            own = job.route.way_down is not None
            stops = [p.position for p in (way.places if own else way.places[: way.turn])]
            for leg in way.legs if own else way.legs[: way.turn - 1]:
                line += [leg.pieces[0].start, *(p.end for p in leg.pieces)] if leg.pieces else []
        if job.work is not None:
            low, high = work_box(site, job.work)
            work = tuple(low.tolist()), tuple(high.tolist())
    except InputError:
        return None
    entry = planned.entry
    closed: tuple[tuple[Point, Point], ...] = ()
    if entry is not None and entry.job == job:
        closed = tuple((s.start, s.end) for s in (*entry.stretches, *entry.beyond))
    return RouteLines(tuple(line), tuple(stops), closed, work, planned.stale)
