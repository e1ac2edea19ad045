"""An instrument's page: the declared sections of an edition put together into one view."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from dossier.edition.air_view import air_facts, air_figures, air_story
from dossier.edition.bench_notes import bench_notes
from dossier.edition.care import CARE, SAFETY, rules
from dossier.edition.condition_view import (
    condition,
    condition_story,
    grades,
    mark_figures,
    marks,
    measured_figures,
)
from dossier.edition.declared import Edition, shows
from dossier.edition.drift_figure import ahead_figures
from dossier.edition.drift_story import pitch_story, what_comes
from dossier.edition.figures import Figure
from dossier.edition.glossary import glossary
from dossier.edition.hands import handed_on
from dossier.edition.identity import identity, kicker, reference, sender
from dossier.edition.life import life
from dossier.edition.pages import InstrumentView
from dossier.edition.pitch_view import pitch_figures
from dossier.edition.said import next_visit, state, todos
from dossier.edition.timeline import timeline
from dossier.edition.told import Told
from dossier.edition.view import Fact, Passage, Photo
from dossier.edition.visits_view import visit_views
from dossier.edition.voice import Voice, capital, forwarding, sentence
from dossier.edition.work_view import advice_lines, cost_figures, problem_lines, work_lines
from dossier.model import History
from dossier.words import Words


def instrument_view(edition: Edition, told: Told, link: str = "") -> InstrumentView:
    """The page of one instrument in one edition; `link` is shown on the bench alone.

    Raises ValueError for a history that still holds what was the former owner's, and for an
    edition that is a statement.
    """
    history, findings, voice = told.history, told.findings, told.voice
    w = voice.words
    if "statement" in edition.shows:
        raise ValueError(f"the edition {edition.name} is no page but a statement")
    if "former hands" not in edition.shows and handed_on(history) != history:
        raise ValueError(f"{history.instrument.id} changed hands: tell what is handed on")

    def has(section: str) -> bool:
        return shows(edition, history, section)

    said = state(history, findings, told.now, voice)
    coming = next_visit(findings, told.now, voice)
    as_of = _as_of(history)
    moments = timeline(history, findings, voice) if has("timeline") else ()
    view = InstrumentView(
        edition=edition.name,
        edition_word=w.term(edition.called),
        slug=history.instrument.id,
        title=history.instrument.title,
        kicker=kicker(history, voice),
        client=history.client.name if has("client name") else "",
        as_of=as_of,
        as_of_text=voice.form.date(as_of) if as_of else "",
        state=said.text,
        state_level=said.level,
        unsafe=sentence(findings.unsafe.text) if findings.unsafe else "",
        next_text=coming.text,
        next_when=coming.when,
        next_why=coming.why,
        todos=todos(findings, told.now, voice),
        photo=_photo(history, voice) if has("pictures") else None,
        identity=identity(history, voice) if has("identity") else (),
        key_facts=_key_facts(told),
        timeline=moments,
        pitch_story=pitch_story(findings, voice) if has("pitch") else "",
        pitch_figures=_pitch_figures(told) if has("pitch") else (),
        air_story=air_story(history, findings, voice) if has("air") else (),
        air_facts=air_facts(findings, voice) if has("air") else (),
        air_figures=air_figures(history, findings, voice) if has("air") else (),
        condition=condition(findings, voice) if has("condition") else (),
        condition_story=condition_story(findings, voice) if has("condition") else "",
        grades=grades(voice) if has("condition") else (),
        marks=marks(findings, voice) if has("marks") else (),
        mark_figures=mark_figures(history, findings, voice) if has("marks") else (),
        measured_figures=measured_figures(history, findings, voice) if has("measured") else (),
        problems=problem_lines(findings, voice) if has("problems") else (),
        advice=advice_lines(findings, told.now, voice) if has("advice") else (),
        work=work_lines(history, voice, costs=has("costs")) if has("work") else (),
        cost_figures=cost_figures(findings, voice) if has("costs") else (),
        visits=visit_views(edition, history, findings, voice) if has("visits") else (),
        about=_about(told, bench=has("private")),
        care=rules(CARE, history, findings, told.now, voice) if has("care") else (),
        safety=rules(SAFETY, history, findings, told.now, voice) if has("care") else (),
        glossary=(),
        limits=limits(told),
        sender=sender(history.shop),
        outlook=what_comes(findings, told.now, voice) if has("pitch") else (),
        life=life(history, findings, moments, voice),
        bench=bench_notes(history, findings, told.now, voice, link) if has("plans") else None,
    )
    return replace(view, glossary=glossary(view, voice))


def _pitch_figures(told: Told) -> tuple[Figure, ...]:
    """The pitch as it was, and where it is likely to go for as long as someone comes to tune it."""
    history, findings, voice = told.history, told.findings, told.voice
    ahead = ahead_figures(findings, findings.drift, voice) if told.now.served else ()
    return (*pitch_figures(history, findings, voice), *ahead)


def _as_of(history: History) -> date | None:
    """The date of the page: that of its last visit or change, never today."""
    days = [visit.date for visit in history.visits]
    days.extend(c.when for visit in history.visits for c in visit.corrections)
    return max(days, default=None)


def _photo(history: History, voice: Voice) -> Photo | None:
    own = history.instrument
    if not own.photo:
        return None
    text = voice.words("{title}, as a whole", title=own.title)
    return Photo(own.photo, text, text)


def _key_facts(told: Told) -> tuple[Fact, ...]:
    """The few figures that stand under the state: last visit, pitch, air, open things."""
    history, findings, voice = told.history, told.findings, told.voice
    w, f = voice.words, voice.form
    facts = []
    if findings.last is not None:
        facts.append(Fact(w("Last visit"), f.date(findings.last)))
    if findings.pitches:
        last = findings.pitches[-1]
        stage = last.left or last.found
        if stage is not None:
            how = w("as left") if last.left else w("as found")
            source = w("{how}, {date}", how=how, date=f.date(last.when))
            facts.append(Fact(w("Pitch"), capital(voice.pitch(stage.overall.cents)), source))
    facts.append(Fact(w("Target"), reference(history, voice)))
    read = [reading for reading in findings.readings if reading.humidity is not None]
    if read:
        last_air = read[-1]
        facts.append(
            Fact(
                w("Humidity"),
                f.humidity(last_air.humidity or 0),
                w("read on {date}", date=f.date(last_air.when)),
            )
        )
    return tuple(facts)


def _about(told: Told, *, bench: bool) -> tuple[Passage, ...]:
    own = told.history.instrument
    found = [Passage(own.about)] if own.about else []
    if bench and own.private:
        found.append(Passage(own.private, bench=True))
    return tuple(found)


def limits(told: Told) -> tuple[str, ...]:
    """What the page can't say, in plain words."""
    w = told.voice.words
    said = [
        w(
            "This page tells what was seen, measured and done at the visits it names. What a visit "
            "does not mention was not looked at."
        ),
        w(
            "Pitch is in cents against the technician's own target; levels are worked out between "
            "the notes that were read, and never beyond them."
        ),
    ]
    if told.findings.registers_assumed and any(
        pitch.found and pitch.found.levels for pitch in told.findings.pitches
    ):
        said.append(
            w("The breaks between bass, tenor and treble are not noted here and are assumed.")
        )
    if any(pitch.found and pitch.found.hertz for pitch in told.findings.pitches):
        said.append(
            w(
                "Readings in Hz are set against equal temperament; at the ends of the compass a "
                "good tuning lies up to 20 to 40 cents away from it."
            )
        )
    said.append(
        w(
            "It gives no value and no opinion on a price. Work inside an instrument, on wiring and "
            "on buildings is for qualified and licensed people, under the local rules."
        )
    )
    said.append(forwarding(told.voice))
    return tuple(said)


