"""What is known of an instrument before a visit, as lines of the note that the visit will make."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from dossier.analysis.clocks import Clock
from dossier.analysis.concerns import AdviceLife
from dossier.analysis.condition import MarkLife, MeasuredLife
from dossier.analysis.findings import Findings
from dossier.desk.lines import number, scalar, tell, wait
from dossier.desk.references import advice_reference, problem_reference
from dossier.edition.bench_notes import CLOCK_WORDS
from dossier.model import Air, History, Pitch, Reading, Visit
from dossier.quantities import Formatter, Place, place_name

LONG_UNSEEN = timedelta(days=2 * 365)
"""After which a component is offered to be looked at again.  Common practice, no source."""

LATEST_READINGS = 5
USUAL_NOTES = (13, 25, 37, 49, 61, 73)
"""A1 to A6, offered where no earlier visit read a pitch.  Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Known:
    """One instrument's history with what follows from it, on the day of a new note."""

    history: History
    findings: Findings
    today: date

    @property
    def last(self) -> Visit | None:
        return self.history.visits[-1] if self.history.visits else None


def known_lines(known: Known) -> tuple[str, ...]:
    """All of it, part by part, an empty line before each: what leads, what waits, what ends."""
    parts = (
        (*_warnings(known), *_last_visit(known), *_clocks(known)),
        _first_keys(known),
        _problems(known),
        _marks(known),
        _measured(known),
        _advice(known),
        _unseen(known),
        _equipment(known),
        _last_keys(known),
    )
    lines: list[str] = []
    for part in parts:
        made = tuple(part)
        lines += ["", *made] if made and lines else made
    return tuple(lines)


def open_in_words(known: Known) -> tuple[str, ...]:
    """What is open on an instrument, each in a few words, for a row of a round or a list."""
    findings = known.findings
    unsafe = (f"unsafe: {findings.unsafe.text}",) if findings.unsafe else ()
    problems = (life.problem.text for life in findings.problems if life.is_open)
    marks = (f"{life.kind} {_runs(life.places)}" for life in findings.marks if life.is_open)
    advice = (f"advice, {life.advice.text}" for life in findings.advice if life.is_open)
    follows = (follow.text for follow in known.last.follow) if known.last else ()
    return (*unsafe, *follows, *problems, *marks, *advice)


def _warnings(known: Known) -> Iterator[str]:
    unsafe, own = known.findings.unsafe, known.history.instrument
    if unsafe is not None:
        yield tell(f"UNSAFE since {unsafe.since}: {unsafe.text}")
        yield from wait("safe", "")
    if own.leave_below_pitch:
        yield tell(f"Leave below pitch: {own.leave_below_pitch}")
    if known.history.reference_hz != float(known.history.shop.reference_hz):
        yield tell(f"Its pitch is A4 = {number(known.history.reference_hz)} Hz")


def _last_visit(known: Known) -> Iterator[str]:
    if known.last is None:
        yield tell("No visit has been written down yet.")
        return
    last = known.last
    yield tell(f"Last visit {last.date}: {last.reason}" if last.reason else f"Last {last.date}")
    air = next((visit for visit in reversed(known.history.visits) if visit.air), None)
    if air is not None and air.air is not None:
        yield tell(f"air {_air(air.air, known)} ({air.date})")
    pitch = next((v for v in reversed(known.history.visits) if v.found or v.left), None)
    if pitch is not None:
        stages = (("found", pitch.found), ("left", pitch.left))
        told = (f"{name} {_pitch(stage)}" for name, stage in stages if stage is not None)
        yield tell(f"{'; '.join(told)} ({pitch.date})")
    for follow in last.follow:
        when = f", {follow.when.text}" if follow.when else ""
        yield tell(f"To do: {follow.text}{when}")


def _air(air: Air, known: Known) -> str:
    form = Formatter("en", known.history.shop.units)
    parts = []
    if air.temperature_c is not None:
        parts.append(form.temperature(air.temperature_c))
    if air.humidity is not None:
        parts.append(form.humidity(air.humidity))
    return ", ".join(parts).replace("\N{NO-BREAK SPACE}", " ")


def _pitch(pitch: Pitch) -> str:
    return ", ".join(map(_reading, pitch.readings)) if pitch.readings else pitch.how


def _reading(reading: Reading) -> str:
    figure = f"{number(reading.cents, sign=True)}"
    if reading.hertz is not None:
        figure = f"{number(reading.hertz)} Hz"
    if reading.key is None:
        return figure if reading.hertz is not None else f"{figure} cents"
    return f"{_place(reading.key, reading.string)} {figure}"


def _clocks(known: Known) -> Iterator[str]:
    """The clocks that have run since the last visit or wait for an answer, and those that run."""
    since = known.last.date if known.last else known.today
    for clock in known.findings.clocks:
        if clock.closed is not None or known.today < clock.started:
            continue
        if clock.ends > known.today:
            yield tell(f"{_clock(clock)}: runs until {clock.ends}")
        elif clock.needs_answer or clock.ends > since:
            yield tell(f"{_clock(clock)}: ran until {clock.ends}, look at it")


def _clock(clock: Clock) -> str:
    return f"{CLOCK_WORDS[clock.kind]} ({clock.text})" if clock.text else CLOCK_WORDS[clock.kind]


def _first_keys(known: Known) -> Iterator[str]:
    reasons = known.findings.coming.reasons if known.findings.coming else ()
    follow = next((reason.text for reason in reasons if reason.kind == "follow"), "")
    yield from wait("reason", scalar(follow) if follow else "")
    imperial = known.history.shop.units == "imperial"
    yield from wait("air", " °F,  %" if imperial else " °C,  %")
    yield from wait("found", " , ".join(usual_notes(known.history)))
    yield from wait("left", "on pitch")


