"""The views of whole pages: one class a kind of page, each with just what that page shows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dossier.edition.figures import Figure, LifePicture
from dossier.edition.listed import DueRow, InstrumentRow, OpenRow
from dossier.edition.view import (
    AdviceLine,
    Clip,
    ConditionLine,
    Fact,
    MarkLine,
    Moment,
    Passage,
    Photo,
    ProblemLine,
    Rule,
    Sender,
    Table,
    Term,
    ToDo,
    WorkLine,
)


@dataclass(frozen=True, slots=True)
class VisitView:
    """One visit; `anchor` makes it linkable.

    `facts` are air, pitch and the like as short lines; `pitch` the register table or None;
    `lines` further findings in whole sentences; `note` is the file and line, on the bench only.
    """

    anchor: str
    when: date
    when_text: str
    title: str
    technician: str
    summary: str
    facts: tuple[Fact, ...]
    pitch: Table | None
    lines: tuple[str, ...]
    work: tuple[WorkLine, ...]
    problems: tuple[str, ...]
    advice: tuple[str, ...]
    follow: tuple[str, ...]
    measured: Table | None
    passages: tuple[Passage, ...]
    photos: tuple[Photo, ...]
    corrections: tuple[str, ...]
    private: str = ""
    note: str = ""
    clips: tuple[Clip, ...] = ()


@dataclass(frozen=True, slots=True)
class StatementNote:
    """What of one visit was released as it was written: prose, pictures and recordings."""

    heading: str
    passages: tuple[Passage, ...]
    photos: tuple[Photo, ...]
    clips: tuple[Clip, ...] = ()


@dataclass(frozen=True, slots=True)
class StatementPart:
    """A part of a statement.

    `id` is its anchor and the name by which a later statement finds it again; `said` stands above
    the facts and tables, `after` below them.
    """

    id: str
    title: str
    said: tuple[str, ...] = ()
    facts: tuple[Fact, ...] = ()
    tables: tuple[Table, ...] = ()
    figures: tuple[Figure, ...] = ()
    notes: tuple[StatementNote, ...] = ()
    after: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Statement:
    """What a buyer or an insurer is given: of which day, the how many-th, and its parts in order.

    `purpose` says in one sentence whom it is for and what it is; `issue` are the facts of its
    cover; `declaration` stands above the place to sign, `sign` are the labels of its lines.
    """

    purpose: str
    issued: date
    issued_text: str
    number: int
    issue: tuple[Fact, ...]
    parts: tuple[StatementPart, ...]
    declaration: str
    sign: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class InstrumentView:
    """An instrument's page, for the owner and (with `bench` filled) for the technician.

    With `statement` filled it is a stranger's, and all else is empty but its title and its sender.

    `as_of` is the date of the last visit or change, never today.  `state_level` is "good",
    "attention" or "stop", always shown with words.
    """

    edition: str
    edition_word: str
    slug: str
    title: str
    kicker: str
    client: str
    as_of: date | None
    as_of_text: str
    state: str
    state_level: str
    unsafe: str
    next_text: str
    next_when: date | None
    next_why: str
    todos: tuple[ToDo, ...]
    photo: Photo | None
    identity: tuple[Fact, ...]
    key_facts: tuple[Fact, ...]
    timeline: tuple[Moment, ...]
    pitch_story: str
    pitch_figures: tuple[Figure, ...]
    air_story: tuple[str, ...]
    air_facts: tuple[Fact, ...]
    air_figures: tuple[Figure, ...]
    condition: tuple[ConditionLine, ...]
    condition_story: str
    grades: tuple[Term, ...]
    marks: tuple[MarkLine, ...]
    mark_figures: tuple[Figure, ...]
    measured_figures: tuple[Figure, ...]
    problems: tuple[ProblemLine, ...]
    advice: tuple[AdviceLine, ...]
    work: tuple[WorkLine, ...]
    cost_figures: tuple[Figure, ...]
    visits: tuple[VisitView, ...]
    about: tuple[Passage, ...]
    care: tuple[Rule, ...]
    safety: tuple[Rule, ...]
    glossary: tuple[Term, ...]
    limits: tuple[str, ...]
    sender: Sender
    outlook: tuple[str, ...] = ()
    life: LifePicture | None = None
    bench: BenchNotes | None = None
    statement: Statement | None = None


@dataclass(frozen=True, slots=True)
class BenchNotes:
    """What only the technician sees at the head of an instrument's bench page.

    `last_figures` are the last visit's pitch and air; `open` what is open, a line each;
    `check` what else to look at on this visit; `clocks` what runs; `access` how to get in; `link`
    the client's private address.  `plan` and `plan_words` are the way to the pitch, where a tuning
    alone won't do; `strings`, `string_words`, `string_table` and `string_figures` what the scale
    bears; `unisons` how far the strings of single notes have parted; `model` what the drift model
    rests on.
    """

    client: tuple[Fact, ...]
    access: str
    last_figures: tuple[Fact, ...]
    check: tuple[str, ...]
    clocks: tuple[Fact, ...]
    remarks: tuple[Passage, ...]
    link: str
    sources: Table
    money: Table | None
    plan: Table | None = None
    plan_words: tuple[str, ...] = ()
    strings: tuple[Fact, ...] = ()
    string_words: tuple[str, ...] = ()
    string_table: Table | None = None
    string_figures: tuple[Figure, ...] = ()
    unisons: Table | None = None
    model: tuple[Table, ...] = ()
    open: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ClientView:
    """A client's first page where they have more than one instrument."""

    slug: str
    title: str
    intro: str
    as_of_text: str
    rows: tuple[InstrumentRow, ...]
    sender: Sender
    limits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BenchIndex:
    """The workshop's own first page: all instruments, what is due, what is open, all links."""

    title: str
    today_text: str
    rows: tuple[InstrumentRow, ...]
    due: tuple[DueRow, ...]
    open: tuple[OpenRow, ...]
    links: Table
    findings: tuple[str, ...]
    sender: Sender
