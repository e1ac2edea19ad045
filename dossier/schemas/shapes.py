"""What each key of a note may hold, as JSON Schema: short forms by pattern, nested ones by keys.

A shape with a name (`$name`) becomes a definition of the schema, so that it stands there once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, get_args

from dossier.model import (
    COMPONENTS,
    GRADES,
    VIEWS,
    Clocks,
    Event,
    MarkKind,
    MeasuredKind,
    Thresholds,
)
from dossier.model.measurement import Unit
from dossier.quantities import CURRENCIES, MONTHS
from dossier.read import Field, Setting
from dossier.read.client import EDITIONS, RELEASABLE
from dossier.read.condition import COMPONENT_WORDS, EQUIPMENT_WORDS
from dossier.read.pieces import key_shape
from dossier.read.provenance import CERTAINTIES, EVENT_KINDS
from dossier.read.work import WORK_KINDS, WORK_PARTS
from dossier.schemas import patterns as p

Shape = dict[str, Any]
Make = Callable[[Setting], Shape]

# YAML 1.2 makes numbers and true of plain words, which the reader takes as they are written.
_ANY_WORD = ["string", "number", "boolean"]


def _text(*examples: str) -> Shape:
    return {"type": _ANY_WORD, "pattern": r"\S", **_examples(examples)}


def _matching(pattern: str, *examples: str) -> Shape:
    # Editors that know this key show it in place of the pattern; all others pass it over.
    told = f" Write it like {examples[0]}." if examples else ""
    return {
        "type": ["string", "number"],
        "pattern": pattern,
        "patternErrorMessage": f"This can't be read.{told}",
        **_examples(examples),
    }


def _named(name: str, shape: Shape) -> Shape:
    return {"$name": name, **shape}


def _examples(examples: Iterable[str]) -> Shape:
    return {"examples": list(examples)} if examples else {}


def _choice(*names: str) -> Shape:
    """One of a few words: listed for an editor to offer, and in any spelling of theirs."""
    return {
        "anyOf": [{"enum": list(names)}, {"type": "string", "pattern": p.whole(p.any_word(*names))}]
    }


def _object(properties: Mapping[str, Shape], *required: str) -> Shape:
    """A nested map with its keys in any spelling, and no other key."""
    spelt = {
        f"^(?!{name}$){p.key_pattern((key_shape(name),))}$": shape
        for name, shape in properties.items()
    }
    return {
        "type": "object",
        "properties": dict(properties),
        "patternProperties": spelt,
        "additionalProperties": False,
        "minProperties": 1,
        **({"required": list(required)} if required else {}),
    }


def _either(*shapes: Shape) -> Shape:
    return {"anyOf": list(shapes)}


def _shown(shape: Shape, example: Mapping[str, Any]) -> Shape:
    """A nested map with an example of its own."""
    return {**shape, "examples": [dict(example)]}


def _always(shape: Shape) -> Make:
    return lambda _: shape


def _component(key_of: Shape) -> Shape:
    """A map with the components as keys, under every name that they go by."""
    names = {key_shape(word): name for word, name in COMPONENT_WORDS.items()}
    spelt = {
        f"^(?!{name}$)"
        + p.one_of(
            (
                p.several(name),
                *(p.any_case(word) for word, meant in names.items() if meant == name),
            )
        )
        + "$": key_of
        for name in COMPONENTS
    }
    return {
        "type": "object",
        "properties": dict.fromkeys(COMPONENTS, key_of),
        "patternProperties": spelt,
        "additionalProperties": False,
        "minProperties": 1,
    }


def _condition() -> Shape:
    grades = tuple(grade.name for grade in GRADES)
    grade = _matching(
        rf"^(?:\s*{p.any_word(*grades)}\s*(?:,[\s\S]*)?|[\s\S]*[^\x00-\x7F][\s\S]*)$",
        "fair, front bushings swollen",
        "not examined",
    )
    meanings = "; ".join(f"{grade.name}: {grade.meaning}" for grade in GRADES)
    return _component(_named("grade", {**grade, "description": meanings}))


_COMPONENT_NAME = _named(
    "component",
    _matching(
        p.whole(*(p.several(name) for name in COMPONENTS), p.any_word(*COMPONENT_WORDS)),
        *COMPONENTS,
    ),
)
_PROBLEM = _named(
    "problem",
    _either(
        _text("lyre creaks when the left pedal is used"),
        _object(
            {
                "what": _text(),
                "slug": _matching(rf"^\s*{p.SLUG}\s*$"),
                "component": _COMPONENT_NAME,
                "keys": _matching(p.whole(p.PLACES)),
            },
            "what",
        ),
    ),
)
_ADVICE = _named(
    "advice",
    _either(
        _text("move it off the outer wall, before October"),
        _object(
            {"what": _text(), "slug": _matching(rf"^\s*{p.SLUG}\s*$"), "before": _text("October")},
            "what",
        ),
    ),
)


def _news(what: str, example: str) -> Shape:
    return _either(_text(example), _object({what: _text(), "text": _text()}, what))


_EQUIPMENT = _named(
    "equipment",
    _matching(
        p.begins(rf"(?:{p.any_case('found')}\s+)?{p.any_word(*EQUIPMENT_WORDS)}\b"),
        "serviced, next service 2026-10",
        "found unplugged",
    ),
)
_MONEY = _named("money", _matching(p.whole(p.MONEY), "120 USD"))
_DURATION = _named("duration", _matching(p.whole(p.DURATION_TEXT), "1 h 30 min", "45 min"))
_PERIOD = _named("period", _matching(p.whole(p.PERIOD), "6 months", "4-8 weeks"))
_DATE = _named("date", {"type": "string", "pattern": p.whole(p.DATE), "examples": ["2026-03-14"]})
_SLUG = _named("slug", _matching(rf"^\s*{p.SLUG}\s*$"))
_YES_NO = _named("yes-no", _choice("yes", "no"))


def _work() -> Shape:
    parts: Mapping[str, Shape] = {
        "text": _text(),
        "keys": _matching(p.whole(p.PLACES), "F3-B3"),
        "parts": _MONEY,
        "price": _MONEY,
        "time": _DURATION,
        "warranty": _either(
            _PERIOD, _matching(p.begins(rf"(?:{p.any_word('until', 'to')}\s+)?{p.DATE}"))
        ),
        "irreversible": _text(),
        "by": _text(),
        "component": _COMPONENT_NAME,
    }
    kind = {**_text(), "type": [*_ANY_WORD, "null"]}
    nested = _object(dict.fromkeys(WORK_KINDS, kind) | {name: parts[name] for name in WORK_PARTS})
    # Whatever is done has a kind: it is not so that every key is none.
    nested["not"] = {"propertyNames": {"not": {"pattern": f"^{p.key_pattern(WORK_KINDS)}$"}}}
    line = {
        **_text("tuning", "eased keys F3-B3, 45 min, 40 USD"),
        "not": {"type": "string", "pattern": r",\s+\d+\s*(?:,\s|$)"},
    }
    return _named("work", _either(line, nested))


def _photo(example: str, *views: str) -> Shape:
    return _either(
        {**_matching(p.begins(p.FILE), example), "type": "string"},
        _object(
            {
                "file": _matching(p.begins(p.FILE)),
                "caption": _text(),
                **({"shows": _choice(*views)} if views else {}),
                "release": _editions(),
            },
            "file",
        ),
    )


def _editions() -> Shape:
    names = p.any_word(*EDITIONS)
    one = {"type": "string", "pattern": p.whole(rf"{names}(?:\s*,\s*{names})*")}
    return _list_or_one(_either({"enum": list(EDITIONS)}, one))


def _releases() -> Shape:
    names = p.any_word(*RELEASABLE)
    one = {"type": "string", "pattern": p.whole(rf"{names}(?:\s*,\s*{names})*")}
    what = _list_or_one(_either({"enum": list(RELEASABLE)}, one))
    what = {**what, "examples": ["owner, costs"]}
    return _object(dict.fromkeys(EDITIONS, what))


def _list_or_one(shape: Shape) -> Shape:
    return _either(shape, {"type": "array", "items": shape, "minItems": 1})


def _pitch(example: str, *others: str) -> Shape:
    """Readings, or one of a few phrases, in one value or a list."""
    phrase = ["on pitch"] if others else []
    one = _matching(p.whole(p.READINGS, p.TABLE, *others), example, *phrase)
    return _list_or_one(_named("left" if others else "found", one))


def _clear(setting: Setting) -> Shape:
    kinds = p.one_of(p.several(key_shape(kind.name)) for kind in _longest(setting.mark_kinds))
    return _matching(p.begins(rf"{kinds}(?![A-Za-z])"), "sluggish dampers C5-G5")


def _checked(setting: Setting) -> Shape:
    return _either({"enum": ["all", "everything"]}, _clear(setting))


def _longest(kinds: Iterable[MarkKind]) -> list[MarkKind]:
    return sorted(kinds, key=lambda kind: -len(kind.name))


def measured(kind: MeasuredKind) -> Shape:
    """Figures of a measured kind, each with its notes before and perhaps a qualifier behind."""
    figure = dict(p.MEASURES)[kind.unit]
    qualified = rf"(?:\s*{p.any_word(*kind.qualifiers, gap=r'[ ]')})?" if kind.qualifiers else ""
    one = rf"(?:{p.PLACE}[\s:=&+/]*(?:{p.any_case('and')}\s+)?)*{figure}{qualified}"
    shape = _matching(p.whole(rf"{one}(?:\s*[,;]\s*{one})*[,;]?"), _example(kind))
    return _named(f"measured-{key_shape(kind.name).replace(' ', '-')}", shape)


def _example(kind: MeasuredKind) -> str:
    """Two figures within the kind's target, where it has one."""
    low, high = (kind.targets[0].low, kind.targets[0].high) if kind.targets else (1, 2)
    string = ".2" if kind.per == "string" else ""
    behind = f" {kind.qualifiers[0]}" if kind.qualifiers else ""
    return f"A1{string} {low} {kind.unit}{behind}, A4{string} {high} {kind.unit}{behind}"


