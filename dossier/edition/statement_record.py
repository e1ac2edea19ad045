"""What a statement says was seen, found wrong and done: condition, problems, work, and gaps."""

from __future__ import annotations

from collections.abc import Iterator

from dossier.analysis.concerns import News, ProblemLife
from dossier.analysis.condition import ComponentLife
from dossier.analysis.money import work_cost
from dossier.edition.condition_view import condition_story, grades
from dossier.edition.declared import Edition, shows
from dossier.edition.pages import StatementPart
from dossier.edition.told import Told
from dossier.edition.view import Fact, Table
from dossier.edition.voice import Voice, capital, sentence
from dossier.edition.work_view import cost_figures
from dossier.model import History, Visit, Work


def observer(history: History, visit: Visit) -> str:
    """Who came that day."""
    return visit.technician or history.shop.technician


def visits_part(_: Edition, told: Told) -> StatementPart:
    """On which days it was seen, by whom, and which years have no visit."""
    history, voice = told.history, told.voice
    w, f, visits = voice.words, voice.form, history.visits
    title = w("When it was seen")
    if not visits:
        return StatementPart("visits", title, (w("No visit is recorded."),))
    first, last = visits[0].date, visits[-1].date
    seen = {visit.date.year for visit in visits}
    missing = [str(year) for year in range(first.year, last.year + 1) if year not in seen]
    said = [
        w.plural(
            "The record has {n} visit, on {first}.",
            "The record has {n} visits, the first on {first}, the last on {last}.",
            len(visits),
            first=f.date(first),
            last=f.date(last),
        ),
        w("No year between them is without a visit.")
        if not missing
        else w("Years without a visit: {years}.", years=voice.listed(missing)),
        w("Nothing was observed before the first visit, between visits, or since the last."),
    ]
    rows = tuple(
        (f.date(visit.date), observer(history, visit), _done(visit, voice)) for visit in visits
    )
    table = Table(
        caption=w("Every visit"),
        columns=(w("Date"), w("Who came"), w("What was done")),
        rows=rows,
        numeric=(False, False, False),
    )
    corrections = tuple(
        w(
            "The note of {day} was corrected on {date}: {text}",
            day=f.date(visit.date),
            date=f.date(one.when),
            text=sentence(one.text),
        )
        for visit in visits
        for one in visit.corrections
    )
    return StatementPart("visits", title, tuple(said), tables=(table,), after=corrections)


def _done(visit: Visit, voice: Voice) -> str:
    """The kinds of work, else what was read: never the reason as the note words it."""
    w = voice.words
    kinds = tuple(dict.fromkeys(w.term(work.kind) for work in visit.work))
    if kinds:
        return capital(", ".join(kinds))
    return w("Pitch read, nothing done") if visit.found else w("Looked at, nothing done")


def condition_part(_: Edition, told: Told) -> StatementPart:
    """Every component with its last grade, the day and the observer.

    After EN 16095 (condition recording: each observation with its date and observer).
    """
    history, voice = told.history, told.voice
    w = voice.words
    visits = {visit.id: visit for visit in history.visits}
    table = Table(
        caption=w("Condition by component, as last seen"),
        columns=(w("Component"), w("Grade"), w("Remark"), w("Seen on"), w("By"), w("Noted in")),
        rows=tuple(_component(life, visits, told) for life in told.findings.components),
        numeric=(False,) * 6,
    )
    scale = w(
        "The grades: {grades}.",
        grades="; ".join(f"{term.word}: {term.meaning}" for term in grades(voice)),
    )
    unseen = [w.term(life.component) for life in told.findings.components if not life.looks]
    said = [condition_story(told.findings, voice)]
    if unseen:
        said.append(w("Not examined: {parts}.", parts=voice.listed(unseen)))
    return StatementPart("condition", w("Condition"), tuple(said), tables=(table,), after=(scale,))


def _component(life: ComponentLife, visits: dict[str, Visit], told: Told) -> tuple[str, ...]:
    voice = told.voice
    w = voice.words
    name = capital(w.term(life.component))
    if not life.looks:
        return name, w.term("not examined"), "", w("never"), "", ""
    when, grade, remark, visit_id = life.looks[-1]
    visit = visits[visit_id]
    before = next((look for look in reversed(life.looks[:-1]) if look[1] != grade), None)
    told_before = (
        w(
            "before: {grade}",
            grade=w("{grade} on {date}", grade=w.term(before[1]), date=voice.form.date(before[0])),
        )
        if before
        else ""
    )
    line = next(one.span.line for one in visit.condition if one.component == life.component)
    return (
        name,
        w.term(grade),
        "; ".join(part for part in (capital(remark), told_before) if part),
        voice.form.date(when),
        observer(told.history, visit),
        w("line {n}", n=line),
    )


