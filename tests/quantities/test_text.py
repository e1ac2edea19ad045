"""What a keyboard puts in unasked, and where an error then points."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.quantities import (
    QuantityError,
    parse_air,
    parse_edtf,
    parse_key,
    parse_length,
    parse_places,
    parse_readings,
    parse_temperature,
    parse_when,
)
from dossier.quantities.number import read_number
from dossier.quantities.text import plain


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("F3—B3", "F3-B3"),
        ("−8", "-8"),
        ("3\u202f1/4\u00a0in", "3 1/4 in"),
        ("3½″", '3 1/2"'),
        ("⅛ in", "1/8 in"),
        ("5’ 8”", "5' 8\""),
        ("１７．５ ℃", "17.5 °C"),
        ("E\u266d3", "Eb3"),
        ("re\u0301", "ré"),
        ("N⋅m", "N·m"),
        ("٤٠", "40"),
        ("A4\ufe0f\u200b", "A4"),
    ],
)
def test_plain_characters(written: str, read: str) -> None:
    assert plain(written).text == read


def test_a_part_points_into_the_original() -> None:
    """A fraction and an accent change the length of what stands before the error."""
    with pytest.raises(QuantityError) as caught:
        parse_readings("A1 ½ cent sharp, re\u0301 4, A5 +2")
    error = caught.value
    assert "A1 ½ cent sharp, re\u0301 4, A5 +2"[error.offset :][: error.length] == "re\u0301 4"


def test_a_long_quotation_is_cut() -> None:
    with pytest.raises(QuantityError) as caught:
        parse_temperature("it was so cold in there that I\nkept my gloves on")
    assert caught.value.message == (
        '"it was so cold in there that I kept my…" is not a temperature.'
    )
    assert caught.value.length == 48


def test_a_text_that_is_turned_around_is_refused() -> None:
    with pytest.raises(QuantityError) as caught:
        parse_key("A4\u202e")
    assert (str(caught.value), caught.value.offset) == (
        (
            "An invisible character (U+202E) turns the text around. "
            "Delete it and type the value again."
        ),
        2,
    )


NUMBERS = (
    ("17.5", "17.5"),
    ("17,5", "17.5"),
    (".5", "0.5"),
    ("0,125", "0.125"),
    ("3 1/4", "3.25"),
    ("3-1/4", "3.25"),
    ("1/8", "0.125"),
    ("- 6", "-6"),
    ("1,234.5", "1234.5"),
    ("1.234,5", "1234.5"),
    ("1,234,567", "1234567"),
    ("1.125", "1.125"),
)


@pytest.mark.parametrize(("written", "value"), NUMBERS)
def test_number(written: str, value: str) -> None:
    assert read_number(plain(written)) == Decimal(value)


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("1,000", '"1,000" could mean 1000 or 1.000. Write 1000 or 1.000.'),
        ("1/0", '"1/0" divides by zero. Write it like 1/8.'),
        ("12a", '"12a" is not a number. Write it like 17.5 or 3 1/4.'),
        ("nan", '"nan" is not a number. Write it like 17.5 or 3 1/4.'),
        ("1e9", '"1e9" is not a number. Write it like 17.5 or 3 1/4.'),
        ("1234567890123456", '"1234567890123456" has too many digits. Was a key held down?'),
        (
            "17.5,71",
            (
                '"17.5,71" is not one number. Write a decimal point, as in 17.5, '
                "and a space after a comma that parts two values."
            ),
        ),
    ],
)
def test_no_number(written: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_number(plain(written))
    assert str(caught.value) == message


PARSERS: tuple[Callable[[str], object], ...] = (
    parse_key, parse_places, parse_readings, parse_temperature, parse_air, parse_length,
    parse_edtf, parse_when,
)  # fmt: skip
SCRAPS = st.lists(
    st.sampled_from(
        [*"ABCDEFGHabh0123456789.,;:/-–−#♯♭½°%'\" \n\u00a0é٤", "Hz", "key ", "in", "1912", "week"]
    ),
    max_size=12,
).map("".join)


@given(SCRAPS | st.text(max_size=20), st.sampled_from(PARSERS))
def test_any_text_is_read_or_refused_in_words(text: str, parser: Callable[[str], object]) -> None:
    error = refusal(parser, text)
    if error:
        assert error.message.endswith(".")
        assert 0 <= error.offset <= error.offset + error.length <= len(text)


def refusal(parser: Callable[[str], object], text: str) -> QuantityError | None:
    try:
        parser(text)
    except QuantityError as error:
        return error
    return None
