"""The editions as declarations: what each shows.  What is not named here is absent.

A section that no edition names reaches no reader; a new field is shown nowhere until a row here
lets it through.
"""

from __future__ import annotations

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


@dataclass(frozen=True, slots=True)
class Edition:
    """An edition: its name, how a page calls it, whom it is for, and the sections that it shows."""

    name: str
    called: str
    reader: str
    shows: frozenset[str]


OWNER = Edition("owner", "The owner's page", "the owner, at a private link or as a PDF", _OWNER)
BENCH = Edition("bench", "The bench page", "the technician, on their own machine", _BENCH)

EDITIONS: tuple[Edition, ...] = (BENCH, OWNER)


def shows(edition: Edition, history: History, section: str) -> bool:
    """Whether an edition shows a section of this history.

    Costs are hidden from the owner's page unless the client's file, else the shop's, shows them.
    """
    if section in edition.shows:
        return True
    if section == "costs" and edition is OWNER:
        own = history.client.show_costs
        return history.shop.show_costs if own is None else own
    return False
