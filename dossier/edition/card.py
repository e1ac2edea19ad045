"""The card that is left inside an instrument: who looks after it, and what not to do to it.

Whoever lifts the lid reads it, so that it names no client and tells nothing of the instrument but
what stands on its owner's page; a private address only where the client wants it there.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dossier.edition.care import card_cautions
from dossier.edition.pages import InstrumentView
from dossier.edition.view import Sender
from dossier.edition.voice import Voice
from dossier.model import History


@dataclass(frozen=True, slots=True)
class CardView:
    """One card; `address` is the private page that its code leads to, "" for no code.

    `visited` and `coming` are the last visit and the next in words, "" where there is none.
    """

    title: str
    visited: str
    coming: str
    as_of: date | None
    cautions: tuple[str, ...]
    address: str
    sender: Sender


def card_view(view: InstrumentView, history: History, voice: Voice, path: str) -> CardView:
    """The card of an owner's page; `path` leads to it below the public address, "" to none."""
    w = voice.words
    return CardView(
        title=view.title,
        visited=w("Last visit: {date}", date=view.as_of_text) if view.as_of_text else "",
        coming=view.next_text,
        as_of=view.as_of,
        cautions=card_cautions(history, voice),
        address=_address(history, path),
        sender=view.sender,
    )


def _address(history: History, path: str) -> str:
    public = history.shop.public_address
    return f"{public}/{path}/" if public and path and history.client.card_link else ""
