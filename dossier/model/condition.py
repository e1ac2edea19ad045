"""The one fixed list of components and the one scale of grades, defined in words."""

from __future__ import annotations

from typing import NamedTuple

COMPONENTS: tuple[str, ...] = (
    "soundboard",
    "ribs",
    "bridges",
    "pin block",
    "tuning pins",
    "plate",
    "strings",
    "hammers",
    "dampers",
    "action",
    "keys",
    "pedals and lyre",
    "case and legs",
    "casters",
)


class Grade(NamedTuple):
    """A grade: its word, its meaning, and its rank (higher is better; None is no judgement)."""

    name: str
    meaning: str
    rank: int | None


GRADES: tuple[Grade, ...] = (
    Grade("very good", "works as new, no wear that matters", 5),
    Grade("good", "works well, wear normal for its age", 4),
    Grade("fair", "works, with wear or faults that want attention in time", 3),
    Grade("poor", "works badly, or will soon fail; needs work", 2),
    Grade("failed", "does not do its work", 1),
    Grade("not examined", "was not looked at", None),
)
