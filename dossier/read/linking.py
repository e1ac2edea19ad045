"""References from note to note: which earlier problem or advice a later note means.

A reference is a slug, or a note and words that occur in the problem, perhaps after its date.
What could mean two problems is an error that lists them, and so is what means none: nothing is
closed by a guess.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import Literal

from dossier.diagnostics import Span
from dossier.model import Advice, AdviceNews, Problem, ProblemNews, Visit
from dossier.quantities import Place, suggest
from dossier.read.mentions import COMPASS, places_in, without_places
from dossier.read.pieces import Findings, key_shape, quote

_WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)?")
_SMALL = frozenset(
    [
        "a",
        "an",
        "and",
        "at",
        "by",
        "for",
        "from",
        "has",
        "in",
        "is",
        "it",
        "of",
        "on",
        "or",
        "the",
        "to",
        "with",
        "when",
    ]
)
_ENDINGS = ("ings", "ing", "ers", "ed", "es", "s", "e")
_MOST_LISTED = 4

Kind = Literal["problem", "advice"]


@dataclass
class _Known:
    """A problem or an advice of an earlier note; its words are read when they are asked for."""

    told: Problem | Advice
    day: date
    closed: bool = False

    @property
    def id(self) -> str:
        return self.told.id

    @property
    def label(self) -> str:
        return f"{quote(self.told.text)} of {self.day.isoformat()}"

    @cached_property
    def stems(self) -> frozenset[str]:
        """The words that it can be called by."""
        component = self.told.component if isinstance(self.told, Problem) else ""
        return _stems(f"{self.told.text} {self.told.slug.replace('-', ' ')} {component}")

    @cached_property
    def keys(self) -> frozenset[int]:
        """The keys that it concerns."""
        told = self.told
        return _keys(told.keys if isinstance(told, Problem) else places_in(told.text))


@dataclass(slots=True)
class _Ledger:
    """All that one instrument's notes have named so far."""

    kind: Kind
    mark_names: tuple[str, ...]
    findings: Findings
    whole: bool
    compass: tuple[int, int]
    known: list[_Known] = field(default_factory=list)
    later: list[_Known] = field(default_factory=list)

    def enter(self, one: Problem | Advice, day: date) -> None:
        known = _Known(one, day)
        earlier = next((old for old in self.known if old.id == known.id), None)
        if earlier is not None:
            self.findings.error(
                "slug-twice",
                f'The {self.kind} "{one.slug}" was named on {earlier.day.isoformat()} already.',
                one.span,
                f"Write what became of it, or give this {self.kind} another slug.",
            )
            return
        self.known.append(known)

    def find(self, reference: str, span: Span, prefer_closed: bool) -> _Known | None:
        """The one thing that a reference means, or None with a finding."""
        shape = key_shape(reference)
        for one in self.known:
            if shape == key_shape(one.id):
                return one
        day, words = _dated(reference)
        stems, keys = _stems(words), _keys(places_in(words, self.compass))
        fitting = [one for one in self.known if day in (None, one.day) and _fits(one, stems, keys)]
        preferred = [one for one in fitting if one.closed == prefer_closed] or fitting
        if len(preferred) == 1:
            return preferred[0]
        if preferred:
            self._ambiguous(reference, span, preferred)
        else:
            self._unknown(words, span, stems, keys)
        return None

    def _ambiguous(self, reference: str, span: Span, fitting: list[_Known]) -> None:
        shown = "; ".join(one.label for one in fitting[:_MOST_LISTED])
        more = f"; and {len(fitting) - _MOST_LISTED} more" if len(fitting) > _MOST_LISTED else ""
        self.findings.error(
            f"{self.kind}-ambiguous",
            f"{quote(reference)} could mean {len(fitting)} {_plural(self.kind)}: {shown}{more}.",
            span,
            f"Add a word that only one has, or its date; or name it there: {self.kind} (slug): …",
        )

    def _unknown(
        self, reference: str, span: Span, stems: frozenset[str], keys: frozenset[int]
    ) -> None:
        known = {one.id for one in self.known}
        later = next(
            (one for one in self.later if one.id not in known and _fits(one, stems, keys)), None
        )
        if later is not None:
            self.findings.error(
                f"{self.kind}-later",
                f"{quote(reference)} is first written down on {later.day.isoformat()}, "
                "after this note.",
                span,
                "Check the dates of the two notes.",
            )
            return
        if not self.whole:
            return
        if self.kind == "problem" and (mark := _mark(reference, self.mark_names)):
            hint = f'"{mark}" is a kind of mark: write clear: {reference}'
        else:
            hint = self._nearest(reference)
        self.findings.error(
            f"{self.kind}-unknown",
            f"No earlier {self.kind} is called {quote(reference)}.",
            span,
            hint,
        )

    def _nearest(self, reference: str) -> str:
        by_text = {one.told.text: one for one in self.known}
        by_text |= {one.told.slug: one for one in self.known if one.told.slug}
        near = suggest(reference, by_text)
        alike = (one.told.text for one in self.known if _stems(reference) & one.stems)
        near = near or next(alike, None)
        if near is not None:
            return f"Did you mean {by_text[near].label}?"
        if not self.known:
            return f"No earlier note of this instrument names any {self.kind}."
        open_ones = [one for one in self.known if not one.closed] or self.known
        shown = "; ".join(one.label for one in open_ones[-_MOST_LISTED:])
        return f"Known are: {shown}."


