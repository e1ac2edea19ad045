"""The pieces of page-ready views: what a template may show, and nothing else.

A view holds only str, int, float, bool, None, Decimal, date, tuples and other views, so that it
can be hashed, stored and sent; a template that gets one can't reach what the edition left out.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from decimal import Decimal
from typing import Any


def plain(value: Any) -> Any:
    """A view as plain JSON values: dataclasses as objects, dates and decimals as strings.

    Raises TypeError for anything that doesn't belong into a view.
    """
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [plain(item) for item in value]
    if value is None or isinstance(value, str | bool | int | float):
        return value
    if isinstance(value, Decimal | date):
        return str(value)
    raise TypeError(f"a view can't hold {type(value).__name__}")


def canonical(value: Any) -> str:
    """The one JSON text of a view: sorted keys, no spaces."""
    return json.dumps(plain(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def digest(value: Any) -> str:
    """SHA-256 of the canonical JSON, in hexadecimal."""
    return hashlib.sha256(canonical(value).encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Fact:
    """A label and its value; `source` says where the figure comes from, for those who trace it."""

    label: str
    value: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A real table.  `numeric` marks the columns that are set in tabular figures, right-aligned."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numeric: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture by the name the note gave it; the renderer finds its bytes by that name."""

    file: str
    caption: str
    alt: str


@dataclass(frozen=True, slots=True)
class Clip:
    """A recording or a film by the name the note gave it, and its caption, never empty."""

    file: str
    caption: str
    is_film: bool


@dataclass(frozen=True, slots=True)
class ToDo:
    """One thing for the owner to do, why, and by when in words ("" where any time will do)."""

    text: str
    why: str = ""
    when: str = ""


@dataclass(frozen=True, slots=True)
class Moment:
    """One entry of the timeline.

    `kind` is one of "origin", "move", "visit", "raise", "repair", "problem", "solved",
    "equipment", "safety", "other"; `target` is the anchor of the visit that it belongs to
    ("visit-2026-03-14"), "" where there is none.
    """

    when: date | None
    when_text: str
    kind: str
    label: str
    text: str
    target: str = ""


@dataclass(frozen=True, slots=True)
class WorkLine:
    """One piece of work as a reader sees it; `cost` is "" where costs are not shown."""

    when: date
    when_text: str
    kind: str
    text: str
    detail: str = ""
    cost: str = ""
    target: str = ""


@dataclass(frozen=True, slots=True)
class ProblemLine:
    """A problem with its life.  `state` is a word of words/ ("open", "fixed", …)."""

    text: str
    is_open: bool
    state: str
    since: str
    story: tuple[str, ...] = ()
    target: str = ""


@dataclass(frozen=True, slots=True)
class AdviceLine:
    """A piece of advice, its state in a word, and what it waits for."""

    text: str
    waiting: bool
    state: str
    given: str
    story: tuple[str, ...] = ()
    target: str = ""


@dataclass(frozen=True, slots=True)
class ConditionLine:
    """A component: its last grade (rank 1-5, None where not examined), and when it was seen."""

    component: str
    grade: str
    rank: int | None
    remark: str
    seen: str
    before: str = ""


@dataclass(frozen=True, slots=True)
class MarkLine:
    """A kind of mark with its places and what became of it."""

    kind: str
    marked: str
    state: str
    is_open: bool
    seen: str
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Rule:
    """A care or safety rule that applies here, with its source."""

    title: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Term:
    """A word of the trade, explained once."""

    word: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Sender:
    """The shop as a reader sees it; `logo` is a file name beside shop.md or ""."""

    name: str
    technician: str
    qualification: str
    phone: str
    email: str
    web: str
    address: str
    letterhead: str
    accent: str
    logo: str
    paper: str
    about: str


@dataclass(frozen=True, slots=True)
class Passage:
    """Prose in Markdown; `bench` where only the technician reads it."""

    markdown: str
    bench: bool = False
