"""A tiny valid shop in memory, and how a test reads it with something changed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from dossier.diagnostics import Diagnostic
from dossier.model import Notebook, Visit
from dossier.read import Sources, read_sources

TODAY = date(2026, 6, 1)
VISIT = "instruments/heron/visits/2026-03-14.md"

SHOP: Mapping[str, str] = {
    "shop.md": """---
name: Millrace Pianos
technician: Ada Thorne
currency: USD
time zone: America/New_York
---
""",
    "clients/marsh.md": "---\nname: The Marshes\n---\n",
    "clients/school.md": "---\nname: Pond Street School\n---\n",
    "rooms/parlour.md": "---\nname: the parlour\nclient: marsh\n---\n",
    "instruments/heron/instrument.md": """---
client: marsh
title: The heron upright
stands: parlour, since 2019
---
""",
    "instruments/heron/visits/2025-03-01.md": """---
problem: G4 buzzes when played hard
advice (wall): move it off the outer wall, before October
---
Tuned.
""",
    "instruments/heron/media/pins.jpg": "not looked into here",
    "instruments/wren/instrument.md": "---\nclient: school\ntitle: Room 12\n---\n",
}

Changes = Mapping[str, str | bytes | None]


def read_all(changes: Changes) -> tuple[Notebook | None, tuple[Diagnostic, ...]]:
    """Read the tiny shop with files changed, added, or (None) taken away."""
    files: dict[str, str | bytes | None] = {**SHOP, **changes}
    return read_sources(
        Sources.of(
            {
                name: text.encode() if isinstance(text, str) else text
                for name, text in files.items()
                if text is not None
            }
        ),
        TODAY,
    )


def read(changes: Changes) -> tuple[Notebook, tuple[Diagnostic, ...]]:
    """The same where shop.md can be used."""
    notebook, found = read_all(changes)
    assert notebook is not None
    return notebook, found


def read_visit(note: str | bytes) -> Visit:
    """The tiny shop's second visit to the heron, whose note holds no mistake."""
    notebook, found = read({VISIT: note})
    assert [str(one) for one in found] == []
    return notebook.visits["heron"][1]
