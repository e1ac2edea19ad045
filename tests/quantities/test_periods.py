"""When something is next to be done."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.quantities import (
    Period,
    QuantityError,
    When,
    add_period,
    parse_period,
    parse_when,
    window,
)

PI_DAY = date(2026, 3, 14)


@pytest.mark.parametrize(
    ("written", "period"),
    [
        ("3 weeks", Period(21, 21, "3 weeks")),
        ("4-8 weeks", Period(28, 56, "4-8 weeks")),
        ("4 – 8 Weeks", Period(28, 56, "4 - 8 weeks")),
        ("4 to 8 weeks", Period(28, 56, "4 to 8 weeks")),
        ("10 days", Period(10, 10, "10 days")),
        ("two weeks", Period(14, 14, "two weeks")),
        ("a fortnight", Period(14, 14, "a fortnight")),
        ("6 months", Period(183, 183, "6 months")),
        ("6 mo", Period(183, 183, "6 mo")),
        ("1½ years", Period(548, 548, "1 1/2 years")),
        ("1 year", Period(365, 365, "1 year")),
        ("yearly", Period(365, 365, "yearly")),
        ("twice a year", Period(183, 183, "twice a year")),
        ("3x a year", Period(122, 122, "3x a year")),
        ("every 6 months", Period(183, 183, "every 6 months")),
    ],
)
def test_period(written: str, period: Period) -> None:
    assert parse_period(written) == period
    assert parse_period(period.text) == period


@pytest.mark.parametrize(
    ("start", "written", "earliest", "latest"),
    [
        (PI_DAY, "4-8 weeks", date(2026, 4, 11), date(2026, 5, 9)),
        (PI_DAY, "6 months", date(2026, 9, 14), date(2026, 9, 14)),
        (PI_DAY, "twice a year", date(2026, 9, 14), date(2026, 9, 14)),
        (PI_DAY, "3-6 months", date(2026, 6, 14), date(2026, 9, 14)),
        (date(2026, 1, 31), "1 month", date(2026, 2, 28), date(2026, 2, 28)),
        (date(2024, 2, 29), "yearly", date(2025, 2, 28), date(2025, 2, 28)),
        (date(2026, 11, 30), "3 months", date(2027, 2, 28), date(2027, 2, 28)),
    ],
)
def test_a_period_is_counted_by_the_calendar(
    start: date, written: str, earliest: date, latest: date
) -> None:
    assert add_period(start, parse_period(written)) == (earliest, latest)


EXAMPLE = "Write it like 3 weeks, 4-8 weeks or 6 months."


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("", f"The period is missing. {EXAMPLE}"),
        ("soon", f'"soon" is not a period. {EXAMPLE}'),
        ("8-4 weeks", '"8-4 weeks" runs backwards. Write 4-8 weeks.'),
        ("0 weeks", f'"0 weeks" is no time at all. {EXAMPLE}'),
        ("1.5 months", f'"1.5 months" is not a whole number of months. {EXAMPLE}'),
        ("5 times a year", f'"5 times a year" is not a whole number of months. {EXAMPLE}'),
        ("200 years", f'"200 years" is longer than a century. {EXAMPLE}'),
    ],
)
def test_no_period(written: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_period(written)
    assert str(caught.value) == message


THREE_WEEKS = Period(21, 21, "3 weeks")


@pytest.mark.parametrize(
    ("written", "when"),
    [
        ("2026-10-01", When("date", "2026-10-01", day=date(2026, 10, 1))),
        ("2026-09", When("month", "2026-09", year=2026, month=9)),
        ("October", When("month", "October", month=10)),
        ("oct", When("month", "October", month=10)),
        ("Sept 2026", When("month", "September 2026", year=2026, month=9)),
        ("before October", When("month", "October", month=10, before=True)),
        ("before 2026-10-01", When("date", "2026-10-01", day=date(2026, 10, 1), before=True)),
        ("in the fall", When("season", "autumn", season="autumn")),
        ("spring 2027", When("season", "spring 2027", year=2027, season="spring")),
        ("the dry season", When("named", "dry season", season="dry")),
        ("before the damp season", When("named", "damp season", season="damp", before=True)),
        ("in 3 weeks", When("period", "3 weeks", period=THREE_WEEKS)),
        ("10–12 weeks", When("period", "10-12 weeks", period=Period(70, 84, "10-12 weeks"))),
    ],
)
def test_when(written: str, when: When) -> None:
    assert parse_when(written) == when


@pytest.mark.parametrize(
    ("written", "offset", "message"),
    [
        (
            "",
            0,
            ("The time is missing. Write it like 2026-10-01, 2026-10, October, autumn or 3 weeks."),
        ),
        ("before Octobr", 7, '"Octobr" is not a time that a calendar knows. Did you mean October?'),
        (
            "soon",
            0,
            (
                '"soon" is not a time that a calendar knows. '
                "Write it like 2026-10-01, 2026-10, October, autumn or 3 weeks."
            ),
        ),
        ("before 1.10.2026", 7, '"1.10.2026" is not a date. Write 2026-10-01.'),
        ("2026-13", 0, '"2026-13" has no month 13. Months are 01 to 12.'),
        ("in 8-4 weeks", 3, '"8-4 weeks" runs backwards. Write 4-8 weeks.'),
        (
            "before 3 weeks",
            0,
            '"before 3 weeks" does not say before which day. Write 3 weeks or a date.',
        ),
    ],
)
def test_no_when(written: str, offset: int, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_when(written)
    assert (str(caught.value), caught.value.offset) == (message, offset)


@pytest.mark.parametrize(
    ("written", "first", "last"),
    [
        ("2026-10-01", date(2026, 10, 1), date(2026, 10, 1)),
        ("2026-09", date(2026, 9, 1), date(2026, 9, 30)),
        ("October", date(2026, 10, 1), date(2026, 10, 31)),
        ("March", date(2027, 3, 1), date(2027, 3, 31)),
        ("before October", PI_DAY, date(2026, 9, 30)),
        ("spring", date(2027, 3, 1), date(2027, 5, 31)),
        ("winter", date(2026, 12, 1), date(2027, 2, 28)),
        ("winter 2027", date(2027, 12, 1), date(2028, 2, 29)),
        ("before autumn", PI_DAY, date(2026, 8, 31)),
        ("6 months", date(2026, 9, 14), date(2026, 9, 14)),
        ("4-8 weeks", date(2026, 4, 11), date(2026, 5, 9)),
        ("before 2026-03-01", date(2026, 2, 28), date(2026, 2, 28)),
    ],
)
def test_window_seen_from_a_visit_in_march(written: str, first: date, last: date) -> None:
    assert window(parse_when(written), PI_DAY) == (first, last)


def test_seasons_turn_round_in_the_south() -> None:
    assert window(parse_when("winter"), PI_DAY, southern=True) == (
        date(2026, 6, 1),
        date(2026, 8, 31),
    )


def test_only_the_climate_dates_the_dry_season() -> None:
    with pytest.raises(ValueError, match=r"^the dry season is dated by the climate of the place$"):
        window(parse_when("dry season"), PI_DAY)


@given(
    st.dates(date(1900, 1, 1), date(2200, 1, 1)),
    st.sampled_from(["May", "winter", "spring", "before July", "3 weeks", "1-2 months", "yearly"]),
)
def test_a_window_lies_ahead_and_opens_before_it_closes(day: date, written: str) -> None:
    first, last = window(parse_when(written), day)
    assert day <= first <= last