def usual_notes(history: History) -> tuple[str, ...]:
    """The notes that most of the latest visits with readings have read, upwards."""
    read = [
        {(reading.key, reading.string) for reading in visit.found.readings if reading.key}
        for visit in history.visits
        if visit.found is not None
    ]
    latest = [places for places in read if places][-LATEST_READINGS:]
    counts = Counter(place for places in latest for place in places)
    usual = sorted(
        ((key, string or 0) for (key, string), count in counts.items() if 2 * count > len(latest))
    )
    own = history.instrument
    offered = usual or [(key, 0) for key in USUAL_NOTES if own.lowest_key <= key <= own.highest_key]
    return tuple(_place(key, string or None) for key, string in offered)


def _problems(known: Known) -> Iterator[str]:
    lives = [life for life in known.findings.problems if life.is_open]
    if not lives:
        return
    for life in lives:
        news = "".join(f"; {item.what} {item.when}" for item in life.news[-1:])
        yield tell(f"Open problem: {life.problem.text} (seen {life.since}{news})")
    names = [scalar(problem_reference(known.history, life, known.today)) for life in lives]
    for key in ("fixed", "watched"):
        yield from wait(key, *names)


def _marks(known: Known) -> Iterator[str]:
    """Marks to look at again: first all of them as right, then each as it was."""
    lives = [m for m in known.findings.marks if m.is_open or m.state in ("treated", "holding")]
    by_kind: dict[str, list[MarkLife]] = {}
    for life in lives:
        by_kind.setdefault(life.kind, []).append(life)
        remark = f", {life.remark}" if life.remark else ""
        yield tell(
            f"To look at again: {life.kind} {_runs(life.places)}{remark} "
            f"(seen {life.last_seen}, {life.state})"
        )
    if not by_kind:
        return
    runs = {
        kind: _runs(sorted(run for life in of_kind for run in life.places))
        for kind, of_kind in by_kind.items()
    }
    yield from wait("clear", *(scalar(f"{kind} {notes}") for kind, notes in runs.items()))
    for kind, notes in runs.items():
        yield from wait(kind, notes)


def _measured(known: Known) -> Iterator[str]:
    for life in known.findings.measured:
        outside = [figure for figure in life.latest if life.outside(figure)]
        if not outside or life.target is None:
            continue
        low, high, _ = life.target
        unit = life.kind.unit
        told = ", ".join(
            f"{_place(figure.key, figure.string)} {number(figure.value)}".strip()
            for figure in outside
        )
        yield tell(
            f"{life.kind.name} {outside[0].when}: {told} {unit}, "
            f"and the target is {number(low)}-{number(high)} {unit}"
        )
        yield from wait(life.kind.name, _to_measure(life))


def _to_measure(life: MeasuredLife) -> str:
    """The places measured last time, each with room for its figure."""
    places = (_place(figure.key, figure.string) for figure in life.latest)
    return ", ".join(f"{place}  {life.kind.unit}" for place in places)


def _advice(known: Known) -> Iterator[str]:
    lives = [life for life in known.findings.advice if life.is_open]
    if not lives:
        return
    for life in lives:
        yield tell(_advice_told(life, known.today))
    names = {
        life.advice.id: scalar(advice_reference(known.history, life, known.today)) for life in lives
    }
    waiting = [names[life.advice.id] for life in lives if life.waiting]
    if waiting:
        yield from wait("agreed", *waiting)
        yield from wait("declined", *waiting)
    yield from wait("done", *names.values())


def _advice_told(life: AdviceLife, today: date) -> str:
    when = ""
    if life.advice.before is not None:
        before = "before " if life.before else ""
        when = f", {before}{life.advice.before.text}"
    state = "agreed, not yet seen done"
    if life.waiting:
        state = "waits for an answer"
    late = f" since {life.decide_by}" if life.waiting and life.decide_by < today else ""
    return f"Advised {life.given}: {life.advice.text}{when}; {state}{late}"


def _unseen(known: Known) -> Iterator[str]:
    unseen = [
        life.component
        for life in known.findings.components
        if life.seen is None or known.today - life.seen > LONG_UNSEEN
    ]
    if unseen and known.last is not None:
        yield tell("Not looked at for two years, or never:")
        yield "#condition:"
        yield from (f"#  {component}: not examined" for component in unseen)


def _equipment(known: Known) -> Iterator[str]:
    if not known.findings.equipment:
        return
    when, note = known.findings.equipment[-1]
    if note.what == "removed":
        return
    yield tell(f"Humidity equipment: {note.what} {when} {note.text}")
    yield from wait("humidity equipment", "working")


def _last_keys(known: Known) -> Iterator[str]:
    history = known.history
    yield from ("#work:", "#  - tuning")
    interval = history.instrument.interval or history.client.interval or history.shop.interval
    yield from wait("next", f"tuning, {interval.text}" if interval else "")
    fees = [visit.fee for visit in history.visits if visit.fee is not None and visit.fee.amount]
    if fees:
        amount = f"{fees[-1].amount:f}".removesuffix(".00")
        yield from wait("fee", f"{amount} {fees[-1].currency}")


def _runs(runs: Iterable[tuple[int, int]]) -> str:
    return ", ".join(place_name(Place(first, last), "ascii") for first, last in runs)


def _place(key: int | None, string: int | None = None) -> str:
    return "" if key is None else place_name(Place(key, key, string), "ascii")
