"""rounds/<date>.md: a school's thirty instruments in one file, a row each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from dossier.diagnostics import Diagnostic, Span
from dossier.model import Instrument, Passage, Visit
from dossier.read.body import Audience, read_body
from dossier.read.fields import Draft, find_field, meant, read_fields, read_into
from dossier.read.joining import instrument_named
from dossier.read.names import DatedName
from dossier.read.note import Note, open_note
from dossier.read.pieces import Findings, Piece, key_shape
from dossier.read.schema import Entry, Field, Setting, Table
from dossier.read.tables import TableText, find_table
from dossier.read.values import single, slug
from dossier.read.visit import Occasion, build_visit, setting_for, table_for
from dossier.read.yaml_nodes import Scalar

ROUND_CLIENT = Field(
    "client",
    "client",
    single(slug("the name of a client's file")),
    "whose instruments these are: the name of the client's file, without .md",
)
_OWN_COLUMNS = ("instrument", "remark", "bench")
_NOTHING = frozenset(("", "-", "–", "—"))
# What the front matter may say of all rows without saying anything of an instrument.
_OF_THE_DAY = frozenset(
    ("technician", "reason", "air", "reference_hz", "fee", "minutes", "release", "hold", "private")
)


@dataclass(frozen=True, slots=True)
class RoundRead:
    """A round: its visits, what is wrong with the whole of it, and with each row.

    `mentioned` are the instruments that a mistake in the whole file concerns.
    """

    visits: tuple[Visit, ...]
    whole: tuple[Diagnostic, ...]
    by_instrument: tuple[tuple[str, tuple[Diagnostic, ...]], ...]
    mentioned: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Round:
    """What the rows of a round share."""

    name: DatedName
    columns: tuple[Piece, ...]
    shared: Draft
    prose: tuple[Passage, ...]
    client: str
    setting: Setting
    instruments: Mapping[str, Instrument]


def read_round(
    raw: bytes,
    file: str,
    name: DatedName,
    setting: Setting,
    instruments: Mapping[str, Instrument],
    known: frozenset[str],
) -> RoundRead:
    """Read a round.  A bad row stops its own instrument alone.

    `known` are all instruments that have a folder, also those whose own file can't be read.
    """
    findings = Findings()
    table = Table.of("a round", (ROUND_CLIENT, *table_for(setting).fields))
    note = open_note(raw, file, table, findings)
    if note is None:
        words = raw.decode("utf-8", errors="replace")
        mentioned = tuple(one for one in sorted(known) if one in words)
        return RoundRead((), findings.all, (), mentioned)
    setting = replace(setting, day=name.day)
    shared = read_fields(note.tree, table, setting, findings)
    client = shared.take("client", "")
    found = find_table(note.body, file, note.body_line)
    columns = _columns(found, note, table, findings)
    prose = read_body(found.prose if found else note.body, file, note.body_line, findings)
    if found is None or columns is None:
        own = {one for one, kept in instruments.items() if client and kept.client == client}
        named = {one for one in known if one in note.body}
        return RoundRead((), findings.all, (), tuple(sorted(own | named)))
    the_round = _Round(name, columns, shared, prose, client, setting, instruments)
    return _read_rows(the_round, found, known, findings)


def _read_rows(
    the_round: _Round, found: TableText, known: frozenset[str], findings: Findings
) -> RoundRead:
    visits: list[Visit] = []
    told: list[tuple[str, tuple[Diagnostic, ...]]] = []
    seen: dict[str, int] = {}
    at = [key_shape(column.text) for column in the_round.columns].index("instrument")
    for row in found.rows:
        if all(cell.text in _NOTHING for cell in row):
            continue
        own = Findings()
        instrument = _instrument(row, at, known, own)
        if instrument and instrument in seen:
            own.error(
                "round-twice",
                f'"{instrument}" has a row on line {seen[instrument]} already.',
                row[at].span(),
                "Write both into one row, or file one of them as a visit.",
            )
        elif instrument:
            seen[instrument] = row[at].span().line
            visit = _visit(the_round, row, instrument, own)
            if visit is not None:
                visits.append(visit)
        told.append((instrument, own.all))
    if not seen and not told:
        findings.error("round-empty", "The table has no rows.", found.head[0].span())
    shown = {visit.instrument for visit in visits}
    clients = {kept.client for one, kept in the_round.instruments.items() if one in shown}
    if len(clients) > 1 and any(one.audience == "owner" for one in the_round.prose):
        findings.error(
            "round-prose",
            "This prose would be read by several clients, because the round has instruments of "
            "more than one.",
            the_round.prose[0].span,
            'Write it into the column "remark", or put it on the bench.',
        )
    return RoundRead(tuple(visits), findings.all, tuple(told), tuple(sorted(seen)))


def _columns(
    found: TableText | None, note: Note, table: Table, findings: Findings
) -> tuple[Piece, ...] | None:
    """The head of the table, each column one that is known."""
    if found is None:
        findings.error(
            "round-table",
            "The round has no table.",
            Span(note.file, note.body_line),
            "Write | instrument | found | work | remark | below the second ---, then a line of "
            "| --- | --- | --- | --- |, then a row for each.",
        )
        return None
    good = True
    seen: dict[str, Piece] = {}
    for column in found.head:
        shape = key_shape(column.text)
        field, _ = find_field(column, table)
        if shape in seen:
            good = False
            findings.error(
                "round-column", f'The column "{column.text}" is there twice.', column.span()
            )
        seen[shape] = column
        if shape not in _OWN_COLUMNS and (field is None or field is ROUND_CLIENT):
            good = False
            names = (*_OWN_COLUMNS, *table.keys)
            findings.error(
                "round-column",
                f'"{column.text}" is not a column of a round.',
                column.span(),
                *meant(column, names, "Use the keys of a visit, remark or bench."),
            )
    if "instrument" not in seen:
        findings.error(
            "round-instrument",
            'The table has no column "instrument".',
            found.head[0].span(),
            "Name each row's instrument by its folder.",
        )
        return None
    return found.head if good else None


def _instrument(row: tuple[Piece, ...], at: int, known: frozenset[str], findings: Findings) -> str:
    """The instrument of a row, or nothing with a finding."""
    cell = row[at] if at < len(row) else None
    if cell is None or not cell.text:
        findings.error("round-instrument", "This row names no instrument.", row[0].span())
        return ""
    return instrument_named(cell, known, findings) or ""


def _visit(
    the_round: _Round, row: tuple[Piece, ...], instrument: str, findings: Findings
) -> Visit | None:
    """One row as a visit, with what the front matter says of all rows."""
    if len(row) > len(the_round.columns):
        findings.error(
            "round-cells",
            f"This row has {len(row)} cells, and the table has {len(the_round.columns)} columns.",
            row[len(the_round.columns)].span(),
            "Write \\| for a bar inside a cell.",
        )
        return None
    kept = the_round.instruments.get(instrument)
    setting = setting_for(the_round.setting, kept)
    if kept is not None and the_round.client and kept.client != the_round.client:
        findings.error(
            "round-client",
            f'"{instrument}" belongs to the client "{kept.client}", and the round is of '
            f'"{the_round.client}".',
            row[0].span(),
            "Take the row out, or the client.",
        )
        return None
    draft, passages = _cells(the_round, row, setting, findings)
    shared = the_round.shared
    said = draft.values or passages or the_round.prose or set(shared.values) - _OF_THE_DAY
    if not said and not findings.gathered:
        findings.error(
            "round-row-empty",
            f'The row of "{instrument}" says nothing.',
            row[0].span(),
            "Write what was found or done, or take the row out where nobody looked at it.",
        )
        return None
    for name, value in shared.values.items():
        own = draft.values.get(name)
        if own is None:
            draft.values[name] = value
        elif type(value) is tuple:
            draft.values[name] = value + own
        draft.places.setdefault(name, shared.places.get(name, row[0].span()))
    occasion = Occasion(instrument, f"{the_round.name.stem}-round", the_round.name.day)
    return build_visit(
        draft, (*passages, *the_round.prose), row[0].span(), occasion, setting, findings
    )


def _cells(
    the_round: _Round, row: tuple[Piece, ...], setting: Setting, findings: Findings
) -> tuple[Draft, tuple[Passage, ...]]:
    draft = Draft()
    passages: list[Passage] = []
    table = table_for(setting)
    for column, cell in zip(the_round.columns, row, strict=False):
        name = key_shape(column.text)
        if cell.text in _NOTHING or name == "instrument":
            continue
        if name in ("remark", "bench"):
            audience: Audience = "bench" if name == "bench" else "owner"
            words = cell.text.replace("\\|", "|")
            passages.append(Passage(span=cell.span(), markdown=words, audience=audience))
            continue
        field, named = find_field(column, table)
        if field is None:
            continue
        entry = Entry(column, setting, findings, named)
        for part in cell.parts(";") if field.many else (cell,):
            if part.text:
                read_into(draft, field, Scalar(part), entry)
    return draft, tuple(passages)
