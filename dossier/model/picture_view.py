"""The views of an instrument by which a stranger can know it again, and see how it was."""

from __future__ import annotations

from typing import NamedTuple


class PictureView(NamedTuple):
    """A view: its name in the notes, what it shows, and whether a statement misses it."""

    name: str
    meaning: str
    customary: bool = True


VIEWS: tuple[PictureView, ...] = (
    PictureView("front", "the whole from the front"),
    PictureView("side", "the whole from another side"),
    PictureView("inside", "the inside, with plate, strings and pins"),
    PictureView("markings", "maker's name, serial number and other markings"),
    PictureView("damage", "damage, wear and repairs"),
    PictureView("detail", "another detail", customary=False),
)
"""Overall views, and close-ups of markings, damage and repairs: Object ID (ICOM), "Take
photographs".  The inside: common practice, no source."""
