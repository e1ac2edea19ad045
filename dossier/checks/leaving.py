"""Does what is about to leave the house for a stranger say whose instrument it is?

A statement for a sale or an appraisal holds words of the notes: of problems, work, remarks,
sources.  A name in one of them can't be taken out by a rule, so that nothing is issued until the
note is changed.  What is looked into is read off the records and not off a list: a new field is
searched without anyone adding a line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields
from typing import Any

from dossier.checks.privacy import gives_away
from dossier.diagnostics import Diagnostic, Span
from dossier.model import Client, History, Notebook, Record

# A link or a picture in Markdown, of which a statement keeps the words alone.
_ADDRESSED = re.compile(r"!?\[([^\]]*)\]\([^)]*\)")


def given_away(
    notebook: Notebook, history: History, edition: str, shown: str
) -> tuple[Diagnostic, ...]:
    """An error for each text of the notes that is shown and names a client, theirs or another.

    `shown` is all that the statement says, as one text.
    """
    own = history.client
    released = frozenset(
        what for one in own.releases if one.edition == edition for what in one.what
    )
    clients = [(own, released)]
    clients += [(one, frozenset()) for one in notebook.clients.values() if one.id != own.id]
    plainly = _shape(shown)
    texts = [(text, span) for text, span in _texts(history) if text and _shape(text) in plainly]
    # Most clients are named nowhere, and one look through all texts at once tells so.
    whole = "\n".join(text for text, _ in texts)
    found = [
        _error(words, what if client is own else f"{what} (of another client)", span)
        for client, free in clients
        if any(gives_away(client, whole, free))
        for text, span in texts
        for words, what in _named(client, text, free, other=client is not own)
    ]
    return tuple(dict.fromkeys(found))


def _named(
    client: Client, text: str, free: frozenset[str], *, other: bool
) -> Iterator[tuple[str, str]]:
    """Another client is known by the whole name only: half of one is a word of many sentences."""
    for words, what in gives_away(client, text, free):
        if not other or len(words.split()) > 1 or what != "the client's own name":
            yield words, what


def _error(words: str, what: str, span: Span) -> Diagnostic:
    return Diagnostic(
        "gives-away",
        f'"{words}" is {what}, and the statement would show it.',
        span,
        "Write it by role, such as the owner, or release it in the client's file.",
    )


def _texts(history: History) -> Iterator[tuple[str, Span]]:
    """Every text of the instrument and its visits, with its place; a slug as the words it holds."""
    own = history.instrument
    yield own.id, own.span
    yield own.id.replace("-", " ").title(), own.span
    yield history.client.relation, history.client.place_of("relation")
    for record in (own, *history.visits):
        yield from _of(record)


def _of(record: Record) -> Iterator[tuple[str, Span]]:
    for one in fields(record):
        if one.name not in {"span", "places", "client", "room", "instrument"}:
            yield from _in(getattr(record, one.name), record.place_of(one.name))


def _in(value: Any, place: Span) -> Iterator[tuple[str, Span]]:
    if isinstance(value, Record):
        yield from _of(value)
    elif isinstance(value, str) and value:
        yield value, place
    elif isinstance(value, tuple) and not hasattr(value, "_fields"):
        for item in value:
            yield from _in(item, place)


def _shape(text: str) -> str:
    """A text as it is looked for: a page may set a capital, break lines and leave addresses out."""
    return " ".join(_ADDRESSED.sub(r"\1", text).casefold().split())
