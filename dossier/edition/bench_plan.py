"""The plan for the pitch on the bench: its passes as a table, and in words why and why not."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from dossier.analysis.cautions import Caution, Reason
from dossier.analysis.findings import Findings
from dossier.analysis.pitch import WorkClass
from dossier.analysis.raising import TO_PITCH_FIRST, RaisePlan, SectionPlan
from dossier.analysis.scale import (
    ASSUMED_SHORT_TONS,
    SHORT_TON,
    ScaleReport,
    StringLoad,
    between,
    total,
)
from dossier.analysis.strings import tension_ratio
from dossier.edition.bench_strings import load_of, percent
from dossier.edition.identity import reference
from dossier.edition.view import Table
from dossier.edition.voice import Voice, capital, sentence
from dossier.model import History

GRADED = frozenset({Reason.PLATE, Reason.PIN_BLOCK, Reason.PINS, Reason.POOR_STRINGS})
"""The reasons that are a grade with its remark."""


def plan_table(history: History, findings: Findings, voice: Voice) -> Table | None:
    """Each register's way to the pitch, pass by pass; None where nothing is to be moved."""
    plan, w = findings.raising, voice.words
    if plan is None or not plan.passes:
        return None
    back = w("rises back to") if plan.work is WorkClass.LOWERING else w("falls back to")
    passes = [
        column
        for number in range(1, plan.passes + 1)
        for column in (w("Pass {n}: set to", n=number), back)
    ]
    pulls = (w("Load"),) if findings.scale else ()
    columns = (w("Register"), w("Keys"), w("Stands at"), *passes, w("Tension, %"), *pulls)
    return Table(
        caption=w("Plan, in cents from {target}", target=reference(history, voice)),
        columns=columns,
        rows=tuple(_row(one, plan, findings.scale, voice) for one in plan.sections),
        numeric=(False, False, *(True for _ in columns[2:])),
    )


def _row(
    one: SectionPlan, plan: RaisePlan, scale: ScaleReport | None, voice: Voice
) -> tuple[str, ...]:
    section, form = one.section, voice.form
    figures = [one.level, *(at for done in one.passes for at in (done.aim, done.rests))]
    cells = [
        capital(_name(one, voice)),
        voice.run(section.first_key, section.last_key),
        *(form.signed(figure, 1) for figure in figures),
        form.signed(one.tension, 1),
    ]
    if scale is not None:
        strings = between(scale.at_target, section.first_key, section.last_key)
        now = total(strings) * tension_ratio(one.level)
        then = total(strings) * tension_ratio(plan.target)
        cells.append(load_of(then - now, voice, signed=True))
    return tuple(cells)


def _name(one: SectionPlan, voice: Voice) -> str:
    w = voice.words
    return w.term("low tenor") if one.section.name == "low tenor" else w.term(one.section.name)


def plan_words(history: History, findings: Findings, voice: Voice) -> tuple[str, ...]:
    """The plan in sentences: where it stands, what is to be done, why not more, and the load."""
    plan = findings.raising
    if plan is None:
        return ()
    return (
        _stands(history, plan, voice),
        *_way(history, plan, voice),
        *(_reason(caution, voice) for caution in plan.cautions),
        *_passes(plan, voice),
        *_load(plan, findings.scale, voice),
        *_unknown(plan, voice),
    )


def _stands(history: History, plan: RaisePlan, voice: Voice) -> str:
    w, stands = voice.words, plan.standing
    level = stands.stage.overall
    rests = (
        w("one figure for the whole")
        if level.whole
        else voice.span(level.readings_count, level.first_key, level.last_key)
    )
    values = {
        "pitch": voice.pitch(stands.cents),
        "date": voice.form.date(stands.when),
        "target": reference(history, voice),
        "rests": rests,
    }
    if stands.as_left:
        return w("Left {pitch} of {target} on {date} ({rests}).", **values)
    return w("Found {pitch} of {target} on {date} and not tuned since ({rests}).", **values)


def _way(history: History, plan: RaisePlan, voice: Voice) -> Iterator[str]:
    w = voice.words
    size = voice.form.number(abs(round(plan.standing.cents)), 0)
    passes = w("the tuning alone")
    if plan.passes:
        passes = w.plural("{n} pass, then the tuning", "{n} passes, then the tuning", plan.passes)
    if plan.way == "as it stands":
        where = voice.pitch(plan.target)
        yield w("No raise for now: tune it where it stands, {pitch}.", pitch=where)
        if plan.passes:
            yield w("The registers lie apart: {passes}.", passes=passes)
        return
    if plan.way == "in steps":
        days = history.shop.clocks.settling
        yield w(
            "A slow rise in {n} steps, to {targets} cents; from one to the next at least {days}. "
            "The table is the first of them: {passes}.",
            n=len(plan.steps),
            targets=voice.listed(voice.form.signed(step, 0) for step in plan.steps),
            days=w.plural("{n} day", "{n} days", days),
            passes=passes,
        )
    elif plan.work is WorkClass.LOWERING:
        yield w("A lowering by {n} cents: {passes}.", n=size, passes=passes)
    else:
        yield w("A raise by {n} cents: {passes}.", n=size, passes=passes)


