"""Pitch on a page: from bass to treble at the last visit read, and through the years."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from dossier.analysis.findings import Findings
from dossier.analysis.pitch import Level, WorkClass, cents
from dossier.analysis.tuning import Stage, VisitPitch
from dossier.edition.figures import (
    AlongCompass,
    Figure,
    KeyCents,
    RegisterCents,
    Tag,
    ThroughYears,
    YearPoint,
)
from dossier.edition.view import Table
from dossier.edition.voice import Voice, capital
from dossier.model import History, Visit


def ticks(first: int, last: int, voice: Voice) -> tuple[tuple[int, str], ...]:
    """The notes that name a compass's axis: its ends and every C between them."""
    inner = [key for key in range(first, last + 1) if (key - 4) % 12 == 0]
    ends = [first] if not inner or inner[0] - first > 3 else []
    return tuple((key, voice.key(key)) for key in [*ends, *inner])


def pitch_figures(history: History, findings: Findings, voice: Voice) -> tuple[Figure, ...]:
    """The pictures of the pitch that the record can carry: none is drawn from nothing."""
    found = [_along(history, findings, voice), _years(history, findings, voice)]
    return tuple(figure for figure in found if figure is not None)


def _along(history: History, findings: Findings, voice: Voice) -> Figure | None:
    """The last visit that read single notes, as found and as left."""
    w, own = voice.words, history.instrument
    read = [(item, item.found) for item in findings.pitches if item.found and item.found.by_key]
    if not read:
        return None
    pitch, found = read[-1]
    visit = next(visit for visit in history.visits if visit.id == pitch.visit)
    when = voice.form.date(pitch.when)
    found_word, left_word = w("as found"), w("as left")
    level = found.overall
    basis = voice.span(level.readings_count, level.first_key, level.last_key)
    return Figure(
        id="pitch-along",
        title=_along_title(pitch, found, voice),
        sentence=w(
            "Pitch from bass to treble on {date}: what was found, and how it was left.", date=when
        ),
        alt=_along_alt(pitch, found, voice),
        basis=w("{readings}, {date}", readings=basis, date=when),
        table=_along_table(pitch, found, visit, voice),
        signs=voice.form.signs,
        drawn=AlongCompass(
            when=pitch.when,
            first=own.lowest_key,
            last=own.highest_key,
            ticks=ticks(own.lowest_key, own.highest_key, voice),
            breaks=own.breaks,
            found=_keys(found, voice),
            left=_keys(pitch.left, voice),
            found_levels=_levels(found, history, voice),
            left_levels=_levels(pitch.left, history, voice),
            found_word=found_word,
            left_word=left_word,
            cents_word=w("cents from the target"),
        ),
    )


def _along_title(pitch: VisitPitch, found: Stage, voice: Voice) -> str:
    w = voice.words
    shown = voice.pitch(found.overall.cents)
    if pitch.left is None:
        return w("Found {found}", found=shown)
    return w("Found {found}, left {left}", found=shown, left=voice.pitch(pitch.left.overall.cents))


def _along_alt(pitch: VisitPitch, found: Stage, voice: Voice) -> str:
    w = voice.words
    levels = [
        w("{register} {pitch}", register=capital(w.term(name)), pitch=voice.pitch(level.cents))
        for name, level in found.levels
    ]
    left = voice.pitch(pitch.left.overall.cents) if pitch.left else w("not tuned")
    return w(
        "Chart of the pitch along the compass. As found: {levels}. As left: {left}.",
        levels=voice.listed(levels),
        left=left,
    )


def _keys(stage: Stage | None, voice: Voice) -> tuple[KeyCents, ...]:
    if stage is None:
        return ()
    return tuple(KeyCents(key, voice.key(key), round(cents, 1)) for key, cents in stage.by_key)


def _levels(stage: Stage | None, history: History, voice: Voice) -> tuple[RegisterCents, ...]:
    if stage is None:
        return ()
    if not stage.levels:
        own, level = history.instrument, stage.overall
        return (
            RegisterCents(
                voice.words("whole compass"), own.lowest_key, own.highest_key, round(level.cents, 1)
            ),
        )
    return tuple(
        RegisterCents(
            voice.words.term(name), level.first_key, level.last_key, round(level.cents, 1)
        )
        for name, level in stage.levels
    )


