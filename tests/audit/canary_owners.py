"""Which canary came from which field of which record, and which of them an edition may show.

The lists of fields by edition are those of `tests/edition/test_leaks.py`; here is only said whose
record it is, and what a release, a change of hands or a price list adds and takes.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any

from dossier.edition.declared import OWNER, Edition
from dossier.model import Advice, Event, History, Notebook, Photo, Record, Visit
from dossier.quantities import Money
from tests.audit.canary_search import canaries, is_day
from tests.audit.canary_shop import SOLD
from tests.edition.test_hands import DECLARED as KEPT_OF_A_VISIT
from tests.edition.test_leaks import ADDED, READS, RELEASED, _aside, declined

COSTS = ADDED["costs"]
VALUES = frozenset({"Valuation.amount"})
# A link in prose leads the owner somewhere; a stranger gets its words alone.
ADDRESS = "Passage.markdown address"
_ADDRESS = re.compile(r"\]\([^)]*\)")

Finds = Iterator[tuple[str, str, Record]]
"""Each canary of a record, with its field ("Work.text") and the record that has it."""


def sources_of(value: Any, where: str = "", record: Record | None = None) -> Finds:
    """Every canary in a record and in all that it holds."""
    if isinstance(value, Record):
        for one in fields(value):
            if one.name not in ("span", "places"):
                field = f"{type(value).__name__}.{one.name}{_aside(value)}"
                yield from sources_of(getattr(value, one.name), field, value)
    elif isinstance(value, tuple) and not hasattr(value, "_fields"):
        for one in value:
            yield from sources_of(one, where, record)
    elif record is not None:
        for text, field in _texts(value, where):
            yield from ((canary, field, record) for canary in canaries(iter((text,))))


def _texts(value: Any, where: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, Money):
        yield str(value.amount), where
    elif isinstance(value, date):
        yield value.isoformat(), where
    elif isinstance(value, str) and where == "Passage.markdown":
        yield _ADDRESS.sub("]", value), where
        yield "\n".join(_ADDRESS.findall(value)), ADDRESS
    elif isinstance(value, str):
        yield value, where


def all_sources(notebook: Notebook) -> dict[str, set[str]]:
    """The fields from which each canary of a shop came."""
    found: dict[str, set[str]] = defaultdict(set)
    parts = (notebook.clients, notebook.instruments, notebook.rooms)
    for record in (notebook.shop, *(one for part in parts for one in part.values())):
        for canary, where, _ in sources_of(record):
            found[canary].add(where)
    for visits in notebook.visits.values():
        for canary, where, _ in sources_of(visits):
            found[canary].add(where)
    return found


@dataclass(frozen=True)
class Reader:
    """Whoever has an edition of one instrument; `sold` says that it was someone else's before."""

    edition: Edition
    history: History
    sold: bool

    @property
    def fields(self) -> frozenset[str]:
        """The fields that the edition shows of whatever is the reader's to know."""
        client, name = self.history.client, self.edition.name
        fields = READS[name]
        if self.edition is OWNER:
            own = client.show_costs
            costs = self.history.shop.show_costs if own is None else own
            return fields | {ADDRESS} | (COSTS if costs else frozenset())
        words = {what for one in client.releases if one.edition == name for what in one.what}
        return fields.difference(RELEASED).union(*(ADDED[word] for word in words))

    def may(self) -> dict[str, set[str]]:
        """The canaries that the reader may find, each with the fields that allow it."""
        known: dict[str, set[str]] = defaultdict(set)
        for canary, where, record in self._sources():
            if self._allowed(where, record, canary):
                known[canary].add(where)
        for visit in self.history.visits:
            for canary, field, record in sources_of(visit):
                where = f"{field}, declined" if self._declined(field, record) else field
                if self._of_visit(where, record, visit):
                    known[canary].add(where)
        return known

    def _sources(self) -> Finds:
        history, own = self.history, self.history.instrument
        yield from sources_of(history.shop)
        yield from sources_of(history.client)
        former = own.standings[:1] if self.sold else ()
        notes = own.equipment
        equipment = tuple(one for one in notes if not self.sold or (one.when and one.when >= SOLD))
        kept = [one for one in own.standings if one not in former]
        yield from sources_of(replace(own, standings=tuple(kept), equipment=equipment))
        gone = {one.room for one in former}
        for name, room in history.rooms.items():
            if name not in gone:
                yield from sources_of(room)

    def _allowed(self, where: str, record: Record, canary: str) -> bool:
        if isinstance(record, Event) and self.sold and record.kind in ("moved", "stored"):
            last = record.when.latest
            if where == "Event.text" and last is not None and last < SOLD:
                return False
        return where in self.fields or (is_day(canary) and self._told(record))

    def _told(self, record: Record) -> bool:
        """Whether the edition shows anything of such a record; its day goes with it."""
        kind = f"{type(record).__name__}."
        return any(where.startswith(kind) for where in self.fields)

    def _declined(self, field: str, record: Record) -> bool:
        """Whether a text is that of advice which the owner declined, and left at that."""
        if field != "Advice.text" or not isinstance(record, Advice):
            return False
        return record.id in declined(self.history.visits)

    def _of_visit(self, where: str, record: Record, visit: Visit) -> bool:
        if self.sold and visit.date < SOLD:
            return where in self.fields & KEPT_OF_A_VISIT
        if self.edition is not OWNER and where in RELEASED:
            piece = record if isinstance(record, Photo) else visit
            return self.edition.name in piece.release
        return where in self.fields

    def pictures(self) -> frozenset[str]:
        """The paths of the pictures that the reader may see."""
        own, shop = self.history.instrument, self.history.shop
        visits = [one for one in self.history.visits if not self.sold or one.date >= SOLD]
        photos = [one for visit in visits for one in visit.photos]
        if self.edition is OWNER:
            names = {one.file for one in photos} | {own.photo}
        else:
            names = {one.file for one in photos if self.edition.name in one.release}
        return frozenset(
            {f"instruments/{own.id}/media/{name}" for name in names} | {shop.look.logo}
        )

    def money(self) -> bool:
        """Whether a sum of money may be shown at all."""
        return bool(self.fields & (COSTS | VALUES))
