"""What each key of a note may hold, as JSON Schema: short forms by pattern, nested ones by keys."""

from __future__ import annotations

from collections.abc import Mapping

from dossier.model import VIEWS, Clocks, Thresholds
from dossier.quantities import CURRENCIES, MONTHS
from dossier.read import Field, Setting
from dossier.schemas import patterns as p
from dossier.schemas.making import Make, Shape, always, choice, either, keyed, matching, shown, text
from dossier.schemas.records import (
    ADVICE,
    AIR,
    CENTS,
    DATE,
    DURATION,
    EQUIPMENT,
    MARK,
    MONEY,
    PERIOD,
    PROBLEM,
    REFERENCE,
    SLUG,
    YES_NO,
    checked,
    clear,
    condition,
    editions,
    marked,
    material,
    measured,
    measured_kind,
    news,
    own_fields,
    photo,
    pitch,
    provenance,
    releases,
    targets,
    work,
)

# By kind of file and key; "" holds for every kind.  A key that has no row here has no schema, and
# a test says so.
SHAPES: Mapping[tuple[str, str], Make] = {
    # The shop
    ("shop", "name"): always(text("Fernhollow Pianos")),
    ("shop", "technician"): always(text("Tamsin Fernhollow")),
    ("", "qualification"): always(text("tuner and repairer")),
    ("", "colleagues"): always(
        matching(r"\S[^,]*,[\s\S]*\S", "Odo Fell, repairer of actions, trained 2003-2006")
    ),
    ("", "web"): always(text("https://fernhollow.example")),
    ("", "units"): always(choice("metric", "imperial")),
    ("", "paper"): always(choice("A4", "letter")),
    ("", "locale"): always(matching(r"^\s*[A-Za-z]{2,3}(?:[-_][A-Za-z0-9]+)*\s*$", "en-GB")),
    ("", "time zone"): always(matching(r"^\s*[A-Za-z][A-Za-z0-9_+/-]*\s*$", "Europe/Dublin")),
    ("", "currency"): always(
        either({"enum": list(CURRENCIES)}, {"type": "string", "pattern": p.whole(p.CURRENCY)})
    ),
    ("", "comfort band"): always(matching(p.whole(p.RANGE), "35-55 %")),
    ("", "thresholds"): always(
        shown(keyed(dict.fromkeys(own_fields(Thresholds), CENTS)), {"small raise": 25})
    ),
    ("", "clocks"): always(
        shown(keyed(dict.fromkeys(own_fields(Clocks), PERIOD)), {"settling": "3 weeks"})
    ),
    ("", "climate"): always(shown(keyed(dict.fromkeys(MONTHS, AIR)), {"january": "-2 °C, 84 %"})),
    ("", "accent"): always(matching(r"^\s*#[0-9a-fA-F]{6}\s*$", "#2f5d50")),
    ("", "logo"): always(text("logo.png")),
    ("", "letterhead"): always(text("Tuning and repair since 1987")),
    ("", "measured kinds"): always(
        shown(measured_kind(), {"name": "damper lift", "unit": "mm", "target": "1-2 mm"})
    ),
    ("", "marks"): always(matching(MARK, "loose bridle tapes, action")),
    # A client
    ("", "kind"): always(text("home", "school", "church", "hall")),
    ("", "relation"): always(text("paid for the work, no share in a sale")),
    ("", "contact"): always(text("Linnet Moorings")),
    ("", "access"): always(text("Side gate; ring first.")),
    ("", "status"): always(choice("active", "dormant", "left")),
    ("", "last contacted"): always(DATE),
    ("client", "release"): always(shown(releases(), {"appraisal": "owner, costs"})),
    # An instrument
    ("", "title"): always(text("The heron upright")),
    ("", "shape"): always(choice("upright", "grand", "square", "other")),
    ("", "type"): always(text("upright piano, overstrung, underdamped")),
    ("", "maker"): always(text("Hollin & Thrush")),
    ("", "model"): always(text("No. 2")),
    ("", "made"): always(matching(p.whole(p.EDTF), "1912~", "190X")),
    ("", "age known from"): always(text("serial number list")),
    ("", "serial number"): always(text("48211")),
    ("", "inventory number"): always(text("not applicable")),
    ("", "materials"): always(text("walnut veneer on pine, iron plate")),
    ("", "measurements"): always(text("121 cm high")),
    ("", "inscriptions"): always(text("a date in pencil on the first key")),
    ("", "features"): always(text("two brass candle holders")),
    ("", "subject"): always(text("not applicable")),
    ("", "compass"): always(matching(p.whole(p.PLACE), "A0-C8")),
    ("", "breaks"): always(matching(p.whole(p.PLACES), "F2, C#5")),
    ("", "stands"): always(
        matching(
            rf"^\s*{p.SLUG}\s*(?:,[\s\S]*)?$", "parlour, since 2019-05, outside wall, stove near"
        )
    ),
    ("", "controlled materials"): always(material()),
    ("", "leave below pitch"): always(text("old wire")),
    ("", "consent"): always(
        matching(
            rf"^[\s\S]*\S\s*,\s*{p.DATE}\s*(?:,[\s\S]*)?$|[^\x00-\x7F]",
            "raise on old wire, 2022-04-02, by the owner",
        )
    ),
    ("", "valued"): always(
        matching(
            rf"{p.DATE}[\s\S]*,|[^\x00-\x7F]",
            "2024-05-02, 12000 EUR, for insurance, basis replacement, by the appraiser",
        )
    ),
    ("", "targets"): lambda setting: shown(targets(setting), {"key dip": "9.8-10.2 mm"}),
    ("", "provenance"): always(provenance()),
    ("", "wood"): always(text("Sitka spruce")),
    ("", "photo"): always(text("front.jpg")),
    # A room
    ("", "heating"): always(text("stove, October to April")),
    # A visit
    ("", "technician"): always(text("Odo Fell")),
    ("", "reason"): always(text("yearly service")),
    ("", "air"): always(AIR),
    ("", "pitch"): always(REFERENCE),
    ("", "floated"): always(YES_NO),
    ("", "found"): always(pitch("A1 +6, A3 +9, A4 442.1 Hz")),
    ("", "left"): always(
        pitch("A1 0, A4 +5", p.any_word("as it was found", "as found", "untouched"))
    ),
    ("", "clear"): clear,
    ("", "checked"): checked,
    ("", "problem"): always(PROBLEM),
    ("", "watched"): always(news("problem", "G4 buzz, still there")),
    ("", "diagnosed"): always(news("problem", "G4 buzz, left hinge of the music desk")),
    ("", "fixed"): always(news("problem", "G4 buzz")),
    ("", "reopened"): always(news("problem", "G4 buzz, heard again")),
    ("", "work"): always(work()),
    ("", "advice"): always(ADVICE),
    ("", "agreed"): always(news("advice", "outside wall, this summer")),
    ("", "declined"): always(news("advice", "outside wall")),
    ("", "done"): always(news("advice", "outside wall")),
    ("", "condition"): always(
        shown(condition(), {"keys": "fair, front bushings swollen", "hammers": "not examined"})
    ),
    ("", "humidity equipment"): always(EQUIPMENT),
    ("", "unsafe"): always(text("do not move, rear leg loose")),
    ("", "safe"): always(text("leg glued and tested")),
    ("", "next"): always(
        either(
            text("check the splice, 4-8 weeks"),
            keyed({"what": text(), "when": text("October")}, "what"),
        )
    ),
    ("", "photos"): always(photo("pins.jpg the splice on D#1", *(view.name for view in VIEWS))),
    ("", "audio"): always(photo("buzz.m4a the buzz on G4")),
    ("", "video"): always(photo("action.mp4 a slow repetition on G4")),
    ("", "fee"): always(MONEY),
    ("", "time"): always(DURATION),
    ("", "summary"): always(text("The damp has made some keys stick; they are free again.")),
    ("", "hold"): always(YES_NO),
    ("", "corrected"): always(matching(rf"^\s*{p.DATE}[,:]*\s+\S", "2026-03-20 A4 was misread")),
    ("", "release"): always(editions()),
    # Several kinds of file
    ("", "name"): always(text("the parlour")),
    ("client", "name"): always(text("Linnet and Perrin Moorings")),
    ("", "client"): always({**SLUG, "examples": ["moorings"]}),
    ("", "phone"): always(text("+999 555 0101")),
    ("", "email"): always(text("tamsin@fernhollow.example")),
    ("", "address"): always(text("2 Ferry Steps, Fernhollow")),
    ("", "interval"): always(PERIOD),
    ("", "show costs"): always(YES_NO),
    ("", "card link"): always(YES_NO),
    ("", "public address"): always(text("https://pianos.example")),
    ("", "reference pitch"): always(REFERENCE),
    ("", "private"): always(text("Asked twice what a new one would cost.")),
    ("", "instrument"): always(text("heron")),
    ("", "date"): always(DATE),
}


def shape_of(kind: str, field: Field, setting: Setting) -> Shape:
    """What a key of a kind of file may hold.  KeyError where no row says so."""
    for one in setting.measured_kinds:
        if (field.into, field.key) == ("measured", one.name):
            return measured(one)
    for mark in setting.mark_kinds:
        if (field.into, field.key) == ("marks", mark.name):
            return marked(mark)
    make = SHAPES.get((kind, field.key)) or SHAPES["", field.key]
    return make(setting)
