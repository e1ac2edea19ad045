"""A visit on a page: what was found, done, said and left open, as its note has it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from dossier.analysis.condition import MeasuredFigure, MeasuredLife
from dossier.analysis.findings import Findings
from dossier.analysis.seasons import when_window
from dossier.analysis.tuning import VisitPitch
from dossier.edition.condition_view import amount, measured_at
from dossier.edition.declared import Edition, shows
from dossier.edition.pages import VisitView
from dossier.edition.pitch_view import register_table
from dossier.edition.timeline import anchor, visit_title
from dossier.edition.view import Clip, Fact, Passage, Photo, Table
from dossier.edition.voice import Voice, capital, sentence
from dossier.edition.work_view import visit_work
from dossier.model import GRADES, Air, History, Visit

WORST_UNSEEN = 6
"""Where components that were not examined stand among the grades: behind the best."""


def visit_views(
    edition: Edition, history: History, findings: Findings, voice: Voice
) -> tuple[VisitView, ...]:
    """All visits, latest first."""
    pitches = {pitch.visit: pitch for pitch in findings.pitches}
    return tuple(
        _visit(edition, history, findings, visit, pitches.get(visit.id), voice)
        for visit in reversed(history.visits)
    )


def _visit(
    edition: Edition,
    history: History,
    findings: Findings,
    visit: Visit,
    pitch: VisitPitch | None,
    voice: Voice,
) -> VisitView:
    bench = "bench prose" in edition.shows
    return VisitView(
        anchor=anchor(visit.id),
        when=visit.date,
        when_text=voice.form.date(visit.date),
        title=visit_title(visit, pitch, voice),
        technician=visit.technician or history.shop.technician,
        summary=sentence(visit.summary),
        facts=tuple(_facts(history, visit, pitch, voice)),
        pitch=register_table(pitch, voice) if pitch else None,
        lines=tuple(_lines(history, visit, voice)),
        work=visit_work(visit, voice, costs=shows(edition, history, "costs")),
        problems=tuple(_problems(findings, visit, voice)),
        advice=tuple(_advice(findings, visit, voice)),
        follow=tuple(_follow(history, visit, voice)),
        measured=_measured(findings, visit, voice),
        passages=tuple(
            Passage(passage.markdown, passage.audience == "bench")
            for passage in visit.passages
            if passage.audience == "owner" or bench
        )
        if shows(edition, history, "prose")
        else (),
        photos=photos(visit, voice) if shows(edition, history, "pictures") else (),
        clips=clips(visit, voice) if shows(edition, history, "recordings") else (),
        corrections=tuple(
            voice.words(
                "Corrected on {date}: {text}",
                date=voice.form.date(correction.when),
                text=sentence(correction.text),
            )
            for correction in visit.corrections
        ),
        private=visit.private if shows(edition, history, "private") else "",
        note=str(visit.span) if shows(edition, history, "sources") else "",
    )


def photos(visit: Visit, voice: Voice) -> tuple[Photo, ...]:
    """The pictures of a visit, with a caption that always says something."""
    plain = voice.words("Picture of {date}", date=voice.form.date(visit.date))
    return tuple(
        Photo(photo.file, capital(photo.caption) or plain, capital(photo.caption) or plain)
        for photo in visit.photos
        if photo.kind == "picture"
    )


def clips(visit: Visit, voice: Voice) -> tuple[Clip, ...]:
    """The recordings and films of a visit, with a caption that always says something."""
    w, day = voice.words, voice.form.date(visit.date)
    plain = {
        "audio": w("Recording of {date}", date=day),
        "video": w("Film of {date}", date=day),
    }
    return tuple(
        Clip(one.file, capital(one.caption) or plain[one.kind], one.kind == "video")
        for one in visit.photos
        if one.kind != "picture"
    )


def _facts(
    history: History, visit: Visit, pitch: VisitPitch | None, voice: Voice
) -> Iterator[Fact]:
    w = voice.words
    if visit.air is not None:
        yield Fact(w("Air"), _air(visit.air, voice), _line(visit.air.span.line, voice))
    if pitch is not None:
        yield from _pitch_facts(history, visit, pitch, voice)
        yield from _change_facts(visit, pitch, voice)


def _air(air: Air, voice: Voice) -> str:
    parts = []
    if air.temperature_c is not None:
        parts.append(voice.form.temperature(air.temperature_c))
    if air.humidity is not None:
        shown = voice.form.humidity(air.humidity)
        parts.append(voice.words("{humidity} relative humidity", humidity=shown))
    return ", ".join(parts)


def _pitch_facts(history: History, visit: Visit, pitch: VisitPitch, voice: Voice) -> Iterator[Fact]:
    w = voice.words
    if abs(pitch.reference_hz - history.reference_hz) > 0.01:
        hz = voice.form.hertz(Decimal(str(pitch.reference_hz)))
        target = w("{note} = {hz}", note=voice.key(49), hz=hz)
        yield Fact(w("Target"), target, _line(visit.place_of("reference_hz").line, voice))
    if pitch.found is not None:
        found = voice.pitch(pitch.found.overall.cents)
        if pitch.found.hertz:
            found = w("{pitch} (read in Hz, against equal temperament)", pitch=found)
        yield Fact(w("Found"), found, _line(visit.place_of("found").line, voice))
    if pitch.left is not None and pitch.left.assumed:
        left = w(
            "{pitch} (not noted; assumed, since it was tuned)",
            pitch=voice.pitch(pitch.left.overall.cents),
        )
        yield Fact(w("Left"), left)
    elif pitch.left is not None:
        left = voice.pitch(pitch.left.overall.cents)
        yield Fact(w("Left"), left, _line(visit.place_of("left").line, voice))


def _change_facts(visit: Visit, pitch: VisitPitch, voice: Voice) -> Iterator[Fact]:
    w = voice.words
    if pitch.found and pitch.left and pitch.change is not None and abs(pitch.change) >= 1:
        # The difference of what is shown, so that a reader's own sum comes out.
        moved = round(pitch.left.overall.cents) - round(pitch.found.overall.cents)
        yield Fact(w("Change"), capital(voice.move(moved)))
        if pitch.tension_change is not None and abs(pitch.tension_change) >= 0.5:
            tension = voice.form.signed(Decimal(str(round(pitch.tension_change, 1))), 1)
            yield Fact(w("String tension"), w("{change} %", change=tension))
    if visit.floated:
        yield Fact(w("Tuned to"), w("the instrument's own pitch"))
    if pitch.found is not None and pitch.found.overall.spread is not None:
        spread = voice.tenth(pitch.found.overall.spread)
        yield Fact(w("Unevenness as found"), w("{n} cents around the level", n=spread))
    if pitch.unisons:
        widest = max(pitch.unisons, key=lambda unison: unison.cents)
        told = w("{note}, {n} cents", note=voice.key(widest.key), n=voice.tenth(widest.cents))
        yield Fact(w("Widest unison"), told)


def _line(line: int, voice: Voice) -> str:
    return voice.words("note, line {n}", n=line)


def _lines(history: History, visit: Visit, voice: Voice) -> Iterator[str]:
    w = voice.words
    if visit.safe:
        yield w("Warning lifted: {text}", text=sentence(visit.safe))
    if visit.unsafe:
        yield w("Warning: {text}", text=sentence(visit.unsafe))
    for mark in visit.marks:
        where = voice.places(mark.marked) or w("the whole instrument")
        remark = f" ({mark.remark})" if mark.remark else ""
        yield w("{kind}: {notes}", kind=capital(w.term(mark.kind)), notes=where + remark) + "."
    for cleared in visit.cleared:
        where = voice.places(cleared.marked) or w("everywhere it was seen before")
        yield w(
            "Looked at again and found right: {kind}, {notes}.",
            kind=w.term(cleared.kind),
            notes=where,
        )
    if visit.checked_all:
        yield w("Every earlier mark was looked at again; those not named are right.")
    yield from _graded(visit, voice)
    for note in visit.equipment:
        text = f" {sentence(note.text)}" if note.text else ""
        yield w("Humidity equipment: {state}.", state=w.term(note.what)) + text
        if note.next_service is not None:
            span = when_window(history.shop, note.next_service, visit.date)
            yield w("Its next service is due {when}.", when=voice.window(*span))


def _graded(visit: Visit, voice: Voice) -> Iterator[str]:
    """The components grade by grade, the worst first, so that a page isn't a list of "good"."""
    w = voice.words
    for grade in sorted(GRADES, key=lambda grade: grade.rank or WORST_UNSEEN):
        shown = [
            w.term(one.component) + (f" ({one.remark})" if one.remark else "")
            for one in visit.condition
            if one.grade == grade.name
        ]
        if shown:
            told = w(
                "{grade}: {components}",
                grade=capital(w.term(grade.name)),
                components=", ".join(shown),
            )
            yield f"{told}."


