"""A tiny valid shop in memory, and how a test reads it with something changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

import pytest

from dossier.diagnostics import Diagnostic
from dossier.model import Notebook
from dossier.read import Sources, read_sources

TODAY = date(2026, 6, 1)

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

Read = Callable[[Mapping[str, str | bytes | None]], tuple[Notebook | None, tuple[Diagnostic, ...]]]


def read_changed(
    changes: Mapping[str, str | bytes | None],
) -> tuple[Notebook | None, tuple[Diagnostic, ...]]:
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


@pytest.fixture
def read() -> Read:
    """Reads the tiny shop with files changed, added, or (None) taken away."""
    return read_changed
