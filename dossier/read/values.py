"""Readers of single values, which the tables of fields are made of."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any, TypeVar

from dossier.diagnostics import Fix, Span
from dossier.quantities import Money, QuantityError, parse_money
from dossier.read.fields import meant, required_slug
from dossier.read.pieces import (
    Piece,
    fixed,
    in_quotes,
    key_shape,
    quote,
    refuse,
    refuse_quantity,
)
from dossier.read.schema import Entry, Read
from dossier.read.yaml_nodes import Items, Node, Pairs, Scalar

_T = TypeVar("_T")
_YES_NO = {"y": "yes", "true": "yes", "on": "yes", "n": "no", "false": "no", "off": "no"}
FromPiece = Callable[[Piece, Entry], Any]


def the_piece(node: Node, entry: Entry) -> Piece:
    """The one value of a key.  Raises Refused for a list or a map."""
    if isinstance(node, Scalar):
        return node.piece
    if isinstance(node, Items):
        raise refuse(
            "one-value",
            f'"{entry.key.text}" takes one value, not a list.',
            entry.key.span(),
            "Write one value after the colon.",
        )
    key, value = node.pairs[0]
    rest = value.piece.text if isinstance(value, Scalar) else "…"
    if node.flow and key.text and isinstance(value, Scalar) and value.empty:
        raise refuse(
            "braces",
            f'Braces make a map to YAML, and "{entry.key.text}" takes one value.',
            node.span,
            "Leave the braces out.",
        )
    raise refuse(
        "colon-in-value",
        f'The colon after {quote(key.text)} makes a key of it, and "{entry.key.text}" has no '
        "such key.",
        key.span(),
        f'Put the value in quotes: "{key.text}: {rest}"',
        None if node.flow else _in_quotes(key, value),
    )


def _in_quotes(key: Piece, value: Node) -> Fix | None:
    """The fix of a sentence that its colon made a map of, where it stands on one line."""
    if not isinstance(value, Scalar) or value.quoted or value.piece.origin.raw is not None:
        return None
    start, end = key.span(), value.span
    gap = end.column - start.column - len(key.text)
    if start.line != end.line or key.origin.raw is not None or gap < 1:
        return None
    words = f"{key.text}:{' ' * (gap - 1)}{value.piece.text}"
    place = Span(start.file, start.line, start.column, len(words))
    return fixed(place, words, in_quotes(words))


def single(read: FromPiece) -> Read:
    """A reader of a key with exactly one value."""

    def read_node(node: Node, entry: Entry) -> Any:
        return read(the_piece(node, entry), entry)

    return read_node


def quantity(parse: Callable[[str], Any], code: str) -> FromPiece:
    """A reader that hands the text to a parser of quantities and places its refusal."""

    def read_piece(piece: Piece, _: Entry) -> Any:
        return parsed(parse, piece, code)

    return read_piece


def parsed(parse: Callable[[str], _T], piece: Piece, code: str) -> _T:
    """Parse a piece.  Raises Refused, placed in the file."""
    try:
        return parse(piece.text)
    except QuantityError as error:
        raise refuse_quantity(error, piece, code) from None


def read_money(piece: Piece, entry: Entry) -> Money:
    """An amount; a bare number is in the shop's currency."""
    return parsed(lambda words: parse_money(words, entry.setting.currency), piece, "money")


def maybe(parse: Callable[[str], _T], text: str) -> _T | None:
    """Parse a text that may as well be something else."""
    try:
        return parse(text)
    except QuantityError:
        return None


def text(piece: Piece, _: Entry) -> str:
    """The value as it is written."""
    return piece.text


def why(piece: Piece, entry: Entry) -> str:
    """A reason that owners read; a bare yes or no gives none, and may even mean the other thing."""
    if piece.text.casefold() in ("yes", "no", *_YES_NO):
        raise refuse(
            "no-reason",
            f'"{entry.key.text}" takes the reason, not {piece.quoted}.',
            piece.span(),
            "Write why, as in do not move, rear leg loose; or take the line out.",
        )
    return piece.text


