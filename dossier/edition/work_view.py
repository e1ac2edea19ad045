"""Work, problems, advice and money on a page."""

from __future__ import annotations

from decimal import Decimal

from dossier.analysis.concerns import AdviceLife, News, ProblemLife
from dossier.analysis.findings import Findings
from dossier.analysis.money import work_cost
from dossier.edition.figures import CostYears, Figure, YearCost
from dossier.edition.situation import Situation
from dossier.edition.timeline import anchor
from dossier.edition.view import AdviceLine, ProblemLine, Table, WorkLine
from dossier.edition.voice import Voice, capital, sentence
from dossier.model import History, Visit, Work
from dossier.quantities import Money


def work_lines(history: History, voice: Voice, *, costs: bool) -> tuple[WorkLine, ...]:
    """All work, latest first."""
    return tuple(
        line for visit in reversed(history.visits) for line in visit_work(visit, voice, costs=costs)
    )


def visit_work(visit: Visit, voice: Voice, *, costs: bool) -> tuple[WorkLine, ...]:
    """The work of one visit, in the note's order; the visit's fee closes it where costs show."""
    lines = [_work(visit, work, voice, costs=costs) for work in visit.work]
    if costs and visit.fee is not None:
        lines.append(
            WorkLine(
                when=visit.date,
                when_text=voice.form.date(visit.date),
                kind=voice.words("The visit"),
                text="",
                cost=_sum(visit.fee, voice),
                target=anchor(visit.id),
            )
        )
    return tuple(lines)


def _work(visit: Visit, work: Work, voice: Voice, *, costs: bool) -> WorkLine:
    w = voice.words
    kind = capital(w.term(work.kind))
    text = "" if work.text.lower() == work.kind else capital(work.text)
    detail = []
    if work.by:
        detail.append(w("by {who}", who=work.by))
    if work.minutes is not None:
        detail.append(voice.form.duration(work.minutes))
    if work.warranty_until is not None:
        detail.append(w("warranty until {date}", date=voice.form.date(work.warranty_until)))
    if work.irreversible:
        detail.append(w("can't be undone: {what}", what=work.irreversible))
    sums = tuple(dict.fromkeys(_sum(money, voice) for money in work_cost(work))) if costs else ()
    return WorkLine(
        when=visit.date,
        when_text=voice.form.date(visit.date),
        kind=kind,
        text=text,
        detail="; ".join(detail),
        cost=", ".join(sums),
        target=anchor(visit.id),
    )


def _sum(money: Money, voice: Voice) -> str:
    """A sum as a reader sees it; work that cost nothing is said in words."""
    return voice.form.money(money) if money.amount else voice.words("no charge")


def problem_lines(findings: Findings, voice: Voice) -> tuple[ProblemLine, ...]:
    """Every problem: open ones first, each with its story."""
    ordered = sorted(findings.problems, key=lambda life: not life.is_open)
    return tuple(_problem(life, voice) for life in ordered)


def _problem(life: ProblemLife, voice: Voice) -> ProblemLine:
    w = voice.words
    story = [_news(news, voice) for news in life.news]
    if life.days_open:
        story.append(
            w.plural("It was open for {n} day.", "It was open for {n} days.", life.days_open)
        )
    return ProblemLine(
        text=sentence(life.problem.text),
        is_open=life.is_open,
        state=w.term(life.state),
        since=voice.form.date(life.since),
        story=tuple(story),
        target=anchor(life.visit),
    )


def advice_lines(findings: Findings, now: Situation, voice: Voice) -> tuple[AdviceLine, ...]:
    """Every piece of advice: what waits first, each with what became of it."""
    ordered = sorted(findings.advice, key=lambda life: not life.is_open)
    return tuple(_advice(life, now, voice) for life in ordered)


def _advice(life: AdviceLife, now: Situation, voice: Voice) -> AdviceLine:
    w = voice.words
    story = []
    if life.window is not None:
        story.append(w("To be done {when}.", when=voice.deadline(*life.window, before=life.before)))
    story.extend(_news(news, voice) for news in life.news)
    return AdviceLine(
        text=sentence(life.advice.text),
        waiting=life.is_open,
        state=advice_state(life, now, voice),
        given=voice.form.date(life.given),
        story=tuple(story),
        target=anchor(life.visit),
    )


def advice_state(life: AdviceLife, now: Situation, voice: Voice) -> str:
    """The state of advice on this day, in a word or two."""
    w = voice.words
    if life.advice.id in now.late:
        return w("overdue")
    if life.advice.id in now.undecided:
        return w("waiting long for an answer")
    if life.advice.id in now.in_season:
        return w("its time has come")
    return w("waiting for an answer") if life.waiting else w.term(life.state)


def _news(news: News, voice: Voice) -> str:
    w = voice.words
    what, when = capital(w.term(news.what)), voice.form.date(news.when)
    if news.text:
        return w("{what} on {date}: {text}", what=what, date=when, text=sentence(news.text))
    return w("{what} on {date}.", what=what, date=when)


def cost_figures(findings: Findings, voice: Voice) -> tuple[Figure, ...]:
    """One picture a currency of what was paid by year and kind; nothing is added across them."""
    currencies = sorted({item.total.currency for item in findings.money})
    return tuple(_cost(findings, currency, voice) for currency in currencies)


def _cost(findings: Findings, currency: str, voice: Voice) -> Figure:
    w = voice.words
    items = [item for item in findings.money if item.total.currency == currency]
    total = sum((item.total.amount for item in items), Decimal(0))
    years = sorted({item.year for item in items})
    shown = voice.form.money(type(items[0].total)(total, currency))
    return Figure(
        id=f"cost-{currency.lower()}",
        title=w("{sum} since {year}", sum=shown, year=years[0]),
        sentence=w("What was paid for work, by year and kind."),
        alt=w(
            "Chart of the cost of work by year from {first} to {last}, {sum} in all.",
            first=years[0],
            last=years[-1],
            sum=shown,
        ),
        basis=w.plural(
            "what was noted in {n} year, in {currency}",
            "what was noted in {n} years, in {currency}",
            len(years),
            currency=currency,
        ),
        table=Table(
            caption=w("Cost of work by year"),
            columns=(w("Year"), w("Kind"), w("Sum")),
            rows=tuple(
                (str(item.year), capital(w.term(item.kind)), voice.form.money(item.total))
                for item in items
            ),
            numeric=(False, False, True),
        ),
        signs=voice.form.signs,
        drawn=CostYears(
            currency,
            tuple(
                YearCost(item.year, capital(w.term(item.kind)), float(item.total.amount))
                for item in items
            ),
        ),
    )
