"""What a statement says otherwise than the one before it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from dossier.edition.pages import StatementPart
from dossier.edition.view import Table, plain
from dossier.edition.voice import Voice

UNCOMPARED = frozenset({"brief", "differs", "words", "trust"})
"""Parts whose words follow from the others, or never tell of the instrument."""

Lines = dict[tuple[str, str, int], str]
"""What a part says, by its kind, what names the line, and the how many-th of that name it is."""


def differences(
    before: Mapping[str, Any], parts: tuple[StatementPart, ...], voice: Voice
) -> StatementPart:
    """What was added, changed and removed since an earlier statement, line by line.

    `before` is the "history" of its history.json.  A line is a sentence, a fact or a row of a
    table; two rows of a table are the same line, changed, where their first cell is the same.
    """
    w = voice.words
    earlier = before["statement"]
    title = w("What differs from the statement of {date}", date=earlier["issued_text"])
    old = {part["id"]: part for part in earlier["parts"] if part["id"] not in UNCOMPARED}
    new = {part.id: plain(part) for part in parts if part.id not in UNCOMPARED}
    rows = [
        (names["title"], then or w("nothing"), now or w("no longer there"))
        for name in dict.fromkeys([*new, *old])
        for names in (new.get(name) or old[name],)
        for then, now in _changed(old.get(name, {}), new.get(name, {}))
    ]
    if not rows:
        same = w("Nothing but the date: the record has not changed since.")
        return StatementPart("differs", title, (same,))
    table = Table(
        caption=w.plural("{n} line differs", "{n} lines differ", len(rows)),
        columns=(w("Part"), w("Then"), w("Now")),
        rows=tuple(rows),
        numeric=(False, False, False),
    )
    said = w(
        "That was number {n}. It stays as it was issued, and this one takes its place.",
        n=earlier["number"],
    )
    return StatementPart("differs", title, (said,), tables=(table,))


def _changed(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Pairs of what was said and what is; "" where it wasn't or isn't."""
    then, now = _lines(old), _lines(new)
    for line in now:
        if then.get(line, "") != now[line]:
            yield then.get(line, ""), now[line]
    for line in then:
        if line not in now:
            yield then[line], ""


def _lines(part: Mapping[str, Any]) -> Lines:
    found: Lines = {}
    for kind, name, text in _told(part):
        count = 0
        while (kind, name, count) in found:
            count += 1
        found[kind, name, count] = text
    return found


def _told(part: Mapping[str, Any]) -> Iterator[tuple[str, str, str]]:
    for text in (*part.get("said", ()), *part.get("after", ())):
        yield "said", text, text
    for fact in part.get("facts", ()):
        yield "fact", fact["label"], f"{fact['label']}: {fact['value']}"
    for number, table in enumerate(part.get("tables", ())):
        for row in table["rows"]:
            yield f"row {number}", row[0], " · ".join(cell for cell in row if cell)
    for note in part.get("notes", ()):
        for passage in note["passages"]:
            yield "note", note["heading"], f"{note['heading']}: {passage['markdown']}"
        for photo in note["photos"]:
            yield "photo", note["heading"], f"{note['heading']}: {photo['caption']}"
        for clip in note.get("clips", ()):
            yield "clip", note["heading"], f"{note['heading']}: {clip['caption']}"