def _along_table(pitch: VisitPitch, found: Stage, visit: Visit, voice: Voice) -> Table:
    w = voice.words
    left = dict(pitch.left.by_key) if pitch.left else {}
    lines = {
        reading.key: reading.span.line
        for reading in (visit.found.readings if visit.found else ())
        if reading.key is not None
    }
    rows = tuple(
        (
            voice.key(key),
            voice.cents(cents),
            voice.cents(left[key]) if key in left else "",
            w("line {n}", n=lines[key]) if key in lines else "",
        )
        for key, cents in found.by_key
    )
    return Table(
        caption=w("Readings of {date}, in cents from the target", date=voice.form.date(pitch.when)),
        columns=(w("Note"), w("As found"), w("As left"), w("Noted in")),
        rows=rows,
        numeric=(False, True, True, False),
    )


def register_table(pitch: VisitPitch, voice: Voice) -> Table | None:
    """A visit's pitch by register, with what each figure rests on."""
    w = voice.words
    found = dict(pitch.found.levels) if pitch.found else {}
    left = dict(pitch.left.levels) if pitch.left else {}
    rows = [
        _register_row(capital(w.term(name)), found.get(name), left.get(name), voice)
        for name in _bass_first({**left, **found})
    ]
    overall = _register_row(
        w("Whole compass"),
        pitch.found.overall if pitch.found else None,
        pitch.left.overall if pitch.left else None,
        voice,
    )
    if not found and not left:
        return None
    return Table(
        caption=w("Pitch by register on {date}, in cents", date=voice.form.date(pitch.when)),
        columns=(
            w("Register"),
            w("As found"),
            w("As left"),
            w("Change"),
            w("Unevenness"),
            w("Rests on"),
        ),
        rows=(*rows, overall),
        numeric=(False, True, True, True, True, False),
    )


def _bass_first(levels: Mapping[str, Level]) -> tuple[str, ...]:
    return tuple(sorted(levels, key=lambda name: levels[name].first_key))


def _register_row(
    name: str, found: Level | None, left: Level | None, voice: Voice
) -> tuple[str, ...]:
    """A row in cents without their unit, which the caption names: a phone has room for no more."""
    return (
        name,
        _figure(found.cents, voice) if found else "",
        _figure(left.cents, voice) if left else "",
        _figure(left.cents - found.cents, voice) if found and left else "",
        _unevenness(found or left, voice),
        _rests_on(found or left, voice),
    )


def _figure(cents: float, voice: Voice) -> str:
    return voice.form.cents_number(Decimal(str(round(cents, 1))))


def _unevenness(level: Level | None, voice: Voice) -> str:
    """The spread of the readings about the level, of the same stage as what it rests on."""
    if level is None or level.spread is None:
        return ""
    return voice.tenth(level.spread)


def _rests_on(level: Level | None, voice: Voice) -> str:
    if level is None:
        return ""
    if level.whole:
        return voice.words("one figure for the whole")
    return voice.span(level.readings_count, level.first_key, level.last_key)


def _years(history: History, findings: Findings, voice: Voice) -> Figure | None:
    w = voice.words
    if len({pitch.when for pitch in findings.pitches}) < 2:
        return None
    points = tuple(point for pitch in findings.pitches for point in _points(pitch, history, voice))
    humidity = tuple(
        (reading.when, reading.humidity)
        for reading in findings.readings
        if reading.humidity is not None
    )
    band = history.shop.band
    first, last = findings.pitches[0].when, findings.pitches[-1].when
    count = len(findings.pitches)
    return Figure(
        id="pitch-years",
        title=_years_title(history, findings, voice),
        sentence=w(
            "Each visit's pitch as found and as left, by register, above the humidity read on the "
            "same days."
        ),
        alt=w(
            "Chart of the pitch at {n} visits from {first} to {last}, as found and as left, with "
            "the relative humidity read at the visits.",
            n=count,
            first=voice.form.month(first),
            last=voice.form.month(last),
        ),
        basis=w.plural(
            "{n} visit, {first} to {last}",
            "{n} visits, {first} to {last}",
            count,
            first=voice.form.month(first),
            last=voice.form.month(last),
        ),
        table=_years_table(findings, voice),
        signs=voice.form.signs,
        drawn=ThroughYears(
            registers=_registers(points, findings, voice),
            points=points,
            humidity=humidity,
            band=(float(band.low), float(band.high)),
            tags=_tags(history, findings, voice),
            found_word=w("as found"),
            left_word=w("as left"),
            cents_word=w("cents from the target"),
            humidity_word=w("relative humidity, %"),
            whole=w("whole compass"),
        ),
    )


