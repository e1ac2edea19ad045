"""What stands in the lists: an instrument, a visit that is due, what is open, a private link.

A build holds these of every instrument, and needs none of the pages that they lead to.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class InstrumentRow:
    """An instrument in a list: what it is, how it is, what it needs and when.

    `needs` is what its owner has to do, most urgent first, without what the state already says.
    """

    slug: str
    title: str
    kicker: str
    place: str
    state: str
    state_level: str
    next_text: str
    next_when: date | None
    last_text: str
    open_count: int
    client: str = ""
    client_slug: str = ""
    note: str = ""
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DueRow:
    """Who is to be visited, by when and why; `address` is where the technician goes."""

    when: date | None
    when_text: str
    overdue: bool
    instrument: str
    slug: str
    client: str
    place: str
    why: tuple[str, ...]
    address: str = ""


@dataclass(frozen=True, slots=True)
class OpenRow:
    """Something open on an instrument: a problem, an unanswered advice, a mark, a clock."""

    instrument: str
    slug: str
    kind: str
    text: str
    since: str


@dataclass(frozen=True, slots=True)
class Listed:
    """What the instruments contribute to the bench's lists."""

    rows: tuple[InstrumentRow, ...]
    due: tuple[DueRow, ...]
    open: tuple[OpenRow, ...]


@dataclass(frozen=True, slots=True)
class LinkRow:
    """An open private link: whose it is, the one instrument that it opens ("": all), and how long.

    `address` is below the public folder.
    """

    client: str
    opens: str
    address: str
    label: str
    made: date
    last_day: date | None
