"""A small sane shop of notes, to which each test adds the note that it is about."""

from collections.abc import Callable
from datetime import date

import pytest

from dossier.checks import run_checks
from dossier.diagnostics import Diagnostic, Severity
from dossier.model import Notebook
from dossier.read.notebook import read_sources
from dossier.sources import Sources

TODAY = date(2026, 11, 25)

SANE = {
    "shop.md": """
        ---
        name: Lanterncroft Pianos
        technician: Quilla Lanterncroft
        email: bench@lanterncroft.example
        interval: 1 year
        ---
        """,
    "clients/marsh.md": """
        ---
        name: Tamsin Fennimarsh
        contact: Tamsin Fennimarsh
        phone: +999 555 0142
        email: tamsin@fennimarsh.example
        address: 7 Otterbank Lane, Lower Quill
        ---
        """,
    "rooms/parlour.md": """
        ---
        name: the parlour
        ---
        """,
    "instruments/heron/instrument.md": """
        ---
        client: marsh
        title: The heron
        made: 1962
        breaks: F2, C5
        stands: parlour, since 2015
        ---
        """,
    "instruments/heron/visits/2025-03-14.md": """
        ---
        air: 20 °C, 44 %
        found: A1 +6, A3 +9, A4 +7, A5 +8
        left: on pitch
        key dip: A4 10 mm
        work: tuning, 80 USD
        ---
        It had gone a little sharp, and is at pitch again.
        """,
}
"""A shop in which nothing is unlikely."""

Notes = dict[str, str]
Told = Callable[..., list[str]]
HERON = "instruments/heron/visits/"


def plainly(text: str) -> str:
    """A note without the indentation that it has in a test, and without its first line break."""
    lines = text.removeprefix("\n").rstrip(" ").split("\n")
    indent = min((len(line) - len(line.lstrip()) for line in lines if line.strip()), default=0)
    return "\n".join(line[indent:] for line in lines)


def only(message: str) -> list[str]:
    """One message and no other."""
    return [message]


def examined(notes: Notes, today: date = TODAY) -> tuple[Diagnostic, ...]:
    """What the checks say of the sane shop with these notes in it, all of which can be read."""
    return run_checks(noted(notes, today), today)


def noted(notes: Notes, today: date = TODAY) -> Notebook:
    """The sane shop with these notes in it."""
    files = {name: plainly(text).encode() for name, text in {**SANE, **notes}.items() if text}
    notebook, found = read_sources(Sources.of(files), today)
    assert notebook is not None
    assert [str(one) for one in found if one.severity is Severity.ERROR] == []
    return notebook


@pytest.fixture
def told() -> Told:
    """The whole messages of the checks; a note may be given under its date alone."""

    def tell(notes: Notes | None = None, today: date = TODAY) -> list[str]:
        placed = {
            name if "/" in name or name.endswith(".md") else f"{HERON}{name}.md": text
            for name, text in (notes or {}).items()
        }
        return [str(one) for one in examined(placed, today)]

    return tell
