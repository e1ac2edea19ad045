"""A visit: one note, what was found, done, measured, said and left open."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from dossier.model.record import Number, Record, frozen
from dossier.quantities import Money, Place, When


@frozen
class Air(Record):
    """The air at the instrument: °C and % relative humidity, as far as each was read."""

    temperature_c: Number | None = None
    humidity: Number | None = None


@frozen
class Reading(Record):
    """One reading of pitch, in cents against the tuner's target.

    `key` is None for a single figure for the whole instrument.  `hertz` is kept where the
    reading was written as a frequency; its `cents` are then against equal temperament at the
    visit's pitch.
    """

    key: int | None = None
    string: int | None = None
    cents: Number
    hertz: Number | None = None


@frozen
class Pitch(Record):
    """The pitch found or left.  `how` says on what it rests."""

    how: Literal["readings", "on pitch", "as found"]
    readings: tuple[Reading, ...] = ()


@frozen
class Measured(Record):
    """One measured figure: its kind, its place (None: the whole), its value in the kind's unit."""

    kind: str
    place: Place | None = None
    value: Number
    qualifier: str = ""


@frozen
class Mark(Record):
    """Notes or strings that show a kind of mark, with the writer's remark."""

    kind: str
    marked: tuple[Place, ...]
    remark: str = ""


@frozen
class Cleared(Record):
    """A mark looked at again and found right; no `marked` means every place of that kind."""

    kind: str
    marked: tuple[Place, ...] = ()


@frozen
class Problem(Record):
    """A problem that lives on until it is fixed.  `id` is unique within the instrument."""

    id: str
    text: str
    slug: str = ""
    keys: tuple[Place, ...] = ()
    component: str = ""


@frozen
class ProblemNews(Record):
    """What became of an earlier problem; `problem` is its id once the reference is resolved."""

    problem: str
    what: Literal["watched", "diagnosed", "fixed", "reopened"]
    text: str = ""


@frozen
class Work(Record):
    """One piece of work.

    `kind` is a word of the trade ("tuning", "pitch raise", "repair", …).  `price` is the fee for
    it, `parts` the cost of material; `minutes` the time; `warranty_until` is worked out from the
    visit's date.  `irreversible` names a treatment that can't be undone, such as thin adhesive.
    """

    kind: str
    text: str
    keys: tuple[Place, ...] = ()
    minutes: int | None = None
    price: Money | None = None
    parts: Money | None = None
    warranty_until: dt.date | None = None
    irreversible: str = ""
    by: str = ""
    component: str = ""


@frozen
class Advice(Record):
    """A piece of advice that lives on until it is answered.  `before` is when it should be done."""

    id: str
    text: str
    slug: str = ""
    before: When | None = None


@frozen
class AdviceNews(Record):
    """What the owner made of an earlier advice."""

    advice: str
    what: Literal["agreed", "declined", "done"]
    text: str = ""


@frozen
class Graded(Record):
    """A component's grade at this visit, with a remark."""

    component: str
    grade: str
    remark: str = ""


@frozen
class Follow(Record):
    """What comes next and when, as the technician put it."""

    text: str
    when: When | None = None


@frozen
class Photo(Record):
    """A picture, recording or film that the note names, with its caption and who may see it.

    `shows` is one of the customary views of `model.VIEWS`, "" where the note does not say.
    """

    file: str
    caption: str = ""
    kind: Literal["picture", "audio", "video"] = "picture"
    shows: str = ""
    release: tuple[str, ...] = ()


@frozen
class EquipmentNote(Record):
    """News of the humidity equipment: fitted, serviced, or the state it was found in."""

    what: Literal["fitted", "serviced", "working", "dry", "unplugged", "removed", "faulty"]
    when: dt.date | None = None
    text: str = ""
    next_service: When | None = None


@frozen
class Correction(Record):
    """A dated correction of the note itself; nothing else explains a change to an old note."""

    when: dt.date
    text: str


@frozen
class Passage(Record):
    """A piece of prose: for the owner, or for the bench alone."""

    markdown: str
    audience: Literal["owner", "bench"] = "owner"


@frozen
class Visit(Record):
    """One visit to one instrument.  What a note does not mention was not looked at."""

    id: str
    instrument: str
    date: dt.date
    order: int = 0
    technician: str = ""
    reason: str = ""
    air: Air | None = None
    reference_hz: Number | None = None
    floated: bool = False
    found: Pitch | None = None
    left: Pitch | None = None
    measured: tuple[Measured, ...] = ()
    marks: tuple[Mark, ...] = ()
    cleared: tuple[Cleared, ...] = ()
    checked_all: bool = False
    problems: tuple[Problem, ...] = ()
    problem_news: tuple[ProblemNews, ...] = ()
    work: tuple[Work, ...] = ()
    advice: tuple[Advice, ...] = ()
    advice_news: tuple[AdviceNews, ...] = ()
    condition: tuple[Graded, ...] = ()
    equipment: tuple[EquipmentNote, ...] = ()
    unsafe: str = ""
    safe: str = ""
    follow: tuple[Follow, ...] = ()
    photos: tuple[Photo, ...] = ()
    fee: Money | None = None
    minutes: int | None = None
    summary: str = ""
    hold: bool = False
    corrections: tuple[Correction, ...] = ()
    passages: tuple[Passage, ...] = ()
    release: tuple[str, ...] = ()
    private: str = ""
