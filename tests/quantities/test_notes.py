"""Notes, strings and ranges as they are written at the piano."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.quantities import (
    Place,
    QuantityError,
    key_name,
    parse_key,
    parse_place,
    parse_places,
    place_name,
)

KEYS = (
    ("the lowest note", "A0", 1),
    ("middle C", "C4", 40),
    ("the highest note", "C8", 88),
    ("a sharp", "D#1", 7),
    ("a sharp with its own sign", "D♯1", 7),
    ("a flat in lower case", "eb3", 31),
    ("a flat with its own sign", "E♭3", 31),
    ("B flat in lower case", "bb3", 38),
    ("B flat in capitals", "BB3", 38),
    ("E sharp is F", "E#4", 45),
    ("C flat is the B below", "Cb4", 39),
    ("B sharp is the C above", "B#3", 40),
    ("a double sharp", "F##4", 47),
    ("by its number", "key 40", 40),
    ("by its number, in capitals", "KEY 88", 88),
    ("full-width letters of a Japanese keyboard", "Ａ４", 49),
    ("white space around it", " A4\u00a0", 49),
)


@pytest.mark.parametrize(
    ("written", "key"), [row[1:] for row in KEYS], ids=[row[0] for row in KEYS]
)
def test_key(written: str, key: int) -> None:
    assert parse_key(written) == key


NOT_A_KEY = (
    ("", "The note is missing. Write it like A4."),
    ("H4", '"H4" is not a note name. Did you mean B4?'),
    ("Hb4", '"Hb4" is not a note name. Did you mean Bb4?'),
    ("Fis4", '"Fis4" is not a note name. Did you mean F#4?'),
    ("As4", '"As4" is not a note name. Did you mean Ab4?'),
    ("do4", '"do4" is not a note name. Write its letter: do is C.'),
    ("ré#3", '"ré#3" is not a note name. Write its letter: ré is D.'),
    ("D4#", '"D4#" is not a note name. Did you mean D#4?'),
    ("AO", '"AO" is not a note name. Did you mean A0, with a zero?'),
    ("Bb", '"Bb" is not a note name. Add the octave, as in Bb4; middle C is C4.'),
    ("40", '"40" is not a note name. Did you mean key 40?'),
    ("note 40", '"note 40" is not a note name. Did you mean key 40?'),
    ("be", '"be" is not a note name. Write a letter and an octave, as in D#1; middle C is C4.'),
    ("C#8", '"C#8" is outside the compass, A0 to C8.'),
    ("C10", '"C10" is outside the compass, A0 to C8.'),
    ("key 89", '"key 89" is outside the compass, keys 1 to 88.'),
    ("A4.1", '"A4.1" names a string, where one note is meant. Write it like A4.'),
    ("C4-C5", '"C4-C5" names a range, where one note is meant. Write it like C4.'),
    ("C4 buzz", '"C4 buzz" is more than one note, string or range. Write it like C4.'),
)


@pytest.mark.parametrize(("written", "message"), NOT_A_KEY)
def test_no_key(written: str, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_key(written)
    assert str(caught.value) == message


def test_an_extended_compass_has_keys_below_and_above() -> None:
    assert parse_key("C0", lowest=-8, highest=99) == -8
    assert parse_key("B8", lowest=-8, highest=99) == 99
    with pytest.raises(QuantityError) as caught:
        parse_key("C8", lowest=9, highest=69)
    assert str(caught.value) == '"C8" is outside the compass, F1 to F6.'


PLACES = (
    ("a note", "D#1", Place(7, 7)),
    ("a string, from the left", "D#1.2", Place(7, 7, 2)),
    ("a string of a numbered key", "key 40.3", Place(40, 40, 3)),
    ("a range", "C6-C8", Place(64, 88)),
    ("an en dash with spaces", "F3 – B3", Place(33, 39)),
    ("in words", "C6 to C8", Place(64, 88)),
    ("numbered keys with a dash", "keys 30–45", Place(30, 45)),
    ("both ends numbered", "key 30 - key 45", Place(30, 45)),
)


@pytest.mark.parametrize(
    ("written", "place"), [row[1:] for row in PLACES], ids=[row[0] for row in PLACES]
)
def test_place(written: str, place: Place) -> None:
    assert parse_place(written) == place


NOT_A_PLACE = (
    ("C8-C6", 0, 5, '"C8-C6" runs downwards. Write C6-C8.'),
    ("F3-H3", 3, 2, '"H3" is not a note name. Did you mean B3?'),
    ("F3–D9", 3, 2, '"D9" is outside the compass, A0 to C8.'),
    (
        "F3-B",
        0,
        4,
        '"F3-B" is not a range of notes. Write both ends with their octaves, as in F3-B3.',
    ),
    (
        "D4.4",
        0,
        4,
        (
            '"D4.4" names string 4, but a note has strings 1 to 3. '
            "Count them from the left, as in A4.1."
        ),
    ),
    (
        "C4.1-C5",
        0,
        7,
        '"C4.1-C5" is a range with a string in it. Name the strings one by one, as in D4.1, D4.2.',
    ),
    ("D4.1-3", 0, 6, '"D4.1-3" is more than one note, string or range. Write it like D4.1.'),
    (
        "D4.3-.1",
        0,
        7,
        '"D4.3-.1" does not run from a lower string to a higher one. Write D4.1-.3.',
    ),
    (
        "D4.1–.4",
        0,
        7,
        (
            '"D4.1–.4" names string 4, but a note has strings 1 to 3. '
            "Count them from the left, as in A4.1."
        ),
    ),
    (
        "D4.1-35",
        0,
        7,
        '"D4.1-35" is not a range of notes. Name the strings one by one, as in D4.1, D4.2.',
    ),
)


@pytest.mark.parametrize(("written", "offset", "length", "message"), NOT_A_PLACE)
def test_no_place(written: str, offset: int, length: int, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_place(written)
    assert (str(caught.value), caught.value.offset, caught.value.length) == (
        message,
        offset,
        length,
    )


LISTS: tuple[tuple[str, tuple[Place, ...], str], ...] = (
    ("F3-B3, D4 E4", (Place(33, 39), Place(42, 42), Place(44, 44)), ""),
    ("D#1 broken", (Place(7, 7),), "broken"),
    (
        "B4.1-.2, C5.2–.3 slip",
        (Place(51, 51, 1), Place(51, 51, 2), Place(52, 52, 2), Place(52, 52, 3)),
        "slip",
    ),
    ("D4.1-3 loose", (Place(42, 42, 1), Place(42, 42, 2), Place(42, 42, 3)), "loose"),
    ("D4.1-D4.2 loose", (Place(42, 42, 1), Place(42, 42, 2)), "loose"),
    ("D4.1 to .2", (Place(42, 42, 1), Place(42, 42, 2)), ""),
    ("D4.2 -.2 mm", (Place(42, 42, 2),), "-.2 mm"),
    ("D4, E4 and F♯4: loose", (Place(42, 42), Place(44, 44), Place(46, 46)), "loose"),
    ("D4 and its neighbour", (Place(42, 42),), "and its neighbour"),
    ("D4 – buzz", (Place(42, 42),), "buzz"),
    ("G4's buzz", (Place(47, 47),), "buzz"),
    ("D4.1, .2 false", (Place(42, 42, 1), Place(42, 42, 2)), "false"),
    ("keys F3-B3, 45 min, 40 USD", (Place(33, 39),), "45 min, 40 USD"),
    ("keys 30, 32, 35-40 loose", (Place(30, 30), Place(32, 32), Place(35, 40)), "loose"),
    ("keys 30, 45 min", (Place(30, 30),), "45 min"),
    ("keys 30, 40 USD", (Place(30, 30),), "40 USD"),
    ("key 40, 45 min", (Place(40, 40),), "45 min"),
    ("A1 10.2 mm", (Place(13, 13),), "10.2 mm"),
    ("A4 −12 cents", (Place(49, 49),), "−12 cents"),
    ("D#1\u00a0½ off", (Place(7, 7),), "½ off"),
    # No octave, no note.
    ("a buzz", (), "a buzz"),
    ("Back rail", (), "Back rail"),
    ("be", (), "be"),
    ("note 2 broken strings", (), "note 2 broken strings"),
    ("A 4 at the most", (), "A 4 at the most"),
    ("A440 checked", (), "A440 checked"),
    ("", (), ""),
)


@pytest.mark.parametrize(("written", "places", "rest"), LISTS)
def test_places_and_what_follows_them(written: str, places: tuple[Place, ...], rest: str) -> None:
    assert parse_places(written) == (places, rest)
    assert written.endswith(rest)


@pytest.mark.parametrize(
    ("written", "offset", "message"),
    [
        ("H4 buzz", 0, '"H4" is not a note name. Did you mean B4?'),
        ("F3, H4 broken", 4, '"H4" is not a note name. Did you mean B4?'),
        ("F3 D9", 3, '"D9" is outside the compass, A0 to C8.'),
        ("keys 30, 99 loose", 9, '"99" is outside the compass, keys 1 to 88.'),
        (
            "C4-5 buzz",
            0,
            '"C4-5" is not a range of notes. Write both ends with their octaves, as in F3-B3.',
        ),
    ],
)
def test_a_list_does_not_end_at_a_misspelt_note(written: str, offset: int, message: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_places(written)
    assert (str(caught.value), caught.value.offset) == (message, offset)


@given(st.integers(1, 88), st.sampled_from(["unicode", "ascii"]), st.sampled_from([1, 2, 3, None]))
def test_every_name_is_read_back(key: int, style: str, string: int | None) -> None:
    name = key_name(key, "ascii") if style == "ascii" else key_name(key)
    assert parse_key(name) == key
    assert parse_key(name.lower()) == key
    place = Place(key, key, string)
    assert parse_place(place_name(place)) == place


@given(st.integers(1, 88), st.integers(1, 88))
def test_every_range_is_read_back(one: int, other: int) -> None:
    place = Place(min(one, other), max(one, other))
    assert parse_place(place_name(place)) == place
    assert parse_place(place_name(place, "ascii")) == place
    assert len(place.keys) == abs(one - other) + 1


def test_names_agree_with_two_music_libraries() -> None:
    """Scientific pitch names of the white keys, from music21 10.5.1 and pretty_midi 0.2.11."""
    rows = ((1, "A0"), (4, "C1"), (16, "C2"), (28, "C3"), (40, "C4"), (49, "A4"), (88, "C8"))
    assert [key_name(key) for key, _ in rows] == [name for _, name in rows]
