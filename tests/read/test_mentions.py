"""Which notes a sentence is about, as people write them at the end of a day."""

from __future__ import annotations

import pytest

from dossier.quantities import place_name
from dossier.read.mentions import places_in, without_places
from tests.read.tiny_shop import VISIT, read

MENTIONS = (
    ("spliced D#1, E1 and f1", "D#1, E1, F1"),
    ("eased keys F3-B3 and D4.2", "F3-B3, D4.2"),
    ("B4.1-.2 slip", "B4.1, B4.2"),
    ("hammers B4 to D5", "B4-D5"),
    ("from C5 up to C7, and F2", "C5-C7, F2"),
    ("from C8 down to C6", "C6-C8"),
    ("reshaped the hammers from C5 up", "C5-C8"),
    ("C5 and above are hard", "C5-C8"),
    ("C5 to the top", "C5-C8"),
    ("from key 40 upwards", "C4-C8"),
    ("cleaned up to C3", "A0-C3"),
    ("moth, C3 and below", "A0-C3"),
    ("eased key 40", "C4"),
    ("keys 30, 32, 45 min", "D3, E3"),
    ("eased 12 keys 45 min", ""),
    ("pulled C5 up to pitch", "C5"),
    ("D#1 up a semitone", "D#1"),
    ("C5, up and down", "C5"),
    ("set to A4 = 435 Hz", ""),
    ("D4 eased, A4 442 Hz, A440", "D4"),
    ("F3-B, H4 and C9", "F3"),
    ("A4 buzzes", "A4"),
)


@pytest.mark.parametrize(("text", "places"), MENTIONS)
def test_the_notes_that_a_sentence_names(text: str, places: str) -> None:
    assert ", ".join(place_name(place, "ascii") for place in places_in(text)) == places


def test_up_reaches_to_the_highest_key_of_the_instrument() -> None:
    own = "---\nclient: marsh\ntitle: x\ncompass: A0-A7\n---\n"
    first = "---\nproblem: hammers C5 up are hard\nwork: needled D5 up\n---\n"
    then = "---\nfixed: C5 up hard hammers\n---\n"
    notebook, found = read(
        {
            "instruments/heron/instrument.md": own,
            VISIT: first,
            "instruments/heron/visits/2026-04-14.md": then,
        }
    )
    assert found == ()
    *_, visit, last = notebook.visits["heron"]
    (problem,), (work,) = visit.problems, visit.work
    assert place_name(problem.keys[0], "ascii") == "C5-A7"
    assert place_name(work.keys[0], "ascii") == "D5-A7"
    assert last.problem_news[0].problem == problem.id


def test_a_sentence_without_its_notes() -> None:
    assert without_places("G4 buzzes from C5 up and key 40 too").split() == [
        "buzzes", "from", "and", "too",
    ]  # fmt: skip
