"""The data of charts: what is drawn, already worked out.  A chart module adds no figure to it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dossier.edition.view import Table


@dataclass(frozen=True, slots=True)
class KeyCents:
    """A reading at a key (1 = A0), with its note name as shown, in cents."""

    key: int
    note: str
    cents: float


@dataclass(frozen=True, slots=True)
class RegisterCents:
    """A register's level, over the keys that the readings span, in cents."""

    name: str
    first: int
    last: int
    cents: float


@dataclass(frozen=True, slots=True)
class AlongCompass:
    """Pitch from bass to treble at one visit, as found and as left.

    `ticks` are (key, note name) pairs for the axis; `breaks` the first keys of further sections.
    A figure for the whole instrument stands in the registers with the whole compass as its span.
    """

    when: date
    first: int
    last: int
    ticks: tuple[tuple[int, str], ...]
    breaks: tuple[int, ...]
    found: tuple[KeyCents, ...]
    left: tuple[KeyCents, ...]
    found_levels: tuple[RegisterCents, ...]
    left_levels: tuple[RegisterCents, ...]
    found_word: str
    left_word: str
    cents_word: str


@dataclass(frozen=True, slots=True)
class YearPoint:
    """A register's level at a visit; `stage` is 0 as found, 1 as left."""

    when: date
    register: str
    stage: int
    cents: float


@dataclass(frozen=True, slots=True)
class Tag:
    """A dated word on a time axis: a raise, a move, equipment fitted."""

    when: date
    text: str


@dataclass(frozen=True, slots=True)
class ThroughYears:
    """Pitch by register through the years, over the humidity read at the visits.

    `humidity` are (date, % RH) pairs; `band` is the comfort band in % RH.  `whole` is the one of
    `registers` that stands for a single figure for the whole instrument, "" where none does.
    """

    registers: tuple[str, ...]
    points: tuple[YearPoint, ...]
    humidity: tuple[tuple[date, float], ...]
    band: tuple[float, float]
    tags: tuple[Tag, ...]
    found_word: str
    left_word: str
    cents_word: str
    humidity_word: str
    whole: str = ""


@dataclass(frozen=True, slots=True)
class AheadDay:
    """The forecast of a day: lowest likely, middle and highest likely, in cents (80 %)."""

    when: date
    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class Ahead:
    """The last visits' pitch of the whole compass, and the forecast from the last one on.

    `points` are as found (stage 0) and as left (1); `window` the best weeks for the next tuning,
    first and last day.  The forecast is drawn as a band, never as a line alone.
    """

    points: tuple[YearPoint, ...]
    days: tuple[AheadDay, ...]
    window: tuple[date, date] | None
    found_word: str
    left_word: str
    band_word: str
    window_word: str
    cents_word: str
    ticks: tuple[tuple[date, str], ...] = ()


@dataclass(frozen=True, slots=True)
class DayAir:
    """A day of a room's log: lowest, mean and highest % RH; all None in a gap."""

    when: date
    low: float | None
    mean: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class RoomYear:
    """The humidity of a room over time with the comfort band and the visits' own readings.

    `ticks` name the days of the axis, such as the first of each month; none: years alone.
    """

    days: tuple[DayAir, ...]
    band: tuple[float, float]
    visits: tuple[tuple[date, float], ...]
    humidity_word: str
    band_word: str
    visits_word: str
    ticks: tuple[tuple[date, str], ...] = ()


@dataclass(frozen=True, slots=True)
class MonthAir:
    """A month (1-12): the outdoor air once warmed to the room, in % RH."""

    month: int
    name: str
    warmed: float


@dataclass(frozen=True, slots=True)
class SeasonAir:
    """Where no log stands: the visits' readings by day of year over the warmed outdoor air.

    `readings` are (date, % RH).  The curve is a floor: people, cooking and plants add vapour; a
    shop without a climate has none.  `names` are the twelve months' for the axis.
    """

    months: tuple[MonthAir, ...]
    readings: tuple[tuple[date, float], ...]
    band: tuple[float, float]
    humidity_word: str
    band_word: str
    warmed_word: str
    readings_word: str
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MarkedKey:
    """A marked key: `row` is the label of its line in the picture, `state` a shown word."""

    row: str
    first: int
    last: int
    state: str
    is_open: bool


