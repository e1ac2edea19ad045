"""What every record has: it is frozen, refuses unknown fields, and knows its place in the notes."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field

from dossier.diagnostics import Span


class Record(BaseModel):
    """A thing that a note says, with the place where it says so.

    `span` is where the record begins; `places` holds the places of its single fields, keyed by
    field name, for those that a reader may want to trace on their own.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)

    span: Span
    places: dict[str, Span] = Field(default_factory=dict)

    def place_of(self, field: str) -> Span:
        return self.places.get(field, self.span)
