"""An antenna swap on each demo site: the state after, as the README tells and draws it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from core.files.companions import take_along
from core.files.site_file import load_site
from support.places import DEMOS


def roof(site: dict) -> None:
    """Sector north gives way to a panel with two more low-band elements, 2.5 m higher, without mechanical tilt."""
    panel = next(a for a in site["antennas"] if a["name"] == "Sector north")
    panel["model"]["length"] = "2.69 m"
    panel["model"]["bands"][0]["elements"] = 8
    panel["position"][2] = 21.1
    panel["tilt"] = 0.0


def tower(site: dict) -> None:
    """FM main's eight bays, a wavelength apart, give way to twelve at half a wavelength with the same ERP."""
    main = next(a for a in site["antennas"] if a["name"] == "FM main")
    main["model"] |= {"bays": 12, "spacing": "0.5 wl"}


SWAPS: dict[str, Callable[[dict], None]] = {"harrow-lane-roof": roof, "cold-ridge-tower": tower}


def before(key: str) -> Path:
    """Return the file of a demo site."""
    return DEMOS / key / f"{key}.json"


def write_after(key: str, folder: Path) -> Path:
    """Write the state after the swap, with the files it names, and return its path."""
    old = before(key)
    site = json.loads(old.read_text("utf-8"))
    SWAPS[key](site)
    site["revision"] = "B, proposed"
    folder.mkdir(parents=True, exist_ok=True)
    new = folder / old.name
    new.write_text(json.dumps(site), "utf-8")
    take_along(load_site(old), old.parent, folder)
    return new
