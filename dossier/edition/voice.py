"""How an edition speaks: words and number formats of one locale, and the small phrases of both."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from dossier.model import Shop
from dossier.quantities import Formatter, Place, Uncertain, key_name
from dossier.words import Words

NARROW_DAYS = 45
"""Days up to which a window is told by its days; a longer one is told by its months."""


@dataclass(frozen=True, slots=True)
class Voice:
    """Words and formats, with the phrases that pages share.  Every sentence passes through it."""

    words: Words
    form: Formatter

    def pitch(self, cents: float) -> str:
        """An offset as an owner reads it: "8 cents sharp", "on pitch"."""
        size = abs(round(cents))
        if size == 0:
            return self.words("on pitch")
        if cents > 0:
            return self.words.plural("{n} cent sharp", "{n} cents sharp", size)
        return self.words.plural("{n} cent flat", "{n} cents flat", size)

    def cents(self, cents: float) -> str:
        """A signed figure with its unit: "+8 cents"."""
        shown = round(cents, 1)
        # A figure with a tenth counts as many.
        count = int(abs(shown)) if shown == int(shown) else 2
        return self.words.plural(
            "{number} cent",
            "{number} cents",
            count,
            number=self.form.cents_number(Decimal(str(shown))),
        )

    def tenth(self, value: float) -> str:
        """A figure to a tenth, without a unit."""
        return self.form.number(Decimal(str(round(value, 1))), 1)

    def move(self, cents: float) -> str:
        """How far the pitch was moved: "raised by 8 cents"."""
        size = abs(round(cents))
        if size == 0:
            return self.words("not moved")
        if cents > 0:
            return self.words.plural("raised by {n} cent", "raised by {n} cents", size)
        return self.words.plural("lowered by {n} cent", "lowered by {n} cents", size)

    def key(self, key: int) -> str:
        """A note's name with real accidentals."""
        return key_name(key)

    def run(self, first: int, last: int) -> str:
        """A run of notes: "F3–B3", or one note."""
        return self.key(first) if first == last else f"{self.key(first)}–{self.key(last)}"

    def runs(self, runs: Iterable[tuple[int, int]]) -> str:
        return ", ".join(self.run(first, last) for first, last in runs)

    def places(self, places: Iterable[Place]) -> str:
        """Places as written: runs of notes, with the string where one is meant."""
        shown = []
        for place in places:
            text = self.run(place.first, place.last)
            if place.string is not None:
                text = self.words("{note}, string {n}", note=text, n=place.string)
            shown.append(text)
        return ", ".join(shown)

    def window(self, earliest: date, latest: date) -> str:
        """A span of days in words: one day, a few weeks, or months."""
        w, f = self.words, self.form
        if earliest == latest:
            return w("on {date}", date=f.date(earliest))
        if (earliest.year, earliest.month) == (latest.year, latest.month):
            return w("in {month}", month=f.month(earliest))
        if (latest - earliest).days <= NARROW_DAYS:
            first = f.day(earliest) if earliest.year == latest.year else f.date(earliest)
            return w("between {first} and {last}", first=first, last=f.date(latest))
        same = earliest.year == latest.year
        first = f.month_name(earliest.month) if same else f.month(earliest)
        return w("from {first} to {last}", first=first, last=f.month(latest))

    def deadline(self, earliest: date, latest: date, *, before: bool) -> str:
        """When advice should be done: "by 30 September 2026" where a last day was meant."""
        if before:
            return self.words("by {date}", date=self.form.date(latest))
        return self.window(earliest, latest)

    def past(self, when: Uncertain) -> str:
        """A date of the past with its uncertainty in words."""
        w = self.words
        if when.earliest is None and when.latest is not None:
            return w("before {date}", date=self.form.uncertain(when))
        if when.latest is None and when.earliest is not None:
            return w("after {date}", date=self.form.uncertain(when))
        shown = self.form.uncertain(when)
        if when.approximate and when.uncertain:
            return w("about {date}, uncertain", date=shown)
        if when.approximate:
            return w("about {date}", date=shown)
        if when.uncertain:
            return w("probably {date}", date=shown)
        return shown

    def listed(self, items: Iterable[str]) -> str:
        """Items in one sentence: "a, b and c"."""
        shown = tuple(items)
        if len(shown) < 2:
            return "".join(shown)
        return self.words("{items} and {last}", items=", ".join(shown[:-1]), last=shown[-1])

    def span(self, count: int, first: int, last: int) -> str:
        """What a level rests on: "A1 to A5, 4 readings", or of a single note "A1, 1 reading"."""
        readings = self.words.plural("{n} reading", "{n} readings", count)
        if first == last:
            return self.words("{note}, {readings}", note=self.key(first), readings=readings)
        return self.words(
            "{first} to {last}, {readings}",
            first=self.key(first),
            last=self.key(last),
            readings=readings,
        )


def voice_of(shop: Shop, words: Words) -> Voice:
    """The voice of a shop: its words and its units."""
    return Voice(words, Formatter(words.locale, shop.units))


def sentence(text: str) -> str:
    """A text of a note as a sentence: a capital at the start and a full stop at the end."""
    text = text.strip()
    if not text:
        return ""
    text = text[0].upper() + text[1:]
    return text if text[-1] in ".!?…:" else text + "."


def capital(text: str) -> str:
    """A text with a capital at the start and no more."""
    text = text.strip()
    return text[:1].upper() + text[1:]


def forwarding(voice: Voice) -> str:
    """What a private link is, in one sentence."""
    return voice.words(
        "Whoever has this link can read the page. If it got into wrong hands, ask for a new one."
    )