def yes_no(piece: Piece, entry: Entry) -> bool:
    """Only `yes` and `no`, so that nothing is published or hidden by a guess."""
    shape = piece.text.casefold()
    if shape in ("yes", "no"):
        return shape == "yes"
    raise refuse(
        "yes-no",
        f'"{entry.key.text}" is yes or no, not {piece.quoted}.',
        piece.span(),
        "Write yes or no.",
        fixed(piece.span(), piece.text, _YES_NO.get(shape)),
    )


def one_of(
    choices: Iterable[str], code: str = "choice", what: str = "", *, shows: bool = False
) -> FromPiece:
    """A reader of one word of a fixed list; `what` is what each of them is, as "a grade".

    `shows` says that the word lets someone read more, so that no slip in it is put right by itself.
    """
    words = tuple(choices)
    by_shape = {key_shape(word): word for word in words}

    def read_piece(piece: Piece, entry: Entry) -> str:
        found = by_shape.get(key_shape(piece.text))
        if found is None:
            told = f'a value of "{entry.key.text}"'
            hint, fix = meant(piece, words, f"Write {listed(words)}.")
            raise refuse(
                code,
                f"{piece.quoted} is not {what or told}.",
                piece.span(),
                hint,
                None if shows else fix,
            )
        return found

    return read_piece


def slug(what: str) -> FromPiece:
    """A reader of a slug that names something else's file or folder."""

    def read_piece(piece: Piece, _: Entry) -> str:
        return required_slug(piece, what)

    return read_piece


def number(piece: Piece, _: Entry) -> Decimal:
    """A bare number, without a unit."""
    match = re.fullmatch(r"[+\-−–]?\d{1,9}(?:[.,]\d{1,6})?", piece.text)
    if match is None:
        raise refuse(
            "number", f"{piece.quoted} is not a number.", piece.span(), "Write it like 10."
        )
    return Decimal(re.sub("[−–]", "-", piece.text).replace(",", "."))


def listed(words: Iterable[str]) -> str:
    """The words of a choice as a sentence has them: one, two or three."""
    *most, last = words
    return f"{', '.join(most)} or {last}" if most else last


def nested(node: Pairs, entry: Entry, known: tuple[str, ...]) -> dict[str, tuple[Piece, Node]]:
    """The keys of a nested map by their names, each with its key and value.

    Raises Refused for a key that is not known, because a sentence with a colon looks like one.
    """
    shapes = {key_shape(name): name for name in known}
    found: dict[str, tuple[Piece, Node]] = {}
    for key, value in node.pairs:
        name = shapes.get(key_shape(key.text))
        if name is None:
            raise _unknown_nested(key, value, node, entry, known)
        if isinstance(value, Scalar) and value.empty:
            raise refuse(
                "no-value",
                f'"{key.text}" has no value.',
                key.span(),
                "Write one after the colon, or take the key out.",
            )
        found[name] = (key, value)
    return found


def _unknown_nested(
    key: Piece, value: Node, node: Pairs, entry: Entry, known: tuple[str, ...]
) -> Exception:
    if node.flow and isinstance(value, Scalar) and value.empty:
        return refuse(
            "flow-comma",
            f"The comma before {quote(key.text)} ends the value, because it stands in braces.",
            key.span(),
            "Leave the braces out and write one key a line, or put the value in quotes.",
        )
    if node.pairs[0][0] is key and isinstance(value, Scalar):
        hint, fix = meant(key, known)
        return refuse(
            "colon-in-value",
            f'The colon after {quote(key.text)} makes a key of it, and "{entry.key.text}" has no '
            "such key.",
            key.span(),
            hint or f'Put the value in quotes: "{key.text}: {value.piece.text}"',
            fix or (None if hint or node.flow else _in_quotes(key, value)),
        )
    return refuse(
        "unknown-key",
        f'"{key.text}" is not a key of "{entry.key.text}".',
        key.span(),
        *meant(key, known, f"Known are {', '.join(known)}."),
    )


def missing(node: Pairs, entry: Entry, key: str) -> Exception:
    """The refusal of a map without the key that it cannot do without."""
    return refuse(
        "missing-key", f'"{entry.key.text}" written as a map needs the key "{key}".', node.span
    )


def sub_entry(entry: Entry, key: Piece) -> Entry:
    """The entry of a key inside a nested map."""
    return Entry(key, entry.setting, entry.findings)
