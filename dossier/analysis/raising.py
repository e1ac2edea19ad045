"""The plan for bringing an instrument to its pitch, and the reasons not to."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from dossier.analysis import pitch
from dossier.analysis.cautions import SOUND, Caution, Weight, cautions, wire_since
from dossier.analysis.condition import ComponentLife, MarkLife, MeasuredLife
from dossier.analysis.pitch import WorkClass
from dossier.analysis.ranges import within
from dossier.analysis.standing import Section, Standing, section_level, sections, standing
from dossier.analysis.strings import tension_ratio
from dossier.analysis.tuning import VisitPitch
from dossier.model import History

TO_PITCH_FIRST = 50.0
"""Cents off beyond which the first pass goes to the pitch itself.  Common practice, no source."""

CAP = SOUND
"""The largest overshoot in cents; a caution lowers it.  Common practice, no source."""

Way = Literal["at once", "in steps", "as it stands"]


@dataclass(frozen=True, slots=True)
class Pass:
    """One pass over a section: what it is set to, and where it will have gone after the pass.

    Both in cents from the instrument's own target.
    """

    aim: float
    rests: float


@dataclass(frozen=True, slots=True)
class SectionPlan:
    """A section's way.  `level` is where it stands in cents from the target; `of_the_whole` says
    that nothing was read in its register.

    `tension` is the change of its string tension in % once it stands at the plan's target, `peak`
    at the height of the overshoot.
    """

    section: Section
    level: float
    of_the_whole: bool
    passes: tuple[Pass, ...]
    tension: float
    peak: float


@dataclass(frozen=True, slots=True)
class RaisePlan:
    """What is to be done at the next visit.

    `target` is where that visit leaves the pitch, in cents from the instrument's target; `steps`
    are the targets of this visit and the ones after it.  `passes` come before the tuning itself.
    `wire_of` is the latest year the wire can be of, None where nobody knows.
    """

    standing: Standing
    work: WorkClass
    way: Way
    target: float
    steps: tuple[float, ...]
    cap: float
    cautions: tuple[Caution, ...]
    sections: tuple[SectionPlan, ...]
    wire_of: int | None

    @property
    def passes(self) -> int:
        return len(self.sections[0].passes)

    @property
    def first_to_pitch(self) -> bool:
        """Whether the first pass is without overshoot, since the way is long."""
        return self.passes > 0 and all(plan.passes[0].aim == self.target for plan in self.sections)


def overshoot(way: float, share: float, cap: float = CAP) -> float:
    """Return by how many cents to pass the target on a way of `way` cents (negative: downwards).

    Strings already set fall back while the others load the bridge, so that a register is left
    beyond its target by what it will lose: share x way, the cap at most.
    Common practice, no source.

    Raises ValueError for a way outside -1200 to 1200 cents, a share outside 0 to 0.5 or a cap
    outside 0 to 25 cents.
    """
    way = float(within(way, "way", -1200.0, 1200.0, "cents"))
    share = float(within(share, "share that falls back", 0.0, 0.5, ""))
    cap = float(within(cap, "cap of the overshoot", 0.0, CAP, "cents"))
    return math.copysign(min(abs(way) * share, cap), way)


def passes(
    levels: Sequence[float],
    shares: Sequence[float],
    target: float,
    cap: float = CAP,
    enough: float = pitch.COMMON_THRESHOLDS.tuning,
) -> tuple[tuple[Pass, ...], ...]:
    """Return the passes of each section that bring it within `enough` cents of the target.

    All sections take the same passes, for a pass goes over the whole instrument.  While any is
    more than 50 cents off, a pass goes to the target itself and loses share x way; after that
    each is overshot.  No passes where a tuning alone will do.  Common practice, no source.

    Raises ValueError as `overshoot`, or for lists of different lengths or without a section.
    """
    if not levels or len(levels) != len(shares):
        raise ValueError("each section needs its level and its share")
    if enough <= 0.0:
        raise ValueError(f"{enough:g} cents is outside the range above 0 cents")
    done: list[list[Pass]] = [[] for _ in levels]
    at = list(levels)
    while max(abs(target - level) for level in at) > enough:
        far = max(abs(target - level) for level in at) > TO_PITCH_FIRST
        for place, (level, share) in enumerate(zip(at, shares, strict=True)):
            beyond = overshoot(target - level, share, cap)
            aim = target if far else target + beyond
            at[place] = aim - share * (target - level)
            done[place].append(Pass(aim, at[place]))
    return tuple(tuple(each) for each in done)


def steps(worst: float, step: float) -> tuple[float, ...]:
    """Return the targets of a slow rise from `worst` cents (below 0), none of them above `step`.

    Equal steps to whole cents, the last one at the target.  Common practice, no source.

    Raises ValueError for a start that is not below 0 or a step of 0 and less.
    """
    if worst >= 0.0 or step <= 0.0:
        raise ValueError(f"a rise from {worst:g} cents in steps of {step:g} cents is none")
    count = math.ceil(-worst / step)
    return tuple(float(round(worst * (count - place) / count)) for place in range(1, count + 1))


def raise_plan(
    history: History,
    pitches: Sequence[VisitPitch],
    registers: Sequence[pitch.Register],
    marks: Sequence[MarkLife],
    components: Sequence[ComponentLife],
    measured: Sequence[MeasuredLife],
) -> RaisePlan | None:
    """The plan for the next visit, or None where a tuning will do or the pitch is not known.

    What speaks against a raise decides its way: a hold leaves the pitch as it stands, and no
    register rises by more than a tuning; a frailty turns a rise into steps of a small raise each.
    A lowering takes load off, and nothing speaks against it.  The settling of the weeks after is
    not in it.  Common practice, no source.
    """
    stands = standing(history, pitches)
    said = history.shop.thresholds
    own = pitch.Thresholds(float(said.fine), float(said.tuning), float(said.small_raise))
    if stands is None:
        return None
    work = pitch.work_class(stands.cents, 0.0, own)
    if work not in (WorkClass.SMALL_RAISE, WorkClass.RAISE, WorkClass.LOWERING):
        return None
    parts = sections(registers)
    levels = [section_level(stands, section, registers) for section in parts]
    against = () if work is WorkClass.LOWERING else cautions(history, marks, components, measured)
    since = wire_since(history)
    way, targets = _way(stands, [cents for cents, _ in levels], against, own)
    cap = min((caution.cap for caution in against), default=CAP)
    each = passes(
        [cents for cents, _ in levels],
        [section.share for section in parts],
        targets[0],
        cap,
        enough=own.tuning or pitch.COMMON_THRESHOLDS.tuning,
    )
    return RaisePlan(
        standing=stands,
        work=work,
        way=way,
        target=targets[0],
        steps=targets,
        cap=cap,
        cautions=against,
        sections=tuple(
            _section_plan(section, cents, whole, done, targets[0])
            for section, (cents, whole), done in zip(parts, levels, each, strict=True)
        ),
        wire_of=since.year if since else None,
    )


def _way(
    stands: Standing, levels: Sequence[float], against: Sequence[Caution], own: pitch.Thresholds
) -> tuple[Way, tuple[float, ...]]:
    weights: set[Weight] = {caution.weight for caution in against}
    worst, step = min(levels), own.small_raise
    if "hold" in weights:
        # No register is raised by more than a tuning
        highest = math.floor(worst + own.tuning)
        return "as it stands", (float(min(round(stands.cents), highest)),)
    if "steps" in weights and -worst > step > 0.0:
        return "in steps", steps(worst, step)
    return "at once", (0.0,)


def _section_plan(
    section: Section, level: float, whole: bool, done: tuple[Pass, ...], target: float
) -> SectionPlan:
    heights = [one.aim for one in done] or [target]
    peak = max(heights) if target >= level else min(heights)
    return SectionPlan(
        section=section,
        level=level,
        of_the_whole=whole,
        passes=done,
        tension=(tension_ratio(target - level) - 1.0) * 100.0,
        peak=(tension_ratio(peak - level) - 1.0) * 100.0,
    )
