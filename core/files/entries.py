"""An antenna as entries that a person changes one by one, and the antenna that changed entries make.

An entry has a path: ``azimuth``, ``model.bays``, ``model.bands.0.low``, ``carriers.1.frequency``. Its declaration is
the kind's own, so a new kind has its entries without being named here. Values are SI; one that is not said has none.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import MISSING, dataclass, replace
from typing import Any

from core.antennas.base import Kind, Parameter, parameters
from core.antennas.kinds import KINDS
from core.errors import InputError
from core.files.kinds import reader_answers
from core.patterns.model import PatternData
from core.site.allowance import UNSAID, Allowance
from core.site.antenna_fields import ANTENNA, CARRIER, DEFAULTS, ESTIMATES, NOTES, POWERS
from core.site.reflection import Reflection, ReflectionKind
from core.site.site import Antenna, Carrier, Condition, Power, State
from core.units import show_frequency

Values = Mapping[str, Any]
Patterns = Callable[[str, dict[str, Any]], PatternData]
"""From the name of a pattern file and the answers to its reader to the pattern."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing about an antenna that can be changed.

    Attributes
    ----------
    path : str
        Which it is.
    group : str
        What it belongs to: ``antenna``, ``model``, ``model.bands.0``, ``carriers.1``, ``notes``.
    spec : Parameter
        Its declaration.
    default : object
        What counts where nothing is said; MISSING where it is needed, None where that is left to the kind.
    """

    path: str
    group: str
    spec: Parameter
    default: Any

    @property
    def name(self) -> str:
        """The parameter's own name."""
        return self.path.rpartition(".")[2]

    @property
    def label(self) -> str:
        """Its name for people."""
        return _LABELS.get(self.name, self.name.replace("_", " ").capitalize())


KIND = Parameter(
    "choice", "what it is; what both kinds have stays",
    choices=tuple(KINDS), titles=tuple(kind.TITLE for kind in KINDS.values()),
)  # fmt: skip
_LABELS = {
    "x": "x (east)", "y": "y (north)", "z": "Height (z)", "percent": "Reduced to, %", "erp": "ERP", "eirp": "EIRP",
    "erp_vertical": "ERP, vertical", "touch": "May be turned down", "steps": "Steps of power, %", "entry": "Class",
    "azimuth": "Bearing", "loss": "Line loss",
}  # fmt: skip


def values_of(antenna: Antenna) -> dict[str, Any]:
    """Return what is said of an antenna, by path."""
    state, allows = antenna.state, antenna.allows
    values: dict[str, Any] = {
        "name": antenna.name,
        "kind": antenna.kind.KEY,
        **dict(zip("xyz", antenna.position, strict=True)),
        **{key: getattr(antenna, key) for key in ("azimuth", "tilt", "roll")},
        "state": state.condition.value,
        "percent": state.percent if state.condition is Condition.REDUCED else None,
        **{key: getattr(antenna, key) for key in ("owner", "contact", "remark")},
        "reflection": antenna.reflection.kind.value if antenna.reflection else None,
        "estimate": None if antenna.conservative is None else ESTIMATES[not antenna.conservative],
        "tower_in_pattern": antenna.tower_in_pattern,
        "touch": allows.touch if allows else None,
        "steps": allows.steps if allows and allows.touch else None,
        "stays_on_air": bool(allows and allows.stays_on_air),
        "auxiliary_of": allows.auxiliary_of if allows else "",
        **model_of(antenna.kind),
    }
    for j, carrier in enumerate(antenna.carriers):
        for key in CARRIER:
            holder = carrier.power if key in POWERS else carrier
            values[f"carriers.{j}.{key}"] = getattr(holder, key)
    return values


def model_of(kind: Kind) -> dict[str, Any]:
    """Return the parameters of a kind, by path."""
    values: dict[str, Any] = {}
    for name, (spec, _) in parameters(type(kind)).items():
        value = getattr(kind, name)
        if spec.form != "parts":
            values[f"model.{name}"] = value
            continue
        for i, part in enumerate(value):
            for inner in parameters(type(part)):
                values[f"model.{name}.{i}.{inner}"] = getattr(part, inner)
    return values


