"""The instrument's life in one line of moments: made, moved, sold, visited, mended."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.analysis.findings import Findings
from dossier.analysis.pitch import WorkClass
from dossier.analysis.tuning import VisitPitch
from dossier.edition.view import Moment
from dossier.edition.voice import Voice, capital, sentence
from dossier.model import Event, History, Visit

EVENT_KINDS: dict[str, str] = {"moved": "move", "stored": "move", "repaired": "repair"}
MENDING = frozenset({"repair", "restringing", "treatment", "regulation"})


def anchor(visit_id: str) -> str:
    """The anchor of a visit on its page; it never changes, so that links keep."""
    return f"visit-{visit_id}"


def timeline(history: History, findings: Findings, voice: Voice) -> tuple[Moment, ...]:
    """Every moment of the instrument's life, oldest first, undated ones at the start."""
    moments = [
        *_origins(history, voice),
        *_visits(history, findings, voice),
        *_problems(findings, voice),
        *_equipment(history, voice),
    ]
    return tuple(sorted(moments, key=lambda m: m.when or date.min))


def _origins(history: History, voice: Voice) -> Iterator[Moment]:
    w = voice.words
    for event in history.instrument.provenance:
        holder = w("held by: {who}", who=event.holder) if event.holder else ""
        told = [sentence(text) for text in (event.text, holder) if text]
        yield Moment(
            when=event.when.earliest or event.when.latest,
            when_text=capital(voice.past(event.when)),
            kind=EVENT_KINDS.get(event.kind, "origin"),
            label=_event_word(event, voice),
            text=" ".join(told),
        )


def _event_word(event: Event, voice: Voice) -> str:
    label = capital(voice.words.term(event.kind))
    if event.certainty == "certain":
        return label
    return voice.words(
        "{event} ({certainty})", event=label, certainty=voice.words.term(event.certainty)
    )


def _visits(history: History, findings: Findings, voice: Voice) -> Iterator[Moment]:
    pitches = {pitch.visit: pitch for pitch in findings.pitches}
    given = {one.visit: one.text for one in findings.warnings}
    lifted = {one.by: one.words for one in findings.warnings if one.lifted is not None}
    for visit in history.visits:
        pitch = pitches.get(visit.id)
        yield Moment(
            when=visit.date,
            when_text=voice.form.date(visit.date),
            kind=_visit_kind(visit, pitch),
            label=visit_title(visit, pitch, voice),
            text=visit_line(visit, pitch, voice),
            target=anchor(visit.id),
        )
        for label, texts in (
            (voice.words("Safety warning lifted"), lifted),
            (voice.words("Safety warning"), given),
        ):
            if visit.id in texts:
                yield _safety(visit, voice, label, texts[visit.id])


def _safety(visit: Visit, voice: Voice, label: str, text: str) -> Moment:
    return Moment(
        visit.date, voice.form.date(visit.date), "safety", label, sentence(text), anchor(visit.id)
    )


def _visit_kind(visit: Visit, pitch: VisitPitch | None) -> str:
    raised = pitch is not None and pitch.work in (WorkClass.RAISE, WorkClass.SMALL_RAISE)
    if raised or any(work.kind == "pitch raise" for work in visit.work):
        return "raise"
    return "repair" if any(work.kind in MENDING for work in visit.work) else "visit"


def visit_title(visit: Visit, pitch: VisitPitch | None, voice: Voice) -> str:
    """A visit's heading: its reason as written, else what was done, in a word or two."""
    w = voice.words
    if visit.reason:
        return capital(visit.reason)
    if pitch is not None and pitch.tuned:
        return w("Pitch raise") if pitch.work is WorkClass.RAISE else w("Tuning")
    if visit.work:
        return capital(w.term(visit.work[0].kind))
    return w("Visit")


def visit_line(visit: Visit, pitch: VisitPitch | None, voice: Voice) -> str:
    """One sentence on a visit for the timeline: the writer's summary, else the pitch."""
    w = voice.words
    if visit.summary:
        return sentence(visit.summary)
    if pitch is None:
        return sentence("; ".join(work.text for work in visit.work))
    if pitch.found and pitch.left and not pitch.left.assumed:
        return w(
            "Found {found}, left {left}.",
            found=voice.pitch(pitch.found.overall.cents),
            left=voice.pitch(pitch.left.overall.cents),
        )
    if pitch.found and pitch.tuned:
        return w("Found {found}, tuned.", found=voice.pitch(pitch.found.overall.cents))
    if pitch.found:
        return w("Found {found}.", found=voice.pitch(pitch.found.overall.cents))
    return w("Tuned.")


def _problems(findings: Findings, voice: Voice) -> Iterator[Moment]:
    w = voice.words
    for life in findings.problems:
        yield Moment(
            life.since,
            voice.form.date(life.since),
            "problem",
            w("Problem seen"),
            sentence(life.problem.text),
            anchor(life.visit),
        )
        for news in life.news:
            if news.what in ("fixed", "reopened"):
                label = w("Problem solved") if news.what == "fixed" else w("Problem back")
                kind = "solved" if news.what == "fixed" else "problem"
                yield Moment(
                    news.when,
                    voice.form.date(news.when),
                    kind,
                    label,
                    sentence(life.problem.text),
                    anchor(news.visit),
                )


def _equipment(history: History, voice: Voice) -> Iterator[Moment]:
    w = voice.words
    visits = [
        (visit.date, anchor(visit.id), note) for visit in history.visits for note in visit.equipment
    ]
    own = [(note.when, "", note) for note in history.instrument.equipment if note.when]
    told = {when for when, _, _ in visits}
    for when, target, note in [*(item for item in own if item[0] not in told), *visits]:
        yield Moment(
            when,
            voice.form.date(when),
            "equipment",
            w("Humidity equipment: {state}", state=w.term(note.what)),
            sentence(note.text),
            target,
        )
