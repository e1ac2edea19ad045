"""Signs that no face of print holds: told before they stand as [?] in somebody's document."""

from __future__ import annotations

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
