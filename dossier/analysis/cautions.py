"""What speaks against raising the pitch, as the record has it: wire, pins, plate and consent."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Literal

from dossier.analysis.condition import ComponentLife, MarkLife, MeasuredLife
from dossier.model import Consent, History

OLD_WIRE_BEFORE = date(1940, 1, 1)
"""Wire from before then breaks readily when it is raised.  Common practice, no source."""

FAILING_TORQUE = Decimal("3.4")
"""N·m (30 in-lb) at and below which a pin is said not to hold.  Common practice, no source."""

SOUND, OLD, FRAIL = 25.0, 15.0, 10.0
"""Caps of the overshoot in cents by the state of the wire.  Common practice, no source."""

_POOR = ("poor", "failed")

Weight = Literal["hold", "steps", "note"]
"""`hold`: no raise now; `steps`: a slow rise; `note`: the cap is lower and no more."""


class Reason(StrEnum):
    """Why not to raise, or not at once."""

    KEPT_BELOW = "kept below pitch"
    REFUSED = "raise refused"
    NO_CONSENT = "no consent on old wire"
    PLATE = "plate"
    PIN_BLOCK = "pin block"
    PINS = "tuning pins"
    LOOSE_PINS = "loose pins"
    TORQUE = "pin torque"
    IN_STEPS = "consent to steps"
    OLD_WIRE = "old wire"
    POOR_STRINGS = "strings graded poor"
    RUST = "rusty strings"
    BROKEN = "broken strings"


_BEARERS = {
    "plate": Reason.PLATE,
    "pin block": Reason.PIN_BLOCK,
    "tuning pins": Reason.PINS,
    "strings": Reason.POOR_STRINGS,
}


@dataclass(frozen=True, slots=True)
class Caution:
    """A reason with its weight and where it is from.

    `cap` is the largest overshoot in cents that it leaves; `places` are runs of keys; `text` is
    the note's own wording, such as a grade, a remark or who decided.
    """

    reason: Reason
    weight: Weight
    cap: float = FRAIL
    when: date | None = None
    places: tuple[tuple[int, int], ...] = ()
    text: str = ""


def cautions(
    history: History,
    marks: Sequence[MarkLife],
    components: Sequence[ComponentLife],
    measured: Sequence[MeasuredLife],
) -> tuple[Caution, ...]:
    """Everything on record that speaks against a raise, the weightiest first.

    A raise loads wire, pins and plate at once, and wire of before 1940 is the owner's risk to
    take.  Common practice, no source.
    """
    found = [
        *_decided(history),
        *_graded(components),
        *_pins(marks, measured),
        *_wire(marks),
    ]
    order: tuple[Weight, ...] = ("hold", "steps", "note")
    return tuple(sorted(found, key=lambda caution: order.index(caution.weight)))


def wire_since(history: History) -> date | None:
    """The latest day the wire can be of: the last restringing, else when the instrument was made.

    None where nothing is known.  A part restrung ("plain wire only") leaves the rest as old as it
    was; wire put on at a visit counts where no notes are named.
    """
    made = history.instrument.made
    days = [
        event.when.latest
        for event in history.instrument.provenance
        if event.kind == "restrung"
        and event.when.latest is not None
        and not _PART & set(_WORD.findall(event.text.lower()))
    ]
    days.extend(
        visit.date
        for visit in history.visits
        if any(work.kind == "restringing" and not work.keys for work in visit.work)
    )
    return max(days, default=made.latest if made else None)


_PART = frozenset({"only", "partly", "plain", "wound", "bass", "tenor", "treble", "some", "half"})
_RAISE = frozenset({"raise", "raises", "raised", "raising", "pitch"})
_STEPS = frozenset({"step", "steps", "stages", "slow", "slowly"})
_REFUSAL = frozenset({"no", "not", "never"})
_WORD = re.compile(r"[a-z]+")


def consent_to_raise(consents: Sequence[Consent]) -> tuple[str, Consent | None]:
    """What the owner last said of a raise: "given", "in steps", "refused", or "" for nothing."""
    for consent in sorted(consents, key=lambda consent: consent.when, reverse=True):
        words = set(_WORD.findall(consent.what.lower()))
        if words & _RAISE:
            said = "refused" if words & _REFUSAL else "in steps" if words & _STEPS else "given"
            return said, consent
    return "", None


def _decided(history: History) -> Iterator[Caution]:
    own = history.instrument
    if own.leave_below_pitch:
        yield Caution(Reason.KEPT_BELOW, "hold", text=own.leave_below_pitch)
    said, consent = consent_to_raise(own.consents)
    since = wire_since(history)
    old = since is not None and since < OLD_WIRE_BEFORE
    when, by = (consent.when, consent.by) if consent else (None, "")
    if said == "refused":
        yield Caution(Reason.REFUSED, "hold", when=when, text=by)
    elif old and not said:
        yield Caution(Reason.NO_CONSENT, "hold")
    elif said == "in steps":
        yield Caution(Reason.IN_STEPS, "steps", OLD if old else SOUND, when, text=by)
    elif old:
        yield Caution(Reason.OLD_WIRE, "note", OLD, when, text=by)


def _graded(components: Sequence[ComponentLife]) -> Iterator[Caution]:
    for life in components:
        reason = _BEARERS.get(life.component)
        if reason is None or not life.looks or life.looks[-1][1] not in _POOR:
            continue
        when, grade, remark, _ = life.looks[-1]
        weight: Weight = "steps" if reason is Reason.POOR_STRINGS else "hold"
        yield Caution(reason, weight, when=when, text=f"{grade}, {remark}" if remark else grade)


def _pins(marks: Sequence[MarkLife], measured: Sequence[MeasuredLife]) -> Iterator[Caution]:
    for life in marks:
        if life.kind == "loose pins" and life.is_open:
            yield Caution(
                Reason.LOOSE_PINS, "hold", when=life.last_seen, places=life.places, text=life.remark
            )
    for figures in measured:
        failing = [
            figure
            for figure in figures.latest
            if figures.kind.name == "pin torque" and figure.value <= FAILING_TORQUE
        ]
        if failing:
            keys = sorted({figure.key for figure in failing if figure.key is not None})
            places = tuple((key, key) for key in keys)
            yield Caution(Reason.TORQUE, "hold", when=failing[0].when, places=places)


def _wire(marks: Sequence[MarkLife]) -> Iterator[Caution]:
    for life in marks:
        if life.kind == "rusty strings" and life.is_open:
            yield Caution(
                Reason.RUST, "steps", when=life.last_seen, places=life.places, text=life.remark
            )
        elif life.kind == "broken strings":
            yield Caution(
                Reason.BROKEN, "steps", when=life.first_seen, places=life.places, text=life.remark
            )
