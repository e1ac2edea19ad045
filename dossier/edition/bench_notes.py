"""What only the technician sees: the two minutes before the instrument, and every source line."""

from __future__ import annotations

from collections.abc import Iterator

from dossier.analysis.clocks import Clock
from dossier.analysis.condition import MarkLife
from dossier.analysis.findings import Findings
from dossier.analysis.money import sums, work_cost
from dossier.analysis.pitch import WorkClass
from dossier.edition.bench_plan import plan_table, plan_words
from dossier.edition.bench_strings import (
    string_facts,
    string_figures,
    string_table,
    string_words,
    unison_table,
)
from dossier.edition.condition_view import mark_state
from dossier.edition.drift_tables import model_tables
from dossier.edition.pages import BenchNotes
from dossier.edition.said import reason_text
from dossier.edition.situation import Situation
from dossier.edition.view import Fact, Passage, Table
from dossier.edition.voice import Voice, capital, sentence
from dossier.edition.work_view import advice_state
from dossier.model import History

CLOCK_WORDS: dict[str, str] = {
    "settling": "Settling after a raise",
    "acclimatising": "Getting used to a new place",
    "first year": "First year in a new place",
    "treatment": "Check of a treatment",
    "new strings": "New strings stretch",
    "equipment service": "Service of the humidity equipment",
}


def bench_notes(
    history: History, findings: Findings, now: Situation, voice: Voice, link: str
) -> BenchNotes:
    """The bench's head of an instrument's page."""
    return BenchNotes(
        client=_client(history, voice),
        access=history.client.access,
        last_figures=_last_figures(findings, voice),
        check=tuple(_check(findings, voice)),
        open=tuple(_open(findings, now, voice)),
        clocks=tuple(_clock(clock, voice) for clock in now.running),
        remarks=_remarks(history),
        link=link,
        sources=_sources(history, voice),
        money=_money(history, voice),
        plan=plan_table(history, findings, voice),
        plan_words=plan_words(history, findings, voice),
        strings=string_facts(history, findings, voice),
        string_words=string_words(findings, voice),
        string_table=string_table(findings, voice),
        string_figures=string_figures(history, findings, voice),
        unisons=unison_table(findings, voice),
        model=model_tables(findings.drift, voice),
    )


def _client(history: History, voice: Voice) -> tuple[Fact, ...]:
    w, client = voice.words, history.client
    contacted = voice.form.date(client.last_contacted) if client.last_contacted else ""
    facts = (
        Fact(w("Client"), client.name),
        Fact(w("Contact"), client.contact),
        Fact(w("Telephone"), client.phone),
        Fact(w("E-mail"), client.email),
        Fact(w("Address"), client.address),
        Fact(w("Status"), w.term(client.status)),
        Fact(w("Last contacted"), contacted),
    )
    return tuple(fact for fact in facts if fact.value)


def _last_figures(findings: Findings, voice: Voice) -> tuple[Fact, ...]:
    return (
        *_pitch_figures(findings, voice),
        *_air_figures(findings, voice),
        *_outside_figures(findings, voice),
    )


def _pitch_figures(findings: Findings, voice: Voice) -> Iterator[Fact]:
    w = voice.words
    if not findings.pitches:
        return
    last = findings.pitches[-1]
    when = voice.form.date(last.when)
    if last.found:
        yield Fact(w("Found"), voice.cents(last.found.overall.cents), when)
        if last.found.levels:
            levels = (
                f"{w.term(name)} {voice.cents(level.cents)}" for name, level in last.found.levels
            )
            yield Fact(w("By register"), ", ".join(levels), when)
    if last.left:
        yield Fact(w("Left"), voice.cents(last.left.overall.cents), when)
    if last.work is not WorkClass.NONE:
        yield Fact(w("Work class"), capital(w.term(str(last.work))), when)


def _air_figures(findings: Findings, voice: Voice) -> Iterator[Fact]:
    w, f = voice.words, voice.form
    if findings.readings:
        air = findings.readings[-1]
        parts = []
        if air.temperature_c is not None:
            parts.append(f.temperature(air.temperature_c))
        if air.humidity is not None:
            parts.append(f.humidity(air.humidity))
        yield Fact(w("Air"), ", ".join(parts), f.date(air.when))
    if findings.wood:
        _, wood = findings.wood[-1]
        basis = w("from the room's log") if wood.basis == "log" else w("from the visit's reading")
        moisture = w("{n} % moisture", n=voice.tenth(wood.moisture))
        yield Fact(w("Wood would settle at"), moisture, basis)