def problems_part(edition: Edition, told: Told) -> StatementPart:
    """Every problem, the open ones first, the warnings, and advice that was declined.

    Nothing is left out as settled.  Of declined advice there is the advice and never the reason,
    which is the owner's.
    """
    voice, findings = told.voice, told.findings
    w = voice.words
    title = w("Problems and warnings")
    ordered = sorted(findings.problems, key=lambda life: not life.is_open)
    tables = []
    if ordered:
        tables.append(
            Table(
                caption=w("Problems, open ones first"),
                columns=(
                    w("Problem"),
                    w("State"),
                    w("Seen on"),
                    w("What became of it"),
                    w("Noted in"),
                ),
                rows=tuple(_problem(life, voice) for life in ordered),
                numeric=(False,) * 5,
            )
        )
    warned = tuple(_warnings(told.history, voice))
    if warned:
        tables.append(
            Table(
                caption=w("Safety warnings"),
                columns=(w("Date"), w("What"), w("By")),
                rows=warned,
                numeric=(False,) * 3,
            )
        )
    said = [_how_many_open(told)]
    if findings.unsafe:
        said.insert(0, standing_warning(told))
    if shows(edition, told.history, "declined advice"):
        declined = _declined(told)
        said.append(declined_text(told) or w("No advice is recorded as declined."))
        tables.extend([declined] if declined.rows else [])
    after = () if not ordered else (w("A problem stays open until a note says that it is fixed."),)
    return StatementPart("problems", title, tuple(said), tables=tuple(tables), after=after)


def declined_text(told: Told) -> str:
    """How much advice was declined, "" where none was."""
    count = sum(life.state == "declined" for life in told.findings.advice)
    if not count:
        return ""
    return told.voice.words.plural(
        "{n} piece of advice was declined by the owner, and stands so.",
        "{n} pieces of advice were declined by the owner, and stand so.",
        count,
    )


def _declined(told: Told) -> Table:
    w, f = told.voice.words, told.voice.form
    return Table(
        caption=w("Advice that the owner declined"),
        columns=(w("Advice"), w("Given on"), w("Declined on"), w("Noted in")),
        rows=tuple(
            (
                sentence(life.advice.text),
                f.date(life.given),
                f.date(life.news[-1].when),
                w("line {n}", n=life.advice.span.line),
            )
            for life in told.findings.advice
            if life.state == "declined"
        ),
        numeric=(False,) * 4,
    )


def lifted_warnings(told: Told) -> Iterator[str]:
    """Every warning that was lifted, each with the words that lifted it: they may bind still."""
    voice = told.voice
    for one in told.findings.warnings:
        if one.lifted is not None:
            yield voice.words(
                "Warning of {date}, lifted on {lifted}: {text}",
                date=voice.form.date(one.since),
                lifted=voice.form.date(one.lifted),
                text=sentence(one.words),
            )


def standing_warning(told: Told) -> str:
    """The warning that no note has lifted, "" where there is none."""
    unsafe, voice = told.findings.unsafe, told.voice
    if unsafe is None:
        return ""
    return voice.words(
        "Warning of {date}, not lifted since: {text}",
        date=voice.form.date(unsafe.since),
        text=sentence(unsafe.text),
    )


def _how_many_open(told: Told) -> str:
    w = told.voice.words
    count = sum(life.is_open for life in told.findings.problems)
    if count:
        return w.plural("{n} problem is open.", "{n} problems are open.", count)
    if told.findings.problems:
        return w("No problem is open.")
    return w("No problem is recorded.")


def _problem(life: ProblemLife, voice: Voice) -> tuple[str, ...]:
    w, f = voice.words, voice.form
    state = w.term(life.state)
    return (
        sentence(life.problem.text),
        w("open ({state})", state=state) if life.is_open else state,
        f.date(life.since),
        " ".join(_news(news, voice) for news in life.news) or w("nothing yet"),
        w("line {n}", n=life.problem.span.line),
    )


