"""What every record has: it is frozen, refuses unknown fields, and knows its place in the notes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any, TypeVar, dataclass_transform

from pydantic import AfterValidator, ConfigDict
from pydantic.dataclasses import dataclass

from dossier.diagnostics import Span

_R = TypeVar("_R")
# What checks a record is put together at the first of its kind: a worker is handed most of its own.
_CHECKED = ConfigDict(extra="forbid", arbitrary_types_allowed=True, defer_build=True)
_NOWHERE: dict[str, Span] = {}


@lru_cache(maxsize=4096)
def _number(text: str) -> Decimal:
    return Decimal(text)


if TYPE_CHECKING:
    Places = Mapping[str, Span]
    Number = Decimal
else:
    # Most records have no places of their own, and most figures of a shop are the same few hundred.
    Places = Annotated[dict[str, Span], AfterValidator(lambda found: found or _NOWHERE)]
    Number = Annotated[Decimal, AfterValidator(lambda found: _number(str(found)))]


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(field,))
def frozen(kind: type[_R]) -> type[_R]:
    """Make a class of fields a kind of record, which checks what it is given and never changes.

    A shop of 800 instruments has 200,000 of them at a time: each holds its values and no more,
    a quarter of what a model of pydantic takes with its dictionary and its set of names.
    """
    made: Any = dataclass(frozen=True, slots=True, kw_only=True, config=_CHECKED)
    checked: type[_R] = made(kind)
    return checked


@frozen
class Record:
    """A thing that a note says, with the place where it says so.

    `span` is where the record begins; `places` holds the places of its single fields, keyed by
    field name, for those that a reader may want to trace on their own.
    """

    span: Span
    places: Places = field(default_factory=lambda: _NOWHERE)

    def place_of(self, field: str) -> Span:
        return self.places.get(field, self.span)
