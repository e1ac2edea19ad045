"""Where the pitch stands between two visits, and the stretches that are brought up alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from dossier.analysis import pitch
from dossier.analysis.tuning import Stage, VisitPitch
from dossier.model import History

BASS_SHARE, LOW_TENOR_SHARE, UPPER_SHARE = 1 / 3, 1 / 5, 1 / 4
"""How much of its way a register falls back while the rest is brought up, and so the overshoot
that it is given.  Common practice (trade lists), no source."""

OCTAVE = 12

BELIEVED = 600.0
"""Cents beyond which a reading is of another note, and nothing is planned from it."""


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of the compass that is overshot alike.  `share` is the part that falls back."""

    name: str
    first_key: int
    last_key: int
    share: float


@dataclass(frozen=True, slots=True)
class Standing:
    """Where the pitch was last known to be, in cents from the instrument's own target.

    The last found pitch, or, where that visit set it, the pitch that it was left at.  `shift` is
    what a visit's other target adds; `stage` is against that visit's target.
    """

    when: date
    visit: str
    stage: Stage
    shift: float
    as_left: bool

    @property
    def cents(self) -> float:
        return self.stage.overall.cents + self.shift


def sections(registers: Sequence[pitch.Register]) -> tuple[Section, ...]:
    """The stretches that are overshot alike: the bass, the low tenor's octave, and what is above.

    Wound strings on the long bridge fall back most and the first plain ones above the break least.
    Where the compass is one register, it has the share of the upper strings.
    Common practice, no source.
    """
    if len(registers) == 1:
        return tuple(Section(*register, UPPER_SHARE) for register in registers)
    bass, second, *above = registers
    name, first, last = second
    found = [Section(*bass, BASS_SHARE)]
    if last - first < OCTAVE:
        found.append(Section(name, first, last, LOW_TENOR_SHARE))
    else:
        found.append(Section("low tenor", first, first + OCTAVE - 1, LOW_TENOR_SHARE))
        found.append(Section(name, first + OCTAVE, last, UPPER_SHARE))
    return (*found, *(Section(*register, UPPER_SHARE) for register in above))


def standing(history: History, pitches: Sequence[VisitPitch]) -> Standing | None:
    """Where the pitch was last known to be, against the instrument's target.

    A visit may have had a target of its own (435 Hz); its offset is added.  None where the pitch
    was never read, or a reading is more than half an octave off and so of another note.
    """
    stage = (pitches[-1].left or pitches[-1].found) if pitches else None
    if stage is None:
        return None
    last, read = pitches[-1], [cents for _, cents in stage.by_key]
    if max(abs(cents) for cents in (*read, stage.overall.cents)) > BELIEVED:
        return None
    shift = pitch.cents(last.reference_hz, history.reference_hz)
    return Standing(last.when, last.visit, stage, shift, as_left=last.left is not None)


def section_level(
    stands: Standing, section: Section, registers: Sequence[pitch.Register]
) -> tuple[float, bool]:
    """Where a section stands in cents from the target, and whether that is the whole's figure.

    Between the readings of its register the pitch is taken as linear; a section beyond them has
    the register's level, one of a register without readings that of the whole instrument.
    Common practice, no source.
    """
    name, first, last = next(r for r in registers if r[1] <= section.first_key <= r[2])
    read = {key: cents for key, cents in stands.stage.by_key if first <= key <= last}
    of_register = dict(stands.stage.levels).get(name)
    if not read or of_register is None:
        return stands.cents, True
    low, high = max(section.first_key, min(read)), min(section.last_key, max(read))
    if low > high:
        return of_register.cents + stands.shift, False
    keys = sorted(read)
    along = np.interp(np.arange(low, high + 1), keys, [read[key] for key in keys])
    return float(along.mean()) + stands.shift, False


def offsets(stands: Standing, registers: Sequence[pitch.Register]) -> dict[int, float]:
    """Where each key stands in cents from the target, section by section; see `section_level`."""
    return {
        key: level
        for section in sections(registers)
        for level, _ in (section_level(stands, section, registers),)
        for key in range(section.first_key, section.last_key + 1)
    }