def sentences(view: InstrumentView, words: Words) -> tuple[str, ...]:
    """What the page says to its owner, sentence by sentence: the list that a build shows."""
    label = words("Next visit")
    coming = f"{label}: {view.next_text} {view.next_why}".rstrip()
    said = [view.unsafe, view.state, coming, view.pitch_story, *view.outlook]
    said.extend(f"{todo.text} {todo.why} {todo.when}".strip() for todo in view.todos)
    said.extend(view.air_story)
    said.append(view.condition_story)
    said.extend(f"{line.component}: {line.grade}. {line.remark}".strip() for line in view.condition)
    said.extend(
        f"{line.text} ({line.state}) {' '.join(line.story)}".strip() for line in view.problems
    )
    said.extend(
        f"{line.text} ({line.state}) {' '.join(line.story)}".strip() for line in view.advice
    )
    said.extend(f"{mark.kind} {mark.marked}: {mark.state}" for mark in view.marks)
    for visit in view.visits:
        said.extend(
            f"{visit.when_text}: {text}"
            for text in (
                visit.summary,
                *visit.lines,
                *visit.follow,
                *(passage.markdown for passage in visit.passages if not passage.bench),
                *(photo.caption for photo in visit.photos),
                *(clip.caption for clip in visit.clips),
                *visit.corrections,
            )
            if text
        )
    said.extend(rule.text for rule in (*view.care, *view.safety))
    said.extend(passage.markdown for passage in view.about if not passage.bench)
    return tuple(dict.fromkeys(text for text in said if text))
