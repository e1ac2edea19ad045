"""Where an instrument came from and where it stands: events and standings, one line each."""

from __future__ import annotations

import re
from typing import Any, get_args

from dossier.diagnostics import Span
from dossier.model import Event, Standing
from dossier.model.instrument import Certainty, EventKind
from dossier.quantities import Uncertain, parse_edtf
from dossier.read.fields import did_you_mean, required_slug
from dossier.read.pieces import Origin, Piece, joined, key_shape, refuse
from dossier.read.schema import Entry
from dossier.read.values import listed, maybe, nested, one_of, parsed, sub_entry, the_piece
from dossier.read.yaml_nodes import Node, Pairs, Scalar

EVENT_KINDS: tuple[EventKind, ...] = get_args(EventKind)
CERTAINTIES: tuple[Certainty, ...] = get_args(Certainty)
_EVENT_KEYS = ("when", "kind", "text", "source", "certainty", "holder", "client", "room")
_NAMED_PART = re.compile(
    r"(?P<name>source|holder|room|client)\s*:\s*(?P<value>.*)", re.IGNORECASE | re.DOTALL
)
_TO_CLIENT = re.compile(r"to\s+(?P<slug>[a-z0-9]+(?:-[a-z0-9]+)*)")
_SINCE = re.compile(r"since\s+(?P<when>.*)", re.IGNORECASE)
_NEAR = re.compile(
    r"(?:near\s+(?:an?\s+|the\s+)?(?P<after>.+)|(?P<before>.+?)\s+near(?:by)?)", re.IGNORECASE
)
_WALLS = {"outside wall": True, "outer wall": True, "inside wall": False, "inner wall": False}


def read_event(node: Node, entry: Entry) -> Event:
    """`1912~ made, source: serial number list, likely`, or a map."""
    if isinstance(node, Pairs):
        line = _rejoined(node)
        return _event_map(node, entry) if line is None else _event_line(line)
    return _event_line(the_piece(node, entry))


def _rejoined(node: Pairs) -> Piece | None:
    """A one-liner whose `source: ` YAML took for a key: put together again.

    A line that begins with a year can be nothing else, and nobody thinks of quotes there.
    """
    key, value = node.pairs[0]
    if len(node.pairs) > 1 or not isinstance(value, Scalar) or value.quoted:
        return None
    if maybe(parse_edtf, key.text.split()[0] if key.text.split() else "") is None:
        return None
    gap = value.piece.origin.column - key.origin.column - len(key.text)
    if value.piece.origin.line != key.origin.line or gap < 2:
        return None
    line = f"{key.text}:{' ' * (gap - 1)}{value.piece.text}"
    return Piece(line, Origin(key.origin.file, key.origin.line, key.origin.column, line))


def _event_line(piece: Piece) -> Event:
    first, *parts = piece.parts()
    word = re.match(r"\S+", first.text)
    if word is None:
        raise refuse(
            "event", "The event begins with a comma.", piece.span(), "Begin with its date."
        )
    when = parsed(parse_edtf, first.part(0, word.end()), "edtf")
    kind, rest = _event_kind(first.part(word.end()), piece)
    values: dict[str, Any] = {}
    texts = [rest] if rest.text else []
    where: dict[str, Span] = {}
    for part in parts:
        _event_part(part, values, texts, where)
    if texts:
        values["text"], where["text"] = joined(texts)
    return Event(span=piece.span(), when=when, kind=kind, places=where, **values)


def _event_kind(piece: Piece, whole: Piece) -> tuple[EventKind, Piece]:
    shape = key_shape(piece.text)
    for kind in sorted(EVENT_KINDS, key=len, reverse=True):
        if shape == kind or shape.startswith(f"{kind} "):
            return kind, piece.part(len(kind))
    word = piece.text.split()[0] if piece.text else ""
    place = piece.span(0, len(word)) if word else whole.span()
    raise refuse(
        "event-kind",
        f'"{word}" is not a kind of event.' if word else "The event has no kind.",
        place,
        did_you_mean(word, EVENT_KINDS, f"The kinds are {listed(EVENT_KINDS)}."),
    )


def _event_part(
    part: Piece, values: dict[str, Any], texts: list[Piece], where: dict[str, Span]
) -> None:
    named = _NAMED_PART.fullmatch(part.text)
    to_client = _TO_CLIENT.fullmatch(part.text)
    if named:
        name, value = named["name"].casefold(), part.part(named.start("value"))
        if not value.text:
            raise refuse("no-value", f'"{named["name"]}" has no value.', part.span())
        values[name] = required_slug(value, "a slug") if name in ("room", "client") else value.text
        where[name] = value.span()
    elif part.text.casefold() in CERTAINTIES:
        values["certainty"] = part.text.casefold()
    elif to_client:
        values["client"] = to_client["slug"]
        where["client"] = part.span(to_client.start("slug"))
    elif part.text:
        texts.append(part)


def _event_map(node: Pairs, entry: Entry) -> Event:
    parts = nested(node, entry, _EVENT_KEYS)
    for name in ("when", "kind"):
        if name not in parts:
            raise refuse("missing-key", f'An event needs the key "{name}".', node.span)
    values: dict[str, Any] = {}
    for name, (key, value) in parts.items():
        piece = the_piece(value, sub_entry(entry, key))
        if name == "when":
            values[name] = parsed(parse_edtf, piece, "edtf")
        elif name == "kind":
            values[name] = one_of(EVENT_KINDS, "event-kind")(piece, sub_entry(entry, key))
        elif name == "certainty":
            values[name] = one_of(CERTAINTIES, "certainty")(piece, sub_entry(entry, key))
        elif name in ("client", "room"):
            values[name] = required_slug(piece, "a slug")
        else:
            values[name] = piece.text
    return Event(span=node.span, places={n: v.span for n, (_, v) in parts.items()}, **values)


def read_standing(piece: Piece, _: Entry) -> Standing:
    """`parlour, since 2019-05, outside wall, stove near`: the room first, then what is known."""
    room, *parts = piece.parts()
    slug = required_slug(room, "the name of a room's file")
    since: Uncertain | None = None
    outside_wall: bool | None = None
    heat = ""
    remarks: list[Piece] = []
    for part in parts:
        if match := _SINCE.fullmatch(part.text):
            since = parsed(parse_edtf, part.part(match.start("when")), "edtf")
        elif (wall := _WALLS.get(part.text.casefold())) is not None:
            outside_wall = wall
        elif match := _NEAR.fullmatch(part.text):
            heat = f"{heat}, {match['after'] or match['before']}".lstrip(", ")
        elif part.text:
            remarks.append(part)
    remark, place = joined(remarks) if remarks else ("", None)
    return Standing(
        span=piece.span(),
        room=slug,
        since=since,
        outside_wall=outside_wall,
        heat=heat,
        remark=remark,
        places={"room": room.span(), **({"remark": place} if place else {})},
    )
