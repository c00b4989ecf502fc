"""Whether the crew of the chosen job may go, in one sentence with its reasons; over the maps."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.window import tones
from app.window.panels.panel import Panel
from app.window.planned import Planned
from app.window.scene import Scene
from core.entry.course import most_use
from core.entry.report import show_time, verdict_sentence
from core.exposure.garment_use import Verdict, allowed_use
from core.site.job import Job
from core.units import show_allowance, show_percent


class VerdictLine(QWidget, Panel):
    """The sentence; go and no go differ in words and frame, never by colour alone."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("entry verdict")
        self.setAccessibleName("Whether the crew may go")
        self.sentence, self.reasons = QLabel(), QLabel()
        self.sentence.setObjectName("entry sentence")
        self.reasons.setObjectName("entry reasons")
        font = self.sentence.font()
        font.setPointSizeF(1.15 * font.pointSizeF())
        font.setBold(True)
        self.sentence.setFont(font)
        for label in (self.sentence, self.reasons):
            label.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 2, 4, 2)
        column.setSpacing(1)
        column.addWidget(self.sentence)
        column.addWidget(self.reasons)
        self.planned = Planned()
        self._scene: Scene | None = None

    def show_scene(self, scene: Scene) -> None:
        """Follow the state that is shown."""
        self._scene = scene
        self._show()

    def show_planned(self, planned: Planned) -> None:
        """Follow what was found."""
        self.planned = planned
        self._show()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._show()

    def _show(self) -> None:
        sentence, reasons = self._said()
        self.sentence.setText(sentence)
        self.reasons.setText(reasons)
        self.reasons.setVisible(bool(reasons))
        entry, palette = self.planned.entry, self.palette()
        sure = entry is not None and not self.planned.stale
        ink, ground = tones.ink(palette).name(), tones.ground(palette).name()
        if not sure:
            style = f"color:{tones.quiet(palette).name()}"
        elif entry is not None and not entry.verdict.is_go:
            style = f"background:{ink}; color:{ground}; padding:2px 6px"
        else:
            style = f"border:2px solid {ink}; padding:1px 5px"
        if self.sentence.styleSheet() != style:
            self.sentence.setStyleSheet(style)

    def _said(self) -> tuple[str, str]:
        planned, scene = self.planned, self._scene
        job, entry = planned.job, planned.entry
        if job is None:
            return "No job yet. Make one on the left.", ""
        if planned.trouble:
            return f"{job.name}: it cannot be said whether the crew may go.", planned.trouble
        if entry is None:
            if job.route is None and job.work is None:
                return (
                    f"{job.name}: nothing to judge yet.",
                    "Draw its way on the maps, or say where the work is.",
                )
            return f"{job.name}: being computed…", ""
        where = scene.warning if scene is not None else ""
        about = "About, being computed anew… " if planned.stale else ""
        sentence = f"{about}{where}{job.name}: {verdict_sentence(entry)}"
        told = [r for r in entry.reasons if r not in sentence]
        if (
            entry.rated is not None
            and entry.verdict.is_go
            and entry.verdict is not Verdict.NOT_NEEDED
        ):
            allowed = show_allowance(allowed_use(entry.job.garment_margin))
            used = show_percent(most_use(entry, planned.course))
            told.append(f"the garment is used to {used} of its rating, {allowed} allowed")
        elif entry.worst is not None:
            worst = entry.worst
            of = f"{show_percent(worst.average)} of {entry.site.limit_set} {entry.job.tier}"
            span = f"worst {show_time(worst.window)}" if worst.window is not None else "peak"
            told.append(f"{span}: {of}, from {show_time(worst.start)} after the start")
        told += self._set_anew(job)
        return sentence, "; ".join(told)

    def _set_anew(self, job: Job) -> list[str]:
        """Return what the way counts otherwise than the shading and the strip beside it do."""
        shown = {a.name: a.state for a in self._scene.stated.antennas} if self._scene else {}
        worn = self._scene is not None and self._scene.worn is not None
        count = sum(name in shown and shown[name] != state for name, state in job.states)
        if not count:
            return []
        one = "1 emitter is" if count == 1 else f"{count} emitters are"
        where = "shading shows" if worn else "shading and the ladder strip show"
        return [f"for the job {one} set otherwise than the {where}"]
