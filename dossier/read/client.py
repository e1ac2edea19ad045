"""clients/<client>.md: whoever the technician answers to."""

from __future__ import annotations

from collections.abc import Mapping

from dossier.diagnostics import Span
from dossier.model import Client, Release
from dossier.quantities import parse_date, parse_period
from dossier.read.body import read_body
from dossier.read.fields import did_you_mean, read_fields, record
from dossier.read.note import open_note
from dossier.read.pieces import Findings, refuse
from dossier.read.schema import Entry, Field, Setting, Table
from dossier.read.values import (
    listed,
    nested,
    one_of,
    quantity,
    single,
    sub_entry,
    text,
    the_piece,
    yes_no,
)
from dossier.read.yaml_nodes import Items, Node, Pairs

EDITIONS: tuple[str, ...] = ("sale", "appraisal")
# What a client may release; one word each, so that nothing is released by a misspelling.
RELEASABLE: tuple[str, ...] = ("owner", "costs", "room", "address", "contact")
# What shows people's homes is released one by one, where it stands.
ONE_BY_ONE: Mapping[str, str] = {
    "prose": "Write release: and the edition in each note whose prose may be shown.",
    "pictures": "Write release: and the edition below each picture that may be shown.",
}


def _releases(node: Node, entry: Entry) -> tuple[Release, ...]:
    if not isinstance(node, Pairs):
        raise refuse(
            "release-shape",
            '"release" needs an edition for what is released.',
            node.span,
            "Write below it, indented, as in sale: costs",
        )
    parts = nested(node, entry, EDITIONS)
    return tuple(
        Release(span=value.span, edition=edition, what=_what(value, sub_entry(entry, key)))
        for edition, (key, value) in parts.items()
    )


def _what(node: Node, entry: Entry) -> tuple[str, ...]:
    words: list[str] = []
    for one in node.nodes if isinstance(node, Items) else (node,):
        for piece in the_piece(one, entry).parts():
            if hint := ONE_BY_ONE.get(piece.text.casefold(), ""):
                raise refuse(
                    "release-one-by-one",
                    f"{piece.quoted} cannot be released as a whole.",
                    piece.span(),
                    hint,
                )
            if piece.text.casefold() not in RELEASABLE:
                raise refuse(
                    "release-what",
                    f"{piece.quoted} cannot be released.",
                    piece.span(),
                    did_you_mean(piece.text, RELEASABLE, f"Write {listed(RELEASABLE)}."),
                )
            words.append(piece.text.casefold())
    return tuple(words)


CLIENT_TABLE = Table.of(
    "a client",
    (
        Field("name", "name", single(text), "who the client is, as on a letter"),
        Field("kind", "kind", single(text), "home, school, church, hall or another word"),
        Field("contact", "contact", single(text), "whom to ask for; never published"),
        Field("phone", "phone", single(text), "the client's telephone; never published"),
        Field("email", "email", single(text), "the client's address for e-mail; never published"),
        Field(
            "address",
            "address",
            single(text),
            "where the client lives; never published unless released",
        ),
        Field("access", "access", single(text), "how to get in; never published"),
        Field(
            "interval",
            "interval",
            single(quantity(parse_period, "period")),
            "how long after a tuning the next is due at this client's; the shop's own where "
            "nothing is said",
        ),
        Field(
            "status",
            "status",
            single(one_of(("active", "dormant", "left"))),
            "whether you still come: a dormant client is not asked again for now, and one who "
            "left has no pages",
        ),
        Field(
            "last contacted",
            "last_contacted",
            single(quantity(parse_date, "date")),
            "the day on which you last wrote or rang",
        ),
        Field(
            "relation",
            "relation",
            single(text),
            "what you are to the client, as an appraisal has to disclose it",
        ),
        Field(
            "show costs",
            "show_costs",
            single(yes_no),
            "whether this client reads prices on the pages; as the shop says where nothing is said",
        ),
        Field(
            "card link",
            "card_link",
            single(yes_no),
            "yes where the card in the instrument may lead to the client's private pages",
        ),
        Field(
            "release",
            "releases",
            _releases,
            "for a statement's edition, what the client allows it to show",
        ),
        Field("private", "private", single(text), "a sentence for the bench alone"),
    ),
)


def read_client(raw: bytes, file: str, slug: str, findings: Findings) -> Client | None:
    """Read a client's file; its prose is private like the rest of it."""
    note = open_note(raw, file, CLIENT_TABLE, findings)
    if note is None:
        return None
    draft = read_fields(note.tree, CLIENT_TABLE, Setting(), findings, ("name",))
    if "name" not in draft.values:
        return None
    passages = read_body(note.body, file, note.body_line, findings)
    private = (draft.take("private", ""), *(passage.markdown for passage in passages))
    return record(
        Client,
        Span(file),
        findings,
        id=slug,
        **draft.values,
        private="\n\n".join(part for part in private if part),
        places=draft.places,
    )
