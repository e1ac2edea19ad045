"""What stands behind a key that has more to say than one word: short forms and nested ones."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields
from typing import get_args

from dossier.model import COMPONENTS, GRADES, Clocks, Event, MarkKind, MeasuredKind, Thresholds
from dossier.model.measurement import Unit
from dossier.read import Setting
from dossier.read.client import EDITIONS, RELEASABLE
from dossier.read.condition import COMPONENT_WORDS, EQUIPMENT_WORDS
from dossier.read.pieces import key_shape
from dossier.read.provenance import CERTAINTIES, EVENT_KINDS
from dossier.read.work import WORK_KINDS, WORK_PARTS
from dossier.schemas import patterns as p
from dossier.schemas.making import (
    ANY_WORD,
    Shape,
    choice,
    either,
    keyed,
    list_or_one,
    matching,
    named,
    text,
)


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


def condition() -> Shape:
    """Grades by component."""
    grades = tuple(grade.name for grade in GRADES)
    grade = matching(
        rf"^(?:\s*{p.any_word(*grades)}\s*(?:,[\s\S]*)?|[\s\S]*[^\x00-\x7F][\s\S]*)$",
        "fair, front bushings swollen",
        "not examined",
    )
    meanings = "; ".join(f"{grade.name}: {grade.meaning}" for grade in GRADES)
    return _component(named("grade", {**grade, "description": meanings}))


_COMPONENT_NAME = named(
    "component",
    matching(
        p.whole(*(p.several(name) for name in COMPONENTS), p.any_word(*COMPONENT_WORDS)),
        *COMPONENTS,
    ),
)
PROBLEM = named(
    "problem",
    either(
        text("lyre creaks when the left pedal is used"),
        keyed(
            {
                "what": text(),
                "slug": matching(rf"^\s*{p.SLUG}\s*$"),
                "component": _COMPONENT_NAME,
                "keys": matching(p.whole(p.PLACES)),
            },
            "what",
        ),
    ),
)
ADVICE = named(
    "advice",
    either(
        text("move it off the outer wall, before October"),
        keyed(
            {"what": text(), "slug": matching(rf"^\s*{p.SLUG}\s*$"), "before": text("October")},
            "what",
        ),
    ),
)


def news(what: str, example: str) -> Shape:
    """What became of an earlier problem or advice."""
    return either(text(example), keyed({what: text(), "text": text()}, what))


EQUIPMENT = named(
    "equipment",
    matching(
        p.begins(rf"(?:{p.any_case('found')}\s+)?{p.any_word(*EQUIPMENT_WORDS)}\b"),
        "serviced, next service 2026-10",
        "found unplugged",
    ),
)
MONEY = named("money", matching(p.whole(p.MONEY), "120 USD"))
DURATION = named("duration", matching(p.whole(p.DURATION_TEXT), "1 h 30 min", "45 min"))
PERIOD = named("period", matching(p.whole(p.PERIOD), "6 months", "4-8 weeks"))
DATE = named("date", {"type": "string", "pattern": p.whole(p.DATE), "examples": ["2026-03-14"]})
SLUG = named("slug", matching(rf"^\s*{p.SLUG}\s*$"))
YES_NO = named("yes-no", choice("yes", "no"))


def work() -> Shape:
    """Work done: a line, or a map that begins with its kind."""
    parts: Mapping[str, Shape] = {
        "text": text(),
        "keys": matching(p.whole(p.PLACES), "F3-B3"),
        "parts": MONEY,
        "price": MONEY,
        "time": DURATION,
        "warranty": either(
            PERIOD, matching(p.begins(rf"(?:{p.any_word('until', 'to')}\s+)?{p.DATE}"))
        ),
        "irreversible": text(),
        "by": text(),
        "component": _COMPONENT_NAME,
    }
    kind = {**text(), "type": [*ANY_WORD, "null"]}
    nested = keyed(dict.fromkeys(WORK_KINDS, kind) | {name: parts[name] for name in WORK_PARTS})
    # Whatever is done has a kind: it is not so that every key is none.
    nested["not"] = {"propertyNames": {"not": {"pattern": f"^{p.key_pattern(WORK_KINDS)}$"}}}
    line = {
        **text("tuning", "eased keys F3-B3, 45 min, 40 USD"),
        "not": {"type": "string", "pattern": r",\s+\d+\s*(?:,\s|$)"},
    }
    return named("work", either(line, nested))


def photo(example: str, *views: str) -> Shape:
    """A file and its caption; a picture may say what it shows."""
    return either(
        {**matching(p.begins(p.FILE), example), "type": "string"},
        keyed(
            {
                "file": matching(p.begins(p.FILE)),
                "caption": text(),
                **({"shows": choice(*views)} if views else {}),
                "release": editions(),
            },
            "file",
        ),
    )


def editions() -> Shape:
    """The statements that a note's prose may stand in."""
    names = p.any_word(*EDITIONS)
    one = {"type": "string", "pattern": p.whole(rf"{names}(?:\s*,\s*{names})*")}
    return list_or_one(either({"enum": list(EDITIONS)}, one))


def releases() -> Shape:
    """What a client lets a statement show, by its edition."""
    names = p.any_word(*RELEASABLE)
    one = {"type": "string", "pattern": p.whole(rf"{names}(?:\s*,\s*{names})*")}
    what = list_or_one(either({"enum": list(RELEASABLE)}, one))
    what = {**what, "examples": ["owner, costs"]}
    return keyed(dict.fromkeys(EDITIONS, what))