def _registers(points: Iterable[YearPoint], findings: Findings, voice: Voice) -> tuple[str, ...]:
    """The registers of which a point stands there, bass first, and last the whole compass."""
    w, used = voice.words, {point.register for point in points}
    names = (*(w.term(name) for name, *_ in findings.registers), w("whole compass"))
    return tuple(name for name in dict.fromkeys(names) if name in used)


def _years_title(history: History, findings: Findings, voice: Voice) -> str:
    w = voice.words
    found = [
        pitch.found.overall.cents + from_reference(pitch, history)
        for pitch in findings.pitches
        if pitch.found
    ]
    if not found:
        return w.plural(
            "Tuned {n} time; the pitch as found was not read",
            "Tuned {n} times; the pitch as found was not read",
            len(findings.pitches),
        )
    low, high = min(found), max(found)
    if round(low) == round(high):
        return w("Found {pitch} at every visit", pitch=voice.pitch(low))
    return w("Found between {low} and {high}", low=voice.pitch(low), high=voice.pitch(high))


def from_reference(pitch: VisitPitch, history: History) -> float:
    """Cents from the instrument's reference pitch to a visit's own target.

    Years are compared on one scale, also where a visit aimed at another pitch.
    """
    return cents(pitch.reference_hz, history.reference_hz)


def _points(pitch: VisitPitch, history: History, voice: Voice) -> tuple[YearPoint, ...]:
    shift = from_reference(pitch, history)
    return tuple(
        YearPoint(pitch.when, level.name, number, round(level.cents + shift, 1))
        for number, stage in enumerate((pitch.found, pitch.left))
        for level in _levels(stage, history, voice)
    )


def _tags(history: History, findings: Findings, voice: Voice) -> tuple[Tag, ...]:
    w = voice.words
    raises = [
        Tag(pitch.when, w("raise")) for pitch in findings.pitches if pitch.work is WorkClass.RAISE
    ]
    first, last = findings.pitches[0].when, findings.pitches[-1].when
    moves = [
        Tag(event.when.earliest, w.term(event.kind))
        for event in history.instrument.provenance
        if event.kind in ("moved", "restrung", "rebuilt")
        and event.when.earliest is not None
        and first <= event.when.earliest <= last
    ]
    fitted = [
        Tag(when, w("humidity equipment {state}", state=w.term(note.what)))
        for when, note in findings.equipment
        if note.what in ("fitted", "unplugged") and first <= when <= last
    ]
    once = dict.fromkeys((*raises, *moves, *fitted))
    return tuple(sorted(once, key=lambda tag: tag.when))


def _years_table(findings: Findings, voice: Voice) -> Table:
    w = voice.words
    humidity = {reading.visit: reading.humidity for reading in findings.readings}
    rows = tuple(_years_row(pitch, humidity.get(pitch.visit), voice) for pitch in findings.pitches)
    return Table(
        caption=w("Pitch at each visit"),
        columns=(w("Date"), w("As found"), w("As left"), w("Target"), w("Humidity")),
        rows=rows,
        numeric=(False, True, True, True, True),
    )


def _years_row(pitch: VisitPitch, humidity: float | None, voice: Voice) -> tuple[str, ...]:
    left = voice.cents(pitch.left.overall.cents) if pitch.left else ""
    if pitch.left is not None and pitch.left.assumed:
        left = voice.words("{cents} (not noted; assumed)", cents=left)
    return (
        voice.form.date(pitch.when),
        voice.cents(pitch.found.overall.cents) if pitch.found else "",
        left,
        voice.form.hertz(Decimal(str(pitch.reference_hz))),
        voice.form.humidity(Decimal(str(humidity))) if humidity is not None else "",
    )