def _news(news: News, voice: Voice) -> str:
    w = voice.words
    what, when = capital(w.term(news.what)), voice.form.date(news.when)
    if news.text:
        return w("{what} on {date}: {text}", what=what, date=when, text=sentence(news.text))
    return w("{what} on {date}.", what=what, date=when)


def _warnings(history: History, voice: Voice) -> Iterator[tuple[str, ...]]:
    w = voice.words
    for visit in history.visits:
        day, who = voice.form.date(visit.date), observer(history, visit)
        if visit.safe:
            yield day, w("Warning lifted: {text}", text=sentence(visit.safe)), who
        if visit.unsafe:
            yield day, w("Warning: {text}", text=sentence(visit.unsafe)), who


def irreversible_lines(told: Told) -> tuple[str, ...]:
    """Every treatment that can't be undone, each in a sentence; or that none is recorded."""
    voice = told.voice
    found = tuple(
        voice.words(
            "{date}: {work} It can’t be undone: {what}",
            date=voice.form.date(visit.date),
            work=sentence(work.text),
            what=sentence(work.irreversible),
        )
        for visit in told.history.visits
        for work in visit.work
        if work.irreversible
    )
    return found or (voice.words("No treatment that can’t be undone is recorded."),)


def work_part(edition: Edition, told: Told) -> StatementPart:
    """All work, oldest first: when, what and by whom; its cost where that is released."""
    history, voice = told.history, told.voice
    w = voice.words
    costs = shows(edition, history, "costs")
    said = irreversible_lines(told)
    columns = [w("When"), w("What"), w("By whom"), w("Noted in")]
    rows = [
        _work(work, visit, told, costs=costs) for visit in history.visits for work in visit.work
    ]
    if costs:
        columns.insert(3, w("Cost"))
    if not rows:
        return StatementPart("work", w("Work"), (*said, w("No work is recorded.")))
    table = Table(
        caption=w("All work on record"),
        columns=tuple(columns),
        rows=tuple(rows),
        numeric=tuple(name == w("Cost") for name in columns),
    )
    return StatementPart("work", w("Work"), said, tables=(table,), after=_warranty(told))


def _warranty(told: Told) -> tuple[str, ...]:
    """To whom a warranty holds, which no note records, and its last day."""
    ends = [
        work.warranty_until
        for visit in told.history.visits
        for work in visit.work
        if work.warranty_until is not None
    ]
    if not ends:
        return ()
    return (
        told.voice.words(
            "Whether a warranty passes to a buyer is not recorded: ask the technician. The last "
            "day of a warranty on record is {date}.",
            date=told.voice.form.date(max(ends)),
        ),
    )


def _work(work: Work, visit: Visit, told: Told, *, costs: bool) -> tuple[str, ...]:
    voice = told.voice
    w = voice.words
    kind = capital(w.term(work.kind))
    named = work.text.lower().startswith(work.kind)
    parts = [capital(work.text) if named else f"{kind}: {work.text}"]
    if work.warranty_until is not None:
        parts.append(w("warranty until {date}", date=voice.form.date(work.warranty_until)))
    if work.irreversible:
        parts.append(w("can't be undone: {what}", what=work.irreversible))
    money = ", ".join(voice.form.money(one) for one in work_cost(work))
    return (
        voice.form.date(visit.date),
        "; ".join(parts),
        work.by or observer(told.history, visit),
        *((money,) if costs else ()),
        w("line {n}", n=work.span.line),
    )


def costs_part(_: Edition, told: Told) -> StatementPart | None:
    """What was paid by year, where the client released it; None where nothing was."""
    figures = cost_figures(told.findings, told.voice)
    if not figures:
        return None
    w = told.voice.words
    told_of = w("What was paid to the technician. What others were paid is not recorded here.")
    return StatementPart(
        "costs",
        w("Cost of work by year"),
        (told_of,),
        tables=tuple(one.table for one in figures),
        figures=figures,
    )


def equipment_part(_: Edition, told: Told) -> StatementPart | None:
    """The humidity equipment by date and state, without the words that tell of the home."""
    voice = told.voice
    if not told.findings.equipment:
        return None
    w = voice.words
    stood = dict.fromkeys((when, note.what) for when, note in told.findings.equipment)
    facts = tuple(Fact(voice.form.date(when), capital(w.term(what))) for when, what in stood)
    return StatementPart("equipment", w("Humidity equipment"), facts=facts)
