"""Who states what a statement says: the author, whoever else came or worked, and their training."""

from __future__ import annotations

from dossier.edition.declared import Edition
from dossier.edition.pages import StatementPart
from dossier.edition.statement_record import observer
from dossier.edition.told import Told
from dossier.edition.view import Fact, Table
from dossier.edition.voice import Voice, capital, sentence
from dossier.model import History


def author_part(edition: Edition, told: Told) -> StatementPart:
    """The author with their relation to the owner, then each who observed or worked here."""
    history, voice = told.history, told.voice
    w, shop = voice.words, history.shop
    sale = edition.name == "sale"
    label = w("Relation to the seller") if sale else w("Relation to the owner")
    facts = (
        Fact(w("Author"), shop.technician),
        Fact(w("Workshop"), shop.name),
        Fact(label, sentence(history.client.relation) or w("not stated")),
    )
    names = _names(history)
    table = Table(
        caption=w("Who looked at it or worked on it"),
        columns=(w("Name"), w("Visits"), w("Pieces of work"), w("Qualification")),
        rows=tuple(_row(name, history, voice) for name in names),
        numeric=(False, True, True, False),
    )
    return StatementPart(
        "author", w("Who states this"), facts=facts, tables=(table,) if names else ()
    )


def qualification(history: History, name: str, voice: Voice) -> str:
    """What the shop's file says of somebody's training, or that it says nothing."""
    shop = history.shop
    known = {one.name.casefold(): one.qualification for one in shop.colleagues}
    told = shop.qualification if name == shop.technician else known.get(name.casefold(), "")
    return capital(told) or voice.words("qualification not stated")


def _names(history: History) -> tuple[str, ...]:
    """Everyone who came or worked here, in the order in which they first did."""
    return tuple(
        dict.fromkeys(
            name
            for visit in history.visits
            for name in (observer(history, visit), *(work.by for work in visit.work))
            if name
        )
    )


def _row(name: str, history: History, voice: Voice) -> tuple[str, ...]:
    came = sum(observer(history, visit) == name for visit in history.visits)
    worked = sum(
        (work.by or observer(history, visit)) == name
        for visit in history.visits
        for work in visit.work
    )
    return name, str(came), str(worked), qualification(history, name, voice)