@dataclass(frozen=True, slots=True)
class MarksPicture:
    """Marks from bass to treble, one row a kind, open and closed told apart by shape."""

    first: int
    last: int
    ticks: tuple[tuple[int, str], ...]
    breaks: tuple[int, ...]
    rows: tuple[str, ...]
    marks: tuple[MarkedKey, ...]
    open_word: str
    closed_word: str


@dataclass(frozen=True, slots=True)
class MeasuredPoint:
    """A measured figure at a key at a visit; key None is a figure for the whole.

    `how` is a shown word that tells figures of one visit apart ("before", "after"), else "".
    """

    when: date
    when_text: str
    key: int | None
    note: str
    value: float
    how: str = ""


@dataclass(frozen=True, slots=True)
class AgainstTarget:
    """One measured kind against its target range along the compass, visit by visit."""

    kind: str
    unit: str
    first: int
    last: int
    ticks: tuple[tuple[int, str], ...]
    points: tuple[MeasuredPoint, ...]
    target: tuple[float, float] | None
    target_word: str


@dataclass(frozen=True, slots=True)
class YearCost:
    """What was paid in a year for a kind of work, in one currency."""

    year: int
    kind: str
    amount: float


@dataclass(frozen=True, slots=True)
class CostYears:
    """Cost of work by year and kind."""

    currency: str
    costs: tuple[YearCost, ...]


@dataclass(frozen=True, slots=True)
class StringPull:
    """The tension of one string of a note; `weak` where it is one of the nearest to breaking."""

    key: int
    note: str
    tension: float
    wound: bool
    weak: bool


@dataclass(frozen=True, slots=True)
class TensionAlong:
    """The tension of one string of each note from bass to treble, in the unit of `tension_word`.

    `breaks` are the first keys of further sections.
    """

    first: int
    last: int
    ticks: tuple[tuple[int, str], ...]
    breaks: tuple[int, ...]
    pulls: tuple[StringPull, ...]
    tension_word: str
    plain_word: str
    wound_word: str
    weak_word: str


Drawn = (
    AlongCompass
    | ThroughYears
    | Ahead
    | RoomYear
    | SeasonAir
    | MarksPicture
    | AgainstTarget
    | CostYears
    | TensionAlong
)


ENGLISH = (".", ",")


@dataclass(frozen=True, slots=True)
class Figure:
    """A chart with all that goes with it.

    `title` states the finding, `sentence` says what it shows, `alt` is the text alternative,
    `table` the data, `basis` what it rests on ("4 readings, 14 March 2026"); `signs` stand before
    the decimals and between the thousands of its axes.
    """

    id: str
    title: str
    sentence: str
    alt: str
    basis: str
    table: Table
    drawn: Drawn
    signs: tuple[str, str] = ENGLISH


@dataclass(frozen=True, slots=True)
class LifeMark:
    """A moment on the line; `kind` is that of the timeline, `short` what stands beside it.

    `name` says all of it, for whoever can't see where it stands; `target` is its visit's anchor.
    """

    when: date
    kind: str
    short: str
    name: str
    target: str = ""


@dataclass(frozen=True, slots=True)
class LifeSpan:
    """What stood open; `pieces` are its stretches (from, to), the last with None where it still is.

    `kind` is "problem" or "safety".
    """

    kind: str
    short: str
    name: str
    pieces: tuple[tuple[date, date | None], ...]
    target: str = ""

    @property
    def is_open(self) -> bool:
        return self.pieces[-1][1] is None


@dataclass(frozen=True, slots=True)
class LifePicture:
    """A life to be drawn, from the oldest mark to `last`, the day of the last entry.

    From `first`, the first visit, time runs evenly; the years before it are drawn closer, since
    nobody wrote in them.  `seasons` are the dry months (from, to) between the two.  `title` is
    the finding, `sentence` what is drawn, `alt` the text alternative, `legend` the signs by kind.
    """

    id: str
    title: str
    sentence: str
    alt: str
    first: date | None
    last: date
    marks: tuple[LifeMark, ...]
    spans: tuple[LifeSpan, ...]
    seasons: tuple[tuple[date, date], ...]
    legend: tuple[tuple[str, str], ...]
