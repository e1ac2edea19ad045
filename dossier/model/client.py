"""A client: whoever the technician answers to, with one instrument or fifty."""

from __future__ import annotations

from datetime import date
from typing import Literal

from dossier.model.record import Record, frozen
from dossier.quantities import Period

Status = Literal["active", "dormant", "left"]


@frozen
class Release(Record):
    """What a client released for one edition: names of things, such as "owner" or "costs"."""

    edition: str
    what: tuple[str, ...]


@frozen
class Client(Record):
    """A client's file.  All of it stays on the bench, but for what an edition declares.

    `relation` is what the technician is to this client, for whoever reads a statement made for
    them: "paid for the work listed, and for nothing else".  `card_link` says that the card within
    the instrument may lead to their private pages.
    """

    id: str
    name: str
    kind: str = "home"
    contact: str = ""
    phone: str = ""
    email: str = ""
    address: str = ""
    access: str = ""
    interval: Period | None = None
    status: Status = "active"
    last_contacted: date | None = None
    relation: str = ""
    show_costs: bool | None = None
    card_link: bool = False
    releases: tuple[Release, ...] = ()
    private: str = ""
