"""Condition on a page: components, marks from bass to treble, measured kinds against target."""

from __future__ import annotations

from decimal import Decimal

from dossier.analysis.condition import ComponentLife, MarkLife, MeasuredFigure, MeasuredLife
from dossier.analysis.findings import Findings
from dossier.edition.figures import (
    AgainstTarget,
    Figure,
    MarkedKey,
    MarksPicture,
    MeasuredPoint,
)
from dossier.edition.pitch_view import ticks
from dossier.edition.view import ConditionLine, MarkLine, Table, Term
from dossier.edition.voice import Voice, capital
from dossier.model import GRADES, History
from dossier.quantities import Place

RANKS = {grade.name: grade.rank for grade in GRADES}


def condition(findings: Findings, voice: Voice) -> tuple[ConditionLine, ...]:
    """Every component of the fixed list: its last grade, and the date on which it was seen."""
    return tuple(_component(life, voice) for life in findings.components)


def _component(life: ComponentLife, voice: Voice) -> ConditionLine:
    w = voice.words
    name = capital(w.term(life.component))
    if not life.looks:
        return ConditionLine(name, w.term("not examined"), None, "", "")
    when, grade, remark, _ = life.looks[-1]
    before = next((look for look in reversed(life.looks[:-1]) if look[1] != grade), None)
    earlier = (
        w("{grade} on {date}", grade=w.term(before[1]), date=voice.form.date(before[0]))
        if before
        else ""
    )
    return ConditionLine(
        component=name,
        grade=w.term(grade),
        rank=RANKS[grade],
        remark=capital(remark),
        seen=voice.form.date(when),
        before=earlier,
    )


def condition_story(findings: Findings, voice: Voice) -> str:
    """How much of the instrument has been looked at, and what wants attention."""
    w = voice.words
    seen = [life for life in findings.components if life.looks]
    if not seen:
        return w("No component has been graded yet.")
    poor = [w.term(life.component) for life in seen if life.looks[-1][1] in ("poor", "failed")]
    told = w(
        "{n} of {all} components have been looked at.", n=len(seen), all=len(findings.components)
    )
    if not poor:
        return told
    return f"{told} " + w("In need of work: {parts}.", parts=voice.listed(poor))


def grades(voice: Voice) -> tuple[Term, ...]:
    """The scale in words, so that a grade means the same to every reader."""
    return tuple(Term(voice.words.term(g.name), voice.words.term(g.meaning)) for g in GRADES)


def marks(findings: Findings, voice: Voice) -> tuple[MarkLine, ...]:
    """Every mark with its places and what became of it, open ones first."""
    ordered = sorted(findings.marks, key=lambda life: not life.is_open)
    return tuple(_mark(life, voice) for life in ordered)


def _mark(life: MarkLife, voice: Voice) -> MarkLine:
    w = voice.words
    marked = voice.runs(life.places) or w("the whole instrument")
    return MarkLine(
        kind=capital(w.term(life.kind)),
        marked=marked,
        state=mark_state(life, voice),
        is_open=life.is_open,
        seen=voice.form.date(life.last_seen),
        remark=life.remark,
    )


def mark_state(life: MarkLife, voice: Voice) -> str:
    """What became of a mark, in words; a mark that held in damp wood says so."""
    w = voice.words
    if life.state == "holding":
        return w("holding; to be checked again in the dry season")
    if life.state == "not checked since":
        return w("not checked since {date}", date=voice.form.date(life.last_looked))
    return w.term(life.state)


def mark_figures(history: History, findings: Findings, voice: Voice) -> tuple[Figure, ...]:
    """The picture of the marks from bass to treble, where any has a place."""
    w, own = voice.words, history.instrument
    placed = [life for life in findings.marks if life.places]
    if not placed:
        return ()
    open_word, closed_word = w("open"), w("closed")
    drawn = tuple(
        MarkedKey(capital(w.term(life.kind)), first, last, mark_state(life, voice), life.is_open)
        for life in placed
        for first, last in life.places
    )
    open_count = sum(1 for life in placed if life.is_open)
    lines = marks(findings, voice)
    return (
        Figure(
            id="marks",
            title=w.plural("{n} mark is open", "{n} marks are open", open_count)
            if open_count
            else w("No mark is open"),
            sentence=w(
                "What was seen on single notes, from bass to treble, and whether it is still open."
            ),
            alt=w(
                "Chart of marked notes along the compass: {marks}.",
                marks="; ".join(f"{line.kind} {line.marked} ({line.state})" for line in lines),
            ),
            basis=w.plural("{n} mark", "{n} marks", len(placed)),
            table=Table(
                caption=w("Marks"),
                columns=(w("Kind"), w("Notes"), w("State"), w("Last seen"), w("Remark")),
                rows=tuple((m.kind, m.marked, m.state, m.seen, m.remark) for m in lines),
                numeric=(False, False, False, False, False),
            ),
            signs=voice.form.signs,
            drawn=MarksPicture(
                first=own.lowest_key,
                last=own.highest_key,
                ticks=ticks(own.lowest_key, own.highest_key, voice),
                breaks=own.breaks,
                rows=tuple(dict.fromkeys(mark.row for mark in drawn)),
                marks=drawn,
                open_word=open_word,
                closed_word=closed_word,
            ),
        ),
    )


