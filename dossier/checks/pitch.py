"""Is the pitch that was read likely, and does the note say why it was left as it was?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from itertools import pairwise
from statistics import median

from dossier.analysis.compass import Register, registers
from dossier.analysis.tuning import TUNING_KINDS, tuned
from dossier.checks.check import figure, histories, offset, shortened, visits, warning
from dossier.diagnostics import Diagnostic, Span
from dossier.model import History, Notebook, Pitch, Reading, Visit
from dossier.quantities import key_name

# In cents.  Common practice, no source.
FAR_OFF = 100
IMPOSSIBLE = 300
JUMP = 60
LEFT_WITHIN = 5
# In Hz: the low pitch of old instruments, and the highest that orchestras went.  From memory.
LOWEST_HZ, HIGHEST_HZ = 415, 466

# Away from the middle, a reading in Hz is some cents off a good tuning, which is stretched.
MIDDLE_KEYS = range(40, 65)

RAISED = TUNING_KINDS - {"tuning"}


def far_off(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A whole instrument found a semitone off is rarer than a forgotten figure or a wrong sign."""
    for history, visit in visits(notebook):
        if visit.found is None or not visit.found.readings or _explained(history, visit):
            continue
        middle = median(reading.cents for reading in visit.found.readings)
        if FAR_OFF < abs(middle) <= IMPOSSIBLE:
            yield warning(
                "pitch-far-off",
                f"It was found {offset(middle)}, and no pitch raise is noted."
                if middle < 0
                else f"It was found {offset(middle)}, and no lowering is noted.",
                visit.place_of("found"),
                "Check the figures and their signs, or write what was done about it under work.",
            )


def _explained(history: History, visit: Visit) -> bool:
    """Whether the note says that it was raised, or was knowingly left where it stood."""
    raised = any(work.kind in RAISED for work in visit.work)
    untouched = visit.left is not None and visit.left.how == "as found"
    return raised or untouched or visit.floated or bool(history.instrument.leave_below_pitch)


