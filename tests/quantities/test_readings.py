"""Pitch as it was found: cents or hertz, by note or for the whole instrument."""

from decimal import Decimal

import pytest

from dossier.quantities import QuantityError, ReadingText, parse_readings

# what it shows, written, key, string, cents, hertz
READINGS: tuple[tuple[str, str, int | None, int | None, str | None, str | None], ...] = (
    ("sharp", "A1 +6", 13, None, "6", None),
    ("a real minus", "A5 −8", 61, None, "-8", None),
    ("an en dash for a minus", "A5 –8", 61, None, "-8", None),
    ("cents named", "A4 -12 cents", 49, None, "-12", None),
    ("hertz", "A4 442.1 Hz", 49, None, None, "442.1"),
    ("hertz with an equals sign", "A4 = 442 Hz", 49, None, None, "442"),
    ("flat in words", "C3 8 flat", 28, None, "-8", None),
    ("a tenth of a cent with a comma", "A3 +2,5", 37, None, "2.5", None),
    ("one string", "A1.2 +3", 13, 2, "3", None),
    ("without a space", "A1-6", 13, None, "-6", None),
    ("a numbered key", "key 40 +3", 40, None, "3", None),
    ("on pitch", "A4 on pitch", 49, None, "0", None),
    ("the whole instrument", "8 sharp", None, None, "8", None),
    ("the whole, with the sign for cents", "12¢ flat", None, None, "-12", None),
    ("the whole, half a cent", "½ cent flat", None, None, "-0.5", None),
    ("the whole, on pitch", "on pitch", None, None, "0", None),
    ("the whole, nought", "0", None, None, "0", None),
    ("the whole, as the pitch of A4", "435 Hz", None, None, None, "435"),
    ("a sign that says what the word says", "-8 flat", None, None, "-8", None),
    ("far off but readable", "A4 380 cents flat", 49, None, "-380", None),
)


@pytest.mark.parametrize(
    ("written", "key", "string", "cents", "hertz"),
    [row[1:] for row in READINGS],
    ids=[row[0] for row in READINGS],
)
def test_reading(
    written: str,
    key: int | None,
    string: int | None,
    cents: str | None,
    hertz: str | None,
) -> None:
    assert parse_readings(written) == (
        ReadingText(
            key,
            string,
            None if cents is None else Decimal(cents),
            None if hertz is None else Decimal(hertz),
            0,
            len(written),
        ),
    )


@pytest.mark.parametrize(
    "written",
    [
        "A1 +6, A3 +9, A4 442.1 Hz, A5 −8",
        "A1 +6; A3 +9; A4 442.1 Hz; A5 −8",
        "A1 +6\nA3 +9\nA4 442.1 Hz\nA5 −8\n",
        "A1 +6,A3 +9,A4 442.1 Hz,A5 −8,",
    ],
)
def test_a_list_knows_where_each_reading_stands(written: str) -> None:
    readings = parse_readings(written)
    assert [r.key for r in readings] == [13, 37, 49, 61]
    assert [r.cents for r in readings] == [6, 9, None, -8]
    assert [written[r.offset : r.offset + r.length] for r in readings] == [
        "A1 +6",
        "A3 +9",
        "A4 442.1 Hz",
        "A5 −8",
    ]


EXAMPLE = "Write a note and its cents or hertz, as in A4 -12 or A4 442.1 Hz."


@pytest.mark.parametrize(
    ("written", "offset", "length", "message"),
    [
        ("", 0, 0, f"The reading is missing. {EXAMPLE}"),
        ("A1 +6, A4 purple, A5 2", 7, 9, f'"A4 purple" is not a pitch reading. {EXAMPLE}'),
        ("A1 +6, A4", 7, 2, f'"A4" has no figure. {EXAMPLE}'),
        ("A1 +6, H4 +3", 7, 2, '"H4" is not a note name. Did you mean B4?'),
        ("D9 +3", 0, 2, '"D9" is outside the compass, A0 to C8.'),
        ("A4 442", 0, 6, '"A4 442" could be cents or hertz. Write 442 Hz or +442 cents.'),
        (
            "A4 +2 Hz",
            0,
            8,
            (
                '"A4 +2 Hz" is not a frequency. '
                "Write the frequency itself, as in A4 442.1 Hz, or how far off it is in cents."
            ),
        ),
        (
            "-8 sharp",
            0,
            8,
            '"-8 sharp" says two things: the sign one, the word sharp another. Write 8 sharp.',
        ),
        (
            "F3-B3 -8",
            0,
            5,
            (
                '"F3-B3" is a range, but a reading belongs to one note. '
                "Write one reading a note, as in F3 -8."
            ),
        ),
        (
            "A1 +6 A3 +9",
            0,
            11,
            '"A1 +6 A3 +9" is more than one reading. Put a comma between two readings.',
        ),
        ("A1 +6, A3 1,000 flat", 10, 5, '"1,000" could mean 1000 or 1.000. Write 1000 or 1.000.'),
    ],
)
def test_no_reading(written: str, offset: int, length: int, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_readings(written)
    assert (str(caught.value), caught.value.offset, caught.value.length) == (
        message,
        offset,
        length,
    )
