"""What the drift of an instrument comes to: the answers, each with its basis and its interval.

Cents are against the target of the instrument's visits, sharp positive.  Moisture is the wood's,
in % of dry mass.  Every interval is one in which the true figure lies four times in five.  The
wording is "consistent with", never "caused by": no controlled measurement of cents per % RH has
been published.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

CutKind = Literal[
    "moved",
    "restrung",
    "pin block",
    "equipment fitted",
    "equipment found dry",
    "equipment found unplugged",
    "equipment at fault",
    "equipment removed",
    "equipment working again",
    "target changed",
    "floated",
]
WoodBasis = Literal["log", "reading", "curve"]
CurveBasis = Literal["log", "readings", "climate", "assumed"]
Need = Literal["pitch read", "pitch set or read", "second visit", "climate or log"]


@dataclass(frozen=True, slots=True)
class NotEnough:
    """An answer that can't be given, and all that is missing for it.

    "pitch read": no visit read the pitch.  "pitch set or read": no visit says where the pitch
    stood in the present state of the instrument.  "second visit": a last reading of the pitch
    that compares with an earlier one (`Basis.left_out` says what parts them).  "climate or log":
    the shop's file has no climate, the room no log, and the visits too few air readings to say
    how the room's air runs through the year.
    """

    needs: tuple[Need, ...]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure with its 80 % interval, `low` to `high`, in the unit of the answer it stands in.

    `mostly_assumed`: the interval is more than 0.6 as wide as it was before the instrument's own
    readings; say "mostly assumption so far".
    """

    value: float
    low: float
    high: float
    mostly_assumed: bool


@dataclass(frozen=True, slots=True)
class Cut:
    """Between two visits' pitches the instrument became another system; `when` is the latest day
    on which it can have done so, `visit` the visit whose note says so ("" for its own file)."""

    kind: CutKind
    when: date
    visit: str


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A reading of the pitch that was not compared with the one before it, and why.

    `why` is the kind of the cut that lies between them, "earlier state" for a comparison whole
    before a restringing or the like, or "air" where nothing says how moist the wood was.
    """

    visit: str
    when: date
    why: CutKind | Literal["earlier state", "air"]


@dataclass(frozen=True, slots=True)
class Basis:
    """What all drift answers of an instrument rest on.

    `readings`: readings of the pitch that were compared with an earlier one; `first`, `last`: the
    days of the earliest and latest of them (None without any); `wood`: of the visits so compared,
    how many take the wood's state from a log, from the air read at the visit, from the yearly
    curve alone; `curve`: what that curve rests on, None where there is none; `curve_readings`: its
    air readings and logged months.  `instruments`: how many other instruments of the shop the
    starting values were learned from, 0 for the tool's own.
    """

    readings: int
    first: date | None
    last: date | None
    wood: tuple[tuple[WoodBasis, int], ...]
    curve: CurveBasis | None
    curve_readings: int
    cuts: tuple[Cut, ...]
    left_out: tuple[LeftOut, ...]
    instruments: int


@dataclass(frozen=True, slots=True)
class Shares:
    """How the pitch moved since it was last set (or first read), in cents of the whole compass.

    `since`: that day and `until` the last reading's; `observed` = `humidity` + `settling` +
    `slow_fall` + `rest` (by their values).  `moisture_since`, `moisture_until`: the wood's state
    in %.  `rest` is what the causes leave over: readings' errors and what the notes don't know.
    """

    since: date
    until: date
    since_visit: str
    until_visit: str
    observed: float
    humidity: Estimate
    settling: Estimate
    slow_fall: Estimate
    rest: Estimate
    moisture_since: float
    moisture_until: float


@dataclass(frozen=True, slots=True)
class Swing:
    """Cents by which the pitch follows a whole year of the present room, driest to dampest.

    `steady`: the same in a room held within `steady_points` points of RH in all (so that a steady
    room would save `saved`); where the room is that steady already, `saved` is 0.  `driest` and
    `dampest`: (month, day) on which the wood, lagging the air, gets there.  `moisture_low`,
    `moisture_high`: the wood's yearly range in %.
    """

    cents: Estimate
    steady: Estimate
    saved: Estimate
    steady_points: float
    driest: tuple[int, int]
    dampest: tuple[int, int]
    moisture_low: float
    moisture_high: float


@dataclass(frozen=True, slots=True)
class Forecast:
    """The pitch on a day if nobody touches it, cents: the compass, and by register.

    The interval holds the error of a reading too: it is where the next visit's figure should lie.
    `registers` are bass, tenor and treble in this order, by the instrument's breaks.
    """

    when: date
    overall: Estimate
    registers: tuple[tuple[str, Estimate], ...]


@dataclass(frozen=True, slots=True)
class Band:
    """The forecast from the last known pitch on, every seventh day, for a chart as a band.

    `since`: the day from which it starts (the last visit that set or read the pitch), where it
    stood at `start` cents overall; `visit` that visit.
    """

    since: date
    visit: str
    start: float
    days: tuple[Forecast, ...]


WindowReason = Literal["wood near its mean", "before it is out", "interval"]


@dataclass(frozen=True, slots=True)
class BestWindow:
    """When the next tuning is best, first and last day included.

    `reason`: "wood near its mean" where in these weeks the wood is near its yearly mean, so that
    the tuning suits both seasons; "before it is out" where the forecast leaves the threshold
    before such weeks come; "interval" where the wood hardly swings and only the instrument's
    interval speaks.  `settled`: the day on which the last raise has settled, None without one.
    `leaves`: the first day of the band on which the forecast (its middle) is more than
    `threshold` cents from `aim`, where the last work set the compass (0: the target), None if it
    never is; `leaves_at`: its cents then.  `asked`: the day by the interval from the last work.
    """

    first: date
    last: date
    reason: WindowReason
    settled: date | None
    leaves: date | None
    leaves_at: float | None
    aim: float
    threshold: float
    asked: date


@dataclass(frozen=True, slots=True)
class BackTestRow:
    """One visit's pitch (overall, cents) predicted from the visits before it; `rests_on` many."""

    visit: str
    when: date
    predicted: Estimate
    observed: float
    inside: bool
    rests_on: int


