"""The editions as declarations: what each shows.  What is not named here is absent.

A section that no edition names reaches no reader; a new field is shown nowhere until a row here
lets it through.

A statement for a sale or an appraisal is read by strangers.  What its client's file releases for
it is shown beside its own sections.  Prose, pictures and recordings are people's homes: they
stand there only where the note releases them one by one, and a word for all of them releases
nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from dossier.model import History

_OWNER = frozenset(
    {
        "client name",
        "identity",
        "timeline",
        "pitch",
        "air",
        "condition",
        "marks",
        "measured",
        "problems",
        "advice",
        "work",
        "visits",
        "prose",
        "pictures",
        "recordings",
        "care",
    }
)

_BENCH = _OWNER | {
    "costs",
    "bench prose",
    "private",
    "client file",
    "sources",
    "plans",
    "former hands",
}

_STATEMENT = frozenset(
    {
        "statement",
        "identity",
        "provenance",
        "visit dates",
        "pitch",
        "condition",
        "marks",
        "measured",
        "problems",
        "declined advice",
        "warnings",
        "work",
        "next",
        "views",
        "equipment",
        "materials",
        "relation",
    }
)
_ON_RELEASE = frozenset({"client name", "costs", "room", "address", "contact"})
_ONE_BY_ONE = frozenset({"prose", "pictures", "recordings"})

RELEASED_BY: Mapping[str, str] = {
    "client name": "owner",
    "costs": "costs",
    "room": "room",
    "address": "address",
    "contact": "contact",
}
"""By which word a client's file releases a section."""


@dataclass(frozen=True, slots=True)
class Edition:
    """An edition: its name, how a page calls it, whom it is for, and the sections that it shows.

    `on_release` are sections that the client's file may add; `one_by_one` are those of which a
    piece stands only where the note itself releases it.
    """

    name: str
    called: str
    reader: str
    shows: frozenset[str]
    on_release: frozenset[str] = frozenset()
    one_by_one: frozenset[str] = frozenset()


OWNER = Edition("owner", "The owner's page", "the owner, at a private link or as a PDF", _OWNER)
BENCH = Edition("bench", "The bench page", "the technician, on their own machine", _BENCH)

SALE = Edition(
    "sale",
    "Statement for a sale",
    "a buyer",
    _STATEMENT,
    _ON_RELEASE,
    _ONE_BY_ONE,
)
APPRAISAL = Edition(
    "appraisal",
    "Statement for an appraisal",
    "an insurer or an appraiser",
    _STATEMENT | {"inventory number", "valuation"},
    _ON_RELEASE,
    _ONE_BY_ONE,
)

EDITIONS: tuple[Edition, ...] = (BENCH, OWNER, SALE, APPRAISAL)


def shows(edition: Edition, history: History, section: str) -> bool:
    """Whether an edition shows a section of this history.

    Costs are hidden from the owner's page unless the client's file, else the shop's, shows them;
    from a statement, like all else that it shows on release, unless the client released them.
    """
    if section in edition.shows:
        return True
    if section in edition.on_release:
        return RELEASED_BY[section] in _released(edition, history)
    if section == "costs" and edition is OWNER:
        own = history.client.show_costs
        return history.shop.show_costs if own is None else own
    return False


def stands(edition: Edition, history: History, section: str, release: tuple[str, ...]) -> bool:
    """Whether one piece of prose or one picture stands, by the editions that it is released for."""
    if shows(edition, history, section):
        return True
    return section in edition.one_by_one and edition.name in release


def _released(edition: Edition, history: History) -> frozenset[str]:
    releases = history.client.releases
    return frozenset(what for one in releases if one.edition == edition.name for what in one.what)
