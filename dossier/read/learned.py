"""learned.md: the starting values that a shop has learned from its own instruments."""

from __future__ import annotations

from decimal import Decimal

from dossier.diagnostics import Span
from dossier.model import Learned, LearnedCoefficient
from dossier.quantities import parse_date
from dossier.read.fields import read_fields, record
from dossier.read.note import open_note
from dossier.read.pieces import Findings, Piece, refuse
from dossier.read.schema import Entry, Field, Setting, Table
from dossier.read.values import number, quantity, single

FILE = "learned.md"


def _count(piece: Piece, entry: Entry) -> int:
    found = number(piece, entry)
    if found != found.to_integral_value() or found < 1:
        raise refuse(
            "count", f"{piece.quoted} is not a number of instruments.", piece.span(), "Write 9."
        )
    return int(found)


def _above_zero(piece: Piece, entry: Entry) -> Decimal:
    found = number(piece, entry)
    if found <= 0:
        raise refuse("above-zero", f"{piece.quoted} is not above 0.", piece.span(), "Write 2.5.")
    return found


def _coefficient(piece: Piece, entry: Entry) -> LearnedCoefficient:
    """A mean and its two spreads: "4.5, 2.0, 0.9"."""
    parts = piece.parts()
    if len(parts) != 3:
        raise refuse(
            "coefficient",
            f"{piece.quoted} is not a mean and its two spreads.",
            piece.span(),
            "Write it like 4.5, 2.0, 0.9, or let dossier learn write the file anew.",
        )
    mean, shared, own = parts
    return LearnedCoefficient(
        span=piece.span(),
        mean=number(mean, entry),
        shared=_above_zero(shared, entry),
        own=_above_zero(own, entry),
    )


LEARNED_TABLE = Table.of(
    "what was learned",
    (
        Field("learned", "when", single(quantity(parse_date, "date")), "the day it was learned"),
        Field("instruments", "instruments", single(_count), "from how many instruments"),
        Field("humidity response", "humidity", single(_coefficient), "cents per % of moisture"),
        Field("slow fall", "fall", single(_coefficient), "cents a year"),
        Field("settling share", "settling", single(_coefficient), "share of a raise"),
        Field("error", "error", single(_above_zero), "cents, of one comparison of two visits"),
    ),
)


def read_learned(raw: bytes, findings: Findings) -> Learned | None:
    """Read learned.md; its prose explains it to the technician and is not read."""
    note = open_note(raw, FILE, LEARNED_TABLE, findings)
    if note is None:
        return None
    draft = read_fields(note.tree, LEARNED_TABLE, Setting(), findings, LEARNED_TABLE.keys)
    if any(row.into not in draft.values for row in LEARNED_TABLE.fields):
        return None
    return record(Learned, Span(FILE), findings, places=draft.places, **draft.values)