@dataclass(frozen=True, slots=True)
class BackTest:
    """Each visit predicted from those before it: how many lay inside their 80 % interval.

    `error`: root mean square of observed less predicted, in cents; `naive`: the same for the
    prediction that nothing moves, to compare with.
    """

    rows: tuple[BackTestRow, ...]
    inside: int
    error: float
    naive: float


@dataclass(frozen=True, slots=True)
class Residual:
    """What the fit leaves of one comparison in one register, cents: found - earlier = `moved`."""

    visit: str
    when: date
    earlier_visit: str
    earlier: date
    register: str
    moved: float
    fitted: float

    @property
    def left_over(self) -> float:
        return self.moved - self.fitted


CoefficientName = Literal["humidity response", "slow fall", "settling share"]


@dataclass(frozen=True, slots=True)
class Coefficient:
    """One coefficient of one register, for the bench, with what was assumed before the readings.

    Units: "humidity response" cents per % of wood moisture; "slow fall" cents a year; "settling
    share" a fraction of a raise that falls back.
    """

    name: CoefficientName
    register: str
    estimate: Estimate
    assumed: Estimate


@dataclass(frozen=True, slots=True)
class YearlyDays:
    """A part of every year, (month, day) to (month, day), both included; may run over new year.

    Neither is 29 February, which some years lack.
    """

    first: tuple[int, int]
    last: tuple[int, int]


@dataclass(frozen=True, slots=True)
class SeasonCoverage:
    """How much of the wood's own yearly range the readings of the pitch have seen.

    In the room where the instrument stands now.  `moisture_low`, `moisture_high`: the range in a
    usual year, %; `seen_low`, `seen_high`: the states of the wood at readings, None without any;
    `share`: the part of the range between those, 0 to 1.  `dampest_seen`, `driest_seen`: the last
    visit's day that saw the outermost part, None for "not yet"; then a visit in `dampest_days`
    or `driest_days` would.
    """

    moisture_low: float
    moisture_high: float
    seen_low: float | None
    seen_high: float | None
    share: float
    visits: int
    dampest_seen: date | None
    driest_seen: date | None
    dampest_days: YearlyDays
    driest_days: YearlyDays


@dataclass(frozen=True, slots=True)
class DriftAnswer:
    """All drift answers of one instrument; each is its figure, or says what is missing.

    `coefficients` hold the humidity response only where a log drives the wood.  `error`: the
    usual error of one register's comparison, cents.  The settling time is not among the answers:
    yearly visits can't tell it.
    """

    basis: Basis
    shares: Shares | NotEnough
    swing: Swing | NotEnough
    band: Band | NotEnough
    window: BestWindow | NotEnough
    back_test: BackTest | NotEnough
    seasons: SeasonCoverage | NotEnough
    coefficients: tuple[Coefficient, ...]
    residuals: tuple[Residual, ...]
    error: Estimate
