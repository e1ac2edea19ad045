"""What the bench reads of the drift model: coefficients, the back-test, what is left over."""

from __future__ import annotations

from dossier.analysis.answers import DriftAnswer, Estimate, NotEnough
from dossier.edition.view import Table
from dossier.edition.voice import Voice


def model_tables(answer: DriftAnswer, voice: Voice) -> tuple[Table, ...]:
    """What the bench reads of the model: coefficients, the back-test, and what was left over."""
    tables = (_coefficients(answer, voice), _back_test(answer, voice), _residuals(answer, voice))
    return tuple(table for table in tables if table is not None)


def _interval(figure: Estimate, voice: Voice, digits: int) -> str:
    f = voice.form
    low, high = (
        f.signed(round(figure.low, digits), digits),
        f.signed(round(figure.high, digits), digits),
    )
    return voice.words("{low} to {high}", low=low, high=high)


def _coefficients(answer: DriftAnswer, voice: Voice) -> Table | None:
    w, f = voice.words, voice.form
    if not answer.coefficients:
        return None
    units = {
        "humidity response": w("cents per % of moisture"),
        "slow fall": w("cents a year"),
        "settling share": w("share of a raise"),
    }
    return Table(
        caption=w("What moves the pitch here, by register (intervals of 80 %)"),
        columns=(
            w("Cause"),
            w("Register"),
            w("Value"),
            w("Interval"),
            w("Assumed before"),
            w("Unit"),
        ),
        rows=tuple(
            (
                w.term(one.name),
                w.term(one.register),
                f.signed(round(one.estimate.value, 2), 2),
                _interval(one.estimate, voice, 2),
                _interval(one.assumed, voice, 2),
                units[one.name],
            )
            for one in answer.coefficients
        ),
        numeric=(False, False, True, True, True, False),
    )


def _back_test(answer: DriftAnswer, voice: Voice) -> Table | None:
    w = voice.words
    test = answer.back_test
    if isinstance(test, NotEnough) or not test.rows:
        return None
    return Table(
        caption=w(
            "Each visit predicted from those before it: {inside} of {all} inside the interval, "
            "usual error {error} cents (nothing moves: {naive})",
            inside=test.inside,
            all=len(test.rows),
            error=voice.tenth(test.error),
            naive=voice.tenth(test.naive),
        ),
        columns=(w("Visit"), w("Predicted"), w("Interval"), w("Found"), w("Inside")),
        rows=tuple(
            (
                voice.form.date(row.when),
                voice.cents(row.predicted.value),
                _interval(row.predicted, voice, 1),
                voice.cents(row.observed),
                w("yes") if row.inside else w("no"),
            )
            for row in test.rows
        ),
        numeric=(False, True, True, True, False),
    )


def _residuals(answer: DriftAnswer, voice: Voice) -> Table | None:
    w = voice.words
    if not answer.residuals:
        return None
    return Table(
        caption=w("What each comparison leaves over, in cents"),
        columns=(w("From"), w("To"), w("Register"), w("Moved"), w("Fitted"), w("Left over")),
        rows=tuple(
            (
                voice.form.date(one.earlier),
                voice.form.date(one.when),
                w.term(one.register),
                voice.cents(one.moved),
                voice.cents(one.fitted),
                voice.cents(one.left_over),
            )
            for one in answer.residuals
        ),
        numeric=(False, False, False, True, True, True),
    )
