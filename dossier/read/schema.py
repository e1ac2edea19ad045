"""The tables of keys: for each kind of file, what may be written and how it is read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any, NamedTuple

from dossier.model.mark import MARK_KINDS, MarkKind
from dossier.model.measurement import MEASURED_KINDS, MeasuredKind
from dossier.read.pieces import Findings, Piece, key_shape
from dossier.read.yaml_nodes import Node

Read = Callable[[Node, "Entry"], Any]


@dataclass(frozen=True, slots=True)
class Setting:
    """What the reading of one file has to know of the rest of the shop.

    `default_pitch` is the reference pitch in Hz that holds where a visit names none; `day` is the
    visit's own date, None outside visits; `visit_table` the keys of a visit in this shop.
    """

    currency: str = "USD"
    imperial: bool = False
    time_zone: str = "UTC"
    measured_kinds: tuple[MeasuredKind, ...] = MEASURED_KINDS
    mark_kinds: tuple[MarkKind, ...] = MARK_KINDS
    lowest: int = 1
    highest: int = 88
    default_pitch: float = 440.0
    day: date | None = None
    visit_table: Table | None = None

    @property
    def compass(self) -> tuple[int, int]:
        return self.lowest, self.highest


class Entry(NamedTuple):
    """One key of a note while its value is read: the key as written, its slug, the setting."""

    key: Piece
    setting: Setting
    findings: Findings
    slug: Piece | None = None


@dataclass(frozen=True, slots=True)
class Field:
    """A row of a table: the key, the record's field that it fills, and how its value is read.

    With `many`, one value or a list is accepted and each item is read by itself; several keys may
    then fill one field.  With `slugged`, the key may carry a name: `problem (lyre)`.  With
    `sentences`, an item may hold commas, which brackets would split it at.  `about` is one line
    for the technician: what to write, and what a bare number means.
    """

    key: str
    into: str
    read: Read
    about: str = ""
    many: bool = False
    slugged: bool = False
    sentences: bool = False
    aliases: tuple[str, ...] = ()


def sentences(
    key: str,
    into: str,
    read: Read,
    about: str,
    *,
    slugged: bool = False,
    aliases: tuple[str, ...] = (),
) -> Field:
    """A row that takes a sentence or a list of sentences."""
    return Field(
        key, into, read, about, many=True, slugged=slugged, aliases=aliases, sentences=True
    )


@dataclass(frozen=True)
class Table:
    """All fields of one kind of file, by every spelling that means them."""

    name: str
    fields: tuple[Field, ...]
    by_shape: Mapping[str, Field]
    elsewhere: Mapping[str, str]

    @staticmethod
    def of(name: str, fields: Iterable[Field], elsewhere: Mapping[str, str] | None = None) -> Table:
        """Make a table; `elsewhere` has a hint for keys that belong into another kind of file."""
        rows = tuple(fields)
        by_shape: dict[str, Field] = {}
        for row in rows:
            for spelling in (row.key, *row.aliases):
                by_shape.setdefault(key_shape(spelling), row)
        for row in rows:
            if row.many:
                by_shape.setdefault(_other_number(key_shape(row.key)), row)
        return Table(name, rows, by_shape, elsewhere or {})

    @property
    def keys(self) -> tuple[str, ...]:
        return tuple(row.key for row in self.fields)


@cache
def _other_number(shape: str) -> str:
    """The plural of a singular key and the other way round."""
    if shape.endswith("s"):
        return shape[:-1]
    return f"{shape}s"
