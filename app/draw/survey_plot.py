"""A survey as a plot: what was read against what was predicted, in percent, with the line where both are equal.

What stands above the line was read above its prediction; those that nobody has explained stand out and have their
names. Window and command line draw with the same artist.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, NullFormatter

from app.draw import style
from app.draw.book import check_format
from app.draw.glyphs import printable
from core.entry.survey import Pair, SurveyReport, pairs, summary
from core.files.atomic import write_file
from core.reading.cautions import SHORT

FORMATS = (".png", ".pdf")
_SIZE = (6.4, 6.6)
_DPI = 200
_NAMED = 8
"""Raised readings that are named; all of them stand out."""


def draw_survey(
    figure: Figure, report: SurveyReport, *, paper: str = style.PAPER, ink: str = style.INK, pin: str = style.PIN,
    box: tuple[float, float, float, float] = (0.14, 0.13, 0.83, 0.72),
) -> Axes:  # fmt: skip
    """Draw a report on a figure and return its axes.

    Parameters
    ----------
    figure : Figure
        What is drawn on; anything on it goes.
    report : SurveyReport
        Readings beside their predictions.
    paper, ink, pin : str
        Colours of ground, lines and what is raised.
    box : (left, bottom, width, height)
        Where the plot stands, as parts of the figure.
    """
    figure.clear()
    figure.set_facecolor(paper)
    axes: Axes = figure.add_axes(box)
    axes.set_facecolor(paper)
    axes.set_xscale("log")
    axes.set_yscale("log")
    found = pairs(report)
    low, high = _range(found)
    axes.set_xlim(low, high)
    axes.set_ylim(low, high)
    line = np.array([low, high])
    axes.plot(line, line, color=ink, lw=2.0, zorder=3, gid="equal")
    for factor in (0.5, 2.0):
        axes.plot(line, factor * line, color=ink, lw=0.8, ls=(0, (4, 3)), zorder=2)
    for limit in (axes.axvline, axes.axhline):
        limit(100.0, color=ink, lw=1.2, alpha=0.45, zorder=1)
    axes.grid(color=ink, alpha=0.12, lw=0.6)
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
        axis.set_minor_formatter(NullFormatter())
    _points(axes, [p for p in found if not p.raised], "o", ink, paper, "within")
    _points(axes, [p for p in found if p.raised], "D", pin, pin, "raised")
    _names(axes, found, ink)
    axes.set_xlabel("predicted, % of occupational", color=ink, fontsize=8.5)
    axes.set_ylabel("read, %", color=ink, fontsize=8.5)
    axes.tick_params(colors=ink, which="both", labelsize=8)
    for spine in axes.spines.values():
        spine.set_color(ink)
    axes.annotate(
        "read above its prediction", (0.02, 0.98), xycoords="axes fraction", va="top",
        fontsize=7.5, color=ink, zorder=1,
    )  # fmt: skip
    axes.annotate(
        "below: lowers nothing", (0.98, 0.02), xycoords="axes fraction", ha="right",
        fontsize=7.5, color=ink, zorder=1,
    )  # fmt: skip
    return axes


def _names(axes: Axes, found: tuple[Pair, ...], ink: str) -> None:
    """Name the raised readings that stand out most, each on that side of its marker where it covers the least."""
    to_points = 72.0 / axes.figure.dpi
    frame = axes.get_window_extent()
    low, high = np.array(frame.min) * to_points, np.array(frame.max) * to_points
    at = axes.transData.transform([(p.predicted, p.read) for p in found]) * to_points
    marks = [(x - 4.0, y - 4.0, x + 4.0, y + 4.0) for x, y in at]
    placed: list[tuple[float, float, float, float]] = []
    raised = sorted(
        (i for i, p in enumerate(found) if p.raised),
        key=lambda i: -found[i].read / found[i].predicted,
    )
    for i in raised[:_NAMED]:
        name = printable(found[i].name)
        width, height = 4.6 * len(name), 8.0
        best = None
        for dx, dy in (
            (6.0, -3.0),
            (-6.0 - width, -3.0),
            (-width / 2.0, 6.0),
            (-width / 2.0, -13.0),
        ):
            x, y = at[i][0] + dx, at[i][1] + dy
            box = (x, y, x + width, y + height)
            faults = sum(_overlap(box, other) for other in (*marks, *placed))
            faults += 2 * (x < low[0] or y < low[1] or box[2] > high[0] or box[3] > high[1])
            if best is None or faults < best[0]:
                best = faults, (dx, dy), box
        assert best is not None
        placed.append(best[2])
        axes.annotate(
            name, (found[i].predicted, found[i].read), best[1], textcoords="offset points",
            fontsize=7.5, color=ink, zorder=6, annotation_clip=True,
        )  # fmt: skip


def _overlap(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _points(axes: Axes, some: list[Pair], marker: str, edge: str, fill: str, gid: str) -> None:
    axes.plot(
        [p.predicted for p in some], [p.read for p in some], ls="", marker=marker, ms=5.5,
        mec=edge, mfc=fill, mew=1.1, zorder=5, gid=gid,
    )  # fmt: skip


def _range(found: tuple[Pair, ...]) -> tuple[float, float]:
    values = [v for p in found for v in (p.read, p.predicted)] or [1.0, 100.0]
    return min(values) / 3.0, 3.0 * max(values)


def save_survey_plot(path: Path, report: SurveyReport, title: str) -> None:
    """Write the plot as a PNG or a PDF with what it says under its title; the same report gives the same bytes.

    Parameters
    ----------
    path : Path
        The file.
    report : SurveyReport
        Readings beside their predictions.
    title : str
        What stands over it.

    Raises
    ------
    InputError
        If the ending is another one, or the file cannot be written.
    """
    ending = check_format(path, FORMATS)
    figure = Figure(figsize=_SIZE)
    (FigureCanvasPdf if ending == ".pdf" else FigureCanvasAgg)(figure)
    draw_survey(figure, report)
    figure.text(0.02, 0.985, printable(title), va="top", fontsize=10, fontweight="bold")
    figure.text(0.02, 0.955, printable("\n".join(summary(report))), va="top", fontsize=7, wrap=True)
    of = f"Percent of {report.limit_set} occupational. "
    words = (
        of
        + "Solid: read as predicted. Dashed: 3 dB either way. Diamonds: above, not explained. Grey: 100 %."
    )
    figure.text(0.02, 0.045, words, fontsize=7)
    figure.text(0.02, 0.02, SHORT, fontsize=6.5, wrap=True)
    buffer = io.BytesIO()
    stamp = {"CreationDate": None, "Title": title} if ending == ".pdf" else None
    figure.savefig(buffer, format=ending.removeprefix("."), dpi=_DPI, metadata=stamp)
    write_file(path, buffer.getvalue())
