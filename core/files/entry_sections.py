"""Garments and jobs in a site file: reading, writing, and their part of the schema."""

from __future__ import annotations

from typing import Any

from core.errors import InputError
from core.files.node import Node
from core.files.states import read_state, state_json
from core.limits.tier import TIERS
from core.site.garment import COMPLETE_SET, Band, Garment, Soundness
from core.site.job import (
    CLIMB_SPEED,
    DWELL_CEILING,
    GARMENT_MARGIN_DB,
    HIGHER_CONTROLS,
    WALK_SPEED,
    Job,
    Route,
    Stop,
    Work,
)
from core.site.state import State
from core.site.ticks import PRE_USE_CHECKS, Tick
from core.units import format_quantity

_GARMENT = (
    "name", "source", "bands", "parts", "condition", "inspected", "inspected_by", "wear", "remark",
)  # fmt: skip
_JOB = (
    "name", "tier", "route", "work", "garment", "higher_controls", "garment_training",
    "garment_checks", "states",
    "dwell_ceiling_percent", "garment_margin", "when", "crew", "remark",
)  # fmt: skip


def read_garment(path: str, value: object) -> Garment:
    """Return the garment of an entry.

    Parameters
    ----------
    path : str
        Where the entry is, for error texts.
    value : object
        What JSON gave.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    node = Node(value, path, _GARMENT)
    return Garment(
        name=node.text("name"),
        source=node.text("source", ""),
        bands=tuple(_inside(_band, p, v) for p, v in node.children("bands", required=True)),
        parts=_texts(node, "parts", COMPLETE_SET),
        condition=Soundness(node.choice("condition", [s.value for s in Soundness])),
        inspected=node.text("inspected", ""),
        inspected_by=node.text("inspected_by", ""),
        wear=node.text("wear", ""),
        remark=node.text("remark", ""),
    )


def read_job(path: str, value: object) -> Job:
    """Return the job of an entry.

    Parameters
    ----------
    path : str
        Where the entry is, for error texts.
    value : object
        What JSON gave.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    node = Node(value, path, _JOB)
    return Job(
        name=node.text("name"),
        tier=node.choice("tier", TIERS, "occupational"),
        route=_inside(_route, node.at("route"), node.values["route"])
        if node.has("route")
        else None,
        work=_inside(_work, node.at("work"), node.values["work"]) if node.has("work") else None,
        garment=node.text("garment", ""),
        higher_controls=_reasons(node),
        garment_training=node.text("garment_training", ""),
        garment_checks=_ticks(node),
        states=_states(node),
        dwell_ceiling=node.number("dwell_ceiling_percent", DWELL_CEILING),
        garment_margin=node.quantity("garment_margin", "loss")
        if node.has("garment_margin")
        else GARMENT_MARGIN_DB,
        when=node.text("when", ""),
        crew=node.text("crew", ""),
        remark=node.text("remark", ""),
    )


def _inside(read: Any, path: str, value: object) -> Any:
    """Read a part; an error of the dataclass itself gets the part's path in front."""
    try:
        return read(path, value)
    except InputError as error:
        raise error if error.field.startswith(path) else error.within(path) from None


def _texts(node: Node, key: str, default: tuple[str, ...]) -> tuple[str, ...]:
    if not node.has(key):
        return default
    value = node.values[key]
    if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
        raise node.error(key, "is not a list of words", 'Write it as ["gloves", ...]')
    return tuple(value)


def _band(path: str, value: object) -> Band:
    node = Node(value, path, ("low", "high", "rating"))
    in_db = node.text("rating").strip().endswith("dB")
    rating = node.quantity("rating", "loss" if in_db else "percent")
    return Band(
        low=node.quantity("low", "frequency"),
        high=node.quantity("high", "frequency"),
        percent=None if in_db else rating,
        decibels=rating if in_db else None,
    )


def _stop(path: str, value: object) -> Stop:
    node = Node(value, path, ("name", "position", "ladder", "height", "dwell"))
    x, y, z = node.numbers("position", 3) if node.has("position") else (0.0, 0.0, 0.0)
    return Stop(
        name=node.text("name"),
        position=(x, y, z) if node.has("position") else None,
        ladder=node.text("ladder", ""),
        height=node.number("height") if node.has("height") else None,
        dwell=node.quantity("dwell", "time") if node.has("dwell") else 0.0,
    )


