"""The words value: languages, counts, and what happens without a translation."""

import gettext
from io import BytesIO

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo

from dossier.words import Words, load


def translated(locale: str, messages: dict[str | tuple[str, str], str | tuple[str, ...]]) -> Words:
    """The words of a language whose catalogue is compiled here, in memory."""
    catalogue = Catalog(locale=locale)
    for message, translation in messages.items():
        catalogue.add(message, translation)
    stream = BytesIO()
    write_mo(stream, catalogue)
    stream.seek(0)
    return Words(locale, gettext.GNUTranslations(stream))


def test_english_needs_no_catalogue() -> None:
    words = load("en-GB")
    assert words.locale == "en_GB"
    assert words.language == "en-GB"
    assert words("Next visit {when}.", when="in May") == "Next visit in May."
    assert words.term("pin block") == "pin block"
    assert words.term("") == ""


@pytest.mark.parametrize(("n", "said"), [(0, "0 cents"), (1, "1 cent"), (2, "2 cents")])
def test_english_counts(n: int, said: str) -> None:
    assert load("en").plural("{n} cent", "{n} cents", n) == said


def test_a_language_without_a_catalogue_shows_the_english() -> None:
    words = load("tlh-AQ")
    assert words("Tuned.") == "Tuned."
    assert words.plural("{n} visit", "{n} visits", 3) == "3 visits"
    assert words.language == "tlh-AQ"


def test_a_translation_says_the_sentence_and_keeps_its_values() -> None:
    words = translated("de_DE", {"Found {found}, left {left}.": "{left} verlassen ({found})."})
    assert words("Found {found}, left {left}.", found="a", left="b") == "b verlassen (a)."


def test_a_term_is_translated_as_it_stands() -> None:
    words = translated("de_DE", {"tuning pins": "Wirbel"})
    assert words.term("tuning pins") == "Wirbel"
    assert words.term("dampers") == "dampers"


def test_a_missing_translation_shows_the_english() -> None:
    words = translated("de_DE", {"Tuned.": "Gestimmt."})
    assert words("Visits") == "Visits"
    assert words.plural("{n} visit", "{n} visits", 1) == "1 visit"


@pytest.mark.parametrize(
    ("n", "said"), [(1, "1 cent"), (2, "2 centy"), (5, "5 centów"), (22, "22 centy")]
)
def test_a_language_with_three_forms_counts_by_its_own_rule(n: int, said: str) -> None:
    forms = ("{n} cent", "{n} centy", "{n} centów")
    words = translated("pl_PL", {("{n} cent", "{n} cents"): forms})
    assert words.plural("{n} cent", "{n} cents", n) == said
