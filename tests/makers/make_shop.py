"""A seeded shop of any size, for `make bench`: instruments that differ, each of some visits."""

from __future__ import annotations

import random
from datetime import date, timedelta
from pathlib import Path

LAST = date(2026, 11, 10)
_CLIMATE = "\n".join(
    f"  {month}: {degrees} °C, {humidity} %"
    for month, degrees, humidity in (
        ("january", 3, 83), ("february", 3, 81), ("march", 4, 79), ("april", 6, 77),
        ("may", 9, 76), ("june", 11, 79), ("july", 13, 83), ("august", 13, 85),
        ("september", 12, 85), ("october", 9, 85), ("november", 6, 84), ("december", 4, 84),
    )
)  # fmt: skip
_SHOP = f"""---
name: Farrowmere Pianos
technician: Bryn Oxcombe
phone: +999 555 0100
currency: EUR
time zone: Europe/Dublin
interval: 1 year
climate:
{_CLIMATE}
---
Tuning and repairs around the mere.
"""
_SAID = (
    "It sings in the tenor, and the top octave has come clean.",
    "The lid was propped open, and the treble carries across the whole room now.",
    "A pleasant half day: the touch is even again, and nothing clicks.",
    "It had drifted with the heating, as every winter, and took the pull well.",
    "Played at length after the tuning; the bass has kept its growl.",
)
_PROBLEMS = (
    "G4 buzzes against the music desk",
    "D5 sticks in damp weather",
    "the left pedal squeaks",
    "A#2 rattles at the bridge",
)
_ADVICE = (
    "keep it off the outside wall, before October",
    "a dish of water below the keybed in winter",
    "reshape the hammers at the next visit",
)
_WORK = (
    "tuning",
    "eased keys F3-B3, 45 min, 40 EUR",
    "regulated the let-off, 60 min, 70 EUR",
    "voiced the hammers C4-C6, 50 min, 55 EUR",
)
_STREETS = ("Alder", "Bramble", "Cressing", "Dunlin", "Elmhythe", "Fennow")


def write_shop(folder: Path, instruments: int, visits: int, seed: int = 7) -> None:
    """Write a content folder: two of three clients have one instrument, the others two."""
    dice = random.Random(seed)
    _write(folder / "shop.md", _SHOP)
    client = 0
    for number in range(instruments):
        if number % 4 != 3:
            client += 1
            street = _STREETS[client % len(_STREETS)]
            _write(
                folder / f"clients/client-{client:04}.md",
                f"---\nname: House {client} in {street} Lane\nkind: home\n---\n",
            )
            _write(
                folder / f"rooms/room-{client:04}.md",
                f"---\nname: The front room\nclient: client-{client:04}\nheating: stove\n---\n",
            )
        _instrument(folder / f"instruments/piano-{number:04}", number, client, visits, dice)


def _instrument(folder: Path, number: int, client: int, visits: int, dice: random.Random) -> None:
    _write(
        folder / "instrument.md",
        f"""---
client: client-{client:04}
title: The piano of number {number}
shape: {dice.choice(("upright", "grand"))}
type: piano, overstrung
maker: Ottershaugh
made: {dice.randint(1890, 2015)}
serial number: "{dice.randint(1000, 99999)}"
compass: A0-C8
breaks: E2, C5
stands: room-{client:04}, since 2012, inside wall
interval: 1 year
targets:
  key dip: 9.8-10.2 mm
---
An instrument with a history of its own; number {number} of the books.
""",
    )
    first = LAST - timedelta(days=182 * visits + dice.randint(0, 40))
    for place in range(visits):
        day = first + timedelta(days=182 * (place + 1) - dice.randint(0, 25))
        _write(folder / f"visits/{day}.md", _visit(place, day, dice))


def _visit(place: int, day: date, dice: random.Random) -> str:
    damp = 3 < day.month < 10
    off = (9.0 if damp else -9.0) + dice.gauss(0.0, 3.0)
    keys = ", ".join(f"A{octave} {off + dice.gauss(0.0, 1.5):+.1f}" for octave in range(1, 8))
    humidity = dice.randint(52, 64) if damp else dice.randint(33, 45)
    lines = [
        f"air: {dice.randint(17, 22)} °C, {humidity} %",
        f"found: {keys}",
        "left: on pitch",
        f"key dip: A1 {9.9 + dice.gauss(0, 0.2):.1f} mm, A4 {10 + dice.gauss(0, 0.2):.1f} mm",
        "work:",
        *(f"  - {one}" for one in ("tuning", *dice.sample(_WORK[1:], place % 2))),
        f"fee: {dice.randint(90, 140)} EUR",
    ]
    if place % 3 == 0:
        lines.append(f"problem (p{place}): {dice.choice(_PROBLEMS)}")
    if place % 3 == 1 and place > 1:
        lines.append(f"fixed: p{place - 1}")
    if place % 4 == 2:
        lines.append(f"advice: {dice.choice(_ADVICE)}")
    if place % 5 == 0:
        lines.append("rusty strings: F3-B3")
    prose = " ".join(dice.sample(_SAID, 2))
    return "---\n" + "\n".join(lines) + f"\n---\n{prose}\n"


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
