"""Dates of visits, and the uncertain dates of an instrument's past."""

from datetime import date

import pytest

from dossier.quantities import QuantityError, Uncertain, parse_date, parse_edtf


def test_a_date_is_an_iso_date() -> None:
    assert parse_date("2026-03-14") == date(2026, 3, 14)
    assert parse_date(" 2026–03–14 ") == date(2026, 3, 14)


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("", "The date is missing. Write it like 2026-03-14."),
        ("14.3.2026", '"14.3.2026" is not a date. Write 2026-03-14.'),
        ("3/14/2026", '"3/14/2026" is not a date. Write 2026-03-14.'),
        ("3/4/2026", '"3/4/2026" is not a date. Write 2026-03-04 or 2026-04-03.'),
        ("4/4/2026", '"4/4/2026" is not a date. Write 2026-04-04.'),
        ("2026-3-4", '"2026-3-4" is not a date. Write 2026-03-04.'),
        ("20260314", '"20260314" is not a date. Write 2026-03-14.'),
        ("14 March 2026", '"14 March 2026" is not a date. Write 2026-03-14.'),
        ("Mar 14th, 2026", '"Mar 14th, 2026" is not a date. Write 2026-03-14.'),
        ("2026-03", '"2026-03" has no day. Write it like 2026-03-14.'),
        ("2026-02-30", '"2026-02-30" does not exist. February 2026 has 28 days.'),
        ("2026-13-01", '"2026-13-01" has no month 13. Months are 01 to 12.'),
        ("0000-01-01", '"0000-01-01" has no year 0. Write it like 2026-03-14.'),
        ("31.2.2026", '"31.2.2026" is not a date. Write it like 2026-03-14.'),
        ("today", '"today" is not a date. Write it like 2026-03-14.'),
    ],
)
def test_no_date(written: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_date(written)
    assert str(caught.value) == message


YEAR = date(1912, 1, 1), date(1912, 12, 31)
UNCERTAIN = (
    ("1912", Uncertain(*YEAR, "1912")),
    ("1912~", Uncertain(*YEAR, "1912~", approximate=True)),
    ("1912?", Uncertain(*YEAR, "1912?", uncertain=True)),
    ("1912%", Uncertain(*YEAR, "1912%", approximate=True, uncertain=True)),
    ("1912-XX", Uncertain(*YEAR, "1912-XX")),
    ("1912-02", Uncertain(date(1912, 2, 1), date(1912, 2, 29), "1912-02")),
    ("1912-05-XX", Uncertain(date(1912, 5, 1), date(1912, 5, 31), "1912-05-XX")),
    ("1912-05-01", Uncertain(date(1912, 5, 1), date(1912, 5, 1), "1912-05-01")),
    ("191X", Uncertain(date(1910, 1, 1), date(1919, 12, 31), "191X")),
    ("19xx?", Uncertain(date(1900, 1, 1), date(1999, 12, 31), "19XX?", uncertain=True)),
    ("../1930", Uncertain(None, date(1930, 12, 31), "../1930")),
    ("1930/..", Uncertain(date(1930, 1, 1), None, "1930/..")),
    ("/1930", Uncertain(None, date(1930, 12, 31), "../1930")),
    ("1890/1905", Uncertain(date(1890, 1, 1), date(1905, 12, 31), "1890/1905")),
    (
        "1890~ / 1905-06",
        Uncertain(date(1890, 1, 1), date(1905, 6, 30), "1890~/1905-06", approximate=True),
    ),
)


@pytest.mark.parametrize(("written", "when"), UNCERTAIN)
def test_uncertain(written: str, when: Uncertain) -> None:
    assert parse_edtf(written) == when
    assert parse_edtf(when.text) == when


@pytest.mark.parametrize(
    ("written", "edtf"),
    [
        ("before 1930", "../1930"),
        ("after 1930", "1930/.."),
        ("c. 1912", "1912~"),
        ("circa 1912", "1912~"),
        ("c1912", "1912~"),
        ("probably 1912", "1912?"),
        ("the 1920s", "192X"),
        ("1900s", "19XX"),
        ("19th century", "18XX"),
        ("191?", "191X"),
        ("1890–1905", "1890/1905"),
        ("1890-95", "1890/1895"),
        ("between 1890 and 1905", "1890/1905"),
        ("May 1912", "1912-05"),
        ("1.5.1912", "1912-05-01"),
        ("5/1/1912", "1912-05-01 or 1912-01-05"),
    ],
)
def test_english_is_answered_with_edtf(written: str, edtf: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_edtf(written)
    assert str(caught.value) == f'"{written}" is not a date in EDTF. Write {edtf}.'
    if " or " not in edtf:
        assert parse_edtf(edtf).text == edtf


@pytest.mark.parametrize(
    ("written", "offset", "message"),
    [
        ("", 0, "The date is missing. Write it like 1912 or 1912~."),
        (
            "old",
            0,
            '"old" is not a date in EDTF. Write it like 1912, 1912~, 191X, ../1930 or 1890/1905.',
        ),
        (
            "unknown",
            0,
            '"unknown" is not a date in EDTF. Leave the line out where nothing is known.',
        ),
        ("../..", 0, '"../.." says nothing. Leave the line out.'),
        ("1905/1890", 0, '"1905/1890" ends before it begins. Write 1890/1905.'),
        ("1890/1905-13", 5, '"1905-13" has no month 13. Months are 01 to 12.'),
        ("1912-02-30", 0, '"1912-02-30" does not exist. February 1912 has 29 days.'),
        ("0000", 0, '"0000" has no year 0. Write it like 2026-03-14.'),
        (
            "191X-05",
            0,
            (
                '"191X-05" knows a smaller part better than a larger one. '
                "Write only what is known, such as 191X."
            ),
        ),
    ],
)
def test_no_edtf(written: str, offset: int, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_edtf(written)
    assert (str(caught.value), caught.value.offset) == (message, offset)