def _problems(findings: Findings, visit: Visit, voice: Voice) -> Iterator[str]:
    w = voice.words
    texts = {life.problem.id: life.problem.text for life in findings.problems}
    for problem in visit.problems:
        yield w("New: {text}", text=sentence(problem.text))
    for news in visit.problem_news:
        told = w(
            "{what}: {text}",
            what=capital(w.term(news.what)),
            text=sentence(texts.get(news.problem, news.problem)),
        )
        yield f"{told} {sentence(news.text)}".rstrip()


def _advice(findings: Findings, visit: Visit, voice: Voice) -> Iterator[str]:
    w = voice.words
    lives = {life.advice.id: life for life in findings.advice}
    for advice in visit.advice:
        life = lives[advice.id]
        told = sentence(advice.text)
        if life.window is not None:
            told += " " + w(
                "To be done {when}.", when=voice.deadline(*life.window, before=life.before)
            )
        yield told
    for news in visit.advice_news:
        known = lives.get(news.advice)
        told = w(
            "{what}: {text}",
            what=capital(w.term(news.what)),
            text=sentence(known.advice.text if known else news.advice),
        )
        yield f"{told} {sentence(news.text)}".rstrip()


def _follow(history: History, visit: Visit, voice: Voice) -> Iterator[str]:
    for follow in visit.follow:
        told = sentence(follow.text)
        if follow.when is not None:
            when = capital(voice.window(*when_window(history.shop, follow.when, visit.date)))
            told = f"{told} {when}." if told else f"{when}."
        yield told


