"""A shop of one piano around the notes that a test gives, read by the real reader in memory."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from textwrap import dedent

from dossier.analysis.findings import Findings, analyse
from dossier.diagnostics import Severity
from dossier.model import History, Notebook
from dossier.read import Sources, read_sources

READ_ON = date(2030, 1, 1)
PIANO = "instruments/heron"

Notes = Mapping[str, str]
"""Visit notes by their day, "2025-03-01" or "2025-03-01-evening": front matter alone, or a note
with its own `---` lines and a body."""


def notebook(
    notes: Notes,
    *,
    instrument: str = "",
    shop: str = "",
    client: str = "",
    files: Mapping[str, str] | None = None,
) -> Notebook:
    """The shop as read.  The other texts are lines that are added to a plain file of each kind."""
    texts = {
        "shop.md": _front(
            "name: Millrace Pianos\ntechnician: Ada Thorne\nlocale: en-GB\ncurrency: EUR", shop
        ),
        "clients/marsh.md": _front("name: The Marshes", client),
        "rooms/parlour.md": _front("name: the parlour\nclient: marsh"),
        f"{PIANO}/instrument.md": _front(
            "client: marsh\ntitle: The heron upright\nstands: parlour",
            "" if "shape:" in instrument else "shape: upright",
            instrument,
        ),
        **{f"{PIANO}/visits/{day}.md": _note(note) for day, note in notes.items()},
        **(files or {}),
    }
    read, found = read_sources(
        Sources.of({name: text.encode() for name, text in texts.items()}), READ_ON
    )
    wrong = [str(item) for item in found if item.severity is Severity.ERROR]
    assert not wrong, wrong
    assert read is not None
    return read


def history(
    notes: Notes,
    *,
    instrument: str = "",
    shop: str = "",
    client: str = "",
    files: Mapping[str, str] | None = None,
) -> History:
    read = notebook(notes, instrument=instrument, shop=shop, client=client, files=files)
    return read.history("heron")


def findings(
    notes: Notes,
    *,
    instrument: str = "",
    shop: str = "",
    client: str = "",
    files: Mapping[str, str] | None = None,
) -> Findings:
    return analyse(history(notes, instrument=instrument, shop=shop, client=client, files=files))


def dry_log(first: date, days: int, humidity: float, degrees: float = 20.0) -> str:
    """A logger's file of one room: four readings a day, all alike."""
    rows = [
        f"{date.fromordinal(first.toordinal() + day)}T{hour:02}:00:00Z,{degrees},{humidity}"
        for day in range(days)
        for hour in (0, 6, 12, 18)
    ]
    return "\n".join(["time (UTC),temperature (°C),humidity (%)", *rows, ""])


def _note(text: str) -> str:
    text = dedent(text).strip("\n")
    return f"{text}\n" if text.startswith("---") else f"---\n{text}\n---\n"


def _front(*parts: str) -> str:
    lines = "\n".join(dedent(part).strip("\n") for part in parts if part)
    return f"---\n{lines}\n---\n"
