"""The instrument's life as one picture: marks on a line of time, and what stood open meanwhile.

Made, moved, sold, visited, raised and mended are marks; a problem and a warning are spans, for
they last; the dry months stand behind the years in which somebody looked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from dossier.analysis.concerns import ProblemLife
from dossier.analysis.findings import Findings
from dossier.analysis.seasons import seasons_from
from dossier.edition.figures import LifeMark, LifePicture, LifeSpan
from dossier.edition.timeline import anchor
from dossier.edition.view import Moment
from dossier.edition.voice import Voice, sentence
from dossier.model import History

LASTING = frozenset({"problem", "solved", "safety"})
"""Kinds of moments that begin or end a span, and are drawn as one."""


def life(
    history: History, findings: Findings, moments: Iterable[Moment], voice: Voice
) -> LifePicture | None:
    """The picture of a timeline's moments; None where fewer than two of them have a day."""
    marks = tuple(_marks(moments, voice))
    if len({mark.when for mark in marks}) < 2:
        return None
    spans = (*_warnings(findings, voice), *_problems(findings, voice))
    first = history.visits[0].date if history.visits else None
    last = max(mark.when for mark in marks)
    seasons = tuple(_dry_seasons(history, first, last)) if first else ()
    w = voice.words
    return LifePicture(
        id="life",
        title=_finding(history, spans, voice),
        sentence=w(
            "Each mark is a moment and each bar a problem for as long as it stood. The years "
            "before the first visit are drawn closer together."
        )
        if first and marks[0].when < first
        else w("Each mark is a moment and each bar a problem for as long as it stood."),
        alt=w(
            "A line of time from {first} to {last}; the same stands below in words.",
            first=voice.form.date(marks[0].when),
            last=voice.form.date(last),
        ),
        first=first,
        last=last,
        marks=marks,
        spans=spans,
        seasons=seasons,
        legend=tuple(_legend(marks, spans, seasons, voice)),
    )


def _marks(moments: Iterable[Moment], voice: Voice) -> Iterator[LifeMark]:
    for moment in moments:
        if moment.when is not None and moment.kind not in LASTING:
            # Where nobody came, the words of the day are all that is known of it: "about 1912".
            short = moment.label if moment.target else f"{moment.when_text}: {moment.label}"
            name = voice.words("{day}: {what}", day=moment.when_text, what=moment.label)
            told = f"{name}. {moment.text}" if moment.text else name
            yield LifeMark(moment.when, moment.kind, short, told, moment.target)


def _problems(findings: Findings, voice: Voice) -> Iterator[LifeSpan]:
    for one in findings.problems:
        yield LifeSpan(
            kind="problem",
            short=sentence(one.problem.text).rstrip("."),
            name=_told(voice.words("Problem"), one.problem.text, _stretches(one), voice),
            pieces=_stretches(one),
            target=anchor(one.visit),
        )


def _stretches(one: ProblemLife) -> tuple[tuple[date, date | None], ...]:
    """From when to when a problem stood; news of any kind after a fix means that it was back."""
    pieces: list[tuple[date, date | None]] = [(one.since, None)]
    for news in one.news:
        opened, closed = pieces[-1]
        if news.what == "fixed" and closed is None:
            pieces[-1] = (opened, news.when)
        elif news.what != "fixed" and closed is not None:
            pieces.append((news.when, None))
    return tuple(pieces)


def _warnings(findings: Findings, voice: Voice) -> Iterator[LifeSpan]:
    for one in findings.warnings:
        pieces = ((one.since, one.lifted),)
        yield LifeSpan(
            kind="safety",
            short=sentence(one.text).rstrip("."),
            name=_told(voice.words("Safety warning"), one.text, pieces, voice),
            pieces=pieces,
            target=anchor(one.visit),
        )


def _told(what: str, text: str, pieces: tuple[tuple[date, date | None], ...], voice: Voice) -> str:
    w, day = voice.words, voice.form.date
    when = ", ".join(
        w("{first} to {last}", first=day(opened), last=day(closed))
        if closed is not None
        else w("open since {date}", date=day(opened))
        for opened, closed in pieces
    )
    return w("{what}, {when}: {text}", what=what, when=when, text=sentence(text))


def _dry_seasons(history: History, first: date, last: date) -> Iterator[tuple[date, date]]:
    for opens, ends in seasons_from(history.shop, "dry", first.year - 1):
        if opens >= last:
            return
        closes = ends + timedelta(days=1)
        if closes > first:
            yield max(opens, first), min(closes, last)


def _finding(history: History, spans: tuple[LifeSpan, ...], voice: Voice) -> str:
    w, count = voice.words, len(history.visits)
    if not count:
        return w("Not visited yet")
    since = voice.form.month(history.visits[0].date)
    visits = w.plural("{n} visit since {month}", "{n} visits since {month}", count, month=since)
    waiting = sum(span.is_open for span in spans if span.kind == "problem")
    if not waiting:
        return w("{visits}, no problem open", visits=visits)
    return w(
        "{visits}, {problems}",
        visits=visits,
        problems=w.plural("{n} problem open", "{n} problems open", waiting),
    )


def _ended(span: LifeSpan) -> str:
    if span.is_open:
        return "open"
    return "settled" if span.kind == "problem" else "lifted"


def _legend(
    marks: tuple[LifeMark, ...],
    spans: tuple[LifeSpan, ...],
    seasons: tuple[tuple[date, date], ...],
    voice: Voice,
) -> Iterator[tuple[str, str]]:
    """The signs that the picture uses, each with its word."""
    w = voice.words
    named = (
        ("origin", w("made, bought, handed on")),
        ("move", w("moved or stored")),
        ("visit", w("visit")),
        ("raise", w("pitch raise")),
        ("repair", w("repair or regulation")),
        ("equipment", w("humidity equipment")),
        ("open", w("still open")),
        ("settled", w("problem, settled")),
        ("lifted", w("safety warning, lifted")),
    )
    used = {mark.kind for mark in marks} | {_ended(span) for span in spans}
    yield from (pair for pair in named if pair[0] in used)
    if seasons:
        yield "season", w("dry months")
