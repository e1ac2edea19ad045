"""Reads the keys of a file by its table.

A key is matched without regard to letter case, hyphens and underscores, singular or plural.
Everything written is used or refused: a key that no row knows is an error that names the nearest.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import ValidationError

from dossier.diagnostics import Diagnostic, Fix, Span
from dossier.model import Record
from dossier.quantities import suggest, sure
from dossier.read.pieces import Findings, Piece, Refused, fixed, key_shape, refuse
from dossier.read.schema import Entry, Field, Setting, Table
from dossier.read.yaml_nodes import Items, Node, Pairs, Scalar
from dossier.slugs import is_slug, likely_slug

# Keys that let someone read more: a slip in them is for a person to put right.
_SHOWING = frozenset(("release", "show costs"))
_SLUGGED_KEY = re.compile(r"(?P<key>[^()]+?)\s*\(\s*(?P<slug>[^()]*?)\s*\)\s*")
_R = TypeVar("_R", bound=Record)


@dataclass(slots=True)
class Draft:
    """What a file's keys came to, on the way to a record, and where each key stood."""

    values: dict[str, Any] = field(default_factory=dict)
    places: dict[str, Span] = field(default_factory=dict)

    def put(self, row: Field, value: Any, place: Span) -> None:
        if row.many:
            self.values[row.into] = (*self.values.get(row.into, ()), *value)
        else:
            self.values[row.into] = value
        self.places.setdefault(row.into, place)

    def take(self, name: str, default: Any = None) -> Any:
        return self.values.pop(name, default)


def read_fields(
    tree: Pairs, table: Table, setting: Setting, findings: Findings, required: tuple[str, ...] = ()
) -> Draft:
    """Read every key of a file by its table; all that is wrong ends in the findings."""
    draft = Draft()
    taken: dict[str, Piece] = {}
    for key, node in tree.pairs:
        row, slug = find_field(key, table)
        if row is None:
            findings.gathered.append(_unknown_key(key, table))
            continue
        name = f"{row.key} ({slug.text})" if slug else row.key
        if name in taken:
            _second_spelling(key, taken[name], row, findings)
            continue
        taken[name] = key
        entry = Entry(key, setting, findings, slug)
        read_into(draft, row, node, entry)
    _require(taken, required, tree, findings)
    return draft


def read_into(draft: Draft, row: Field, node: Node, entry: Entry) -> None:
    """Read one key's value into the draft, or say why not."""
    if isinstance(node, Scalar) and node.told:
        return
    if _is_empty(node):
        entry.findings.error(
            "no-value",
            f'"{entry.key.text}" has no value.',
            entry.key.span(),
            "Write one after the colon, or take the key out.",
        )
        return
    if not row.many:
        try:
            draft.put(row, row.read(node, entry), node.span)
        except Refused as refused:
            entry.findings.gathered.append(refused.finding)
        return
    items = node.nodes if isinstance(node, Items) else (node,)
    if row.sentences and isinstance(node, Items) and _is_split(node):
        entry.findings.error(
            "flow-comma",
            f'Between brackets every comma parts two items, and "{entry.key.text}" has sentences.',
            node.span,
            'Write one item a line, each after "- ", or put each in quotes.',
        )
        return
    read: list[Any] = []
    for item in items:
        if isinstance(item, Scalar) and item.told:
            continue
        try:
            if _is_empty(item):
                raise refuse("no-value", "This list item is empty.", item.span, "Take it out.")
            read.extend(_as_tuple(row.read(item, entry)))
        except Refused as refused:
            entry.findings.gathered.append(refused.finding)
    draft.put(row, tuple(read), node.span)


def find_field(key: Piece, table: Table) -> tuple[Field | None, Piece | None]:
    """The row that a key means, and the slug that it carries."""
    row = table.by_shape.get(key_shape(key.text))
    if row is not None or "(" not in key.text:
        return row, None
    match = _SLUGGED_KEY.fullmatch(key.text)
    row = table.by_shape.get(key_shape(match["key"])) if match else None
    if match is None or row is None or not row.slugged:
        return None, None
    return row, key.part(match.start("slug"), match.end("slug"))


