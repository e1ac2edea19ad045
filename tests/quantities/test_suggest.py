"""What a misspelt word was meant to be."""

import pytest

from dossier.quantities import suggest

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