def impossible(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Three semitones off is another note: the key or the frequency was misread."""
    for _history, visit in visits(notebook):
        for reading in _all_readings(visit):
            if abs(reading.cents) > IMPOSSIBLE:
                yield warning(
                    "pitch-impossible",
                    f"{_name(reading)} is {offset(reading.cents)}, more than three semitones.",
                    reading.span,
                    "Check the figure, and the octave of the note.",
                )


def jumps(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Neighbours drift together, but for a break, where bridge and wire change."""
    for history, visit in visits(notebook):
        sections = registers(history.instrument)
        for pitch in (visit.found, visit.left):
            yield from _jumps(pitch, sections)


def _jumps(pitch: Pitch | None, sections: tuple[Register, ...]) -> Iterator[Diagnostic]:
    by_key: dict[int, list[Reading]] = {}
    for reading in pitch.readings if pitch else ():
        if reading.key is not None and abs(reading.cents) <= IMPOSSIBLE:
            by_key.setdefault(reading.key, []).append(reading)
    for _name_of_section, first, last in sections:
        keys = sorted(key for key in by_key if first <= key <= last)
        for below, above in pairwise(keys):
            step = _mean(by_key[above]) - _mean(by_key[below])
            if abs(step) > JUMP:
                yield warning(
                    "pitch-jump",
                    f"{key_name(above, 'ascii')} is {offset(step)} of "
                    f"{key_name(below, 'ascii')}, the reading beside it.",
                    by_key[above][0].span,
                    "One of the two may be misread, or have the wrong sign.",
                )


def _mean(readings: list[Reading]) -> Decimal:
    return sum((reading.cents for reading in readings), Decimal(0)) / len(readings)


def twice(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """What is given twice is used once, and nobody can tell which was meant."""
    for _history, visit in visits(notebook):
        for pitch in (visit.found, visit.left):
            yield from _twice(pitch.readings if pitch else ())


def _twice(readings: Iterable[Reading]) -> Iterator[Diagnostic]:
    seen: dict[int | None, list[Reading]] = {}
    for reading in readings:
        for before in seen.get(reading.key, []):
            same = before.string == reading.string
            if same or before.string is None or reading.string is None:
                yield warning(
                    "reading-twice",
                    f"{_name(reading)} was read on line {before.span.line} already, "
                    f"as {_name(before)}.",
                    reading.span,
                    "Keep the note, or its single strings.",
                )
                break
        seen.setdefault(reading.key, []).append(reading)
    whole = seen.pop(None, [])
    if whole and seen:
        yield warning(
            "reading-twice",
            "The figure for the whole instrument is not used, because single notes were read.",
            whole[0].span,
            "Take it out.",
        )


def left_off(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """An owner who reads that it was left off pitch wants to read why."""
    for history, visit in visits(notebook):
        if visit.left is None or not visit.left.readings or not tuned(visit):
            continue
        if visit.reference_hz is not None or _explained(history, visit):
            continue
        off = [one for one in visit.left.readings if _counts(one) and abs(one.cents) > LEFT_WITHIN]
        if off:
            worst = max(off, key=lambda reading: abs(reading.cents))
            yield warning(
                "left-off-target",
                f"{_name(worst)} was left {offset(worst.cents)} of the target, "
                "and nothing says why.",
                worst.span,
                'Write "floated: yes", the pitch that was aimed at, as in "pitch: A4 = 435 Hz", '
                'or, in instrument.md, "leave below pitch" with its reason.',
            )


def _counts(reading: Reading) -> bool:
    in_middle = reading.key is None or reading.key in MIDDLE_KEYS
    return in_middle if reading.hertz is not None else abs(reading.cents) <= IMPOSSIBLE


def left_on(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """What must stay below pitch and was left on it is a slip of the note, or of the hand."""
    for history, visit in visits(notebook):
        last = max((one.date for one in history.visits if tuned(one)), default=None)
        if not history.instrument.leave_below_pitch or visit.date != last or not tuned(visit):
            continue
        if visit.floated or not _at_full_pitch(history, visit) or not _on_target(visit.left):
            continue
        yield warning(
            "left-on-pitch",
            "It was left on pitch, and its file says to leave it below: "
            f"{shortened(history.instrument.leave_below_pitch)}.",
            visit.place_of("left"),
            'Write the pitch that was aimed at, as in "pitch: A4 = 435 Hz", or take the reason '
            "out of instrument.md.",
        )


def _at_full_pitch(history: History, visit: Visit) -> bool:
    target = visit.reference_hz or history.instrument.reference_hz
    return target is None or target >= history.shop.reference_hz


def _on_target(left: Pitch | None) -> bool:
    if left is None or left.how != "readings":
        return left is not None and left.how == "on pitch"
    return all(abs(reading.cents) <= LEFT_WITHIN for reading in left.readings)


def reference(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Every figure of cents hangs on the reference pitch."""
    yield from _reference(notebook.shop.reference_hz, notebook.shop.place_of("reference_hz"))
    for history in histories(notebook):
        own = history.instrument
        yield from _reference(own.reference_hz, own.place_of("reference_hz"))
    for _history, visit in visits(notebook):
        yield from _reference(visit.reference_hz, visit.place_of("reference_hz"))


def _reference(hertz: Decimal | None, place: Span) -> Iterator[Diagnostic]:
    if hertz is not None and not LOWEST_HZ <= hertz <= HIGHEST_HZ:
        yield warning(
            "reference-pitch",
            f"A4 = {figure(hertz)} Hz is an unlikely reference pitch; "
            f"{LOWEST_HZ} to {HIGHEST_HZ} Hz is usual.",
            place,
            "Check the figure. How far below pitch an instrument stands belongs under found.",
        )


def _all_readings(visit: Visit) -> Iterator[Reading]:
    for pitch in (visit.found, visit.left):
        yield from pitch.readings if pitch else ()


def _name(reading: Reading) -> str:
    if reading.key is None:
        return "The whole"
    string = f".{reading.string}" if reading.string is not None else ""
    return f"{key_name(reading.key, 'ascii')}{string}"
