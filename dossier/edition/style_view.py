"""What the page of the look shows of this shop: its figures as they are written, and its sender."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from dossier.edition.identity import sender
from dossier.edition.view import Fact, Moment, Sender, Table
from dossier.edition.voice import Voice
from dossier.model import Shop
from dossier.quantities import Money

_DAY = date(2026, 3, 14)


@dataclass(frozen=True, slots=True)
class StyleView:
    """The samples of the page of the look; none is of an instrument.

    `forms` are dates, figures and units as this shop's pages write them.
    """

    sender: Sender
    forms: tuple[Fact, ...]
    table: Table
    moments: tuple[Moment, ...]


def style_view(shop: Shop, voice: Voice) -> StyleView:
    """The samples in the shop's language, units and currency."""
    w, f = voice.words, voice.form
    day = f.date(_DAY)
    return StyleView(
        sender=sender(shop),
        forms=(
            Fact(w("Day"), day),
            Fact(w("Month"), f.month(_DAY)),
            Fact(w("Window"), voice.window(date(2026, 3, 2), date(2026, 3, 28))),
            Fact(w("Humidity"), f.humidity(Decimal(42))),
            Fact(w("Frequency"), f.hertz(Decimal(440))),
            Fact(w("Cents"), f"{voice.cents(8.5)}, {voice.cents(-3)}"),
            Fact(w("Duration"), f.duration(95)),
            Fact(w("Money"), f.money(Money(Decimal("86.50"), shop.currency))),
            Fact(w("Notes"), "A0 · D♯1 · B♭3 · C♮4 · F♯5–C8"),
            Fact(w("Fractions"), "½ ⅓ ¼ ¾ ⅛ ⅜ ⅝ ⅞"),
            Fact(w("Signs"), "− + ± × ≤ ≥ → · – — ° ′ ″ µ"),
        ),
        table=Table(
            w("Pitch by register, in cents"),
            (w("Register"), w("As found"), w("As left")),
            ((w("Bass"), "−11", "0"), (w("Tenor"), "−16.5", "0"), (w("Treble"), "+7", "+0.5")),
            (False, True, True),
        ),
        moments=tuple(
            Moment(_DAY, day, kind, label, "", "")
            for kind, label in (
                ("origin", w("Made")),
                ("visit", w("Tuning")),
                ("raise", w("Pitch raise")),
                ("problem", w("Problem seen")),
                ("solved", w("Problem solved")),
            )
        ),
    )
