"""Mutated files and command lines, from seeds: what an unlucky disk, a hand edit or a hostile sender makes of them."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence

ODD_NUMBERS: tuple[object, ...] = (
    0, -0.0, -1, 1, 1e-300, 1e300, -1e300, 1e9, -1e9, 1e6, 99999.9, 360, -360, 90.0000001, 1e-9, 0.1,
    10**400, 10**5000, True, None, "", "1", [], {}, 2**53 + 1, 1e308, 5e-324, "NaN",
)  # fmt: skip
ODD_TEXTS = (
    "$x^$", "$\\frac{1}{2}$", "<b>bold</b>", "\x1b[31mred", "bell\x07", "back\x08", "\u202etxt.exe", "\ud800", "\udfff",
    "=1+1", "+cmd", "-2", "@sum", "a" * 121, "a" * 5000, "", " ", "名前", "İ", "e\u0301", "\u2028", "\x00", "..\\x",
    "name [1,2]", "[1, 2]", "{}", "%s%n", "'; DROP", "\ufeff", "\n", "tab\t", "🗼", "ﷺ", "CON", "a/b",
)  # fmt: skip
ODD_QUANTITIES = (
    "0 W", "-5 kW", "1e400 W", "1e-400 W", "5", "kW", "5 KW", "5kW", "98,1 MHz", "98.1", "9e99 GHz", "0 MHz",
    "-60 dB", "1e3 dBi", "1" * 300 + " MHz", "1." + "0" * 50_000 + " MHz", "٣ MHz", "1e 3 W", "inf W",
    "0x10 W", "1_000 W", " 5 W ", "5 W W", "5\u00a0W", "30 dBm", "-300 dBm", "400 dBm", "1 wl", "1e-9 wl",
)  # fmt: skip


def mutated_json(text: str, rng: random.Random) -> str:
    """Return the text of a JSON file with some of its values changed, or its bytes spoiled."""
    if rng.random() < 0.15:
        return spoiled(text, rng)
    value = json.loads(text)
    for _ in range(rng.choice((1, 1, 1, 1, 2, 4))):
        value = _changed(value, rng)
    return _dumped(value)


def _dumped(value: object) -> str:
    try:
        return json.dumps(value, ensure_ascii=False)
    except ValueError:
        # Python writes no integer of thousands of digits; a file may hold one all the same.
        return json.dumps(_without_huge(value), ensure_ascii=False).replace('"HUGE"', "9" * 5000)


def _without_huge(value: object) -> object:
    if isinstance(value, dict):
        return {k: _without_huge(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_without_huge(v) for v in value]
    return "HUGE" if isinstance(value, int) and abs(value) > 10**4000 else value


def _changed(value: object, rng: random.Random) -> object:
    places: list[tuple[object, object]] = []
    _collect(value, places)
    if not places:
        return value
    leaves = [p for p in places if not isinstance(p[0][p[1]], dict | list)]  # type: ignore[index]
    holder, key = rng.choice(leaves if leaves and rng.random() < 0.9 else places)
    old = holder[key]  # type: ignore[index]
    holder[key] = _odd(old, rng)  # type: ignore[index]
    if isinstance(holder, dict):
        roll = rng.random()
        if roll < 0.08:
            del holder[key]
        elif roll < 0.12:
            holder[rng.choice(ODD_TEXTS)] = old
    elif isinstance(holder, list) and rng.random() < 0.1:
        holder.extend([holder[key]] * rng.choice((1, 5, 200)))
    return value


def _collect(value: object, places: list[tuple[object, object]]) -> None:
    if isinstance(value, dict):
        for key, inner in value.items():
            places.append((value, key))
            _collect(inner, places)
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            places.append((value, i))
            _collect(inner, places)


def _odd(old: object, rng: random.Random) -> object:
    roll = rng.random()
    if isinstance(old, str):
        first, _, unit = old.partition(" ")
        if roll < 0.6 and unit and first.replace(".", "").lstrip("-").isdigit():
            return f"{float(first) * rng.choice(FACTORS):g} {unit}"
        pool: Sequence[object] = ODD_QUANTITIES if any(c.isdigit() for c in old) else ODD_TEXTS
        return rng.choice(pool) if roll < 0.9 else rng.choice(ODD_NUMBERS)
    if isinstance(old, int | float) and roll < 0.8 and abs(old) < 1e300:
        return old * rng.choice(FACTORS)
    return rng.choice(ODD_NUMBERS) if roll < 0.9 else rng.choice(ODD_TEXTS)


def spoiled(text: str, rng: random.Random) -> str:
    """Return text cut short, with pieces doubled, swapped, or with characters changed."""
    out = text
    for _ in range(rng.choice((1, 1, 2, 5))):
        if not out:
            break
        a, b = sorted(rng.randrange(len(out) + 1) for _ in range(2))
        roll = rng.random()
        if roll < 0.2:
            out = out[:a]
        elif roll < 0.4:
            out = out[:a] + out[b:]
        elif roll < 0.55:
            out = out[:b] + out[a:b][:2000] + out[b:]
        elif roll < 0.8:
            out = (
                out[:a]
                + rng.choice((*ODD_TEXTS, ",", ";", "-", ".", "e", "9", "\n", "0"))
                + out[a + 1 :]
            )
        else:
            out = out[:a] + str(rng.choice(ODD_NUMBERS[:16])) + out[a + rng.randrange(1, 6) :]
    return out


def mutated_lines(text: str, rng: random.Random) -> str:
    """Return a file of lines with cells changed, lines gone, doubled or spoiled."""
    if rng.random() < 0.3:
        return spoiled(text, rng)
    lines = text.split("\n")
    for _ in range(rng.choice((1, 1, 2, 4, 12))):
        if not lines:
            break
        i = rng.randrange(len(lines))
        roll = rng.random()
        if roll < 0.15:
            del lines[i]
        elif roll < 0.3:
            lines.insert(i, lines[rng.randrange(len(lines))])
        else:
            cells = lines[i].split(",")
            cells[rng.randrange(len(cells))] = str(
                rng.choice((*ODD_NUMBERS[:16], *ODD_TEXTS, *ODD_QUANTITIES[:14]))
            )
            lines[i] = ",".join(cells)
    return "\n".join(lines)


def mutated_bytes(data: bytes, rng: random.Random) -> bytes:
    """Return bytes cut short or with some of them changed."""
    out = bytearray(data)
    for _ in range(rng.choice((1, 2, 8, 40))):
        if not out:
            break
        i = rng.randrange(len(out))
        roll = rng.random()
        if roll < 0.1:
            del out[i:]
        elif roll < 0.2:
            del out[i : i + rng.randrange(1, 50)]
        else:
            out[i] = rng.randrange(256)
    return bytes(out)


FACTORS = (-1, 0, 0.3, 0.5, 0.9, 1.1, 2, 3, 10, 30, 1000, 1e-3, 1e-6, 1e6)
OPTION_VALUES = (
    "0,0,2", "1e308,0,0", "nan,0,0", "-0,-0,-0", "1,2", "1,2,3,4", "0,0,1e6", "", "x", "1e-320,5,5", "-50,-50,50,50",
    "quiet", "set", "visit", "pole", "yard", "A4", "1:200", "1:0", "2026-11-26", "zones,door", "5,7", "-1,-1,0,1,1,8",
    "5", "-5", "0", "1e9", "inf", "100", "0.01", "1e-9", "359.999", "720", "20x20", "0x5", "1x1", "99999x99999", "axb",
    "20,100", "100", "1e8", "public", "occupational", "--", "-", "1_0", "٣", "1e5,1e5,1e5", "16,2,17.5",
)  # fmt: skip
OPTIONS = (
    "--at", "--points", "-o", "--json", "--body", "--climber", "--point", "--average", "--plan", "--elevation",
    "--tier", "--contours", "--height", "--above", "--region", "--origin", "--up", "--cells", "--width", "--feet",
    "--threshold", "--percent", "--metres", "--seconds", "--fit", "--margin", "--slack", "--corners", "--help-me",
    "--version", "--state", "--garment", "--sheets", "--paper", "--scale", "--date", "--why", "--job", "--ladder",
    "--span", "--surface", "--box", "--target", "--take", "--decimal", "--name", "--as-filed", "--match",
)  # fmt: skip


COMMANDS = (
    "check", "read", "read", "read", "map", "zones", "fences", "entry", "plan", "brief", "survey", "schedule",
    "what", "",
)  # fmt: skip
PROVE = ("zones", "fences", "entry", "plan", "brief")
"""Commands that search; they get small sites."""


def command_line(
    rng: random.Random,
    sites: Sequence[str],
    tables: Sequence[str],
    folder: str,
    *,
    quick: Sequence[str],
) -> list[str]:
    """Return a command line of odd words about existing and missing files; pictures stay small."""
    command = rng.choice(COMMANDS)
    words = [
        command,
        rng.choice((*sites, *sites, "missing.json", folder, "\x00", "a" * 300, *tables)),
    ]
    if command == "survey":
        words.append(rng.choice((*tables, "missing.csv", folder)))
    if command in ("entry", "brief") and rng.random() < 0.5:
        words.append(rng.choice(("visit", "no such job", "")))
    for _ in range(rng.choice((0, 1, 1, 2, 3, 4))):
        option = rng.choice(OPTIONS)
        words.append(option)
        if option == "-o":
            end = rng.choice((".png", ".svg", ".pdf", ".csv", ".geojson", ".json", "", ".exe"))
            words.append(
                f"{folder}/out{end}" if rng.random() < 0.8 else f"{folder}/no/such/out{end}"
            )
        elif option == "--points":
            words.append(rng.choice((*tables, "missing.csv", folder)))
        elif rng.random() < 0.9:
            words.append(rng.choice(OPTION_VALUES))
    if command in ("map", "zones") and rng.random() < 0.6:
        words += ["-o", f"{folder}/o{rng.choice(('.png', '.svg', '.pdf'))}"]
    if command == "map":
        words += ["--cells", "16x12"]
    if command in PROVE:
        words[1] = rng.choice((*quick, "missing.json"))
    if command in ("zones", "fences"):
        words += ["--seconds", "0.3"]
    return words
