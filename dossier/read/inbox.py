"""inbox/*.md: a note that names its instrument is enough; it counts as a visit at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from dossier.diagnostics import Span
from dossier.model import Instrument, Visit
from dossier.quantities import QuantityError, parse_date
from dossier.read.joining import instrument_named
from dossier.read.names import day_in
from dossier.read.note import Note, open_note
from dossier.read.pieces import Findings, Piece, key_shape
from dossier.read.schema import Field, Setting, Table
from dossier.read.values import single, text
from dossier.read.visit import Occasion, read_visit, setting_for, table_for
from dossier.read.yaml_nodes import Pairs, Scalar

INBOX_FIELDS = (
    Field("instrument", "instrument", single(text), "the name of the instrument's folder"),
    Field("date", "date", single(text), "the day of the visit"),
)


@dataclass(frozen=True, slots=True)
class Loose:
    """A note of the inbox: whose it is and of which day, as far as it says so."""

    note: Note
    instrument: str
    day: date | None


def open_loose(
    raw: bytes, file: str, setting: Setting, known: frozenset[str], findings: Findings
) -> Loose | None:
    """Find out whose note it is.  None, with an error that stops nobody, where it does not say."""
    table = Table.of("a visit", (*INBOX_FIELDS, *table_for(setting).fields))
    note = open_note(raw, file, table, findings)
    if note is None:
        return None
    own: dict[str, Piece] = {}
    rest = []
    for key, node in note.tree.pairs:
        name = key_shape(key.text)
        if name in ("instrument", "date") and isinstance(node, Scalar) and not node.empty:
            own[name] = node.piece
        else:
            rest.append((key, node))
    instrument = _instrument(own.get("instrument"), file, known, findings)
    if instrument is None:
        return None
    day = _day(own.get("date"), file, findings)
    tree = Pairs(tuple(rest), note.tree.span)
    return Loose(Note(file, tree, note.body, note.body_line), instrument, day)


def _instrument(
    piece: Piece | None, file: str, known: frozenset[str], findings: Findings
) -> str | None:
    if piece is None:
        findings.error(
            "inbox-instrument",
            "The note does not name its instrument, so it belongs to nobody yet.",
            Span(file),
            "Write instrument: and the name of its folder between the lines of ---.",
        )
        return None
    return instrument_named(piece, known, findings)


def _day(piece: Piece | None, file: str, findings: Findings) -> date | None:
    named = day_in(file.rpartition("/")[2])
    if piece is None:
        if named is None:
            findings.error(
                "inbox-date",
                "The note does not say of which day it is.",
                Span(file),
                "Write date: 2026-03-14 between the lines of ---, or put the date into the file's "
                "name.",
            )
        return named
    try:
        day = parse_date(piece.text)
    except QuantityError as error:
        findings.error("date", error.message, piece.span(error.offset, error.length), error.hint)
        return None
    if named is not None and named != day:
        findings.error(
            "inbox-date",
            f"The note says {day.isoformat()} and the file's name {named.isoformat()}.",
            piece.span(),
            "Let both say the same day, or leave one out.",
        )
        return None
    return day


def read_loose(
    loose: Loose,
    taken: frozenset[str],
    setting: Setting,
    instruments: Mapping[str, Instrument],
    findings: Findings,
) -> Visit | None:
    """Read a note of the inbox as the visit that it will be once it is filed."""
    if loose.day is None:
        return None
    visit_id = _free_id(loose, taken)
    occasion = Occasion(loose.instrument, visit_id, loose.day)
    setting = setting_for(setting, instruments.get(loose.instrument))
    visit = read_visit(loose.note, occasion, setting, findings)
    if visit is not None:
        findings.info(
            "inbox",
            "The note counts as a visit.",
            Span(loose.note.file),
            f"Its place is instruments/{loose.instrument}/visits/{visit_id}.md",
        )
    return visit


def _free_id(loose: Loose, taken: frozenset[str]) -> str:
    if loose.day is None:
        return ""
    plain = loose.day.isoformat()
    numbers = (f"{plain}-{number}" for number in range(2, len(taken) + 3))
    return next(name for name in (plain, *numbers) if name not in taken)
