"""Short forms that begin with notes: measured figures, marks, and marks that are gone."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from decimal import Decimal

from dossier.model import Cleared, Mark, Measured, MeasuredKind
from dossier.quantities import (
    Place,
    QuantityError,
    parse_length,
    parse_mass,
    parse_places,
    parse_torque,
)
from dossier.read.fields import meant
from dossier.read.mentions import places_in
from dossier.read.pieces import Piece, Refused, fixed, key_shape, places, refuse, refuse_quantity
from dossier.read.schema import Entry, Read
from dossier.read.values import maybe, parsed, single

_CENTS = re.compile(r"(?P<number>[+\-−–]?\s*\d+(?:[.,]\d+)?)\s*(?:cents?)?", re.IGNORECASE)
_BEGINS_WITH_NUMBER = re.compile(r"[+\-−–]?\s*[.,]?\d")


def measured_reader(kind: MeasuredKind) -> Read:
    """A reader of `A1 10.2 mm, A4 10 mm`, or of one figure for the whole instrument."""

    def read(piece: Piece, entry: Entry) -> tuple[Measured, ...]:
        parts = [part for by_line in piece.parts(";") for part in by_line.parts()]
        return tuple(
            figure for part in parts if part.text for figure in _measured(part, kind, entry)
        )

    return single(read)


def _measured(piece: Piece, kind: MeasuredKind, entry: Entry) -> Iterator[Measured]:
    marked, rest = places_of(piece, entry)
    rest, qualifier = _qualifier(rest, kind)
    if not rest.text:
        raise refuse(
            "measured-no-value",
            f"{piece.quoted} has no figure.",
            piece.span(),
            f"Write a note and its figure, as in A4 {_example(kind)}.",
        )
    value = _figure(rest, kind)
    for place in marked or (None,):
        yield Measured(
            span=piece.span(), kind=kind.name, place=place, value=value, qualifier=qualifier
        )


def _qualifier(piece: Piece, kind: MeasuredKind) -> tuple[Piece, str]:
    folded = piece.text.casefold()
    for word in kind.qualifiers:
        if folded.endswith(word):
            return piece.part(0, len(piece.text) - len(word)), word
    return piece, ""


def _figure(piece: Piece, kind: MeasuredKind) -> Decimal:
    if not _BEGINS_WITH_NUMBER.match(piece.text):
        raise refuse(
            "measured-value",
            f'{piece.quoted} is not a figure of "{kind.name}".',
            piece.span(),
            f"Write a note and its figure, as in A4 {_example(kind)}.",
        )
    if kind.unit == "cents":
        return _cents(piece)
    try:
        return _parser(kind)(piece.text)
    except QuantityError as error:
        refused = refuse_quantity(error, piece, "measured-value")
        raise _unknown_qualifier(piece, kind) or refused from None


def _cents(piece: Piece) -> Decimal:
    match = _CENTS.fullmatch(piece.text)
    if match is None:
        raise refuse(
            "measured-value",
            f"{piece.quoted} is not a number of cents.",
            piece.span(),
            "Write it like 2 cents.",
        )
    return Decimal(re.sub(r"[−–]", "-", match["number"]).replace(",", ".").replace(" ", ""))


def _unknown_qualifier(piece: Piece, kind: MeasuredKind) -> Refused | None:
    """`5 N·m turning sideways`: the figure is right, and the words behind it are not known."""
    for gap in reversed(list(re.finditer(r"(?<=\D)\s+(?=[^\W\d])", piece.text))):
        if maybe(_parser(kind), piece.text[: gap.start()]) is not None:
            tail = piece.part(gap.end())
            if places_in(tail.text):
                return refuse(
                    "measured-comma",
                    f"{tail.quoted} is a figure of its own.",
                    tail.span(),
                    "Put a comma before it.",
                    fixed(piece.span(gap.start(), len(gap[0])), gap[0], ", "),
                )
            known = f"Known are: {', '.join(kind.qualifiers)}."
            return refuse(
                "measured-qualifier",
                f'{tail.quoted} is not known after a figure of "{kind.name}".',
                tail.span(),
                *meant(tail, kind.qualifiers, known if kind.qualifiers else "Leave it out."),
            )
    return None


def _parser(kind: MeasuredKind) -> Callable[[str], Decimal]:
    if kind.unit == "N·m":
        return parse_torque
    if kind.unit == "g":
        return parse_mass
    return parse_length


def _example(kind: MeasuredKind) -> str:
    return f"10 {kind.unit}"


def mark_reader(kind: str) -> Read:
    """A reader of `F3-B3, D4 light rust`: notes, then perhaps a remark."""

    def read(piece: Piece, entry: Entry) -> tuple[Mark, ...]:
        return tuple(_marks(piece, kind, entry))

    return single(read)


def _marks(piece: Piece, kind: str, entry: Entry) -> Iterator[Mark]:
    marked, rest = places_of(piece, entry)
    if not marked:
        raise refuse(
            "mark-no-place",
            f'"{kind}" needs the notes that show it, and {piece.quoted} begins with none.',
            piece.span(),
            "Write notes, strings or ranges first, as in F3-B3, D4.1, then a remark.",
        )
    # `D#1 broken, E1 rusty`: a comma and a note begin the next mark of that kind.
    for part in rest.parts():
        if part.offset > rest.offset and _begins_with_place(part, entry):
            cut = part.offset - rest.offset
            yield _mark(piece, kind, marked, rest.part(0, len(rest.text[:cut].rstrip(" ,"))))
            yield from _marks(rest.part(cut), kind, entry)
            return
    yield _mark(piece, kind, marked, rest)


def _mark(piece: Piece, kind: str, marked: tuple[Place, ...], remark: Piece) -> Mark:
    where = places(remark=remark)
    return Mark(span=piece.span(), kind=kind, marked=marked, remark=remark.text, places=where)


def _begins_with_place(piece: Piece, entry: Entry) -> bool:
    low, high = entry.setting.compass
    found = maybe(lambda text: parse_places(text, low, high), piece.text)
    return found is None or bool(found[0])


def read_clear(piece: Piece, entry: Entry) -> tuple[Cleared, ...]:
    """`sluggish dampers C5-G5`; a kind alone means all places of that kind."""
    cleared: list[Cleared] = []
    rest = piece
    while rest.text:
        kind, after = kind_of(rest, entry)
        marked, tail = places_of(after, entry)
        if tail.text and not _starts_kind(tail, entry):
            raise refuse(
                "clear-rest",
                f"{tail.quoted} is neither a note nor a kind of mark.",
                tail.span(),
                "Write the kind and its notes only; a remark belongs in the prose.",
            )
        span = rest.span(0, tail.offset - rest.offset if tail.text else None)
        cleared.append(Cleared(span=span, kind=kind, marked=marked))
        rest = tail
    return tuple(cleared)


def read_checked(piece: Piece, entry: Entry) -> tuple[Cleared | str, ...]:
    """`all`, or kinds of marks that were looked for everywhere."""
    if piece.text.casefold() in ("all", "everything"):
        return ("all",)
    return read_clear(piece, entry)


def kind_of(piece: Piece, entry: Entry) -> tuple[str, Piece]:
    """The kind of mark that a piece begins with, and what follows it."""
    found = _kind_at(piece, entry)
    if found is None:
        words = piece.part(0, len(re.split(r"\s+(?=[A-Ha-h][#b♯♭]?\d)|,", piece.text)[0]))
        raise refuse(
            "mark-kind",
            f'"{" ".join(words.text.split())}" is not a kind of mark.',
            words.span(),
            *meant(
                words,
                (kind.name for kind in entry.setting.mark_kinds),
                "Add it to the marks in shop.md, or use one of its kinds.",
            ),
        )
    return found


def _starts_kind(piece: Piece, entry: Entry) -> bool:
    return _kind_at(piece, entry) is not None


def _kind_at(piece: Piece, entry: Entry) -> tuple[str, Piece] | None:
    words = list(re.finditer(r"[^\s,;]+", piece.text))
    for count in range(min(len(words), 5), 0, -1):
        end = words[count - 1].end()
        shape = key_shape(piece.text[:end])
        for kind in entry.setting.mark_kinds:
            name = key_shape(kind.name)
            if shape in (name, name.removesuffix("s"), f"{name}s"):
                rest = piece.part(end)
                return kind.name, rest.part(1) if rest.text[:1] in ",;:" else rest
    return None


def places_of(piece: Piece, entry: Entry) -> tuple[tuple[Place, ...], Piece]:
    """The notes that a piece begins with, and what follows them."""
    low, high = entry.setting.compass
    marked, rest = parsed(lambda text: parse_places(text, low, high), piece, "place")
    return marked, piece.part(len(piece.text) - len(rest))