def entries(values: Values) -> Iterator[Entry]:
    """Yield every entry that an antenna with some ``values`` has, in the order of a form."""
    for key, spec in ANTENNA.items():
        yield Entry(key, "antenna", spec, _default(key, spec))
        if key == "name":
            yield Entry("kind", "antenna", KIND, MISSING)
    cls = KINDS[values["kind"]]
    for name, (spec, default) in parameters(cls).items():
        if spec.form != "parts":
            yield Entry(f"model.{name}", "model", spec, default)
    for base, part in parts(values):
        for i in numbered(values, base):
            for name, (spec, default) in parameters(part).items():
                yield Entry(f"{base}.{i}.{name}", f"{base}.{i}", spec, default)
    for j in numbered(values, "carriers"):
        for key, spec in CARRIER.items():
            default = "" if key == "name" else _default(key, spec)
            yield Entry(f"carriers.{j}.{key}", f"carriers.{j}", spec, default)
    for key, spec in NOTES.items():
        yield Entry(key, "notes", spec, _default(key, spec))


def _default(key: str, spec: Parameter) -> Any:
    return None if spec.optional else DEFAULTS.get(key, MISSING)


def parts(values: Values) -> Iterator[tuple[str, type]]:
    """Yield the lists of parts that the kind of some ``values`` has: the path of each, and the class of its parts."""
    for name, (spec, _) in parameters(KINDS[values["kind"]]).items():
        if spec.parts is not None:
            yield f"model.{name}", spec.parts


def numbered(values: Values, base: str) -> list[int]:
    """Return the numbers of the parts (or carriers) at a path (``base``) in some ``values``; one at least."""
    found = {int(m[1]) for path in values if (m := re.match(rf"{re.escape(base)}\.(\d+)\.", path))}
    return sorted(found) or [0]


def missing(values: Values) -> list[Entry]:
    """Return the entries that are needed and not said in some ``values``."""
    found = [e for e in entries(values) if e.default is MISSING and values.get(e.path) is None]
    for j in numbered(values, "carriers"):
        powers = (f"carriers.{j}.{key}" for key in ("transmitter", "erp", "eirp"))
        if all(values.get(path) is None for path in powers):
            spec = CARRIER["transmitter"]
            found.append(Entry(f"carriers.{j}.transmitter", f"carriers.{j}", spec, MISSING))
    return found


def without_part(values: Values, group: str) -> dict[str, Any]:
    """Return some ``values`` without a part or a carrier (its ``group``); those after it move up."""
    base, _, number = group.rpartition(".")
    gone, out = int(number), {}
    for path, value in values.items():
        found = re.match(rf"{re.escape(base)}\.(\d+)\.(.+)", path)
        if found is None:
            out[path] = value
        elif (i := int(found[1])) != gone:
            out[f"{base}.{i - (i > gone)}.{found[2]}"] = value
    return out


def as_kind(antenna: Antenna, key: str) -> dict[str, Any]:
    """Return what is said of an antenna once it is of the kind of a ``key``: what both kinds have stays.

    A class of the catalogue that becomes the kind it stands for keeps everything that was assumed.
    """
    values = values_of(antenna)
    old = antenna.kind
    built = old.built(antenna.carriers[0].frequency)
    source = built if key == built.KEY else old
    out = {path: value for path, value in values.items() if not path.startswith("model.")}
    out["kind"] = key
    declared = parameters(KINDS[key])
    before = parameters(type(source))
    for path, value in model_of(source).items():
        name = path.split(".")[1]
        spec = declared[name][0] if name in declared else None
        if spec is None or spec.form != before[name][0].form or spec.parts != before[name][0].parts:
            continue
        fits = spec.form != "choice" or value is None or value in spec.choices
        if fits and (not isinstance(value, int | float) or spec.low <= value <= spec.high):
            out[path] = value
    return out


