"""What each visit did to the pitch, register by register."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dossier.analysis import pitch
from dossier.analysis.compass import Register, keys_of, registers
from dossier.analysis.strings import tension_ratio
from dossier.model import History, Pitch, Visit

TUNING_KINDS = frozenset({"tuning", "rough tuning", "pitch raise", "pitch lowering"})
"""The kinds of work that set the pitch."""


TROUBLED_MARKS = frozenset(
    {"strings", "bass strings", "broken strings", "dead strings", "loose pins", "tight pins"}
)
TROUBLED_COMPONENTS = frozenset({"", "strings", "tuning pins", "pin block", "bridges"})
"""Marks and problems of a note that make its pitch its own and not its register's."""


@dataclass(frozen=True, slots=True)
class Stage:
    """The pitch as found or as left at one visit.

    `overall` and `levels` are against the visit's target; `by_key` are the single readings in
    cents (the mean over the strings where they were read one by one), also of notes whose own
    trouble keeps them out of the levels; `assumed` says that
    nothing was written and the work implies it; `hertz` that a reading was in Hz, so that its
    cents are against equal temperament and not against the tuner's stretched curve.
    """

    overall: pitch.Level
    levels: tuple[tuple[str, pitch.Level], ...]
    by_key: tuple[tuple[int, float], ...]
    assumed: bool = False
    hertz: bool = False


@dataclass(frozen=True, slots=True)
class UnisonSpread:
    """The widest distance in cents between the strings of one note, where they were read apart."""

    key: int
    cents: float


@dataclass(frozen=True, slots=True)
class VisitPitch:
    """Pitch at one visit.  `tension_change` is in % of the string tension, by the overall change.

    `reference_hz` is the target of that visit; two visits compare only where it is the same.
    """

    visit: str
    when: date
    reference_hz: float
    floated: bool
    tuned: bool
    found: Stage | None
    left: Stage | None
    work: pitch.WorkClass
    change: float | None
    tension_change: float | None
    unisons: tuple[UnisonSpread, ...]


def tuned(visit: Visit) -> bool:
    """Whether the visit set the pitch: by what it says of the pitch as left, else by its work.

    "As found" stands before any work: a few unisons put right leave the level where it was.
    """
    if visit.left is not None:
        return visit.left.how != "as found"
    return any(work.kind in TUNING_KINDS for work in visit.work)


def visit_pitch(history: History, visit: Visit) -> VisitPitch | None:
    """The pitch at one visit, or None where the note says nothing of it.

    A visit that says "left: as found", or that read the pitch and tuned nothing, left it as
    found.  A tuned visit that says nothing of how it was left is taken as left at its target, or
    where it stood if it was floated, and marked as assumed.  Common practice, no source.
    """
    sections = registers(history.instrument)
    found = _stage(visit, visit.found, sections) if visit.found else None
    worked = tuned(visit)
    left: Stage | None = None
    if visit.left and visit.left.how == "readings":
        left = _stage(visit, visit.left, sections)
    elif visit.left and visit.left.how == "on pitch":
        left = _at_target(sections, assumed=False)
    elif worked and visit.floated:
        left = _where_it_stood(found, sections)
    elif worked:
        left = _at_target(sections, assumed=True)
    if found is None and left is None:
        return None
    change = left.overall.cents - found.overall.cents if found and left else None
    return VisitPitch(
        visit=visit.id,
        when=visit.date,
        reference_hz=float(visit.reference_hz or history.reference_hz),
        floated=visit.floated,
        tuned=worked,
        found=found,
        left=left,
        work=_work_class(history, found, left),
        change=change,
        tension_change=None if change is None else (tension_ratio(change) - 1.0) * 100.0,
        unisons=_unisons(visit),
    )


def pitch_record(history: History) -> tuple[VisitPitch, ...]:
    """The pitch at every visit that says something of it, oldest first."""
    found = (visit_pitch(history, visit) for visit in history.visits)
    return tuple(item for item in found if item is not None)


def sound_keys(visit: Visit, said: Pitch) -> dict[int, float]:
    """Cents by key, without the notes that were read for a trouble of their own.

    A slack pin or a new splice says how that string stands and not where its register does: keys
    that the same note marks, clears or names in a problem, and strings read singly, are left out
    where other keys were read.
    """
    troubled = _troubled(visit)
    every: dict[int, list[float]] = {}
    sound: dict[int, float] = {}
    for reading in said.readings:
        if reading.key is None:
            continue
        every.setdefault(reading.key, []).append(float(reading.cents))
        if reading.string is None and reading.key not in troubled:
            sound[reading.key] = float(reading.cents)
    return sound or {key: sum(cents) / len(cents) for key, cents in every.items()}


def _troubled(visit: Visit) -> frozenset[int]:
    marks = [mark.marked for mark in visit.marks if mark.kind in TROUBLED_MARKS]
    clears = [clear.marked for clear in visit.cleared if clear.kind in TROUBLED_MARKS]
    problems = [item.keys for item in visit.problems if item.component in TROUBLED_COMPONENTS]
    return keys_of(tuple(place for places in (*marks, *clears, *problems) for place in places))


def _stage(visit: Visit, said: Pitch, sections: tuple[Register, ...]) -> Stage | None:
    whole = [reading for reading in said.readings if reading.key is None]
    hertz = any(reading.hertz is not None for reading in said.readings)
    by_key: dict[int, list[float]] = {}
    for reading in said.readings:
        if reading.key is not None:
            by_key.setdefault(reading.key, []).append(float(reading.cents))
    means = {key: sum(values) / len(values) for key, values in by_key.items()}
    sound = sound_keys(visit, said)
    first, last = sections[0][1], sections[-1][2]
    if said.how == "on pitch":
        return _at_target(sections, assumed=False)
    overall = (
        pitch.overall_level(sound, sections)
        if sound
        else pitch.whole_instrument(float(whole[0].cents), first, last)
        if whole
        else None
    )
    if overall is None:
        return None
    return Stage(
        overall=overall,
        levels=pitch.levels(sound, sections),
        by_key=tuple(sorted(means.items())),
        hertz=hertz,
    )


def _at_target(sections: tuple[Register, ...], *, assumed: bool) -> Stage:
    overall = pitch.whole_instrument(0.0, sections[0][1], sections[-1][2])
    return Stage(overall=overall, levels=(), by_key=(), assumed=assumed)


def _where_it_stood(found: Stage | None, sections: tuple[Register, ...]) -> Stage | None:
    if found is None:
        return None
    overall = pitch.whole_instrument(found.overall.cents, sections[0][1], sections[-1][2])
    return Stage(overall=overall, levels=(), by_key=(), assumed=True)


def _work_class(history: History, found: Stage | None, left: Stage | None) -> pitch.WorkClass:
    if left is None or found is None:
        return pitch.WorkClass.NONE
    said = history.shop.thresholds
    own = pitch.Thresholds(float(said.fine), float(said.tuning), float(said.small_raise))
    return pitch.work_class(found.overall.cents, left.overall.cents, own)


def _unisons(visit: Visit) -> tuple[UnisonSpread, ...]:
    strings: dict[int, list[float]] = {}
    for reading in visit.found.readings if visit.found else ():
        if reading.key is not None and reading.string is not None:
            strings.setdefault(reading.key, []).append(float(reading.cents))
    return tuple(
        UnisonSpread(key, max(cents) - min(cents))
        for key, cents in sorted(strings.items())
        if len(cents) > 1
    )
