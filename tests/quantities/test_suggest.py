"""What a misspelt word was meant to be."""

import pytest

from dossier.quantities import suggest, sure

FIELDS = ("found", "left", "key dip", "bass strings", "humidity equipment", "advice")


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("fuond", "found"),
        ("Advise", "advice"),
        ("key-dip", "key dip"),
        ("KEY_DIP", "key dip"),
        ("bass string", "bass strings"),
        ("zither", None),
        ("", None),
    ],
)
def test_suggestion(word: str, meant: str | None) -> None:
    assert suggest(word, FIELDS) == meant


def test_of_two_as_near_the_earlier_is_meant() -> None:
    assert suggest("UDS", ("USD", "UZS")) == "USD"
    assert suggest("UDS", ("UZS", "USD")) == "UZS"


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("fuond", "found"),  # two neighbours changed
        ("lef", "left"),  # one left out
        ("leftt", "left"),  # one doubled
        ("keydip", "key dip"),
        ("Key-Dip", "key dip"),
        ("bas strigns", "bass strings"),  # a long word, two slips
        ("humidty equipmnet", "humidity equipment"),
        ("fuont", None),  # two slips in a short word
        ("zither", None),
        ("le", None),
        ("", None),
    ],
)
def test_what_one_slip_can_only_have_made_of_a_word(word: str, meant: str | None) -> None:
    assert sure(word, FIELDS) == meant


def test_what_may_have_been_two_words_is_neither() -> None:
    assert sure("CAF", ("CAD", "CHF")) is None
    assert sure("CAF", ("CAD",)) == "CAD"
    assert sure("left", ("Left", "lefts")) == "Left"
