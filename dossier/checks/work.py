"""Do the work and what it was done for belong together, and did the owner agree to its risks?"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from dossier.analysis.cautions import OLD_WIRE_BEFORE
from dossier.analysis.compass import keys_of
from dossier.analysis.tuning import TUNING_KINDS, visit_pitch
from dossier.checks.check import figure, histories, info, shortened, visits, warning
from dossier.diagnostics import Diagnostic
from dossier.model import GRADES, Graded, History, Notebook, Problem, Visit, Work

MENDING = frozenset({"repair", "restringing", "easing", "treatment", "other"})
RANKS = {grade.name: grade.rank for grade in GRADES}
TWO_GRADES = 2

LARGE_RAISE = 50
"""Cents of a raise at one visit from which old wire is at risk.  Common practice, no source."""

_WORD = re.compile(r"[^\W\d_]{4,}")
_RAISE_WORDS = frozenset({"raise", "raised", "raising", "pitch", "wire", "string", "strings"})
_EMPTY_WORDS = frozenset({"this", "that", "with", "from", "into", "cannot", "again", "taken"})


def resolves_nothing(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A repair at the very keys of an open problem has most likely solved it."""
    for history in histories(notebook):
        open_problems: dict[str, tuple[Visit, Problem]] = {}
        for visit in history.visits:
            open_problems |= {problem.id: (visit, problem) for problem in visit.problems}
            named = {news.problem for news in visit.problem_news}
            for seen, problem in open_problems.values():
                work = _touching(visit, problem)
                if work is not None and problem.id not in named:
                    yield warning(
                        "work-resolves-nothing",
                        f"This work is where the open problem {shortened(problem.text)} of "
                        f"{seen.date.isoformat()} is, and the note does not say what became of it.",
                        work.span,
                        "Write fixed: or watched: and a word of the problem.",
                    )
            for news in visit.problem_news:
                if news.what == "fixed":
                    open_problems.pop(news.problem, None)


def _touching(visit: Visit, problem: Problem) -> Work | None:
    """The first piece of mending of a visit that is at a problem's keys or component."""
    keys = keys_of(problem.keys)
    for work in visit.work:
        same_keys = keys & keys_of(work.keys)
        same_part = problem.component and problem.component == work.component and not keys
        if work.kind in MENDING and (same_keys or same_part):
            return work
    return None


def fixed_without_work(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Whoever comes next wants to know how a problem was solved."""
    for _history, visit in visits(notebook):
        for news in visit.problem_news:
            if news.what == "fixed" and not visit.work and not news.text:
                yield info(
                    "fixed-without-work",
                    "A problem is fixed, and the note names no work.",
                    news.span,
                    "Write how behind it, as in fixed: G4 buzz, a loose screw in the lyre",
                )


def improved_without_work(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Wood and felt do not mend themselves: one of the two grades is a slip."""
    for history in histories(notebook):
        seen: dict[str, tuple[int, Graded]] = {}
        for number, visit in enumerate(history.visits):
            for graded in visit.condition:
                rank = RANKS.get(graded.grade)
                if rank is None:
                    continue
                before = seen.get(graded.component)
                seen[graded.component] = (number, graded)
                if before is not None and _leaps(history, before, number, graded, rank):
                    yield warning(
                        "improved-without-work",
                        f'"{graded.component}" went from {before[1].grade} on '
                        f"{history.visits[before[0]].date.isoformat()} to {graded.grade}, and no "
                        "work on it is noted between.",
                        graded.span,
                        "Check the two grades, or note the work.",
                    )


def _leaps(
    history: History, before: tuple[int, Graded], number: int, graded: Graded, rank: int
) -> bool:
    """Whether a component rose by two grades with nothing that could have raised it."""
    at, earlier = before
    if rank - (RANKS[earlier.grade] or 0) < TWO_GRADES:
        return False
    since, until = history.visits[at].date, history.visits[number].date
    for visit in history.visits[at : number + 1]:
        for work in visit.work:
            idle = work.kind in TUNING_KINDS or work.kind == "inspection"
            if work.component == graded.component or (not work.component and not idle):
                return False
    return not any(
        event.kind in ("restrung", "rebuilt", "repaired", "pin block")
        and event.when.latest is not None
        and since <= event.when.latest
        and (event.when.earliest or until) <= until
        for event in history.instrument.provenance
    )


def irreversible_without_consent(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """What cannot be undone is the owner's to decide, and the decision is part of the record."""
    for history, visit in visits(notebook):
        for work in visit.work:
            final = work.irreversible or (
                work.text if work.kind == "treatment" and "adhesive" in work.text.lower() else ""
            )
            said = _words(f"{work.text} {work.irreversible} {work.component}")
            if final and not _consented(history, visit.date, said):
                yield warning(
                    "irreversible-without-consent",
                    f"{shortened(final)} cannot be undone, and instrument.md records no consent "
                    "to it.",
                    work.span,
                    "Write in instrument.md, as in "
                    "consent: thin adhesive in the pin block, 2022-02-05, by the owner",
                )


def raise_without_consent(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A string may break, or worse, and the owner should have known."""
    for history, visit in visits(notebook):
        made = history.instrument.made
        if made is None or made.latest is None or made.latest >= OLD_WIRE_BEFORE:
            continue
        pitch = visit_pitch(history, visit)
        if pitch is None or pitch.change is None or pitch.change <= LARGE_RAISE:
            continue
        if not _consented(history, visit.date, _RAISE_WORDS):
            yield warning(
                "raise-without-consent",
                f"It was made {made.text} and raised by {figure(round(pitch.change))} cents, and "
                "instrument.md records no consent to that.",
                visit.place_of("found"),
                "Write in instrument.md, as in "
                f"consent: raise on old wire, {visit.date.isoformat()}, by the owner",
            )


def _consented(history: History, day: date, words: frozenset[str]) -> bool:
    """Whether a consent of that day or earlier shares a word with what was done."""
    return any(
        consent.when <= day and _words(consent.what) & words
        for consent in history.instrument.consents
    )


def _words(text: str) -> frozenset[str]:
    return frozenset(_WORD.findall(text.lower())) - _EMPTY_WORDS