def link_visits(
    visits: Iterable[Visit],
    mark_names: tuple[str, ...],
    findings: Findings,
    *,
    whole: bool = True,
    compass: tuple[int, int] = COMPASS,
) -> tuple[Visit, ...]:
    """Resolve the references of one instrument's visits, which are in order of date.

    The problem or advice of each piece of news becomes an id; news that means nothing is an
    error and is left out.  Where the history is not `whole`, because a note of it can't be read,
    what is meant may stand in that note, and only that note's own mistake is told.
    """
    ordered = tuple(visits)
    problems = _Ledger("problem", mark_names, findings, whole, compass)
    advice = _Ledger("advice", mark_names, findings, whole, compass)
    problems.later = [_Known(one, visit.date) for visit in ordered for one in visit.problems]
    advice.later = [_Known(one, visit.date) for visit in ordered for one in visit.advice]
    return tuple(_link(visit, problems, advice) for visit in ordered)


def _link(visit: Visit, problems: _Ledger, advice: _Ledger) -> Visit:
    for problem in visit.problems:
        problems.enter(problem, visit.date)
    for piece in visit.advice:
        advice.enter(piece, visit.date)
    if not visit.problem_news and not visit.advice_news:
        return visit
    problem_news = (_problem_news(one, problems) for one in visit.problem_news)
    advice_news = (_advice_news(one, advice) for one in visit.advice_news)
    return replace(
        visit,
        problem_news=tuple(one for one in problem_news if one is not None),
        advice_news=tuple(one for one in advice_news if one is not None),
    )


def _problem_news(news: ProblemNews, ledger: _Ledger) -> ProblemNews | None:
    known = ledger.find(news.problem, news.place_of("problem"), news.what == "reopened")
    if known is None:
        return None
    if news.what == "reopened" and not known.closed:
        ledger.findings.warning(
            "problem-not-closed",
            f"{known.label} is reopened, but no note says that it was fixed.",
            news.span,
            "Write watched: instead, or fixed: in the note of the day on which it was.",
        )
    elif news.what != "reopened" and known.closed:
        ledger.findings.warning(
            "problem-closed",
            f"{known.label} is fixed already, and this note says {news.what}.",
            news.span,
            "Write reopened: where it came back.",
        )
    known.closed = news.what == "fixed" or (known.closed and news.what != "reopened")
    return replace(news, problem=known.id)


def _advice_news(news: AdviceNews, ledger: _Ledger) -> AdviceNews | None:
    known = ledger.find(news.advice, news.place_of("advice"), prefer_closed=False)
    if known is None:
        return None
    known.closed = known.closed or news.what in ("done", "declined")
    return replace(news, advice=known.id)


def _dated(reference: str) -> tuple[date | None, str]:
    """`2024-02-14 radiator valve`: the day of the note that is meant, and the words."""
    first, _, rest = reference.partition(" ")
    try:
        return date.fromisoformat(first), rest
    except ValueError:
        return None, reference


def _fits(one: _Known, stems: frozenset[str], keys: frozenset[int]) -> bool:
    """Whether every note and every word of a reference occur in what is known."""
    if not stems and not keys:
        return False
    return keys <= one.keys and all(
        any(known.startswith(stem) or stem.startswith(known) for known in one.stems)
        for stem in stems
    )


def _stems(text: str) -> frozenset[str]:
    words = (word.casefold() for word in _WORD.findall(without_places(text)))
    return frozenset(_stem(word) for word in words if word not in _SMALL)


def _stem(word: str) -> str:
    """A word without its ending, so that `buzz`, `buzzes` and `buzzing` are one."""
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word


def _keys(places: Iterable[Place]) -> frozenset[int]:
    return frozenset(key for place in places for key in place.keys)


def _mark(reference: str, names: tuple[str, ...]) -> str | None:
    shape = key_shape(reference)
    return next((name for name in names if shape.startswith(key_shape(name))), None)


def _plural(kind: Kind) -> str:
    return "problems" if kind == "problem" else "pieces of advice"