def measured_figures(history: History, findings: Findings, voice: Voice) -> tuple[Figure, ...]:
    """One picture a measured kind, against its target."""
    return tuple(_measured(history, life, voice) for life in findings.measured)


def amount(life: MeasuredLife, figure: MeasuredFigure, voice: Voice) -> str:
    """A measured figure with its unit, as the shop's units have it."""
    unit, f = life.kind.unit, voice.form
    if unit == "mm":
        return f.length(figure.value)
    if unit == "N·m":
        return f.torque(figure.value)
    return f"{f.number(figure.value, life.kind.digits)}\u00a0{voice.words.term(unit)}"


def measured_at(figure: MeasuredFigure, voice: Voice) -> str:
    """Where a figure was measured: a note, with its string where one is meant, or the whole."""
    if figure.key is None:
        return voice.words("whole")
    return voice.places([Place(figure.key, figure.key, figure.string)])


def target_text(life: MeasuredLife, voice: Voice) -> str:
    """A kind's target range with its source, "" where none is known."""
    if life.target is None:
        return ""
    low, high, source = life.target
    w, f, unit = voice.words, voice.form, life.kind.unit
    if f.units == "imperial" and unit in ("mm", "N·m"):
        show = f.length if unit == "mm" else f.torque
        return w(
            "{low} to {high} ({source})", low=show(low), high=show(high), source=w.term(source)
        )
    return w(
        "{low} to {high} {unit} ({source})",
        low=f.number(low, life.kind.digits),
        high=f.number(high, life.kind.digits),
        unit=w.term(unit),
        source=w.term(source),
    )


def _measured(history: History, life: MeasuredLife, voice: Voice) -> Figure:
    w, own = voice.words, history.instrument
    name = capital(w.term(life.kind.name))
    outside = [figure for figure in life.latest if life.outside(figure)]
    when = voice.form.date(life.latest[0].when)
    if life.target is None:
        title = w("{kind} on {date}", kind=name, date=when)
    elif outside:
        title = w.plural(
            "{kind}: {n} of {all} figures outside the target",
            "{kind}: {n} of {all} figures outside the target",
            len(outside),
            kind=name,
            all=len(life.latest),
        )
    else:
        title = w("{kind}: within the target", kind=name)
    labels = _visit_labels(life, voice)
    target = target_text(life, voice)

    def plotted(value: Decimal | float) -> float:
        return voice.form.on_axis(value, life.kind.unit)[0]

    count = len(life.figures)
    return Figure(
        id=f"measured-{life.kind.name.replace(' ', '-')}",
        title=title,
        sentence=w("{kind} as measured, against {target}.", kind=name, target=target)
        if target
        else w("{kind} as measured. No target is known.", kind=name),
        alt=w("Chart of {n} figures of {kind}, the last on {date}.", n=count, kind=name, date=when),
        basis=w.plural(
            "{n} figure, the last on {date}", "{n} figures, the last on {date}", count, date=when
        ),
        table=Table(
            caption=w("{kind}, every figure", kind=name),
            columns=(w("Date"), w("Note"), w("Figure"), w("How"), w("Noted in")),
            rows=tuple(_measured_row(life, figure, voice) for figure in life.figures),
            numeric=(False, False, True, False, False),
        ),
        signs=voice.form.signs,
        drawn=AgainstTarget(
            kind=name,
            unit=w.term(voice.form.on_axis(0, life.kind.unit)[1]),
            first=own.lowest_key,
            last=own.highest_key,
            ticks=ticks(own.lowest_key, own.highest_key, voice),
            points=tuple(
                MeasuredPoint(
                    figure.when,
                    labels[figure.visit],
                    figure.key,
                    measured_at(figure, voice),
                    plotted(figure.value),
                    w.term(figure.qualifier),
                )
                for figure in life.figures
            ),
            target=(plotted(life.target[0]), plotted(life.target[1])) if life.target else None,
            target_word=w("target"),
        ),
    )


def _visit_labels(life: MeasuredLife, voice: Voice) -> dict[str, str]:
    """Each visit's own word in a legend: its month, its day where a month has two, its number."""
    days = {figure.visit: figure.when for figure in life.figures}
    months = [(day.year, day.month) for day in days.values()]
    labels: dict[str, str] = {}
    for visit, day in days.items():
        same = [other for other, when in days.items() if when == day]
        if months.count((day.year, day.month)) == 1:
            labels[visit] = voice.form.month(day)
        elif len(same) == 1:
            labels[visit] = voice.form.short_date(day)
        else:
            labels[visit] = voice.words(
                "{date}, visit {n}", date=voice.form.short_date(day), n=same.index(visit) + 1
            )
    return labels


def _measured_row(life: MeasuredLife, figure: MeasuredFigure, voice: Voice) -> tuple[str, ...]:
    w = voice.words
    return (
        voice.form.date(figure.when),
        measured_at(figure, voice),
        amount(life, figure, voice),
        w.term(figure.qualifier),
        w("line {n}", n=figure.line),
    )