def made(old: Antenna, values: Values, patterns: Patterns) -> Antenna:
    """Return the antenna that changed values make.

    Parameters
    ----------
    old : Antenna
        What it was; what is the same stays the same object, so that nothing is computed again.
    values : mapping of str to object
        What is said of it now, by path.
    patterns : callable
        Reads pattern files.

    Raises
    ------
    InputError
        If something is missing or the antenna cannot be so; the field is that of the path where it is known.
    """
    gone = missing(values)
    if gone:
        raise InputError("is not said", field=gone[0].label, fix=f"Add it: {gone[0].spec.help}")
    kind = _kind(old.kind, values, patterns)
    carriers = tuple(_carrier(values, j) for j in numbered(values, "carriers"))
    condition = Condition(values["state"])
    reduced = condition is Condition.REDUCED
    percent = values.get("percent")
    return replace(
        old,
        name=values["name"],
        kind=kind,
        position=(values["x"], values["y"], values["z"]),
        carriers=old.carriers if carriers == old.carriers else carriers,
        azimuth=values["azimuth"],
        tilt=values["tilt"],
        roll=values["roll"],
        state=State(condition, (50.0 if percent is None else percent) if reduced else 100.0),
        reflection=_reflection(old, values.get("reflection")),
        conservative=None if not values.get("estimate") else values["estimate"] == ESTIMATES[0],
        tower_in_pattern=bool(values.get("tower_in_pattern")),
        allows=_allows(values),
        **{key: values.get(key) or "" for key in ("owner", "contact", "remark")},
    )


def _kind(old: Kind, values: Values, patterns: Patterns) -> Kind:
    cls = KINDS[values["kind"]]
    given: dict[str, Any] = {}
    for name, (spec, default) in parameters(cls).items():
        path = f"model.{name}"
        if spec.parts is not None:
            given[name] = tuple(
                spec.parts(**_said(values, f"{path}.{i}", spec.parts))
                for i in numbered(values, path)
            )
        elif values.get(path) is not None:
            given[name] = values[path]
        elif default is not MISSING:
            given[name] = default
    if type(old) is cls and all(getattr(old, name) == value for name, value in given.items()):
        return old
    read = [
        n
        for n, (spec, _) in parameters(cls).items()
        if spec.form in ("file", "gain") or spec.reader
    ]
    if any(spec.form == "file" for spec, _ in parameters(cls).values()):
        same = type(old) is cls and all(getattr(old, n) == given.get(n) for n in read)
        answers = reader_answers(cls, given)
        given["data"] = old.data if same else patterns(given["file"], answers)  # type: ignore[attr-defined]
    return cls(**given)


def _said(values: Values, base: str, cls: type) -> dict[str, Any]:
    given = {name: values.get(f"{base}.{name}") for name in parameters(cls)}
    return {name: value for name, value in given.items() if value is not None}


def _carrier(values: Values, j: int) -> Carrier:
    told: dict[str, Any] = {key: values.get(f"carriers.{j}.{key}") for key in CARRIER}
    power = Power(**{key: told[key] for key in POWERS if told[key] is not None})
    duty = told["duty"]
    return Carrier(
        name=told["name"] or show_frequency(told["frequency"]),
        frequency=told["frequency"],
        power=power,
        duty=1.0 if duty is None else duty,
        duty_source=told["duty_source"] or "",
    )


def _reflection(old: Antenna, key: str | None) -> Reflection | None:
    if old.reflection is not None and old.reflection.kind.value == key:
        return old.reflection
    return Reflection(ReflectionKind(key)) if key else None


def _allows(values: Values) -> Allowance | None:
    touch, steps = values.get("touch"), values.get("steps")
    stays, main = bool(values.get("stays_on_air")), values.get("auxiliary_of") or ""
    if touch is None and steps is None and not stays and not main:
        return None
    usual = UNSAID.steps if touch is not False else ()
    return Allowance(
        touch=touch is not False,
        steps=usual if steps is None else steps,
        stays_on_air=stays,
        auxiliary_of=main,
    )
