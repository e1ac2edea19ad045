"""The sentences an owner reads first: the state, the next date, what to do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from dossier.analysis.findings import Findings
from dossier.analysis.pitch import WorkClass
from dossier.analysis.tuning import tuned
from dossier.edition.situation import Situation
from dossier.edition.view import ToDo
from dossier.edition.voice import Voice, sentence
from dossier.model import History, Visit

Level = Literal["good", "attention", "stop"]

MOST_TODOS = 3


@dataclass(frozen=True, slots=True)
class State:
    """The state in one sentence and its level, which is always shown with words."""

    text: str
    level: Level


def state(history: History, findings: Findings, now: Situation, voice: Voice) -> State:
    """How the instrument is, from its last visit; the note's own summary goes first."""
    w = voice.words
    if not history.visits:
        return State(w("No visit has been recorded yet."), "attention")
    last = history.visits[-1]
    first = sentence(last.summary) or _worked(last, findings, voice)
    open_, level = _open(findings, now, voice)
    rest = open_ or ("" if last.summary else w("No problem is open."))
    return State(f"{first} {rest}".strip(), level)


def _open(findings: Findings, now: Situation, voice: Voice) -> tuple[str, Level]:
    """What wants attention, the most pressing thing alone, and the level that follows from it."""
    w = voice.words
    level: Level = "attention" if findings.unsafe is None else "stop"
    problems = [life for life in findings.problems if life.is_open]
    if len(problems) == 1:
        return w("One problem is open: {text}", text=sentence(problems[0].problem.text)), level
    if problems:
        count = len(problems)
        return w.plural("{n} problem is open.", "{n} problems are open.", count), level
    poor = [
        w.term(life.component)
        for life in findings.components
        if life.looks and life.looks[-1][1] in ("poor", "failed")
    ]
    if poor:
        return w("In need of work: {parts}.", parts=voice.listed(poor)), level
    if now.served and now.due == "overdue":
        return w("The next visit is overdue."), level
    if now.undecided or now.late:
        return w("A piece of advice waits to be answered or done."), level
    return "", "good" if findings.unsafe is None else "stop"


def _worked(last: Visit, findings: Findings, voice: Voice) -> str:
    w = voice.words
    when = voice.form.date(last.date)
    pitch = findings.pitches[-1] if findings.pitches else None
    if last.floated and tuned(last):
        return w("Tuned to its own pitch on {date}.", date=when)
    if pitch is not None and pitch.visit == last.id and pitch.tuned and pitch.left is not None:
        if pitch.work is WorkClass.RAISE:
            return w(
                "Raised in pitch on {date} and left {pitch}.",
                date=when,
                pitch=voice.pitch(pitch.left.overall.cents),
            )
        return w(
            "Tuned on {date} and left {pitch}.",
            date=when,
            pitch=voice.pitch(pitch.left.overall.cents),
        )
    if last.work:
        return w("Looked after on {date}.", date=when)
    return w("Last seen on {date}.", date=when)


@dataclass(frozen=True, slots=True)
class NextVisit:
    """What comes next, when, and why, in words; `when` is the first day of its window."""

    text: str
    when: date | None
    why: str


def next_visit(findings: Findings, now: Situation, voice: Voice) -> NextVisit:
    """The next visit in words; a client who left or rests is promised nothing."""
    w = voice.words
    coming = findings.coming
    if coming is None or not now.served:
        return NextVisit(w("None is planned."), None, "")
    when = voice.window(coming.earliest, coming.latest)
    text = sentence(when)
    if now.due == "overdue":
        text = w("Was due {when}.", when=when)
    elif now.due == "due":
        text = w("Due now, {when}.", when=when)
    return NextVisit(
        text, coming.earliest, reason_text(coming.reasons[0].kind, coming.reasons[0].text, voice)
    )


def reason_text(kind: str, text: str, voice: Voice) -> str:
    """A reason to come, as a sentence."""
    w = voice.words
    if kind == "follow":
        return sentence(text)
    if kind == "interval":
        return w("The regular tuning.")
    if kind == "treatment":
        return w("To see how the treatment holds: {text}", text=sentence(text))
    return w("Service of the humidity equipment.")


def todos(findings: Findings, now: Situation, voice: Voice) -> tuple[ToDo, ...]:
    """At most three things for the owner to do, the most pressing first."""
    w = voice.words
    found: list[tuple[int, date, ToDo]] = []
    if findings.unsafe is not None:
        found.append(
            (0, findings.unsafe.since, ToDo(sentence(findings.unsafe.text), w("For safety.")))
        )
    for life in findings.advice:
        if not life.is_open or not now.served:
            continue
        pressing = life.advice.id in now.in_season or life.advice.id in now.late
        when = voice.deadline(*life.window, before=life.before) if life.window else ""
        why = (
            w("Agreed; not yet seen done.")
            if life.state == "agreed"
            else w("Advised on {date}; please say yes or no.", date=voice.form.date(life.given))
        )
        todo = ToDo(sentence(life.advice.text), why, when)
        found.append((1 if pressing else 3, life.decide_by, todo))
    if findings.equipment and findings.equipment[-1][1].what in ("dry", "unplugged", "faulty"):
        seen, note = findings.equipment[-1]
        found.append(
            (
                1,
                seen,
                ToDo(
                    w("Have the humidity equipment looked after."),
                    w(
                        "It was found {state} on {date}.",
                        state=w.term(note.what),
                        date=voice.form.date(seen),
                    ),
                ),
            )
        )
    if now.served and now.due in ("due", "overdue") and findings.coming is not None:
        reason = findings.coming.reasons[0]
        found.append(
            (
                2,
                findings.coming.latest,
                ToDo(
                    w("Arrange the next visit."),
                    reason_text(reason.kind, reason.text, voice),
                    w(
                        "due {when}",
                        when=voice.window(findings.coming.earliest, findings.coming.latest),
                    ),
                ),
            )
        )
    found.sort(key=lambda item: (item[0], item[1]))
    return tuple(todo for _, _, todo in found[:MOST_TODOS])