def record(model: type[_R], span: Span, findings: Findings, /, **values: Any) -> _R | None:
    """Make a record; what it refuses becomes a finding, by the kind and place of the refusal."""
    try:
        return model(span=span, **values)
    except ValidationError as error:
        places = values.get("places", {})
        for part in error.errors(include_url=False, include_input=False, include_context=False):
            name = str(part["loc"][0]) if part["loc"] else ""
            word = _PYDANTIC_KINDS.get(part["type"], "cannot be used as it is written")
            findings.error(
                f"record-{part['type'].replace('_', '-')}",
                f'"{name.replace("_", " ")}" {word}.',
                places.get(name, span),
            )
        return None


_PYDANTIC_KINDS: Mapping[str, str] = {
    "missing": "is missing",
    "literal_error": "is not one of the words that may stand here",
    "string_type": "has to be text",
    "decimal_parsing": "has to be a number",
    "unexpected_keyword_argument": "is not known here",
}


def required_slug(piece: Piece, what: str) -> str:
    """A slug: lower-case letters, digits and hyphens, because it becomes a part of addresses."""
    if is_slug(piece.text):
        return piece.text
    likely = likely_slug(piece.text)
    raise refuse(
        "slug",
        f"{piece.quoted} is not {what}: that is lower-case letters, digits and hyphens.",
        piece.span(),
        f"Write {likely}." if likely else "",
        fixed(piece.span(), piece.text, likely),
    )


def did_you_mean(
    word: str, candidates: Iterable[str], otherwise: str = "", *, also: str = ""
) -> str:
    """The hint that names the nearest known word, and what else may be meant; else another hint."""
    near = suggest(word, candidates)
    return " ".join((f'Did you mean "{near}"?', also)).rstrip() if near else otherwise


def meant(piece: Piece, candidates: Iterable[str], otherwise: str = "") -> tuple[str, Fix | None]:
    """The hint to a word of a fixed list, and its fix where only one of them can be meant.

    Not for the name of a client, an instrument or a file: another may be yet to come.
    """
    words = tuple(candidates)
    fix = fixed(piece.span(), piece.text, sure(piece.text, words))
    return did_you_mean(piece.text, words, otherwise), fix


def _unknown_key(key: Piece, table: Table) -> Diagnostic:
    hint, fix = table.elsewhere.get(key_shape(key.text), ""), None
    if not hint:
        bare = key.part(0, len(re.sub(r"\s*\(.*\)\s*$", "", key.text)))
        hint, fix = meant(bare, table.keys, "Sentences belong below the second ---.")
        if bare.text != key.text and key_shape(bare.text) in table.by_shape:
            hint = f'Only a problem and an advice can have a name; write "{bare.text}".'
            fix = fixed(key.span(), key.text, bare.text)
    if fix is not None and fix.right in _SHOWING:
        fix = None
    message = f'"{key.text}" is not a key of {table.name}.'
    return Diagnostic("unknown-key", message, key.span(), hint, fix=fix)


def _second_spelling(key: Piece, first: Piece, row: Field, findings: Findings) -> None:
    findings.error(
        "duplicate-key",
        f'"{key.text}" and "{first.text}" on line {first.span().line} are one key.',
        key.span(),
        f'Write "{row.key}:" once, and below it one line for each, beginning with "  - ".'
        if row.many
        else "Keep one of them.",
    )


def _require(
    taken: Mapping[str, Piece], required: tuple[str, ...], tree: Pairs, findings: Findings
) -> None:
    for key in required:
        if key not in taken:
            findings.error(
                "missing-key",
                f'The key "{key}" is missing.',
                Span(tree.span.file, tree.span.line),
                f"Write {key}: and its value between the lines of ---.",
            )


def _is_empty(node: Node) -> bool:
    if isinstance(node, Scalar):
        return node.empty or not node.piece.text.strip()
    return not (node.nodes if isinstance(node, Items) else node.pairs)


def _is_split(items: Items) -> bool:
    """Whether brackets may have split a sentence at its comma."""
    unquoted = (isinstance(one, Scalar) and not one.quoted for one in items.nodes)
    return items.flow and len(items.nodes) > 1 and any(unquoted)


def _as_tuple(value: Any) -> tuple[Any, ...]:
    return value if type(value) is tuple else (value,)
