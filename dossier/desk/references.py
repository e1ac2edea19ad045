"""What a new note calls an earlier problem or advice by, so that nothing else can be meant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from dossier.analysis.concerns import AdviceLife, ProblemLife
from dossier.diagnostics import Span
from dossier.model import Advice, AdviceNews, History, Problem, ProblemNews, Visit
from dossier.read import link_visits
from dossier.read.pieces import Findings

_LONG = 40  # letters of a reference that still fit a telephone
_LEAST = 4  # words that a longer one is cut to, so that it is still a phrase


def problem_reference(history: History, life: ProblemLife, today: date) -> str:
    """Words that mean this problem and no other."""
    return _first(life.problem, life.since, history, today)


def advice_reference(history: History, life: AdviceLife, today: date) -> str:
    """Words that mean this advice and no other."""
    return _first(life.advice, life.given, history, today)


def _first(one: Problem | Advice, day: date, history: History, today: date) -> str:
    fitting = (words for words in _candidates(one, day) if _means(words, one, history, today))
    return next(fitting, one.id)


def _candidates(one: Problem | Advice, day: date) -> Iterator[str]:
    if one.slug:
        yield one.slug
    head = one.text.partition(",")[0].strip(" .;:")
    words = head.split()
    if len(head) > _LONG:
        yield from (" ".join(words[:count]) for count in range(_LEAST, len(words)))
    yield head
    yield f"{day.isoformat()} {head}"


def _means(words: str, one: Problem | Advice, history: History, today: date) -> bool:
    """Whether the reader, given these words in a note of today, takes them for this one."""
    span = Span("")
    trial = Visit(span=span, id="today", instrument=history.instrument.id, date=today)
    if isinstance(one, Problem):
        asked = ProblemNews(span=span, problem=words, what="watched")
        trial = replace(trial, problem_news=(asked,))
    else:
        trial = replace(trial, advice_news=(AdviceNews(span=span, advice=words, what="agreed"),))
    visits = (*history.visits, trial)
    marks = tuple(kind.name for kind in history.shop.mark_kinds)
    linked = link_visits(visits, marks, Findings())[-1]
    found = [item.problem for item in linked.problem_news]
    found += [item.advice for item in linked.advice_news]
    return found == [one.id]