def _outside_figures(findings: Findings, voice: Voice) -> Iterator[Fact]:
    w = voice.words
    for life in findings.measured:
        outside = sum(1 for figure in life.latest if life.outside(figure))
        if outside:
            told = w.plural(
                "{n} figure outside the target", "{n} figures outside the target", outside
            )
            yield Fact(capital(w.term(life.kind.name)), told, voice.form.date(life.latest[0].when))


def _open(findings: Findings, now: Situation, voice: Voice) -> Iterator[str]:
    """Every open matter in one line, for the sheet that is printed and taken along."""
    w = voice.words
    for life in findings.problems:
        if life.is_open:
            yield w("Open problem: {text}", text=sentence(life.problem.text))
    for mark in findings.marks:
        if mark.is_open:
            yield _mark(mark, voice)
    for given in findings.advice:
        if given.is_open:
            yield w(
                "Advice, {state}: {text}",
                state=advice_state(given, now, voice),
                text=sentence(given.advice.text),
            )


def _mark(life: MarkLife, voice: Voice) -> str:
    return voice.words(
        "{kind} {notes}: {state}",
        kind=capital(voice.words.term(life.kind)),
        notes=voice.runs(life.places),
        state=mark_state(life, voice),
    )


def _check(findings: Findings, voice: Voice) -> list[str]:
    """What else to look at on this visit, beside the open matters, which have a list of their own.

    A mark that was treated, or that holds, is looked at again.
    """
    w = voice.words
    found = [
        _mark(life, voice)
        for life in findings.marks
        if not life.is_open and life.state in ("treated", "holding")
    ]
    if findings.coming is not None:
        found.extend(
            w(
                "Due {when}: {what}",
                when=voice.window(reason.earliest, reason.latest),
                what=reason_text(reason.kind, reason.text, voice),
            )
            for reason in findings.coming.reasons
        )
    unseen = [w.term(life.component) for life in findings.components if not life.looks]
    if unseen:
        found.append(w("Never graded: {parts}.", parts=voice.listed(unseen)))
    return found


def _clock(clock: Clock, voice: Voice) -> Fact:
    w = voice.words
    return Fact(
        w(CLOCK_WORDS[clock.kind]),
        w("until {date}", date=voice.form.date(clock.ends)),
        clock.text,
    )


def _remarks(history: History) -> tuple[Passage, ...]:
    found = [history.client.private]
    found.extend(room.private for room in history.rooms.values())
    return tuple(Passage(text, bench=True) for text in found if text)


def _sources(history: History, voice: Voice) -> Table:
    """Every visit with its note and the lines of its figures, so that each can be followed."""
    w = voice.words
    rows = []
    for visit in reversed(history.visits):
        figures = [
            (w("air"), visit.air.span) if visit.air else None,
            (w("found"), visit.place_of("found")) if visit.found else None,
            (w("left"), visit.place_of("left")) if visit.left else None,
            *((w.term(item.kind), item.span) for item in visit.measured),
            *((w.term(mark.kind), mark.span) for mark in visit.marks),
            *((w("work"), work.span) for work in visit.work),
        ]
        lines: dict[str, list[int]] = {}
        for name, span in (figure for figure in figures if figure is not None):
            lines.setdefault(name, []).append(span.line)
        told = "; ".join(
            f"{name} {', '.join(str(n) for n in dict.fromkeys(numbers))}"
            for name, numbers in lines.items()
        )
        rows.append((voice.form.date(visit.date), visit.span.file, told))
    return Table(
        caption=w("Where the figures come from"),
        columns=(w("Visit"), w("Note"), w("Lines")),
        rows=tuple(rows),
        numeric=(False, False, False),
    )


def _money(history: History, voice: Voice) -> Table | None:
    w = voice.words
    rows = []
    for visit in reversed(history.visits):
        fee = (visit.fee,) if visit.fee else ()
        paid = sums([*fee, *(money for work in visit.work for money in work_cost(work))])
        if paid:
            total = ", ".join(voice.form.money(money) for money in paid)
            rows.append((voice.form.date(visit.date), total))
    if not rows:
        return None
    return Table(w("Paid at each visit"), (w("Visit"), w("Sum")), tuple(rows), (False, True))
