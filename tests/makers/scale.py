"""Write the scale of the demo shop's grand: lengths and wires as a rule and a tape would give them.

Plain strings grow by 1.88 an octave below A7, in half sizes of wire; the wound strings are chosen
for a tension that rises a little towards the bass.  Plausible for an instrument of the 1890s; no
source.  Run it: python -m tests.makers.scale
"""

from __future__ import annotations

import math
from pathlib import Path

FILE = Path(__file__).parents[2] / "content" / "instruments" / "swan" / "scale.csv"
NAMES = ("A", "A#", "B", "C", "C#", "D", "D#", "E", "F", "F#", "G", "G#")
LAST, FIRST_PLAIN, FIRST_PAIR = 85, 22, 9
STEEL, COPPER = 7850.0, 8890.0


def name(key: int) -> str:
    return f"{NAMES[(key - 1) % 12]}{(key + 8) // 12}"


def hertz(key: int) -> float:
    return float(440 * 2 ** ((key - 49) / 12))


def half_size(millimetres: float) -> float:
    """Wire is made in half sizes of about 0.025 mm."""
    return round(millimetres / 0.025) * 0.025


def plain(key: int) -> str:
    """A plain string: note, length, diameter, no cover, no mass, three strings."""
    length = round(62.0 * 1.88 ** ((LAST - key) / 12))
    length = min(length, 1400 - 12 * (key - FIRST_PLAIN))
    wire = half_size(0.775 + 0.30 * ((LAST - key) / (LAST - FIRST_PLAIN)) ** 1.2)
    return f"{name(key)},{length},{wire:.3f},,,3"


def wound(key: int) -> str:
    """A wound string: the cover that brings it to its tension, and the mass that results."""
    low = (FIRST_PLAIN - key) / (FIRST_PLAIN - 1)
    length = round(1190 + 340 * low)
    strings = 2 if key >= FIRST_PAIR else 1
    core = half_size(0.9 + 0.45 * low)
    newtons = (640 if strings == 2 else 790) + 180 * low
    mass = newtons / (4 * (hertz(key) * length / 1000) ** 2)
    steel = STEEL * math.pi / 4 * (core / 1000) ** 2
    packed = COPPER * math.pi / 4 * 0.89
    outside = math.sqrt((mass - steel) / packed + (core / 1000) ** 2) * 1000
    cover = half_size((outside - core) / 2)
    mass = steel + packed * (((core + 2 * cover) / 1000) ** 2 - (core / 1000) ** 2)
    return f"{name(key)},{length},{core:.3f},{cover:.3f},{mass * 1000:.1f},{strings}"


def table() -> str:
    """The whole scale as the text of its file."""
    rows = ["note,length_mm,diameter_mm,cover_mm,g_per_m,strings"]
    rows += [wound(key) if key < FIRST_PLAIN else plain(key) for key in range(1, LAST + 1)]
    return "\n".join(rows) + "\n"


def main() -> None:
    FILE.write_text(table(), encoding="utf-8")


if __name__ == "__main__":
    main()
