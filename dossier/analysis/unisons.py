"""How far the strings of one note have parted, register by register, where they were read apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from dossier.analysis.pitch import Register
from dossier.analysis.tuning import VisitPitch


@dataclass(frozen=True, slots=True)
class RegisterUnisons:
    """The unisons of one register at one visit, as found.

    `mean` and `widest` are distances in cents between the lowest and the highest string of a
    note, over `notes` notes; `widest_key` is the note that parted most.
    """

    visit: str
    when: date
    register: str
    notes: int
    mean: float
    widest: float
    widest_key: int


def unison_record(
    pitches: Sequence[VisitPitch], registers: Sequence[Register]
) -> tuple[RegisterUnisons, ...]:
    """The unison spread of each register at each visit that read strings one by one, oldest first.

    Unisons that part while the level holds point at pins, bridge or a single string and not at
    the air.  The plain mean: the notes so read are those that were heard to be off, so that it
    speaks for them and not for the register.  Common practice, no source.
    """
    found = []
    for visit in pitches:
        for name, first, last in registers:
            inside = [unison for unison in visit.unisons if first <= unison.key <= last]
            if inside:
                widest = max(inside, key=lambda unison: unison.cents)
                mean = sum(unison.cents for unison in inside) / len(inside)
                found.append(
                    RegisterUnisons(
                        visit.visit, visit.when, name, len(inside), mean, widest.cents, widest.key
                    )
                )
    return tuple(found)
