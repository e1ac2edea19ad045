"""The history of the pitch as comparisons: where a register stood, and where it was found next."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Literal

from dossier.analysis import pitch
from dossier.analysis.answers import Cut, CutKind, LeftOut
from dossier.analysis.compass import ASSUMED_BREAKS, Register, registers
from dossier.analysis.cuts import Break, System, breaks, system_at
from dossier.analysis.tuning import TUNING_KINDS, sound_keys, tuned
from dossier.model import History, Pitch, Visit

WHOLE_CENTS, STRAY_CENTS = 3.0, 2.0
"""Error of a single figure for the whole instrument, and how far a register strays from it."""

ASSUMED_CENTS = 2.0
"""Error of "left at the target" where the note says no more than that it was tuned."""

READING_CENTS = 1.5
"""Error of a register's level by a few readings; all four from memory."""

UNKNOWN_RAISE_CENTS = 8.0
"""Usual size of a raise where the pitch as found was not noted.  From memory."""

OCTAVE = 12


@dataclass(frozen=True, slots=True)
class Known:
    """Where a register stood after visit number `visit`, on `day` (ordinal): cents off target.

    `own`, `shared`: error variances in cents^2 beyond those of any comparison, of this register
    alone and of all registers alike; `read`: found so and left so, so that the reading's error,
    `READING_CENTS`, stands in two comparisons.  `raised`: by how many cents the work moved it, on
    `set_day`, to `aim` (0, the target, where no visit set it).
    """

    visit: int
    day: int
    cents: float
    own: float
    shared: float
    read: bool
    raised: float
    set_day: int
    aim: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """A register found at `cents` on visit number `visit`, after it was last known.

    `own`, `shared`: error variances as in `Known`.  `since_set`: where the work last put it, or
    where it was first read, with nothing between that breaks the comparison.
    """

    visit: int
    day: int
    register: int
    cents: float
    own: float
    shared: float
    before: Known
    since_set: Known

    @property
    def moved(self) -> float:
        return self.cents - self.before.cents


@dataclass(frozen=True, slots=True)
class Series:
    """All comparisons of an instrument's present system, oldest first.

    `keys`: of each register, how many keys it has; `known`: where each stands after the last
    visit, None where nobody knows.  `last_found`: the last visit that read the pitch before any
    work, None without one.
    """

    visits: tuple[tuple[str, date], ...]
    keys: tuple[int, int, int]
    comparisons: tuple[Comparison, ...]
    known: tuple[Known | None, Known | None, Known | None]
    last_found: int | None
    cuts: tuple[Cut, ...]
    left_out: tuple[LeftOut, ...]


Sections = tuple[tuple[Register, ...], tuple[Register, ...], tuple[Register, ...]]


def sections(history: History) -> Sections:
    """Return the instrument's own sections as bass, tenor and treble.

    One or two sections are parted further where most instruments have a break; of four and more,
    those that end below it are bass, those that begin in the top third are treble.
    """
    own = registers(history.instrument)
    if len(own) < 3:
        firsts = [first for _, first, _ in own]
        inner = [
            key
            for key in ASSUMED_BREAKS
            if all(abs(key - first) > OCTAVE for first in firsts) and key < own[-1][2]
        ]
        firsts = sorted([*firsts, *inner])
        lasts = [*(first - 1 for first in firsts[1:]), own[-1][2]]
        own = tuple(("", first, last) for first, last in zip(firsts, lasts, strict=True))
    low, high = ASSUMED_BREAKS
    bass = [part for place, part in enumerate(own) if place == 0 or part[2] <= low]
    rest = own[len(bass) :]
    tenor = [part for place, part in enumerate(rest) if place == 0 or part[1] < high - 6]
    treble = rest[len(tenor) :]
    if not treble and len(tenor) > 1:
        treble = (tenor.pop(),)
    return tuple(bass), tuple(tenor), tuple(treble)


@dataclass(frozen=True, slots=True)
class _Level:
    """A register's level and its error variances beyond the usual."""

    cents: float
    own: float
    shared: float


Levels = dict[int, _Level]


@dataclass(slots=True)
class _Walk:
    """What is known of each register while the visits are gone through."""

    known: dict[int, Known] = field(default_factory=dict)
    since: dict[int, Known] = field(default_factory=dict)
    comparisons: list[Comparison] = field(default_factory=list)
    left_out: dict[int, CutKind | Literal["earlier state", "air"]] = field(default_factory=dict)
    last_found: int | None = None


