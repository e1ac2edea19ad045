"""Signs that no face of print holds: told before they stand as [?] in somebody's document."""

from __future__ import annotations

import unicodedata

from fontTools.ttLib import TTFont

from dossier.checks.signs import USUAL
from dossier.theme import fonts_folder
from tests.checks.conftest import HERON, Told

NOTE = f"{HERON}2025-03-01.md"
HINT = "It may be printed as [?]. Say it in words, or leave it out."


def test_an_emoji_is_told_once_with_its_name(told: Told) -> None:
    assert told({"2025-03-01": "---\nsummary: sounds 🎹 well 🎹\n---\n"}) == [
        (
            f'{NOTE}:2:17: warning: "🎹" (musical keyboard) is in none of the faces that a PDF is '
            f"set in. {HINT}"
        )
    ]


def test_the_signs_of_the_trade_are_held(told: Told) -> None:
    text = "B♭3 and F♯5, ⅓ turn, −3 cents – “Łódź” … → ½"
    assert told({"2025-03-01": f"---\nsummary: {text}\n---\n"}) == []


def test_every_face_holds_the_usual_signs_so_that_none_need_be_opened() -> None:
    drawn = {ord(sign) for sign in USUAL if unicodedata.category(sign) not in ("Cc", "Cf", "Mn")}
    assert drawn > set(map(ord, "“”–…♯♭−½⅓→éßŁ"))
    faces = tuple(fonts_folder().glob("*.ttf"))
    assert len(faces) >= 4
    for path in faces:
        with TTFont(path, lazy=True) as face:
            assert drawn - set(face.getBestCmap()) == set(), path.name