def pitch(example: str, *others: str) -> Shape:
    """Readings, or one of a few phrases, in one value or a list."""
    phrase = ["on pitch"] if others else []
    one = matching(p.whole(p.READINGS, p.TABLE, *others), example, *phrase)
    return list_or_one(named("left" if others else "found", one))


def clear(setting: Setting) -> Shape:
    """Marks that are no longer there: their kind, and perhaps their notes."""
    kinds = p.one_of(p.several(key_shape(kind.name)) for kind in _longest(setting.mark_kinds))
    return matching(p.begins(rf"{kinds}(?![A-Za-z])"), "sluggish dampers C5-G5")


def checked(setting: Setting) -> Shape:
    """All, or the kinds of marks that were looked at."""
    return either({"enum": ["all", "everything"]}, clear(setting))


def _longest(kinds: Iterable[MarkKind]) -> list[MarkKind]:
    return sorted(kinds, key=lambda kind: -len(kind.name))


def measured(kind: MeasuredKind) -> Shape:
    """Figures of a measured kind, each with its notes before and perhaps a qualifier behind."""
    figure = dict(p.MEASURES)[kind.unit]
    qualified = rf"(?:\s*{p.any_word(*kind.qualifiers, gap=r'[ ]')})?" if kind.qualifiers else ""
    one = rf"(?:{p.PLACE}[\s:=&+/]*(?:{p.any_case('and')}\s+)?)*{figure}{qualified}"
    shape = matching(p.whole(rf"{one}(?:\s*[,;]\s*{one})*[,;]?"), _example(kind))
    return named(f"measured-{key_shape(kind.name).replace(' ', '-')}", shape)


def _example(kind: MeasuredKind) -> str:
    """Two figures within the kind's target, where it has one."""
    low, high = (kind.targets[0].low, kind.targets[0].high) if kind.targets else (1, 2)
    string = ".2" if kind.per == "string" else ""
    behind = f" {kind.qualifiers[0]}" if kind.qualifiers else ""
    return f"A1{string} {low} {kind.unit}{behind}, A4{string} {high} {kind.unit}{behind}"


def marked(kind: MarkKind) -> Shape:
    """The notes that show a kind of mark, and perhaps a remark."""
    del kind
    return named("marks", matching(p.begins(p.PLACE), "F3-B3, D4", "C3 light rust"))


def targets(setting: Setting) -> Shape:
    """A range for each measured kind."""
    one = named("target", matching(p.begins(rf"{p.RANGE}(?:,[\s\S]*)?$"), "9.8-10.2 mm"))
    return keyed({kind.name: one for kind in setting.measured_kinds})


def provenance() -> Shape:
    """An event with its date: a line, a map, or what YAML makes of a line."""
    line = rf"{p.EDTF}\s+{p.any_word(*EVENT_KINDS)}"
    whole = {
        "when": matching(p.whole(p.EDTF), "1912~"),
        "kind": choice(*EVENT_KINDS),
        "certainty": choice(*CERTAINTIES),
        "client": SLUG,
        "room": SLUG,
    }
    keys = [one.name for one in fields(Event) if one.name not in ("span", "places")]
    # `1912~ made, source: a list` without quotes is a map to YAML, and the reader joins it again.
    parted = {
        "type": "object",
        "propertyNames": {"pattern": p.begins(line)},
        "minProperties": 1,
        "maxProperties": 1,
    }
    return either(
        matching(p.begins(line), "1912~ made, source: serial number list, likely"),
        keyed({name: whole.get(name, text()) for name in keys}, "when", "kind"),
        parted,
    )


def material() -> Shape:
    """A material that trade law may control, and who says so."""
    names = ("material", "where", "said by", "tested by", "how")
    line = "ivory, keytops, said by the first owner, tested by Odo Fell, under a lens, 2024-05"
    return either(
        text(line),
        keyed(
            {**dict.fromkeys(names, text()), "when": matching(p.whole(p.EDTF), "2024-05")},
            "material",
        ),
    )


def own_fields(model: type[Thresholds] | type[Clocks]) -> tuple[str, ...]:
    """The keys of a record, as a note writes them."""
    return tuple(
        one.name.replace("_", " ") for one in fields(model) if one.name not in ("span", "places")
    )


def measured_kind() -> Shape:
    """A kind of figure that the shop adds."""
    return keyed(
        {
            "name": text("damper lift"),
            "unit": {
                "anyOf": [{"enum": list(get_args(Unit))}, {"type": "string", "pattern": _UNITS}]
            },
            "target": matching(
                p.begins(rf"(?:{p.any_word('grand', 'upright')}[Ss]?[\s:,]*)?{p.RANGE}$")
            ),
            "source": text(),
        },
        "name",
        "unit",
    )


_UNITS = p.whole(p.any_word(*(unit for unit in get_args(Unit) if unit.isascii())))
CENTS = named(
    "cents", matching(p.whole(rf"{p.PLAIN_NUMBER}\s*(?:{p.any_word('cents', 'cent')})?"), "3")
)
MARK = p.begins(
    rf"[^,]+,\s*(?:{p.one_of(p.several(name) for name in COMPONENTS)}"
    rf"|{p.any_word(*COMPONENT_WORDS)})"
)
REFERENCE = named("reference-pitch", matching(p.whole(p.PITCH), "A4 = 440 Hz"))
AIR = named("air", {"type": "string", "pattern": p.whole(p.AIR), "examples": ["17.5 °C, 71 %"]})
