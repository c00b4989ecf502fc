"""One hostile case after the other through the program's own doors, and what must never be seen.

A case is made from its kind and its seed alone, so that one that fails can be run again.
"""

from __future__ import annotations

import contextlib
import faulthandler
import io
import json
import math
import os
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time
import traceback
import unicodedata
import warnings
import xml.etree.ElementTree as ElementTree
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType
from unittest.mock import patch

import numpy as np
from PIL import Image

import app.draw  # noqa: F401  sets filters of warnings, which a record of warnings would take away again
from app.cli.main import UNEXPECTED, main
from core.errors import LONGEST_LINE, InputError
from core.files.error_log import state_folder
from core.files.schedule.writer import schedule_text
from core.files.site_file import load_site
from core.files.site_writer import save_site, site_text
from core.validation.data import PATTERNS
from support.generated_sites import generated
from support.mutate import command_line, mutated_bytes, mutated_json, mutated_lines
from support.places import DEMOS, ROOT

SECONDS = 10.0
"""Of the process's own work (user and system time), so that a busy machine makes no case slow."""
HANGS = 100.0
"""Seconds of the same after which a case that not even a signal ends (it is inside foreign code) ends its process."""
_ANSWERS = {
    "linear": ("field", "power"), "negate": (True,), "accept_count": (True,), "flip_elevation": (True,),
    "renormalise": (True,), "frequency_unit": ("Hz", "MHz"),
}  # fmt: skip
KINDS = ("site", "pattern", "points", "picture", "schedule", "command line")
_TURNS = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u2028\u2029"


class TooSlow(BaseException):
    """A case took more than :data:`SECONDS`; not an Exception, so that nobody catches it on the way."""


@dataclass(slots=True)
class Tally:
    """What was seen: counts, and the first cases of each fault by their kind and seed."""

    runs: Counter[str] = field(default_factory=Counter)
    faults: Counter[str] = field(default_factory=Counter)
    first: dict[str, list[str]] = field(default_factory=dict)

    def fault(self, what: str, case: str) -> None:
        """Count a fault and keep the first few."""
        self.faults[what] += 1
        kept = self.first.setdefault(what, [])
        if len(kept) < 4:
            kept.append(case)

    def add(self, other: Tally) -> None:
        """Add what another process saw."""
        self.runs += other.runs
        self.faults += other.faults
        for what, cases in other.first.items():
            self.first.setdefault(what, []).extend(cases)