def marked(kind: MarkKind) -> Shape:
    """The notes that show a kind of mark, and perhaps a remark."""
    del kind
    return _named("marks", _matching(p.begins(p.PLACE), "F3-B3, D4", "C3 light rust"))


def _targets(setting: Setting) -> Shape:
    one = _named("target", _matching(p.begins(rf"{p.RANGE}(?:,[\s\S]*)?$"), "9.8-10.2 mm"))
    return _object({kind.name: one for kind in setting.measured_kinds})


def _provenance() -> Shape:
    line = rf"{p.EDTF}\s+{p.any_word(*EVENT_KINDS)}"
    whole = {
        "when": _matching(p.whole(p.EDTF), "1912~"),
        "kind": _choice(*EVENT_KINDS),
        "certainty": _choice(*CERTAINTIES),
        "client": _SLUG,
        "room": _SLUG,
    }
    keys = [name for name in Event.model_fields if name not in ("span", "places")]
    # `1912~ made, source: a list` without quotes is a map to YAML, and the reader joins it again.
    parted = {
        "type": "object",
        "propertyNames": {"pattern": p.begins(line)},
        "minProperties": 1,
        "maxProperties": 1,
    }
    return _either(
        _matching(p.begins(line), "1912~ made, source: serial number list, likely"),
        _object({name: whole.get(name, _text()) for name in keys}, "when", "kind"),
        parted,
    )