def _route(path: str, value: object) -> Route:
    node = Node(value, path, ("stops", "way_down", "climb_speed", "walk_speed"))
    return Route(
        stops=tuple(_inside(_stop, p, v) for p, v in node.children("stops", required=True)),
        way_down=tuple(_inside(_stop, p, v) for p, v in node.children("way_down"))
        if node.has("way_down")
        else None,
        climb_speed=node.quantity("climb_speed", "speed")
        if node.has("climb_speed")
        else CLIMB_SPEED,
        walk_speed=node.quantity("walk_speed", "speed") if node.has("walk_speed") else WALK_SPEED,
    )


def _work(path: str, value: object) -> Work:
    node = Node(value, path, ("low", "high", "ladder", "heights"))
    corners: list[tuple[float, float, float] | None] = []
    for key in ("low", "high"):
        if node.has(key):
            x, y, z = node.numbers(key, 3)
            corners.append((x, y, z))
        else:
            corners.append(None)
    heights = None
    if node.has("heights"):
        low, high = node.numbers("heights", 2)
        heights = (low, high)
    return Work(low=corners[0], high=corners[1], ladder=node.text("ladder", ""), heights=heights)


def _reasons(node: Node) -> tuple[tuple[str, str], ...]:
    if not node.has("higher_controls"):
        return ()
    child = Node(node.values["higher_controls"], node.at("higher_controls"), HIGHER_CONTROLS)
    return tuple((key, child.text(key)) for key in HIGHER_CONTROLS if child.has(key))


def _ticks(node: Node) -> tuple[Tick, ...]:
    if not node.has("garment_checks"):
        return ()
    child = Node(node.values["garment_checks"], node.at("garment_checks"), PRE_USE_CHECKS)
    done = [(key, Node(child.values[key], child.at(key), ("by", "when"))) for key in child.values]
    return tuple(Tick(check=key, by=one.text("by"), when=one.text("when")) for key, one in done)


def _states(node: Node) -> tuple[tuple[str, State], ...]:
    if not node.has("states"):
        return ()
    value = node.values["states"]
    child = Node(value, node.at("states"), tuple(value) if isinstance(value, dict) else ())
    return tuple((key, read_state(child, key)) for key in child.values)


def garment_json(garment: Garment) -> dict[str, object]:
    """Return what :func:`read_garment` reads back."""
    out: dict[str, object] = {
        "name": garment.name,
        "source": garment.source,
        "bands": [
            {
                "low": format_quantity(b.low, "frequency"),
                "high": format_quantity(b.high, "frequency"),
                "rating": format_quantity(b.percent, "percent")
                if b.percent is not None
                else format_quantity(b.decibels or 0.0, "loss"),
            }
            for b in garment.bands
        ],
        "parts": list(garment.parts),
        "condition": garment.condition.value,
    }
    for key in ("inspected", "inspected_by", "wear", "remark"):
        if getattr(garment, key):
            out[key] = getattr(garment, key)
    return out


def job_json(job: Job) -> dict[str, object]:
    """Return what :func:`read_job` reads back."""
    out: dict[str, object] = {"name": job.name, "tier": job.tier}
    if job.when:
        out["when"] = job.when
    if job.route is not None:
        out["route"] = _route_json(job.route)
    if job.work is not None:
        w = job.work
        out["work"] = (
            {"ladder": w.ladder, "heights": list(w.heights)}
            if w.heights is not None
            else {"low": list(w.low or ()), "high": list(w.high or ())}
        )
    if job.states:
        out["states"] = {name: state_json(state) for name, state in job.states}
    for key in ("crew", "garment", "garment_training"):
        if getattr(job, key):
            out[key] = getattr(job, key)
    if job.higher_controls:
        out["higher_controls"] = dict(job.higher_controls)
    if job.garment_checks:
        out["garment_checks"] = {t.check: {"by": t.by, "when": t.when} for t in job.garment_checks}
    out["dwell_ceiling_percent"] = job.dwell_ceiling
    out["garment_margin"] = format_quantity(job.garment_margin, "loss")
    if job.remark:
        out["remark"] = job.remark
    return out


def _route_json(route: Route) -> dict[str, object]:
    out: dict[str, object] = {
        "climb_speed": format_quantity(route.climb_speed, "speed"),
        "walk_speed": format_quantity(route.walk_speed, "speed"),
        "stops": [_stop_json(s) for s in route.stops],
    }
    if route.way_down is not None:
        out["way_down"] = [_stop_json(s) for s in route.way_down]
    return out


def _stop_json(stop: Stop) -> dict[str, object]:
    out: dict[str, object] = {"name": stop.name}
    if stop.position is not None:
        out["position"] = list(stop.position)
    else:
        out |= {"ladder": stop.ladder, "height": stop.height}
    if stop.dwell:
        out["dwell"] = format_quantity(stop.dwell, "time")
    return out