def _measured(findings: Findings, visit: Visit, voice: Voice) -> Table | None:
    """The figures of a visit: one row for what is of one kind, on one side and of one line."""
    w = voice.words
    rows: dict[tuple[str, str, str], list[str]] = {}
    for life in findings.measured:
        for figure in life.figures:
            if figure.visit != visit.id:
                continue
            row = (
                capital(w.term(life.kind.name)),
                _verdict(life, figure, voice),
                w("line {n}", n=figure.line),
            )
            rows.setdefault(row, []).append(_measured_figure(life, figure, voice))
    if not rows:
        return None
    return Table(
        caption=w("Measured on {date}", date=voice.form.date(visit.date)),
        columns=(w("What"), w("Figures"), w("Against target"), w("Noted in")),
        rows=tuple(
            (kind, "; ".join(figures), verdict, line)
            for (kind, verdict, line), figures in rows.items()
        ),
        numeric=(False,) * 4,
    )


def _verdict(life: MeasuredLife, figure: MeasuredFigure, voice: Voice) -> str:
    if life.target is None:
        return ""
    w = voice.words
    return w("outside") if life.outside(figure) else w("within")


def _measured_figure(life: MeasuredLife, figure: MeasuredFigure, voice: Voice) -> str:
    """A figure beside the note where it was measured: "A1: 3 mm"; of the whole alone "46 mm"."""
    shown = amount(life, figure, voice)
    if figure.key is None:
        return shown
    return voice.words("{note}:\u00a0{figure}", note=measured_at(figure, voice), figure=shown)