def _material() -> Shape:
    names = ("material", "where", "said by", "tested by", "how")
    line = "ivory, keytops, said by the first owner, tested by Odo Fell, under a lens, 2024-05"
    return _either(
        _text(line),
        _object(
            {**dict.fromkeys(names, _text()), "when": _matching(p.whole(p.EDTF), "2024-05")},
            "material",
        ),
    )


def _own_fields(model: type[Thresholds] | type[Clocks]) -> tuple[str, ...]:
    return tuple(
        name.replace("_", " ") for name in model.model_fields if name not in ("span", "places")
    )


def _measured_kind() -> Shape:
    return _object(
        {
            "name": _text("damper lift"),
            "unit": {
                "anyOf": [{"enum": list(get_args(Unit))}, {"type": "string", "pattern": _UNITS}]
            },
            "target": _matching(
                p.begins(rf"(?:{p.any_word('grand', 'upright')}[Ss]?[\s:,]*)?{p.RANGE}$")
            ),
            "source": _text(),
        },
        "name",
        "unit",
    )


_UNITS = p.whole(p.any_word(*(unit for unit in get_args(Unit) if unit.isascii())))
_CENTS = _named(
    "cents", _matching(p.whole(rf"{p.PLAIN_NUMBER}\s*(?:{p.any_word('cents', 'cent')})?"), "3")
)
_MARK = p.begins(
    rf"[^,]+,\s*(?:{p.one_of(p.several(name) for name in COMPONENTS)}"
    rf"|{p.any_word(*COMPONENT_WORDS)})"
)
_REFERENCE = _named("reference-pitch", _matching(p.whole(p.PITCH), "A4 = 440 Hz"))
_AIR = _named("air", {"type": "string", "pattern": p.whole(p.AIR), "examples": ["17.5 °C, 71 %"]})
# By kind of file and key; "" holds for every kind.  A key that has no row here has no schema, and
# a test says so.
SHAPES: Mapping[tuple[str, str], Make] = {
    # The shop
    ("shop", "name"): _always(_text("Fernhollow Pianos")),
    ("shop", "technician"): _always(_text("Tamsin Fernhollow")),
    ("", "qualification"): _always(_text("tuner and repairer")),
    ("", "colleagues"): _always(
        _matching(r"\S[^,]*,[\s\S]*\S", "Odo Fell, repairer of actions, trained 2003-2006")
    ),
    ("", "web"): _always(_text("https://fernhollow.example")),
    ("", "units"): _always(_choice("metric", "imperial")),
    ("", "paper"): _always(_choice("A4", "letter")),
    ("", "locale"): _always(_matching(r"^\s*[A-Za-z]{2,3}(?:[-_][A-Za-z0-9]+)*\s*$", "en-GB")),
    ("", "time zone"): _always(_matching(r"^\s*[A-Za-z][A-Za-z0-9_+/-]*\s*$", "Europe/Dublin")),
    ("", "currency"): _always(
        _either({"enum": list(CURRENCIES)}, {"type": "string", "pattern": p.whole(p.CURRENCY)})
    ),
    ("", "comfort band"): _always(_matching(p.whole(p.RANGE), "35-55 %")),
    ("", "thresholds"): _always(
        _shown(_object(dict.fromkeys(_own_fields(Thresholds), _CENTS)), {"small raise": 25})
    ),
    ("", "clocks"): _always(
        _shown(_object(dict.fromkeys(_own_fields(Clocks), _PERIOD)), {"settling": "3 weeks"})
    ),
    ("", "climate"): _always(
        _shown(_object(dict.fromkeys(MONTHS, _AIR)), {"january": "-2 °C, 84 %"})
    ),
    ("", "accent"): _always(_matching(r"^\s*#[0-9a-fA-F]{6}\s*$", "#2f5d50")),
    ("", "logo"): _always(_text("logo.png")),
    ("", "letterhead"): _always(_text("Tuning and repair since 1987")),
    ("", "measured kinds"): _always(
        _shown(_measured_kind(), {"name": "damper lift", "unit": "mm", "target": "1-2 mm"})
    ),
    ("", "marks"): _always(_matching(_MARK, "loose bridle tapes, action")),
    # A client
    ("", "kind"): _always(_text("home", "school", "church", "hall")),
    ("", "relation"): _always(_text("paid for the work, no share in a sale")),
    ("", "contact"): _always(_text("Linnet Moorings")),
    ("", "access"): _always(_text("Side gate; ring first.")),
    ("", "status"): _always(_choice("active", "dormant", "left")),
    ("", "last contacted"): _always(_DATE),
    ("client", "release"): _always(_shown(_releases(), {"appraisal": "owner, costs"})),
    # An instrument
    ("", "title"): _always(_text("The heron upright")),
    ("", "shape"): _always(_choice("upright", "grand", "square", "other")),
    ("", "type"): _always(_text("upright piano, overstrung, underdamped")),
    ("", "maker"): _always(_text("Hollin & Thrush")),
    ("", "model"): _always(_text("No. 2")),
    ("", "made"): _always(_matching(p.whole(p.EDTF), "1912~", "190X")),
    ("", "age known from"): _always(_text("serial number list")),
    ("", "serial number"): _always(_text("48211")),
    ("", "inventory number"): _always(_text("not applicable")),
    ("", "materials"): _always(_text("walnut veneer on pine, iron plate")),
    ("", "measurements"): _always(_text("121 cm high")),
    ("", "inscriptions"): _always(_text("a date in pencil on the first key")),
    ("", "features"): _always(_text("two brass candle holders")),
    ("", "subject"): _always(_text("not applicable")),
    ("", "compass"): _always(_matching(p.whole(p.PLACE), "A0-C8")),
    ("", "breaks"): _always(_matching(p.whole(p.PLACES), "F2, C#5")),
    ("", "stands"): _always(
        _matching(
            rf"^\s*{p.SLUG}\s*(?:,[\s\S]*)?$", "parlour, since 2019-05, outside wall, stove near"
        )
    ),
    ("", "controlled materials"): _always(_material()),
    ("", "leave below pitch"): _always(_text("old wire")),
    ("", "consent"): _always(
        _matching(
            rf"^[\s\S]*\S\s*,\s*{p.DATE}\s*(?:,[\s\S]*)?$|[^\x00-\x7F]",
            "raise on old wire, 2022-04-02, by the owner",
        )
    ),
    ("", "valued"): _always(
        _matching(
            rf"{p.DATE}[\s\S]*,|[^\x00-\x7F]",
            "2024-05-02, 12000 EUR, for insurance, basis replacement, by the appraiser",
        )
    ),
    ("", "targets"): lambda setting: _shown(_targets(setting), {"key dip": "9.8-10.2 mm"}),
    ("", "provenance"): _always(_provenance()),
    ("", "wood"): _always(_text("Sitka spruce")),
    ("", "photo"): _always(_text("front.jpg")),
    # A room
    ("", "heating"): _always(_text("stove, October to April")),
    # A visit
    ("", "technician"): _always(_text("Odo Fell")),
    ("", "reason"): _always(_text("yearly service")),
    ("", "air"): _always(_AIR),
    ("", "pitch"): _always(_REFERENCE),
    ("", "floated"): _always(_YES_NO),
    ("", "found"): _always(_pitch("A1 +6, A3 +9, A4 442.1 Hz")),
    ("", "left"): _always(
        _pitch("A1 0, A4 +5", p.any_word("as it was found", "as found", "untouched"))
    ),
    ("", "clear"): _clear,
    ("", "checked"): _checked,
    ("", "problem"): _always(_PROBLEM),
    ("", "watched"): _always(_news("problem", "G4 buzz, still there")),
    ("", "diagnosed"): _always(_news("problem", "G4 buzz, left hinge of the music desk")),
    ("", "fixed"): _always(_news("problem", "G4 buzz")),
    ("", "reopened"): _always(_news("problem", "G4 buzz, heard again")),
    ("", "work"): _always(_work()),
    ("", "advice"): _always(_ADVICE),
    ("", "agreed"): _always(_news("advice", "outside wall, this summer")),
    ("", "declined"): _always(_news("advice", "outside wall")),
    ("", "done"): _always(_news("advice", "outside wall")),
    ("", "condition"): _always(
        _shown(_condition(), {"keys": "fair, front bushings swollen", "hammers": "not examined"})
    ),
    ("", "humidity equipment"): _always(_EQUIPMENT),
    ("", "unsafe"): _always(_text("do not move, rear leg loose")),
    ("", "safe"): _always(_text("leg glued and tested")),
    ("", "next"): _always(
        _either(
            _text("check the splice, 4-8 weeks"),
            _object({"what": _text(), "when": _text("October")}, "what"),
        )
    ),
    ("", "photos"): _always(_photo("pins.jpg the splice on D#1", *(view.name for view in VIEWS))),
    ("", "audio"): _always(_photo("buzz.m4a the buzz on G4")),
    ("", "video"): _always(_photo("action.mp4 a slow repetition on G4")),
    ("", "fee"): _always(_MONEY),
    ("", "time"): _always(_DURATION),
    ("", "summary"): _always(_text("The damp has made some keys stick; they are free again.")),
    ("", "hold"): _always(_YES_NO),
    ("", "corrected"): _always(_matching(rf"^\s*{p.DATE}[,:]*\s+\S", "2026-03-20 A4 was misread")),
    ("", "release"): _always(_editions()),
    # Several kinds of file
    ("", "name"): _always(_text("the parlour")),
    ("client", "name"): _always(_text("Linnet and Perrin Moorings")),
    ("", "client"): _always({**_SLUG, "examples": ["moorings"]}),
    ("", "phone"): _always(_text("+999 555 0101")),
    ("", "email"): _always(_text("tamsin@fernhollow.example")),
    ("", "address"): _always(_text("2 Ferry Steps, Fernhollow")),
    ("", "interval"): _always(_PERIOD),
    ("", "show costs"): _always(_YES_NO),
    ("", "card link"): _always(_YES_NO),
    ("", "public address"): _always(_text("https://pianos.example")),
    ("", "reference pitch"): _always(_REFERENCE),
    ("", "private"): _always(_text("Asked twice what a new one would cost.")),
    ("", "instrument"): _always(_text("heron")),
    ("", "date"): _always(_DATE),
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
