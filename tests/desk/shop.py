"""A small shop on the disk, with something of every kind open at the heron."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from dossier.desk.known import Known
from dossier.desk.visit import known_of
from dossier.model import Notebook
from dossier.read import read_notebook
from tests.read.tiny_shop import SHOP

TODAY = date(2026, 6, 1)
HERON: Mapping[str, str] = {
    "instruments/heron/instrument.md": """---
client: marsh
title: The heron upright
stands: parlour, since 2019
interval: 1 year
humidity equipment: fitted 2024-10-04, next service 2026-03
---
""",
    "instruments/heron/visits/2024-03-02.md": """---
found: A1 -3, A3 -5, A4 -6, C6 +2
left: on pitch
condition:
  soundboard: good
  keys: fair
---
Tuned.
""",
    "instruments/heron/visits/2025-03-01.md": """---
reason: yearly tuning
air: 17.5 °C, 71 %
found: A1 +6, A3 +9, A4 442.1 Hz
left: A1 0, A4 0
problem:
  - G4 buzzes when played hard
  - "the lyre creaks: left pedal, and always has"
sticking keys: F3-B3, D4
loose pins: C5 slips
key dip: A1 10.2 mm, A4 11 mm
advice (wall): move it off the outer wall, before October
condition:
  hammers: good
work: pitch raise
next: check the splice, 4-8 weeks
fee: 120 USD
---
Tuned.
""",
}
FILES: Mapping[str, str] = {**SHOP, **HERON}


def write(root: Path, changes: Mapping[str, str | None] | None = None) -> Path:
    """The shop's folder of notes, with files changed, added or (None) left out."""
    content = root / "content"
    for name, text in {**FILES, **(changes or {})}.items():
        if text is None:
            continue
        path = content / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    return content


def notebook(content: Path, today: date = TODAY) -> Notebook:
    """What the reader makes of it, without an error."""
    read, found = read_notebook(content, today)
    assert [str(one) for one in found if one.severity.name != "INFO"] == []
    assert read is not None
    return read


def known(content: Path, instrument: str = "heron", today: date = TODAY) -> Known:
    return known_of(notebook(content, today), instrument, today)
