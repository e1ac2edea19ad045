"""shop.md: the technician's own details, and the ground rules that every instrument shares."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from dossier.diagnostics import Span
from dossier.model import (
    COMPONENTS,
    MARK_KINDS,
    MEASURED_KINDS,
    Band,
    ClimateMonth,
    Clocks,
    Colleague,
    Look,
    MarkKind,
    MeasuredKind,
    Shop,
    Target,
    Thresholds,
)
from dossier.quantities import (
    MONTHS,
    Period,
    parse_air,
    parse_currency,
    parse_locale,
    parse_period,
    parse_pitch,
)
from dossier.read.body import parted, read_body
from dossier.read.condition import component_of
from dossier.read.fields import Draft, meant, read_fields, record
from dossier.read.note import open_note
from dossier.read.pieces import Findings, Piece, key_shape, places, refuse
from dossier.read.schema import Entry, Field, Setting, Table, sentences
from dossier.read.targets import read_range, read_target
from dossier.read.values import (
    nested,
    number,
    one_of,
    parsed,
    quantity,
    single,
    sub_entry,
    text,
    the_piece,
    yes_no,
)
from dossier.read.yaml_nodes import Node, Pairs

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
# A host with at least one dot, a port and folders; no query, so that a token can follow.
_PUBLIC = re.compile(
    r"https://[A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)+(?::\d{1,5})?(?:/[\w.~-]+)*/?", re.ASCII
)
_UNITS = ("mm", "N·m", "g", "cents")
_CLOCKS = ("settling", "acclimatising", "first year", "treatment", "new strings", "advice")
_THRESHOLDS = ("fine", "tuning", "small raise")


def _zone(piece: Piece, _: Entry) -> str:
    from zoneinfo import ZoneInfo, available_timezones

    try:
        ZoneInfo(piece.text)
    except (ValueError, OSError, KeyError):
        raise refuse(
            "time-zone",
            f"{piece.quoted} is not a time zone.",
            piece.span(),
            *meant(piece, sorted(available_timezones()), "Write it like Europe/Dublin."),
        ) from None
    return piece.text


def _public(piece: Piece, _: Entry) -> str:
    if _PUBLIC.fullmatch(piece.text) is None or len(piece.text) > 120:
        raise refuse(
            "public-address",
            f"{piece.quoted} is not an address that a telephone can open.",
            piece.span(),
            "Write it like https://pianos.example or https://pianos.example/clients",
        )
    return piece.text.rstrip("/")


def _colour(piece: Piece, _: Entry) -> str:
    if _COLOUR.fullmatch(piece.text) is None:
        raise refuse(
            "colour",
            f"{piece.quoted} is not a colour.",
            piece.span(),
            'Write # and six figures or letters in quotes, as in "#2f5d50".',
        )
    return piece.text.casefold()


def _band(piece: Piece, _: Entry) -> Band:
    low, high = read_range(piece, "%", "comfort band")
    return Band(span=piece.span(), low=low, high=high)


def _thresholds(node: Node, entry: Entry) -> Thresholds:
    parts = nested(_map(node, entry), entry, _THRESHOLDS)
    values: dict[str, Any] = {
        name.replace(" ", "_"): _cents(the_piece(value, sub_entry(entry, key)), entry)
        for name, (key, value) in parts.items()
    }
    found = Thresholds(span=node.span, **values)
    if not 0 < found.fine < found.tuning < found.small_raise:
        raise refuse(
            "thresholds-order",
            "The thresholds do not grow from fine over tuning to small raise.",
            node.span,
            "Write them in cents, as in fine: 3, tuning: 10, small raise: 25, each on its line.",
        )
    return found


def _cents(piece: Piece, entry: Entry) -> Decimal:
    bare = re.sub(r"\s*cents?$", "", piece.text, flags=re.IGNORECASE)
    return number(piece.part(0, len(bare)), entry)


def _clocks(node: Node, entry: Entry) -> Clocks:
    parts = nested(_map(node, entry), entry, _CLOCKS)
    values: dict[str, Any] = {}
    for name, (key, value) in parts.items():
        period: Period = parsed(parse_period, the_piece(value, sub_entry(entry, key)), "period")
        values[name.replace(" ", "_")] = period.max_days
    return Clocks(span=node.span, **values)


def _climate(node: Node, entry: Entry) -> tuple[ClimateMonth, ...]:
    parts = nested(_map(node, entry), entry, MONTHS)
    missing = [name for name in MONTHS if name not in parts]
    if missing:
        raise refuse(
            "climate-months",
            f"The climate has no {missing[0]}.",
            entry.key.span(),
            "Write all twelve months, or none.",
        )
    return tuple(_month(number, *parts[name], entry) for number, name in enumerate(MONTHS, 1))


def _month(month: int, key: Piece, value: Node, entry: Entry) -> ClimateMonth:
    piece = the_piece(value, sub_entry(entry, key))
    temperature, humidity = parsed(parse_air, piece, "air")
    if temperature is None or humidity is None:
        raise refuse(
            "climate-half",
            f"{key.text} needs a temperature and a humidity.",
            piece.span(),
            "Write it like -2 °C, 84 %.",
        )
    return ClimateMonth(
        span=piece.span(), month=month, temperature_c=temperature, humidity=humidity
    )


def _measured_kind(node: Node, entry: Entry) -> MeasuredKind:
    if not isinstance(node, Pairs):
        raise refuse(
            "measured-kind",
            "A measured kind needs a name and a unit.",
            node.span,
            "Write - name: damper lift, and below it unit: mm and target: 20-26 mm",
        )
    parts = nested(node, entry, ("name", "unit", "target", "source"))
    for name in ("name", "unit"):
        if name not in parts:
            raise refuse("missing-key", f'A measured kind needs the key "{name}".', node.span)
    name_piece = the_piece(parts["name"][1], entry)
    unit = one_of(_UNITS, "unit")(
        the_piece(parts["unit"][1], entry), sub_entry(entry, parts["unit"][0])
    )
    targets: tuple[Target, ...] = ()
    if "target" in parts:
        targets = (read_target(the_piece(parts["target"][1], entry), unit),)
    source = "the shop's own"
    if "source" in parts:
        source = the_piece(parts["source"][1], entry).text
    return MeasuredKind(key_shape(name_piece.text), unit, "key", targets, source=source)


def _mark_kind(piece: Piece, _: Entry) -> MarkKind:
    name, *rest = piece.parts()
    if not rest:
        raise refuse(
            "mark-kind-component",
            f"{piece.quoted} does not say to which component the mark belongs.",
            piece.span(),
            f"Write it like {name.text}, {COMPONENTS[9]}",
        )
    dry = len(rest) > 1 and rest[1].text.casefold() == "dry season"
    if len(rest) > 1 and not dry:
        raise refuse(
            "mark-kind-rest", f"{rest[1].quoted} is not known here.", rest[1].span(), "Take it out."
        )
    return MarkKind(key_shape(name.text), component_of(rest[0]), dry)


def _colleague(piece: Piece, _: Entry) -> Colleague:
    """`Tam Reed, repairer of actions, trained 2003-2006`: the name, then the qualification."""
    name, *rest = piece.parts()
    told = piece.part(rest[0].offset - piece.offset) if rest else piece.part(0, 0)
    if not name.text or not told.text:
        raise refuse(
            "colleague",
            f"{piece.quoted} does not say who it is and how they were trained.",
            piece.span(),
            "Write it like Tam Reed, repairer of actions, trained 2003-2006",
        )
    return Colleague(
        span=piece.span(), name=name.text, qualification=told.text,
        places=places(name=name, qualification=told),
    )  # fmt: skip


def _map(node: Node, entry: Entry) -> Pairs:
    if isinstance(node, Pairs):
        return node
    raise refuse(
        "map-expected",
        f'"{entry.key.text}" needs keys of its own.',
        node.span,
        "Write them on the lines below it, indented by two spaces.",
    )


SHOP_TABLE = Table.of(
    "the shop",
    (
        Field("name", "name", single(text), "the shop's name, as it stands on every page"),
        Field("technician", "technician", single(text), "who writes the notes"),
        Field("qualification", "qualification", single(text),
              "what a buyer or an insurer may read of your training"),
        sentences("colleagues", "colleagues", single(_colleague),
                  "whoever else comes or works: the name as notes have it, then the "
                  "qualification, for a buyer or an insurer"),
        Field("phone", "phone", single(text), "your telephone, for owners"),
        Field("email", "email", single(text), "your address for e-mail, for owners"),
        Field("web", "web", single(text), "the address of your own web site, for owners"),
        Field("address", "address", single(text), "your workshop's address, for owners"),
        Field("units", "units", single(one_of(("metric", "imperial"))),
              "mm and °C, or in and °F, on the pages; metric where nothing is said"),
        Field("paper", "paper", single(one_of(("A4", "letter"))),
              "the size of the documents; A4 where nothing is said"),
        Field("locale", "locale", single(quantity(parse_locale, "locale")),
              "language and country of the pages, for words, dates and numbers; en where "
              "nothing is said"),
        Field("time zone", "time_zone", single(_zone),
              "where the clocks of your hygrometers run; UTC where nothing is said"),
        Field("currency", "currency", single(quantity(parse_currency, "currency")),
              "three letters, for an amount that names none; USD where nothing is said"),
        Field("reference pitch", "reference_hz", single(quantity(parse_pitch, "pitch")),
              "what you tune to where nothing else is asked for; A4 = 440 Hz where nothing is "
              "said"),
        Field("interval", "interval", single(quantity(parse_period, "period")),
              "how long after a tuning the next is due, where neither the client nor the "
              "instrument has its own"),
        Field("comfort band", "band", single(_band),
              "the relative humidity that is kind to a piano where you work; 35-55 % where "
              "nothing is said"),
        Field("thresholds", "thresholds", _thresholds,
              "how many cents off make which work: up to fine (3), tuning (10), small raise "
              "(25)"),
        Field("clocks", "clocks", _clocks,
              "how long things take: settling after a raise (21 days), acclimatising after a "
              "move (90 days), and others"),
        Field("climate", "climate", _climate,
              "the mean outdoor air of each month where you work, for the estimates of seasons"),
        Field("show costs", "show_costs", single(yes_no),
              "whether owners read prices on their pages; no where nothing is said"),
        Field("public address", "public_address", single(_public),
              "where build/public/ is reached once it is uploaded"),
        Field("accent", "accent", single(_colour),
              "the colour of links and headings, as six hex digits, in quotes"),
        Field("logo", "logo", single(text), "a picture beside shop.md, for pages and documents"),
        Field("letterhead", "letterhead", single(text),
              "a line for the head of documents, in place of the shop's name"),
        Field("measured kinds", "own_measured", _measured_kind,
              "a measured kind of your own: its name and unit, and where known a target and its "
              "source",
              many=True),
        Field("marks", "own_marks", single(_mark_kind),
              "a kind of mark of your own, and the component that it belongs to", many=True),
    ),
)  # fmt: skip


def read_shop(raw: bytes, file: str, findings: Findings) -> Shop | None:
    """Read shop.md.  None where it cannot be used at all."""
    note = open_note(raw, file, SHOP_TABLE, findings)
    if note is None:
        return None
    draft = read_fields(note.tree, SHOP_TABLE, Setting(), findings, ("name", "technician"))
    about, bench = parted(read_body(note.body, file, note.body_line, findings))
    if bench:
        findings.error(
            "shop-bench",
            "Owners read what stands in shop.md, so it has no bench block.",
            Span(file, note.body_line),
            "Take it out, or keep it in a note of an instrument.",
        )
    return _build(draft, about, Span(file), findings)


def fallback_shop(file: str) -> Shop:
    """Ground rules to go on with, so that one run finds the mistakes of all files."""
    findings = Findings()
    shop = _build(Draft({"name": "-", "technician": "-"}), "", Span(file), findings)
    if shop is None:  # pragma: no cover -- the defaults of the model make a shop
        raise AssertionError(findings.all)
    return shop


def _build(draft: Draft, about: str, span: Span, findings: Findings) -> Shop | None:
    values = draft.values
    look = {name: values.pop(name, "") for name in ("accent", "logo", "letterhead")}
    if "name" not in values or "technician" not in values:
        return None
    own_measured = values.pop("own_measured", ())
    own_marks = values.pop("own_marks", ())
    _refuse_taken_names(own_measured, own_marks, draft, span, findings)
    for name, default in (("band", Band), ("thresholds", Thresholds), ("clocks", Clocks)):
        values.setdefault(name, default(span=span))
    return record(
        Shop,
        span,
        findings,
        **values,
        look=Look(span=span, **look),
        measured_kinds=(*_others(MEASURED_KINDS, own_measured), *own_measured),
        mark_kinds=(*_others(MARK_KINDS, own_marks), *own_marks),
        about=about,
        places=draft.places,
    )


def _others(kinds: tuple[Any, ...], own: tuple[Any, ...]) -> tuple[Any, ...]:
    """The kinds that the shop did not define anew."""
    names = {kind.name for kind in own}
    return tuple(kind for kind in kinds if kind.name not in names)


def _refuse_taken_names(
    measured: tuple[MeasuredKind, ...],
    marks: tuple[MarkKind, ...],
    draft: Draft,
    span: Span,
    findings: Findings,
) -> None:
    """A kind's name becomes a key of a visit, so it cannot be one that a visit has already."""
    from dossier.read.visit import VISIT_FIELDS

    fixed = Table.of("a visit", VISIT_FIELDS).by_shape
    seen: set[str] = set()
    for kinds, place in ((measured, "own_measured"), (marks, "own_marks")):
        for kind in kinds:
            if kind.name in fixed or kind.name in seen:
                findings.error(
                    "kind-name",
                    f'"{kind.name}" is a key of a visit already.',
                    draft.places.get(place, span),
                    "Give the kind another name.",
                )
            seen.add(kind.name)
