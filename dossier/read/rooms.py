"""rooms/<room>.md: a room, by itself; its logs are read in `logs`."""

from __future__ import annotations

from dossier.diagnostics import Span
from dossier.model import Log, Room
from dossier.read.body import read_body
from dossier.read.fields import read_fields, record
from dossier.read.note import open_note
from dossier.read.pieces import Findings
from dossier.read.schema import Field, Setting, Table
from dossier.read.values import single, slug, text

ROOM_TABLE = Table.of(
    "a room",
    (
        Field("name", "name", single(text), "how its owner calls the room"),
        Field(
            "client",
            "client",
            single(slug("the name of a client's file")),
            "the name of its client's file, without .md",
        ),
        Field("heating", "heating", single(text), "how and when it is heated"),
        Field("private", "private", single(text), "a sentence for the bench alone"),
    ),
)


def read_room(
    raw: bytes, file: str, slug: str, logs: tuple[Log, ...], findings: Findings
) -> Room | None:
    """Read a room's file.  Its prose is for the bench, but for what a fence gives to owners."""
    note = open_note(raw, file, ROOM_TABLE, findings)
    if note is None:
        return None
    draft = read_fields(note.tree, ROOM_TABLE, Setting(), findings, ("name",))
    passages = read_body(note.body, file, note.body_line, findings)
    if "name" not in draft.values:
        return None
    return record(
        Room,
        Span(file),
        findings,
        id=slug,
        about="\n\n".join(passage.markdown for passage in passages),
        logs=logs,
        places=draft.places,
        **draft.values,
    )
