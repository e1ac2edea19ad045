"""What one file says of another: whom a mistake concerns, and whether what is named is there."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from dossier.diagnostics import Span
from dossier.model import Instrument, Room, Visit
from dossier.read.fields import did_you_mean
from dossier.read.pieces import Findings, Piece, quote


@dataclass(frozen=True, slots=True)
class Scope:
    """Whom a finding concerns: the shop, one client, room or instrument, or nobody."""

    kind: str = ""
    name: str = ""

    @staticmethod
    def of(path: str) -> Scope:
        """Whom a file concerns, by where it lies."""
        top, _, below = path.partition("/")
        name = below.partition("/")[0]
        if top == "instruments" and "/" in below:
            return Scope("instrument", name)
        if top in ("clients", "rooms") and name:
            return Scope(top.removesuffix("s"), name.rpartition(".")[0] or name)
        return Scope("shop") if path == "shop.md" else Scope()

    def stops(self, instruments: Mapping[str, Instrument]) -> tuple[str, ...]:
        """What an error within this scope keeps from being published."""
        if self.kind == "shop":
            return ("shop:",)
        if self.kind == "client":
            own = (slug for slug, one in instruments.items() if one.client == self.name)
            return (f"client:{self.name}", *(f"instrument:{slug}" for slug in own))
        if self.kind == "room":
            return tuple(
                f"instrument:{slug}"
                for slug, one in instruments.items()
                if any(standing.room == self.name for standing in one.standings)
            )
        return (f"instrument:{self.name}",) if self.kind == "instrument" else ()


def in_order_of_day(visits: Iterable[tuple[tuple[object, ...], Visit]]) -> tuple[Visit, ...]:
    """Visits by their rank, those of one day counted."""
    ordered: list[Visit] = []
    last: date | None = None
    order = 0
    for _, visit in sorted(visits, key=lambda pair: pair[0]):
        order = order + 1 if visit.date == last else 0
        last = visit.date
        ordered.append(replace(visit, order=order) if order else visit)
    return tuple(ordered)


def check_instrument(
    instrument: Instrument, clients: Collection[str], rooms: Collection[str], findings: Findings
) -> None:
    """The clients and rooms that an instrument names have files of their own, be they bad ones."""
    _check("client", instrument.client, instrument.place_of("client"), clients, findings)
    for standing in instrument.standings:
        _check("room", standing.room, standing.place_of("room"), rooms, findings)
    for event in instrument.provenance:
        if event.client:
            _check("client", event.client, event.place_of("client"), clients, findings)
        if event.room:
            _check("room", event.room, event.place_of("room"), rooms, findings)


def instrument_named(piece: Piece, known: Collection[str], findings: Findings) -> str | None:
    """The instrument that a note or a row names by its folder, whatever the letters' case."""
    name = piece.text.casefold()
    if name in known:
        return name
    findings.error(
        "unknown-instrument",
        f"There is no instrument {piece.quoted}.",
        piece.span(),
        did_you_mean(piece.text, sorted(known), "Make its folder below instruments/ first."),
    )
    return None


def check_room(room: Room, clients: Collection[str], findings: Findings) -> None:
    """The client that a room names has a file."""
    if room.client:
        _check("client", room.client, room.place_of("client"), clients, findings)


def _check(kind: str, slug: str, place: Span, there: Collection[str], findings: Findings) -> None:
    if slug in there:
        return
    if slug in {one.casefold() for one in there}:
        return  # the file is there under a name in capitals, which is told at the file itself
    path = f"{kind}s/{slug}.md"
    findings.error(
        f"unknown-{kind}",
        f"There is no {kind} {quote(slug)}.",
        place,
        did_you_mean(
            slug,
            sorted(there),
            f"Write the file {path}",
            also=f"If not, write the file {path}",
        ),
    )
