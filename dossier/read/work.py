"""The short and the nested form of `work:`, with time, price, parts and warranty."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from dossier.diagnostics import Span
from dossier.model import Work
from dossier.quantities import (
    CURRENCIES,
    QuantityError,
    add_period,
    parse_date,
    parse_duration,
    parse_period,
    suggest,
    sure,
)
from dossier.read.condition import component_of
from dossier.read.fields import meant
from dossier.read.mentions import places_in
from dossier.read.pieces import Piece, fixed, joined, key_shape, quote, refuse, refuse_quantity
from dossier.read.places import places_of
from dossier.read.schema import Entry
from dossier.read.values import listed, maybe, nested, parsed, read_money, sub_entry, the_piece
from dossier.read.work_kinds import WORK_KINDS, kind_of_work
from dossier.read.yaml_nodes import Node, Pairs

__all__ = ["WORK_KINDS", "WORK_PARTS", "read_work"]

WORK_PARTS = (
    "text", "keys", "parts", "price", "time", "warranty", "irreversible", "by", "component",
)  # fmt: skip
_UNITS = ("minutes", "hours", "USD", "EUR", "GBP")
_NUMBER_AND_WORD = re.compile(r"(?P<number>[\d.,]+)\s*(?P<unit>[^\W\d]+)")
_MONEY = re.compile(
    r"[^\w\s]\s*[\d.,]+|[\d.,]+\s*(?:[^\w\s'’′]|(?!MIN|HRS)[A-Z]{3})|[A-Z]{3}\s*[\d.,]+"
)
_TIMELY = re.compile(r"\d|hour", re.IGNORECASE)


_SIGN_OR_CODE = rf"(?:[$€£¥]|{'|'.join(CURRENCIES)})"
_PRICE_BEHIND = re.compile(
    rf"\s(?P<price>{_SIGN_OR_CODE}\s*\d[\d.,]*|\d[\d.,]*\s*{_SIGN_OR_CODE})\s*$"
)
_TIME_BEHIND = re.compile(
    r"\s(?P<time>\d[\d.,]*\s*(?:hours?|hrs?|h|minutes?|mins?|min)\.?)\s*$", re.IGNORECASE
)


@dataclass(slots=True)
class _Sheet:
    """What is known of a piece of work while its line is read."""

    words: list[Piece]
    known: dict[str, Any] = field(default_factory=dict)
    places: dict[str, Span] = field(default_factory=dict)

    def record(self, span: Span, kind: str, entry: Entry) -> Work:
        text, self.places["text"] = joined(self.words)
        self.known.setdefault("keys", places_in(text, entry.setting.compass))
        return Work(span=span, kind=kind, text=text, places=self.places, **self.known)


def read_work(node: Node, entry: Entry) -> Work:
    """`tuning`, `eased keys F3-B3, 45 min, 40 USD`, or a map whose first key is the kind."""
    if isinstance(node, Pairs):
        return _from_map(node, entry)
    piece = the_piece(node, entry)
    first, *rest = piece.parts()
    _refuse_glued_colon(first)
    sheet = _Sheet([first])
    for part in rest:
        _read_part(part, sheet, entry)
    for words in sheet.words:
        _tell_price_in_words(words, entry)
    return sheet.record(piece.span(), kind_of_work(first.text), entry)


def _read_part(part: Piece, sheet: _Sheet, entry: Entry) -> None:
    """One part between commas: a time, a price, parts, a warranty, or more of the sentence."""
    folded = part.text.casefold()
    if folded.startswith("parts ") and re.search(r"\d", part.text):
        _put(sheet, "parts", read_money(part.part(6), entry), part)
    elif folded.startswith(("warranty ", "guarantee ")):
        until = _warranty(part.part(part.text.index(" ")), entry)
        _put(sheet, "warranty_until", until, part)
    elif _MONEY.fullmatch(part.text):
        _put(sheet, "price", read_money(part, entry), part)
    elif (minutes := _minutes(part.text)) is not None:
        _put(sheet, "minutes", minutes, part)
    else:
        _refuse_slips(part)
        sheet.words.append(part)


def _minutes(text: str) -> int | None:
    """The time that a part of a line may be; a bare number is none."""
    if text.isdigit() or not _TIMELY.search(text):
        return None
    return maybe(parse_duration, text)


def _put(sheet: _Sheet, name: str, value: object, part: Piece) -> None:
    if name in sheet.known:
        words = {"minutes": "times", "price": "prices", "parts": "prices of parts"}
        raise refuse(
            "work-twice",
            f"There are two {words.get(name, 'warranties')} on one line of work.",
            part.span(),
            'Write each piece of work on a line of its own, after "- ".',
        )
    sheet.known[name] = value
    sheet.places[name] = part.span()


def _refuse_slips(part: Piece) -> None:
    """`45 minuts` was meant for a time; the sentence would swallow it."""
    if re.fullmatch(r"[\d.,]+", part.text):
        raise refuse(
            "work-figure",
            f"{part.quoted} could be a time or a price.",
            part.span(),
            f"Write {part.text} min, or {part.text} and its currency.",
        )
    match = _NUMBER_AND_WORD.fullmatch(part.text)
    if match is None:
        return
    if near := suggest(match["unit"], _UNITS):
        unit = part.part(match.start("unit"), match.end("unit"))
        raise refuse(
            "work-figure",
            f"{part.quoted} is neither a time nor a price.",
            part.span(),
            f"Did you mean {match['number']} {near}?",
            # "45Ominutes" has a zero in it, and "45minutes" would be another time.
            None
            if unit.text[0] in "OoIl"
            else fixed(unit.span(), unit.text, sure(unit.text, _UNITS)),
        )


def _tell_price_in_words(words: Piece, entry: Entry) -> None:
    """`replaced string C3 1h 40 $` is a sentence without commas, which owners would read whole."""
    price = _PRICE_BEHIND.search(words.text)
    if price is None:
        return
    before = words.text[: price.start()]
    time = _TIME_BEHIND.search(before)
    parts = [before[: time.start()], time["time"]] if time else [before]
    entry.findings.warning(
        "work-price-in-words",
        f"{quote(price['price'])} was read as part of the sentence, which the owner reads.",
        words.span(price.start("price"), len(price["price"])),
        f"Put a comma before each figure, as in {', '.join((*parts, price['price']))}",
    )


def _refuse_glued_colon(first: Piece) -> None:
    match = re.match(r"(?P<kind>[^\W\d][\w ]*):(?P<text>\S.*)", first.text)
    if match and key_shape(match["kind"]) in WORK_KINDS:
        raise refuse(
            "yaml-colon-space",
            f'There is no space after the colon of "{match["kind"]}:".',
            first.span(0, match.end("kind") + 1),
            f"Write {match['kind']}: {match['text']}",
        )


def _from_map(node: Pairs, entry: Entry) -> Work:
    key, value = node.pairs[0]
    kind = _kind(key)
    parts = nested(Pairs(node.pairs[1:], node.span, node.flow), entry, WORK_PARTS)
    piece = the_piece(value, sub_entry(entry, key))
    head, *rest = piece.parts()
    sheet = _Sheet([head])
    for part in rest:
        _read_part(part, sheet, entry)
    for name, (part_key, part_node) in parts.items():
        part = the_piece(part_node, sub_entry(entry, part_key))
        _read_named(name, part, sheet, entry)
    return sheet.record(key.span(), kind, entry)


def _kind(key: Piece) -> str:
    shape = key_shape(key.text)
    if shape in WORK_KINDS:
        return shape
    if shape in WORK_PARTS:
        raise refuse(
            "work-kind",
            f'The first key of a piece of work is its kind, not "{key.text}".',
            key.span(),
            f"Write first what was done, as in repair: spliced the string; then {key.text}:",
        )
    raise refuse(
        "work-kind",
        f'"{key.text}" is not a kind of work.',
        key.span(),
        *meant(key, WORK_KINDS, f"The kinds are {listed(WORK_KINDS)}."),
    )


def _read_named(name: str, part: Piece, sheet: _Sheet, entry: Entry) -> None:
    """One key of the nested form."""
    if name == "text":
        sheet.words.append(part)
    elif name in ("parts", "price"):
        _put(sheet, name, read_money(part, entry), part)
    elif name == "time":
        _put(sheet, "minutes", parsed(parse_duration, part, "duration"), part)
    elif name == "warranty":
        _put(sheet, "warranty_until", _warranty(part, entry), part)
    elif name == "component":
        sheet.known["component"] = component_of(part)
    elif name == "keys":
        marked, rest = places_of(part, entry)
        if rest.text or not marked:
            raise refuse(
                "place", f"{(rest if marked else part).quoted} is not a note.", part.span()
            )
        sheet.known["keys"] = marked
    else:
        sheet.known[name] = part.text
        sheet.places[name] = part.span()


def _warranty(piece: Piece, entry: Entry) -> date:
    """A last day, or a period that is counted from the day of the visit."""
    if re.match(r"(?:until\s+|to\s+)?\d{4}-", piece.text):
        start = re.match(r"\D*", piece.text)
        return parsed(parse_date, piece.part(start.end() if start else 0), "date")
    try:
        period = parse_period(piece.text)
        return add_period(entry.setting.day or date.min, period)[1]
    except QuantityError as error:
        raise refuse_quantity(error, piece, "period") from None
    except OverflowError:
        raise refuse("period", f"{piece.quoted} is too long.", piece.span()) from None
