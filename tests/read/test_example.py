"""The example that the format is explained with, read to exact records with their places."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dossier.diagnostics import Span
from dossier.model import (
    Air,
    Follow,
    Graded,
    Mark,
    Measured,
    Passage,
    Photo,
    Pitch,
    Reading,
    Visit,
    Work,
)
from dossier.quantities import Money, Period, Place, When, parse_key
from tests.read.tiny_shop import VISIT, read_visit

EXAMPLE = """---
reason: yearly service
air: 17.5 °C, 71 %
found: A1 +6, A3 +9, A4 442.1 Hz, A5 +8          # or one figure for the whole: found: 8 sharp
left: on pitch                                   # or by note, as found
key dip: A1 10.2 mm, A4 10 mm
bass strings: D#1 broken
sticking keys: F3-B3, D4                         # a mark: a kind and its notes, strings, ranges
clear: sluggish dampers C5-G5                    # looked at again, and right
problem: lyre creaks when the left pedal is used
fixed: G4 buzz                                   # names an earlier problem by its note and a word
work:
  - tuning
  - eased keys F3-B3, 45 min, 40 USD
  - repair: spliced the D#1 string
    parts: 6.50 USD
    warranty: 1 year
advice: move it off the outer wall, before October
condition:
  keys: fair, front bushings swollen
  hammers: not examined
next: check the splice, 4-8 weeks
photos: pins.jpg the splice on D#1
summary: The damp has made some keys stick; they are free again.   # optional
hold: yes                                        # keep the client's page as it is
---
What the owner reads, in the technician's own words, as Markdown.

::: bench
Only the technician ever reads this.
:::
"""


@pytest.fixture
def visit() -> Visit:
    return read_visit(EXAMPLE)


def at(line: int, column: int, width: int) -> Span:
    return Span(VISIT, line, column, width)


def keys(name: str, last: str = "", string: int | None = None) -> Place:
    return Place(parse_key(name), parse_key(last or name), string)


def test_the_visit_is_the_one_that_the_file_is_named_by(visit: Visit) -> None:
    assert (visit.id, visit.instrument, visit.date, visit.order) == (
        "2026-03-14",
        "heron",
        date(2026, 3, 14),
        0,
    )
    assert visit.span == Span(VISIT)
    assert visit.reason == "yearly service"
    assert visit.place_of("reason") == at(2, 9, 14)


def test_the_air_is_read_with_its_units(visit: Visit) -> None:
    assert visit.air == Air(span=at(3, 6, 13), temperature_c=Decimal("17.5"), humidity=Decimal(71))


def test_pitch_found_is_in_cents_also_where_it_was_written_in_hertz(visit: Visit) -> None:
    # 1200 log2(442.1 / 440) = 8.243
    assert visit.found == Pitch(
        span=at(4, 8, 32),
        how="readings",
        readings=(
            Reading(span=at(4, 8, 5), key=13, cents=Decimal(6)),
            Reading(span=at(4, 15, 5), key=37, cents=Decimal(9)),
            Reading(span=at(4, 22, 11), key=49, cents=Decimal("8.24"), hertz=Decimal("442.1")),
            Reading(span=at(4, 35, 5), key=61, cents=Decimal(8)),
        ),
    )
    assert visit.left == Pitch(span=at(5, 7, 8), how="on pitch")


def test_figures_and_marks_know_their_notes(visit: Visit) -> None:
    assert visit.measured == (
        Measured(span=at(6, 10, 10), kind="key dip", place=keys("A1"), value=Decimal("10.2")),
        Measured(span=at(6, 22, 8), kind="key dip", place=keys("A4"), value=Decimal(10)),
    )
    assert visit.marks == (
        Mark(
            span=at(7, 15, 10),
            kind="bass strings",
            marked=(keys("D#1"),),
            remark="broken",
            places={"remark": at(7, 19, 6)},
        ),
        Mark(span=at(8, 16, 9), kind="sticking keys", marked=(keys("F3", "B3"), keys("D4"))),
    )
    (cleared,) = visit.cleared
    assert (cleared.kind, cleared.marked) == ("sluggish dampers", (keys("C5", "G5"),))
    assert not visit.checked_all


def test_problems_live_on_and_are_named_by_note_and_word(visit: Visit) -> None:
    (problem,) = visit.problems
    assert (problem.id, problem.text, problem.span) == (
        "2026-03-14-1",
        "lyre creaks when the left pedal is used",
        at(10, 10, 39),
    )
    (news,) = visit.problem_news
    assert (news.problem, news.what, news.text) == ("2025-03-01-1", "fixed", "")
    assert news.place_of("problem") == at(11, 8, 7)


def test_work_has_its_time_price_parts_and_warranty(visit: Visit) -> None:
    tuning, easing, repair = visit.work
    assert tuning == Work(
        span=at(13, 5, 6), kind="tuning", text="tuning", places={"text": at(13, 5, 6)}
    )
    assert easing == Work(
        span=at(14, 5, 32),
        kind="easing",
        text="eased keys F3-B3",
        keys=(keys("F3", "B3"),),
        minutes=45,
        price=Money(Decimal("40.00"), "USD"),
        places={"text": at(14, 5, 16), "minutes": at(14, 23, 6), "price": at(14, 31, 6)},
    )
    assert repair == Work(
        span=at(15, 5, 6),
        kind="repair",
        text="spliced the D#1 string",
        keys=(keys("D#1"),),
        parts=Money(Decimal("6.50"), "USD"),
        warranty_until=date(2027, 3, 14),
        places={
            "text": at(15, 13, 22),
            "parts": at(16, 12, 8),
            "warranty_until": at(17, 15, 6),
        },
    )


def test_advice_and_what_comes_next_know_their_time(visit: Visit) -> None:
    (advice,) = visit.advice
    assert (advice.id, advice.text) == ("2026-03-14-advice-1", "move it off the outer wall")
    assert advice.before == When("month", "October", month=10, before=True)
    assert visit.follow == (
        Follow(
            span=at(22, 7, 27),
            text="check the splice",
            when=When("period", "4-8 weeks", period=Period(28, 56, "4-8 weeks")),
            places={"when": at(22, 25, 9)},
        ),
    )


def test_the_condition_is_graded_and_not_examined_is_a_value(visit: Visit) -> None:
    assert visit.condition == (
        Graded(
            span=at(20, 9, 28),
            component="keys",
            grade="fair",
            remark="front bushings swollen",
            places={"remark": at(20, 15, 22)},
        ),
        Graded(span=at(21, 12, 12), component="hammers", grade="not examined"),
    )


def test_pictures_summary_and_hold(visit: Visit) -> None:
    assert visit.photos == (
        Photo(
            span=at(23, 9, 8),
            file="pins.jpg",
            caption="the splice on D#1",
            places={"caption": at(23, 18, 17)},
        ),
    )
    assert visit.summary == "The damp has made some keys stick; they are free again."
    assert visit.hold is True


def test_the_prose_is_parted_by_who_may_read_it(visit: Visit) -> None:
    assert visit.passages == (
        Passage(
            span=Span(VISIT, 27),
            markdown="What the owner reads, in the technician's own words, as Markdown.",
        ),
        Passage(
            span=Span(VISIT, 30), markdown="Only the technician ever reads this.", audience="bench"
        ),
    )
