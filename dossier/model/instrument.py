"""An instrument: what it is, where it stands since when, and where it came from."""

from __future__ import annotations

from datetime import date
from typing import Literal

from dossier.model.record import Number, Record, frozen
from dossier.model.visit import EquipmentNote
from dossier.quantities import Money, Period, Uncertain

Shape = Literal["upright", "grand", "square", "other"]
EventKind = Literal[
    "made",
    "sold",
    "bought",
    "inherited",
    "given",
    "moved",
    "stored",
    "restrung",
    "rebuilt",
    "repaired",
    "pin block",
    "tuned",
    "damaged",
    "other",
]
Certainty = Literal["certain", "likely", "possible", "unknown"]


@frozen
class Event(Record):
    """One link of the provenance chain.

    `holder` tells by role who held the instrument from then on ("first owner", "a school");
    `client` is the slug of a client of the shop, for a change of hands; `room` is where it went.
    """

    when: Uncertain
    kind: EventKind
    text: str = ""
    source: str = ""
    certainty: Certainty = "certain"
    holder: str = ""
    client: str = ""
    room: str = ""


@frozen
class Standing(Record):
    """Where the instrument stands, since when, and what is near it."""

    room: str
    since: Uncertain | None = None
    outside_wall: bool | None = None
    heat: str = ""
    remark: str = ""


@frozen
class Material(Record):
    """A material that trade law may control, where it is, and who says so.

    `tested_by` is who tested or identified it, "" where nobody did; `tested_how` by what means.
    """

    material: str
    where: str = ""
    said_by: str = ""
    tested_by: str = ""
    tested_how: str = ""
    tested: Uncertain | None = None


@frozen
class Consent(Record):
    """A risk that the owner accepted, and when, in whose words."""

    what: str
    when: date
    by: str = ""


@frozen
class Valuation(Record):
    """A value that an appraiser put on the instrument, quoted: whose, when, how much, what for.

    `basis` is the kind of value that the appraiser named, as "replacement".  Nothing here ever
    works one out.
    """

    when: date
    amount: Money
    by: str
    purpose: str = ""
    basis: str = ""


@frozen
class OwnTarget(Record):
    """The instrument's own specification for a measured kind, in the kind's unit."""

    kind: str
    low: Number
    high: Number
    source: str = ""


@frozen
class ScaleString(Record):
    """One note of the scale: speaking length, core and cover, and number of strings.

    Lengths in metres, diameters in millimetres, `linear_density` in g/m where it is known.
    """

    key: int
    length_m: Number
    diameter_mm: Number
    cover_mm: Number | None = None
    linear_density: Number | None = None
    strings: int = 3


@frozen
class Instrument(Record):
    """An instrument's file: identity by the nine categories of Object ID, and its home.

    Source of the categories: Object ID, ICOM.  "not applicable" is a value where it is true.
    """

    id: str
    client: str
    title: str
    shape: Shape = "upright"
    object_type: str = ""
    maker: str = ""
    model: str = ""
    made: Uncertain | None = None
    age_known_from: str = ""
    serial_number: str = ""
    inventory_number: str = ""
    materials: str = ""
    measurements: str = ""
    inscriptions: str = ""
    features: str = ""
    subject: str = ""
    reference_hz: Number | None = None
    lowest_key: int = 1
    highest_key: int = 88
    breaks: tuple[int, ...] = ()
    standings: tuple[Standing, ...] = ()
    equipment: tuple[EquipmentNote, ...] = ()
    controlled: tuple[Material, ...] = ()
    leave_below_pitch: str = ""
    consents: tuple[Consent, ...] = ()
    valued: tuple[Valuation, ...] = ()
    own_targets: tuple[OwnTarget, ...] = ()
    provenance: tuple[Event, ...] = ()
    scale: tuple[ScaleString, ...] = ()
    interval: Period | None = None
    wood: str = "Sitka spruce"
    photo: str = ""
    about: str = ""
    private: str = ""
