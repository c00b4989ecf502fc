"""A site as the text of a site file."""

from __future__ import annotations

import json
from pathlib import Path

from core.files.allowances import allowance_json
from core.files.atomic import write_file
from core.files.entry_sections import garment_json, job_json
from core.files.kinds import write_kind
from core.files.named_states import states_json
from core.files.states import state_json
from core.files.surveys import surveys_json
from core.site.places import OPACITY, Fence
from core.site.reflection import Reflection
from core.site.site import Antenna, Carrier, Site
from core.units import format_quantity

FORMAT = "isofence-site"
VERSION = 1
POWERS = ("transmitter", "erp", "erp_vertical", "eirp")


def save_site(site: Site, path: Path | str) -> None:
    """Write a site file atomically.

    Parameters
    ----------
    path : Path | str
        The file.

    Raises
    ------
    InputError
        If it cannot be written.
    """
    write_file(Path(path), site_text(site))


def site_text(site: Site) -> str:
    """Return the text of a site file: indented, with points and number lists on one line."""
    return _written(site_to_json(site), "") + "\n"


def _written(value: object, indent: str) -> str:
    """Return JSON text of a value that stands ``indent`` deep; lists of numbers on one line."""
    deeper = indent + "  "
    if isinstance(value, dict) and value:
        rows = [
            f"{json.dumps(k, ensure_ascii=False)}: {_written(v, deeper)}" for k, v in value.items()
        ]
        return f"{{\n{deeper}" + f",\n{deeper}".join(rows) + f"\n{indent}}}"
    if isinstance(value, list) and value and not all(isinstance(v, int | float) for v in value):
        rows = [_written(v, deeper) for v in value]
        return f"[\n{deeper}" + f",\n{deeper}".join(rows) + f"\n{indent}]"
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def site_to_json(site: Site) -> dict[str, object]:
    """Return the site as the JSON value that :func:`read_site` reads back to the same site."""
    out: dict[str, object] = {"format": FORMAT, "version": VERSION, "name": site.name}
    _put(out, story=site.story, revision=site.revision)
    out["limits"] = site.limit_set
    out["estimate"] = "conservative" if site.conservative else "best"
    out["reflection"] = _reflection_json(site.reflection)
    if site.extent is not None:
        out["extent"] = list(site.extent)
    if site.anchor is not None:
        a = site.anchor
        out["anchor"] = {
            "latitude": a.latitude,
            "longitude": a.longitude,
            "grid_north": a.grid_north,
        }
    if site.picture is not None:
        p = site.picture
        out["picture"] = {
            "file": p.file,
            "metres_per_pixel": p.metres_per_pixel,
            "origin": list(p.origin),
            "rotation": p.rotation,
        } | ({"opacity": p.opacity} if p.opacity != OPACITY else {})
    out["surfaces"] = [
        {"name": s.name, "kind": s.kind, "height": s.height, "outline": _lists(s.outline)}
        | ({"holes": [_lists(h) for h in s.holes]} if s.holes else {})
        | ({"material": s.material} if s.material else {})
        for s in site.surfaces
    ]
    out["structures"] = [
        {"name": s.name, "kind": s.kind, "outline": _lists(s.outline), "base": s.base, "top": s.top}
        for s in site.structures
    ]
    out["ladders"] = [{"name": s.name, "points": _lists(s.points)} for s in site.ladders]
    out["access_points"] = [
        {"name": a.name, "kind": a.kind, "position": list(a.position), "public": a.public}
        for a in site.access_points
    ]
    if site.fences:
        out["fences"] = [_fence_json(f) for f in site.fences]
    if site.states:
        out["states"] = states_json(site)
    if site.garments:
        out["garments"] = [garment_json(g) for g in site.garments]
    if site.jobs:
        out["jobs"] = [job_json(j) for j in site.jobs]
    out["antennas"] = [antenna_to_json(a) for a in site.antennas]
    if site.surveys:
        out["surveys"] = surveys_json(site.surveys)
    return out


def _put(out: dict[str, object], **texts: str) -> None:
    out.update({key: text for key, text in texts.items() if text})


def _lists(points: tuple[tuple[float, ...], ...]) -> list[list[float]]:
    return [list(p) for p in points]


def antenna_to_json(a: Antenna) -> dict[str, object]:
    """Return an antenna as the JSON object that :func:`core.files.antenna_file.read_antenna` reads back."""
    out: dict[str, object] = {
        "name": a.name,
        "kind": a.kind.KEY,
        "model": write_kind(a.kind),
        "position": list(a.position),
        "azimuth": a.azimuth,
        "tilt": a.tilt,
        "roll": a.roll,
        "state": state_json(a.state),
    }
    if a.reflection is not None:
        out["reflection"] = _reflection_json(a.reflection)
    if a.conservative is not None:
        out["estimate"] = "conservative" if a.conservative else "best"
    if a.tower_in_pattern:
        out["tower_in_pattern"] = True
    if a.allows is not None:
        out["allows"] = allowance_json(a.allows)
    _put(out, owner=a.owner, contact=a.contact, remark=a.remark)
    out["carriers"] = [_carrier_json(c) for c in a.carriers]
    return out


def _fence_json(f: Fence) -> dict[str, object]:
    out: dict[str, object] = {"name": f.name, "tier": f.tier, "threshold": f.threshold}
    if f.outline:
        return out | {"outline": _lists(f.outline)}
    return out | {"ladder": f.ladder, "stops": _lists(f.stops)}


def _reflection_json(r: Reflection) -> object:
    if r == Reflection(r.kind):
        return r.kind.value
    constants: dict[str, object] = {"permittivity": r.permittivity, "conductivity": r.conductivity}
    return constants if r.plane is None else constants | {"plane": r.plane}


def _carrier_json(c: Carrier) -> dict[str, object]:
    out: dict[str, object] = {
        "name": c.name,
        "frequency": format_quantity(c.frequency, "frequency"),
    }
    for key in POWERS:
        value = getattr(c.power, key)
        if value is not None:
            out[key] = format_quantity(value, "power")
    if c.power.loss:
        out["loss"] = format_quantity(c.power.loss, "loss")
    if c.power.gain is not None:
        out["gain"] = format_quantity(c.power.gain, "gain")
    if c.duty != 1.0:
        out["duty"] = c.duty
        out["duty_source"] = c.duty_source
    return out
