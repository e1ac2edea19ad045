"""Problems and advice with a life: opened in one note, answered in another, open until then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from dossier.analysis.seasons import when_window
from dossier.model import Advice, AdviceNews, History, Problem, ProblemNews

ProblemState = Literal["seen", "watched", "diagnosed", "fixed", "reopened"]
AdviceState = Literal["given", "agreed", "declined", "done"]


@dataclass(frozen=True, slots=True)
class News:
    """One step in a life: what happened, when, in which visit, and the writer's words."""

    when: date
    visit: str
    what: str
    text: str


@dataclass(frozen=True, slots=True)
class ProblemLife:
    """A problem from the day it was seen, with what became of it."""

    problem: Problem
    since: date
    visit: str
    state: ProblemState
    news: tuple[News, ...]

    @property
    def is_open(self) -> bool:
        return self.state != "fixed"

    @property
    def days_open(self) -> int | None:
        """Days for which it was open, less those from a fix until it came back; None while it is.

        News of any kind after a fix means that it was there again.
        """
        if self.is_open:
            return None
        days, opened = 0, self.since
        fixed = False
        for news in self.news:
            if news.what == "fixed" and not fixed:
                days += (news.when - opened).days
            elif fixed and news.what != "fixed":
                opened = news.when
            fixed = news.what == "fixed"
        return days


@dataclass(frozen=True, slots=True)
class AdviceLife:
    """A piece of advice.  `window` is when it should be done; `decide_by` when silence is long."""

    advice: Advice
    given: date
    visit: str
    state: AdviceState
    news: tuple[News, ...]
    window: tuple[date, date] | None
    decide_by: date

    @property
    def before(self) -> bool:
        """Whether a last day was meant, and not a time at which to do it."""
        return self.advice.before is not None and self.advice.before.before

    @property
    def waiting(self) -> bool:
        return self.state == "given"

    @property
    def is_open(self) -> bool:
        return self.state in ("given", "agreed")


def problem_lives(history: History) -> tuple[ProblemLife, ...]:
    """Every problem of the history in the order in which they were first seen."""
    begun = [(visit, problem) for visit in history.visits for problem in visit.problems]
    news: dict[str, list[News]] = {}
    states: dict[str, ProblemState] = {}
    for visit in history.visits:
        for item in visit.problem_news:
            news.setdefault(item.problem, []).append(_step(visit.date, visit.id, item))
            states[item.problem] = item.what
    return tuple(
        ProblemLife(
            problem=problem,
            since=visit.date,
            visit=visit.id,
            state=states.get(problem.id, "seen"),
            news=tuple(news.get(problem.id, ())),
        )
        for visit, problem in begun
    )


def advice_lives(history: History) -> tuple[AdviceLife, ...]:
    """Every piece of advice in the order in which it was given."""
    news: dict[str, list[News]] = {}
    states: dict[str, AdviceState] = {}
    for visit in history.visits:
        for item in visit.advice_news:
            news.setdefault(item.advice, []).append(_step(visit.date, visit.id, item))
            states[item.advice] = item.what
    patience = timedelta(days=history.shop.clocks.advice)
    lives = []
    for visit in history.visits:
        for advice in visit.advice:
            span = when_window(history.shop, advice.before, visit.date) if advice.before else None
            lives.append(
                AdviceLife(
                    advice=advice,
                    given=visit.date,
                    visit=visit.id,
                    state=states.get(advice.id, "given"),
                    news=tuple(news.get(advice.id, ())),
                    window=span,
                    decide_by=_decide_by(advice, span, visit.date + patience),
                )
            )
    return tuple(lives)


def _decide_by(advice: Advice, span: tuple[date, date] | None, patient: date) -> date:
    """When silence is long: as what was advised should begin, or at its last day, or in the end."""
    if span is None:
        return patient
    if advice.before is not None and advice.before.before:
        return min(span[1], patient)
    return span[0]


def _step(when: date, visit: str, item: ProblemNews | AdviceNews) -> News:
    return News(when, visit, item.what, item.text)
