"""The strings on the bench: totals, margins, breaks and unisons, by the scale or by assumption."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dossier.analysis.findings import Findings
from dossier.analysis.scale import (
    ASSUMED_SHORT_TONS,
    SHORT_TON,
    STANDARD_GRAVITY,
    Jump,
    ScaleReport,
    StringLoad,
    between,
    total,
    weakest,
)
from dossier.edition.figures import Figure, StringPull, TensionAlong
from dossier.edition.identity import reference
from dossier.edition.pitch_view import ticks
from dossier.edition.view import Fact, Table
from dossier.edition.voice import Voice, capital
from dossier.model import History

POUND_FORCE = SHORT_TON / 2000.0
"""N."""

TOLD_JUMP = 0.1
"""Share by which the tension must change at a break to be the chart's finding.  No source."""


TOLD_CHANGE = 0.002
"""Share of the total from which the pitch last known is told beside the target: 2 cents."""


def force(newtons: float, voice: Voice) -> str:
    """The tension of one string: N, or pounds-force where the shop reckons so."""
    w, form = voice.words, voice.form
    if form.units == "imperial":
        return w("{n} lbf", n=form.number(newtons / POUND_FORCE, 0))
    return w("{n} N", n=form.number(newtons, 0))


def load_of(newtons: float, voice: Voice, *, signed: bool = False, digits: int = 1) -> str:
    """The load of many strings: kN, or pounds-force."""
    w, form = voice.words, voice.form
    write = form.signed if signed else form.number
    if form.units == "imperial":
        return w("{n} lbf", n=write(newtons / POUND_FORCE, 0))
    return w("{n} kN", n=write(newtons / 1000.0, digits))


def percent(value: float, voice: Voice, *, signed: bool = False) -> str:
    """A share in %, changes to a tenth."""
    form = voice.form
    return voice.words("{n} %", n=form.signed(value, 1) if signed else form.number(value, 0))


def string_facts(history: History, findings: Findings, voice: Voice) -> tuple[Fact, ...]:
    """Total tension, by register and at the breaks; the stated assumption where no scale is."""
    w, scale = voice.words, findings.scale
    if scale is None:
        low, high = (tons * SHORT_TON for tons in ASSUMED_SHORT_TONS)
        tons = "–".join(voice.form.number(tons, 0) for tons in ASSUMED_SHORT_TONS)
        told = w(
            "about {tons} short tons ({low} to {high})",
            tons=tons,
            low=load_of(low, voice, digits=0),
            high=load_of(high, voice, digits=0),
        )
        why = w("assumed for a large instrument; no scale is on file")
        return (Fact(w("Total tension"), told, why),)
    return tuple(_facts(history, findings, scale, voice))


def _facts(
    history: History, findings: Findings, scale: ScaleReport, voice: Voice
) -> Iterator[Fact]:
    w = voice.words
    strings = sum(load.strings for load in scale.at_target)
    yield Fact(
        w("Tension of the notes in the scale") if scale.missing > 0 else w("Total tension"),
        _total(scale.at_target, voice),
        w(
            "at {target}, {notes}, {strings}",
            target=reference(history, voice),
            notes=_notes(len(scale.at_target), voice),
            strings=w.plural("{n} string", "{n} strings", strings),
        ),
    )
    if _elsewhere(scale) and findings.pitches:
        when = voice.form.date(findings.pitches[-1].when)
        yield Fact(w("At the pitch last known"), _total(scale.at_pitch, voice), when)
    if scale.missing > 0:
        yield Fact(w("Not in the scale"), _notes(scale.missing, voice))
    for name, first, last in findings.registers:
        inside = between(scale.at_target, first, last)
        if inside:
            each = sum(load.tension for load in inside) / len(inside)
            mean = w("{force} a string on average", force=force(each, voice))
            yield Fact(capital(w.term(name)), load_of(total(inside), voice), mean)
    for jump in scale.jumps:
        yield Fact(w("Break at {note}", note=voice.key(jump.above)), _jump(jump, voice))


def _elsewhere(scale: ScaleReport) -> bool:
    """Whether the pitch last known is far enough from the target to load the strings otherwise."""
    return (
        bool(scale.at_pitch)
        and abs(total(scale.at_pitch) / total(scale.at_target) - 1.0) > TOLD_CHANGE
    )


def _total(loads: Sequence[StringLoad], voice: Voice) -> str:
    newtons, form = total(loads), voice.form
    return voice.words(
        "{force} ({kgf} kgf, {tons} short tons)",
        force=load_of(newtons, voice),
        kgf=form.number(newtons / STANDARD_GRAVITY, 0),
        tons=form.number(newtons / SHORT_TON, 1),
    )


def _notes(count: int, voice: Voice) -> str:
    return voice.words.plural("{n} note", "{n} notes", count)


def _jump(jump: Jump, voice: Voice) -> str:
    return voice.words(
        "tension {change}, inharmonicity × {ratio}",
        change=percent((jump.tension - 1.0) * 100.0, voice, signed=True),
        ratio=voice.form.number(jump.inharmonicity, 2),
    )