def _passes(plan: RaisePlan, voice: Voice) -> Iterator[str]:
    w = voice.words
    if not plan.passes:
        return
    if plan.first_to_pitch:
        yield w(
            "More than {n} cents away, so the first pass goes to the pitch itself; the overshoot "
            "belongs to the next one.",
            n=voice.form.number(TO_PITCH_FIRST, 0),
        )
    yield w(
        "Overshoot: a third of the way in the bass, a fifth in the low tenor, a quarter above, "
        "{cap} cents at most. Common practice, no source.",
        cap=voice.form.number(plan.cap, 0),
    )


def _load(plan: RaisePlan, scale: ScaleReport | None, voice: Voice) -> Iterator[str]:
    w, now, then = voice.words, tension_ratio(plan.standing.cents), tension_ratio(plan.target)
    if plan.way == "as it stands":
        return
    change = percent((then / now - 1.0) * 100.0, voice, signed=True)
    if scale is None:
        low, high = (tons * SHORT_TON * abs(then - now) for tons in ASSUMED_SHORT_TONS)
        yield w(
            "Tension of all strings: {change}. That is {low} to {high} where they hold {tons} "
            "short tons, as is assumed for a large instrument; no scale is on file.",
            change=change,
            low=load_of(low, voice),
            high=load_of(high, voice),
            tons="–".join(voice.form.number(tons, 0) for tons in ASSUMED_SHORT_TONS),
        )
        return
    loads = {
        "now": load_of(total(scale.at_pitch), voice),
        "then": load_of(total(scale.at_target) * then, voice),
    }
    if scale.missing > 0:
        yield w(
            "Tension of all strings: {change}; of those in the scale from {now} to {then}.",
            change=change,
            **loads,
        )
    else:
        yield w(
            "Tension of all strings: {change}, from {now} to {then} by the scale.",
            change=change,
            **loads,
        )
    strained = _strained(plan, scale)
    if strained is not None:
        load, share = strained
        yield w(
            "At the height of the overshoot {note} has {share} of new wire's least strength in "
            "use, the most of all.",
            note=voice.key(load.key),
            share=percent(share * 100.0, voice),
        )


def _strained(plan: RaisePlan, scale: ScaleReport) -> tuple[StringLoad, float] | None:
    """The string nearest to breaking at the highest pass, and the share of its strength."""
    found = [
        (load, load.share * tension_ratio(max([plan.target, *(done.aim for done in one.passes)])))
        for one in plan.sections
        for load in between(scale.at_target, one.section.first_key, one.section.last_key)
        if load.share is not None
    ]
    return max(found, key=lambda pair: pair[1], default=None)


def _unknown(plan: RaisePlan, voice: Voice) -> Iterator[str]:
    w = voice.words
    guessed = [_name(one, voice) for one in plan.sections if one.of_the_whole]
    if guessed and len(guessed) < len(plan.sections):
        yield w("No reading in: {registers}. The level of the whole is taken there.",
                registers=voice.listed(guessed))  # fmt: skip
    if plan.wire_of is None and plan.work is not WorkClass.LOWERING:
        yield w("How old the wire is was never noted: look at it first.")


def _reason(caution: Caution, voice: Voice) -> str:
    said = _said(caution, voice)
    remark = caution.text.partition(", ")[2] if caution.reason in GRADED else ""
    return sentence(f"{said}: {remark}" if remark else said)


def _said(caution: Caution, voice: Voice) -> str:
    w = voice.words
    when = voice.form.date(caution.when) if caution.when else ""
    notes = voice.runs(caution.places) or w("the whole instrument")
    grade = w.term(caution.text.partition(", ")[0]) if caution.reason in GRADED else ""
    said: dict[Reason, Callable[[], str]] = {
        Reason.KEPT_BELOW: lambda: w("It is kept below pitch: {text}", text=caution.text),
        Reason.REFUSED: lambda: w("A raise was refused on {date}", date=when),
        Reason.NO_CONSENT: lambda: w(
            "Wire of before 1940 breaks readily, and no consent to a raise is recorded: ask first, "
            "and write it into the instrument's file"
        ),
        Reason.IN_STEPS: lambda: w("A raise in steps was agreed on {date}", date=when),
        Reason.OLD_WIRE: lambda: w("Wire of before 1940; a raise was agreed on {date}", date=when),
        Reason.LOOSE_PINS: lambda: w(
            "Loose pins at {notes}, {date}: see to the pins first", notes=notes, date=when
        ),
        Reason.TORQUE: lambda: w(
            "Pin torque at {notes} was failing on {date}", notes=notes, date=when
        ),
        Reason.RUST: lambda: w(
            "Rusty strings at {notes}, last seen on {date}", notes=notes, date=when
        ),
        Reason.BROKEN: lambda: w("Strings have broken: {notes}, {date}", notes=notes, date=when),
        Reason.PLATE: lambda: w("Plate graded {grade} on {date}", grade=grade, date=when),
        Reason.PIN_BLOCK: lambda: w("Pin block graded {grade} on {date}", grade=grade, date=when),
        Reason.PINS: lambda: w("Tuning pins graded {grade} on {date}", grade=grade, date=when),
        Reason.POOR_STRINGS: lambda: w("Strings graded {grade} on {date}", grade=grade, date=when),
    }
    return said[caution.reason]()