def series(history: History, wood_known: tuple[bool, ...]) -> Series:
    """Return the comparisons of the present system.  `wood_known`: for each visit, whether
    anything says how moist the wood was."""
    parts = sections(history)
    cuts = breaks(history)
    now = system_at(cuts, 2.0 * len(history.visits))
    walk = _Walk()
    for place, visit in enumerate(history.visits):
        found = _levels(visit, visit.found, parts)
        walk.last_found = place if found else walk.last_found
        for register, level in found.items():
            _compare(walk, (place, visit.date.toordinal(), register), level, cuts, now, wood_known)
        _leave(walk, place, visit, parts, found)
    last = 2.0 * len(history.visits) - 0.25
    known = [walk.known.get(register) for register in range(3)]
    usable = [
        item if item and not _between(cuts, 2.0 * item.visit + 1.0, last) else None
        for item in known
    ]
    names = tuple((visit.id, visit.date) for visit in history.visits)
    return Series(
        visits=names,
        keys=_keys(parts),
        comparisons=tuple(walk.comparisons),
        known=(usable[0], usable[1], usable[2]),
        last_found=walk.last_found,
        cuts=_within(cuts, len(names)),
        left_out=tuple(LeftOut(*names[place], why) for place, why in sorted(walk.left_out.items())),
    )


def _keys(parts: Sections) -> tuple[int, int, int]:
    bass, tenor, treble = (sum(last - first + 1 for _, first, last in part) for part in parts)
    return bass, tenor, treble


def _within(cuts: tuple[Break, ...], count: int) -> tuple[Cut, ...]:
    """The cuts that lie after the first visit, once each."""
    inside = [cut for cut in cuts if cut.high > 0.0 and cut.low < 2.0 * count]
    return tuple(dict.fromkeys(Cut(cut.kind, cut.when, cut.visit) for cut in inside))


def _between(cuts: tuple[Break, ...], earlier: float, later: float) -> Break | None:
    return next((cut for cut in cuts if cut.between(earlier, later)), None)


def _compare(
    walk: _Walk,
    at: tuple[int, int, int],
    level: _Level,
    cuts: tuple[Break, ...],
    now: System,
    wood_known: tuple[bool, ...],
) -> None:
    place, day, register = at
    before = walk.known.get(register)
    if before is None or before.day >= day:
        return
    earlier = 2.0 * before.visit + 1.0
    cut = _between(cuts, earlier, 2.0 * place)
    if cut is not None:
        walk.left_out[place] = cut.kind
        walk.since.pop(register, None)
    elif system_at(cuts, earlier) != now:
        walk.left_out[place] = "earlier state"
    elif not (wood_known[place] and wood_known[before.visit]):
        walk.left_out[place] = "air"
    else:
        since = walk.since.get(register, before)
        walk.comparisons.append(
            Comparison(place, day, register, level.cents, level.own, level.shared, before, since)
        )


def _leave(walk: _Walk, place: int, visit: Visit, parts: Sections, found: Levels) -> None:
    """Take up where each register stands after a visit."""
    day = visit.date.toordinal()
    left = _left(visit, parts) if tuned(visit) else {}
    for register in range(3):
        if register in left:
            level = left[register]
            was = found.get(register)
            unsure = 0.0 if was else (0.2 * UNKNOWN_RAISE_CENTS) ** 2
            raised = level.cents - was.cents if was else 0.0
            known = Known(
                visit=place,
                day=day,
                cents=level.cents,
                own=level.own,
                shared=level.shared + unsure,
                read=False,
                raised=raised,
                set_day=day,
                aim=level.cents,
            )
            walk.known[register] = walk.since[register] = known
        elif register in found:
            level = found[register]
            earlier = walk.known.get(register)
            walk.known[register] = Known(
                visit=place,
                day=day,
                cents=level.cents,
                own=level.own,
                shared=level.shared,
                read=True,
                raised=earlier.raised if earlier else 0.0,
                set_day=earlier.set_day if earlier else day,
                aim=earlier.aim if earlier else 0.0,
            )
            walk.since.setdefault(register, walk.known[register])


def _left(visit: Visit, parts: Sections) -> Levels:
    """Where a tuned visit left each register that it set."""
    there = [register for register in range(3) if parts[register]]
    if visit.left is None or visit.left.how == "on pitch":
        shared = 0.0 if visit.left else ASSUMED_CENTS**2
        return {register: _Level(0.0, 0.0, shared) for register in there}
    read = _levels(visit, visit.left, parts)
    if read and any(work.kind in TUNING_KINDS for work in visit.work):
        mean = sum(level.cents for level in read.values()) / len(read)
        others = {
            register: replace(next(iter(read.values())), cents=mean, own=STRAY_CENTS**2)
            for register in there
            if register not in read
        }
        return {**others, **read}
    return read


def _levels(visit: Visit, said: Pitch | None, parts: Sections) -> Levels:
    """The level of each register that was read."""
    if said is None:
        return {}
    there = [register for register in range(3) if parts[register]]
    if said.how == "on pitch":
        return {register: _Level(0.0, 0.0, 0.0) for register in there}
    by_key = sound_keys(visit, said)
    if not by_key:
        whole = [float(reading.cents) for reading in said.readings if reading.key is None]
        spread = (STRAY_CENTS**2, WHOLE_CENTS**2)
        return {register: _Level(whole[0], *spread) for register in there} if whole else {}
    levels = {register: pitch.overall_level(by_key, parts[register]) for register in there}
    return {
        register: _Level(level.cents, 0.0, 0.0)
        for register, level in levels.items()
        if level is not None
    }