class Grounds:
    """A folder with the files that cases are made from."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.sites: list[tuple[Path, str]] = []
        for name in ("one-panel", "one-mast", "dishes", "two-way", "television", "shortwave-field"):
            place = folder / name
            place.mkdir()
            for pattern in PATTERNS.iterdir():
                (place / pattern.name).write_bytes(pattern.read_bytes())
            path = place / f"{name}.json"
            save_site(generated(name).site, path)
            self.sites.append((path, path.read_text("utf-8")))
        for demo in DEMOS.iterdir():
            place = folder / demo.name
            place.mkdir()
            for source in demo.rglob("*"):
                if source.is_file() and source.suffix != ".png":
                    target = place / source.relative_to(demo)
                    target.parent.mkdir(exist_ok=True)
                    target.write_bytes(source.read_bytes())
            path = place / f"{demo.name}.json"
            self.sites.append((path, path.read_text("utf-8")))
        place = folder / "job"
        place.mkdir()
        self.job = place / "job.json"
        self.job.write_text(json.dumps(_with_a_job(self.sites[0][1])), "utf-8")
        self.sites.append((self.job, self.job.read_text("utf-8")))
        self.readings = folder / "readings.csv"
        self.readings.write_text(READINGS, "utf-8")
        self.points = folder / "points.csv"
        self.points.write_text("x,y,z,remark\n0,0,2,a\n5,-3,1.5,b\n12.5,8,20,c\n", "utf-8")
        self.schedule = SCHEDULE
        self.patterns = [(p.name, p.read_text("utf-8")) for p in sorted(PATTERNS.iterdir())]
        pixels = Image.fromarray(np.arange(48 * 64 * 3, dtype=np.uint8).reshape(48, 64, 3))
        self.pictures = []
        for kind in ("PNG", "JPEG"):
            out = io.BytesIO()
            pixels.save(out, kind)
            self.pictures.append(out.getvalue())


READINGS = (
    "name,x,y,z,value,unit,uncertainty,time,states,explained\n"
    "R1,5,0,1.5,3,V/m,2,2026-11-20,1 sector (invented): on,\n"
    "R2,12,4,1.5,0.02,W/m²,3,2026-11-20,,\n"
    "R3,20,-3,1.5,9,% FCC public,3,2026-11-20,,seen before\n"
)
"""Invented readings of a survey."""


def _with_a_job(text: str) -> dict[str, object]:
    """Return a site of one panel with everything that an entry is planned from; all of it is invented."""
    site: dict[str, object] = json.loads(text)
    name = "1 sector (invented)"
    site["surfaces"] = [
        {"name": "yard", "kind": "ground", "height": 0.0, "outline": [[-30, -30], [30, -30], [30, 30], [-30, 30]]}
    ]  # fmt: skip
    site["ladders"] = [{"name": "pole", "points": [[-1, 0, 0], [-1, 0, 8]]}]
    antennas = site["antennas"]
    assert isinstance(antennas, list)
    antennas[0]["allows"] = {"touch": True, "steps": [50.0, 0.0]}
    site["states"] = {"quiet": {name: "locked out"}}
    site["garments"] = [
        {
            "name": "set", "source": "card (invented)", "condition": "sound", "inspected": "2026-11-16",
            "bands": [{"low": "300 MHz", "high": "3 GHz", "rating": "9 dB"}],
        }
    ]  # fmt: skip
    stops = [
        {"name": "gate", "position": [-20, 0, 0], "dwell": "2 min"},
        {"name": "top", "ladder": "pole", "height": 6.0, "dwell": "5 min"},
    ]
    site["jobs"] = [
        {
            "name": "visit", "tier": "occupational", "route": {"stops": stops}, "garment": "set",
            "work": {"ladder": "pole", "heights": [5.0, 7.0]}, "states": {name: {"reduced_percent": 50}},
            "garment_training": "2026-11 (invented)", "higher_controls": {"eliminate": "it stays on air"},
        }
    ]  # fmt: skip
    return site


SCHEDULE = (
    "antenna,carrier,frequency,power,x,y,z,azimuth,remark\n"
    "North FM,98.1,98.1 MHz,25 kW,0,0,30,0,invented\n"
    "Sector A,B3,1850 MHz,40 W,3.5,-2,12,120,=1+1\n"
    "Dish,11G,11.2 GHz,0.5 W,1,1,14,45,\n"
)
"""An invented antenna schedule as a crew gets it, with units left out and columns that mean nothing."""


@contextlib.contextmanager
def watched(tally: Tally, case: str) -> Iterator[None]:
    """Count tracebacks, warnings and slowness of what runs inside."""

    def ring(number: int, frame: FrameType | None) -> None:
        raise TooSlow

    faulthandler.register(signal.SIGXCPU, chain=True)
    limits = resource.getrlimit(resource.RLIMIT_CPU)
    resource.setrlimit(resource.RLIMIT_CPU, (round(time.process_time() + HANGS), limits[1]))
    old = signal.signal(signal.SIGPROF, ring)
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    try:
        with warnings.catch_warnings(record=True) as seen:
            yield
        for one in seen:
            tally.fault(
                "warning",
                f"{case}: {one.category.__name__}: {one.message} ({one.filename}:{one.lineno})",
            )
    except TooSlow:
        stack = "".join(traceback.format_exc(limit=-2)).replace("\n", " ")
        tally.fault("slow", f"{case}: {stack[-300:]}")
    except SystemExit as leave:
        if leave.code not in (0, None):
            tally.fault("exit", f"{case}: {leave.code}")
    except BaseException:
        tally.fault("traceback", f"{case}: {traceback.format_exc(limit=-3)[-600:]}")
    finally:
        resource.setrlimit(resource.RLIMIT_CPU, limits)
        faulthandler.unregister(signal.SIGXCPU)
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.signal(signal.SIGPROF, old)


def run(words: list[str], tally: Tally, case: str) -> tuple[int, str]:
    """Run a command in this process and look at what it printed."""
    out, err = io.StringIO(), io.StringIO()
    code = -1
    with watched(tally, case), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(words)
    tally.runs["commands"] += 1
    said = err.getvalue()
    if "Traceback" in said:
        tally.fault("traceback", f"{case}: {said[-300:]}")
    if code == UNEXPECTED:
        tally.fault("traceback", f"{case}: {(state_folder() / 'errors.log').read_text()[-600:]}")
    if code == 2 and said.count("\n") != 1:
        tally.fault("not one line", f"{case}: {said[:300]!r}")
    for line in said.splitlines():
        if len(line) > LONGEST_LINE + len("isofence: "):
            tally.fault("long line", f"{case}: {len(line)}: {line[:120]}")
    for text in (said, out.getvalue()):
        if any(
            c in _TURNS or (c not in "\n\t" and unicodedata.category(c) in ("Cc", "Cs"))
            for c in text
        ):
            tally.fault("control character", f"{case}: {text[:200]!r}")
    # Python writes nan; NaN is what a mutated name may be.
    if "nan" in out.getvalue().split():
        tally.fault("nan printed", case)
    return code, out.getvalue()


def read(path: Path, rng: random.Random, tally: Tally, case: str) -> None:
    """Check and read a site, and look at the figures."""
    code, _ = run(["check", str(path)], tally, case)
    if code not in (0, 1):
        tally.runs["refused"] += 1
        return
    tally.runs["accepted"] += 1
    at = ",".join(f"{rng.gauss(0, 10 ** rng.uniform(-1, 3)):.3f}" for _ in range(3))
    how = rng.choice(([], ["--body"], ["--climber"], ["--climber", "--average"]))
    code, text = run(
        ["read", str(path), f"--at={at}", "--json", *how], tally, f"{case} at {at} {how}"
    )
    if code in (0, 1):
        tally.runs["readings"] += 1
        for name, value in _figures(json.loads(text)):
            if not math.isfinite(value) or (
                value < 0 and ("percent" in name or "fraction" in name)
            ):
                tally.fault("bad figure", f"{case} at {at}: {name} = {value}")
    if rng.random() < 0.08:
        picture = path.parent / rng.choice(("map.png", "map.svg"))
        view = rng.choice((["--plan"], ["--elevation", "90"], ["--height", "3"]))
        run(
            ["map", str(path), *view, "--cells", "14x10", "--width", "400", "-o", str(picture)],
            tally,
            case,
        )
        tally.runs["maps"] += 1
        if picture.suffix == ".svg" and picture.exists():
            with watched(tally, case):
                ElementTree.parse(picture)
        picture.unlink(missing_ok=True)
    if rng.random() < 0.03:
        shapes = path.parent / "zones.geojson"
        run(["zones", str(path), "--seconds", "0.3", "-o", str(shapes)], tally, case)
        run(["fences", str(path), "--seconds", "0.3"], tally, case)
        tally.runs["zones"] += 1
        if shapes.exists():
            with watched(tally, case):
                json.loads(shapes.read_text("utf-8"), parse_constant=_no_number)
        shapes.unlink(missing_ok=True)
    if rng.random() < 0.1:
        again(path, tally, case)


def again(path: Path, tally: Tally, case: str) -> None:
    """Save an accepted site and open it: the same site but for its pattern tables."""
    with watched(tally, case):
        site = load_site(path)
        copy = path.with_name("again.json")
        save_site(site, copy)
        back = load_site(copy)
        names = [
            [a.name for a in s.antennas]
            + [x.name for x in (*s.surfaces, *s.structures, *s.ladders)]
            for s in (site, back)
        ]
        if names[0] != names[1] or (site.name, site.story) != (back.name, back.story):
            tally.fault("names changed", case)
        if site_text(site) != site_text(back):
            tally.fault("changed by saving", case)
        copy.unlink()


def _no_number(name: str) -> float:
    raise ValueError(f"{name} in a file")


def _figures(value: object, name: str = "") -> Iterator[tuple[str, float]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _figures(inner, f"{name}.{key}")
    elif isinstance(value, list):
        for inner in value:
            yield from _figures(inner, name)
    elif isinstance(value, float):
        yield name, value


def one(kind: str, seed: int, grounds: Grounds, tally: Tally) -> None:
    """Run the case of a kind and a seed."""
    rng = random.Random(f"{kind} {seed}")
    case = f"{kind} {seed}"
    tally.runs[kind] += 1
    if kind == "site":
        path, text = rng.choice(grounds.sites)
        place = path.with_name("mutated.json")
        place.write_text(mutated_json(text, rng), "utf-8", errors="surrogatepass")
        read(place, rng, tally, case)
    elif kind == "pattern":
        name, text = rng.choice(grounds.patterns)
        mutate = mutated_json if name.endswith(".json") else mutated_lines
        place = grounds.folder / "pattern"
        place.mkdir(exist_ok=True)
        (place / "p.txt").write_text(mutate(text, rng), "utf-8", errors="surrogatepass")
        (place / "s.json").write_text(_pattern_site(rng), "utf-8")
        read(place / "s.json", rng, tally, case)
    elif kind == "schedule":
        _taken(grounds, rng, tally, case)
    elif kind == "points":
        place = grounds.folder / "mutated.csv"
        text = mutated_lines(grounds.points.read_text("utf-8"), rng)
        place.write_text(text, "utf-8", errors="surrogatepass")
        site, _ = rng.choice(grounds.sites[:2])
        out = grounds.folder / "out.csv"
        code, _ = run(["read", str(site), "--points", str(place), "-o", str(out)], tally, case)
        if code in (0, 1):
            _sound_table(out, tally, case)
        out.unlink(missing_ok=True)
    elif kind == "picture":
        place = grounds.folder / "one-panel" / "plan.png"
        place.write_bytes(mutated_bytes(rng.choice(grounds.pictures), rng))
        path, text = grounds.sites[0]
        data = json.loads(text)
        data["picture"] = {"file": "plan.png", "metres_per_pixel": 0.5, "origin": [0, 0]}
        with_picture = path.with_name("picture.json")
        with_picture.write_text(json.dumps(data), "utf-8")
        run(["check", str(with_picture)], tally, case)
        if rng.random() < 0.05:
            out = ["-o", str(grounds.folder / "plan.svg")]
            run(["map", str(with_picture), "--cells", "8x8", *out], tally, case)
    else:
        sites = [str(p) for p, _ in grounds.sites[:5]]
        tables = [str(grounds.points), str(grounds.readings)]
        quick = [sites[0], str(grounds.job)]
        words = command_line(rng, sites, tables, str(grounds.folder), quick=quick)
        if words[0] not in ("", "what"):
            code, _ = run(words, tally, f"{case}: {words}")
            if rng.random() < 0.01 and not any("\x00" in word for word in words):
                _in_its_own_process(words, code, tally, f"{case}: {words}")
        else:
            run([*words[:1], "--no-such", *words[1:]], tally, f"{case}: {words}")


def _taken(grounds: Grounds, rng: random.Random, tally: Tally, case: str) -> None:
    """Take a mutated antenna table into a site; what is written can be opened."""
    site, _ = rng.choice(grounds.sites[:2])
    whole = rng.choice([grounds.schedule, schedule_text(load_site(site))])
    place, out = grounds.folder / "mutated.csv", site.with_name("taken.json")
    place.write_text(mutated_lines(whole, rng), "utf-8", errors="surrogatepass")
    code, _ = run(["schedule", str(site), "--take", str(place), "-o", str(out)], tally, case)
    if code in (0, 1):
        read(out, rng, tally, case)
    out.unlink(missing_ok=True)


def _sound_table(path: Path, tally: Tally, case: str) -> None:
    """Look at the percents of a table of readings."""
    tally.runs["tables"] += 1
    for line in path.read_text("utf-8").splitlines()[1:]:
        percents = [float(cell) for cell in line.split(",")[3:5]]
        if not all(math.isfinite(p) and p >= 0.0 for p in percents):
            tally.fault("bad figure", f"{case}: {line[:200]}")


def _in_its_own_process(words: list[str], code: int, tally: Tally, case: str) -> None:
    """Run a command line as a person does; it must end as it did in this process."""
    tally.runs["processes"] += 1
    done = subprocess.run(
        [sys.executable, "-m", "app", *words],
        cwd=ROOT, capture_output=True, timeout=HANGS, check=False, env={**os.environ, "PYTHONWARNINGS": "default"},
    )  # fmt: skip
    # How far a search comes in its seconds is the machine's affair, and decides between done and a finding.
    alike = (
        {code}
        | ({0, 1} if "--seconds" in words and code in (0, 1) else set())
        | ({0} if code == -1 else set())
    )
    if b"Traceback" in done.stderr or done.returncode not in alike:
        tally.fault("process", f"{case}: {done.returncode} for {code}: {done.stderr[-300:]!r}")
    elif b"Warning" in done.stderr:
        tally.fault("warning", f"{case}: {done.stderr[-300:]!r}")


def _pattern_site(rng: random.Random) -> str:
    model: dict[str, object] = {"file": "p.txt", "length": "1 m"}
    if rng.random() < 0.3:
        model["gain"] = "5 dBd"
    for name, answers in _ANSWERS.items():
        if rng.random() < 0.15:
            model[name] = rng.choice(answers)
    antenna = {
        "name": "a", "kind": "pattern", "position": [0, 0, 10], "model": model,
        "carriers": [{"name": "c", "frequency": rng.choice(("98 MHz", "850 MHz", "11 GHz")), "transmitter": "10 W"}],
    }  # fmt: skip
    return json.dumps({"format": "isofence-site", "version": 1, "name": "s", "antennas": [antenna]})


def cases(kind: str, seeds: range, folder: Path | None = None) -> Tally:
    """Run the cases of some seeds in a folder of their own."""
    tally = Tally()
    with tempfile.TemporaryDirectory(dir=folder) as place:
        grounds = Grounds(Path(place))
        with patch.dict(os.environ, XDG_STATE_HOME=place):
            for seed in seeds:
                with contextlib.suppress(InputError):
                    one(kind, seed, grounds, tally)
    return tally
