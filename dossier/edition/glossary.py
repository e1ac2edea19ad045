"""Words of the trade, explained once; a page lists those that it uses."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from dossier.edition.view import Term, plain
from dossier.edition.voice import Voice

TERMS: tuple[tuple[str, tuple[str, ...], str], ...] = (
    (
        "cent",
        ("cent",),
        "A hundredth of a semitone. Most people hear a difference of 5 to 10 cents.",
    ),
    (
        "sharp and flat",
        ("sharp", "flat"),
        "Higher or lower than the pitch that was aimed at.",
    ),
    (
        "as found, as left",
        ("as found", "as left"),
        "How it was before the work, and how it was after it.",
    ),
    (
        "pitch raise",
        ("pitch raise", "raised in pitch", "small raise"),
        (
            "Bringing strings that are well below pitch up again. The whole instrument takes a "
            "few weeks to settle, and it is tuned once more after that."
        ),
    ),
    (
        "relative humidity",
        ("relative humidity", "humidity"),
        "How much of the water that air could hold it does hold. Wood follows it.",
    ),
    (
        "register",
        ("register", "tenor"),
        "A part of the compass: bass, tenor or treble.",
    ),
    (
        "unison",
        ("unison",),
        "The two or three strings of one note, which should sound as one.",
    ),
    (
        "pin block",
        ("pin block", "tuning pins", "loose pins"),
        (
            "The plank that holds the tuning pins. A pin that it no longer grips lets its string "
            "go flat."
        ),
    ),
    (
        "soundboard",
        ("soundboard",),
        "The large thin board that makes the strings' sound loud.",
    ),
    (
        "dampers",
        ("damper",),
        "The felts that stop a string when the key is let go.",
    ),
    (
        "hammers",
        ("hammer",),
        "The felt heads that strike the strings.",
    ),
    (
        "action",
        ("action",),
        "The mechanism between the key and the string.",
    ),
    (
        "regulation",
        ("regulation", "let-off", "key dip", "aftertouch"),
        "Setting the action's many small distances, so that every key plays alike.",
    ),
    (
        "voicing",
        ("voicing",),
        "Working on the hammers' felt to change the tone.",
    ),
    (
        "let-off",
        ("let-off",),
        "How near to the string the hammer comes before the action lets it go.",
    ),
    (
        "key dip",
        ("key dip",),
        "How far a key goes down.",
    ),
    (
        "torque",
        ("torque",),
        "The force it takes to turn a tuning pin. By itself it condemns no pin.",
    ),
    (
        "lyre",
        ("lyre",),
        "The frame that holds a grand's pedals.",
    ),
    (
        "floated",
        ("own pitch", "floated"),
        "Tuned to itself where it stood, not to the standard pitch.",
    ),
    (
        "overstrung",
        ("overstrung",),
        "With the bass strings crossing over the others.",
    ),
)


def glossary(page: object, voice: Voice) -> tuple[Term, ...]:
    """The terms that a page uses, in the order of the alphabet of its language."""
    used = "\n".join(_texts(plain(page))).lower()
    w = voice.words
    found = [
        Term(w(word), w(meaning))
        for word, signs, meaning in TERMS
        if any(re.search(rf"\b{re.escape(w.term(sign).lower())}", used) for sign in signs)
    ]
    return tuple(sorted(found, key=lambda term: term.word.lower()))


def _texts(value: Any) -> Iterator[str]:
    """Every text of a page's plain values, but not the names of its fields."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for item in value.values():
            yield from _texts(item)
    elif isinstance(value, list):
        for item in value:
            yield from _texts(item)
