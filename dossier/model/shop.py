"""The shop: who writes the notes, and the ground rules that every instrument of it shares."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from dossier.model.learned import Learned
from dossier.model.mark import MarkKind
from dossier.model.measurement import MeasuredKind
from dossier.model.record import Record, frozen
from dossier.quantities import Period


@frozen
class ClimateMonth(Record):
    """The outdoor air of one month: mean temperature in °C and mean relative humidity in %."""

    month: int
    temperature_c: Decimal
    humidity: Decimal


@frozen
class Band(Record):
    """The comfort band for relative humidity in %, at the instrument."""

    low: Decimal = Decimal(35)
    high: Decimal = Decimal(55)


@frozen
class Thresholds(Record):
    """How far off, in cents, makes which class of work.  Common practice, no source."""

    fine: Decimal = Decimal(3)
    tuning: Decimal = Decimal(10)
    small_raise: Decimal = Decimal(25)


@frozen
class Clocks(Record):
    """How long things take, in days.  Common practice, no source; each shop sets its own."""

    settling: int = 21
    acclimatising: int = 90
    first_year: int = 365
    treatment: int = 180
    new_strings: int = 120
    advice: int = 180


@frozen
class Look(Record):
    """The shop's own look: colours as #rrggbb, a logo file beside shop.md, a line of letterhead."""

    accent: str = ""
    logo: str = ""
    letterhead: str = ""


@frozen
class Colleague(Record):
    """Someone else who comes or works for the shop, and what a stranger may read of their training.

    The name is as a visit's `technician` or a work's `by` has it.
    """

    name: str
    qualification: str


@frozen
class Shop(Record):
    """The technician's own details and rules, from shop.md; `learned` is learned.md's.

    `public_address` is where the folder public/ can be reached, without a slash at its end.
    """

    name: str
    technician: str
    qualification: str = ""
    colleagues: tuple[Colleague, ...] = ()
    phone: str = ""
    email: str = ""
    web: str = ""
    address: str = ""
    units: Literal["metric", "imperial"] = "metric"
    paper: Literal["A4", "letter"] = "A4"
    locale: str = "en"
    time_zone: str = "UTC"
    currency: str = "USD"
    reference_hz: Decimal = Decimal(440)
    interval: Period | None = None
    band: Band
    thresholds: Thresholds
    clocks: Clocks
    climate: tuple[ClimateMonth, ...] = ()
    show_costs: bool = False
    public_address: str = ""
    measured_kinds: tuple[MeasuredKind, ...]
    mark_kinds: tuple[MarkKind, ...]
    look: Look
    about: str = ""
    learned: Learned | None = None
