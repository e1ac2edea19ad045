"""What one instrument is built from, and what comes of it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from dossier.edition.listed import DueRow, InstrumentRow, OpenRow
from dossier.model import History
from dossier.store import Content
from dossier.theme import Theme

CHARTS = re.compile(r"/charts-[0-9a-f]{10}\.js$")
"""The path of what a browser draws an instrument's charts from."""
SINGLE = "_alone/"
"""Where an owner's files hold the page that opens one instrument alone; no slug begins so."""


@dataclass(frozen=True, slots=True)
class Job:
    """One instrument to be built: its history, the day, its media by name, the shop's logo.

    `link` is the client's private address, for the bench alone; `alone` says that the client has
    no other instrument, so that their first page is this one's; without `pdf` no document is made.
    """

    history: History
    today: date
    theme: Theme
    media: Mapping[str, bytes]
    logo: bytes | None
    link: str
    alone: bool
    pdf: bool = True


@dataclass(frozen=True, slots=True)
class Made:
    """One instrument built.

    `owner` are files by their path below the client's root, `bench` below the bench's; `rows` are
    the instrument in the owner's and in the bench's lists; `said` is what the owner's page says;
    `steady` are the first and last day on which the same would be made; `recalled` the keys in a
    memory of what it is made of, where there was one.
    """

    instrument: str
    client: str
    owner: Mapping[str, Content]
    bench: Mapping[str, Content]
    row: InstrumentRow
    bench_row: InstrumentRow
    due: tuple[DueRow, ...]
    open: tuple[OpenRow, ...]
    said: tuple[str, ...]
    limits: tuple[str, ...]
    steady: tuple[date, date]
    recalled: tuple[str, ...] = ()