def string_words(findings: Findings, voice: Voice) -> tuple[str, ...]:
    """What the figures of a scale rest on."""
    w, scale = voice.words, findings.scale
    if scale is None:
        return ()
    said = [
        w(
            "By Mersenne's law at equal temperament, without the stretch. Strength in use is "
            "against the least strength of new wire (ASTM A228), wound strings by their core; old "
            "or rusty wire holds less."
        )
    ]
    if any(load.worked for load in scale.at_target):
        said.append(
            w(
                "Wound strings without a mass are worked out for one layer of round copper wire "
                "laid turn to turn."
            )
        )
    return tuple(said)


def string_table(findings: Findings, voice: Voice) -> Table | None:
    """The notes whose wire is nearest to its strength."""
    w, scale = voice.words, findings.scale
    nearest = weakest(scale.at_target) if scale else ()
    if scale is None or not nearest:
        return None
    now = {load.key: load for load in scale.at_pitch} if _elsewhere(scale) else {}
    columns = [w("Note"), w("Wire"), w("One string"), w("Strength in use"), w("B, 10⁻⁴")]
    if now:
        columns.insert(4, w("At the pitch last known"))
    rows = []
    for load in nearest:
        cells = [
            voice.key(load.key),
            voice.form.length(load.diameter_mm, 3),
            force(load.tension, voice),
            _share(load, voice),
            voice.form.number(load.inharmonicity * 1e4, 1),
        ]
        if now:
            cells.insert(4, _share(now[load.key], voice))
        rows.append(tuple(cells))
    return Table(
        caption=w("Nearest to breaking, at the target"),
        columns=tuple(columns),
        rows=tuple(rows),
        numeric=(False, *(True for _ in columns[1:])),
    )


def _share(load: StringLoad, voice: Voice) -> str:
    return "" if load.share is None else percent(load.share * 100.0, voice)


def string_figures(history: History, findings: Findings, voice: Voice) -> tuple[Figure, ...]:
    """The tension of one string of each note, from bass to treble."""
    w, scale, own = voice.words, findings.scale, history.instrument
    if scale is None:
        return ()
    loads = scale.at_target
    weak = {load.key for load in weakest(loads)}
    low, high = min(load.tension for load in loads), max(load.tension for load in loads)
    span = {"low": force(low, voice), "high": force(high, voice)}
    target = reference(history, voice)
    unit, word = 1.0, w("tension of one string, N")
    if voice.form.units == "imperial":
        unit, word = POUND_FORCE, w("tension of one string, lbf")
    figure = Figure(
        id="string-tension",
        title=_title(scale, span, voice),
        sentence=w("Tension of one string of each note at {target}, by the scale.", target=target),
        alt=w(
            "Chart of the tension of one string of each note along the compass, between {low} and "
            "{high}.",
            **span,
        ),
        basis=w(
            "the scale on file, {notes}, at {target}",
            notes=_notes(len(loads), voice),
            target=target,
        ),
        table=_scale_table(loads, voice),
        signs=voice.form.signs,
        drawn=TensionAlong(
            first=own.lowest_key,
            last=own.highest_key,
            ticks=ticks(own.lowest_key, own.highest_key, voice),
            breaks=own.breaks,
            pulls=tuple(
                StringPull(
                    load.key,
                    voice.key(load.key),
                    round(load.tension / unit, 1),
                    wound=load.wound,
                    weak=load.key in weak,
                )
                for load in loads
            ),
            tension_word=word,
            plain_word=w("plain"),
            wound_word=w("wound"),
            weak_word=w("nearest to breaking"),
        ),
    )
    return (figure,)


def _title(scale: ScaleReport, span: dict[str, str], voice: Voice) -> str:
    w = voice.words
    widest = max(scale.jumps, key=lambda jump: abs(jump.tension - 1.0), default=None)
    if widest is None or abs(widest.tension - 1.0) < TOLD_JUMP:
        return w("Tension between {low} and {high} a string", **span)
    note = voice.key(widest.above)
    size = percent(abs(widest.tension - 1.0) * 100.0, voice)
    if widest.tension < 1.0:
        return w("Tension drops by {size} at the break, {note}", size=size, note=note)
    return w("Tension rises by {size} at the break, {note}", size=size, note=note)


def _scale_table(loads: Sequence[StringLoad], voice: Voice) -> Table:
    w = voice.words
    return Table(
        caption=w("The scale, note by note"),
        columns=(w("Note"), w("Strings"), w("One string"), w("Strength in use"), w("B, 10⁻⁴")),
        rows=tuple(
            (
                voice.key(load.key),
                voice.form.number(load.strings, 0),
                force(load.tension, voice),
                _share(load, voice),
                voice.form.number(load.inharmonicity * 1e4, 1),
            )
            for load in loads
        ),
        numeric=(False, True, True, True, True),
    )


def unison_table(findings: Findings, voice: Voice) -> Table | None:
    """How far the strings of a note have parted, where they were read one by one."""
    w = voice.words
    if not findings.unisons:
        return None
    rows = tuple(
        (
            voice.form.date(one.when),
            capital(w.term(one.register)),
            voice.form.number(one.notes, 0),
            voice.tenth(one.mean),
            w("{n} at {note}", n=voice.tenth(one.widest), note=voice.key(one.widest_key)),
        )
        for one in reversed(findings.unisons)
    )
    return Table(
        caption=w("Unisons as found, in cents between the strings of a note"),
        columns=(w("Visit"), w("Register"), w("Notes read"), w("On average"), w("Widest")),
        rows=rows,
        numeric=(False, False, True, True, True),
    )
