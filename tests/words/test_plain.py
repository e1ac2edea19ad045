"""Plain language: what the tool itself says to an owner reads at grade eight or below.

The grade is that of Flesch and Kincaid (Kincaid, Fishburne, Rogers and Chissom 1975, Naval
Technical Training Command report 8-75), as the library textstat reckons it.
"""

from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import pytest
import textstat

from dossier.analysis.findings import analyse
from dossier.edition.declared import OWNER
from dossier.edition.hands import handed_on
from dossier.edition.instrument_page import instrument_view
from dossier.edition.situation import situation
from dossier.edition.told import Told
from dossier.edition.voice import voice_of
from dossier.read.notebook import read_notebook
from dossier.words import Words, load

REPO = Path(__file__).parents[2]
TODAY = date(2026, 11, 25)
GRADE = 8.0


@dataclass(frozen=True, slots=True)
class Heard(Words):
    """Words that remember what was said through them, values filled in."""

    said: list[str] = field(default_factory=list)

    def __call__(self, sentence: str, /, **values: object) -> str:
        text = Words.__call__(self, sentence, **values)
        self.said.append(text)
        return text

    def plural(self, one: str, many: str, n: int, /, **values: object) -> str:
        text = Words.plural(self, one, many, n, **values)
        self.said.append(text)
        return text


def spoken() -> dict[str, tuple[str, ...]]:
    """The whole sentences that the tool says on each owner's page of the demo shop."""
    notebook, _ = read_notebook(REPO / "content", TODAY)
    assert notebook is not None
    english, told = load("en-GB"), {}
    for name in notebook.instruments:
        heard = Heard(english.locale, english.catalogue)
        history = handed_on(notebook.history(name))
        findings = analyse(history)
        now = situation(history, findings, TODAY)
        instrument_view(OWNER, Told(history, findings, now, voice_of(history.shop, heard)))
        whole = [text for text in dict.fromkeys(heard.said) if text.endswith((".", "!", "?"))]
        told[name] = tuple(
            text for text in whole if not any(text != other and text in other for other in whole)
        )
    return told


@pytest.mark.slow
def test_an_owners_page_reads_at_grade_eight_or_below() -> None:
    pages = spoken()
    assert len(pages) >= 10
    grades = {name: textstat.flesch_kincaid_grade(" ".join(said)) for name, said in pages.items()}
    assert {name: grade for name, grade in grades.items() if grade > GRADE} == {}
    assert min(len(said) for said in pages.values()) >= 40


def test_a_page_in_long_words_would_be_noticed() -> None:
    text = (
        "The instrument's characteristic hygroscopic susceptibility necessitates considerable "
        "environmental stabilisation, notwithstanding insufficient observational documentation."
    )
    assert textstat.flesch_kincaid_grade(text) > GRADE
