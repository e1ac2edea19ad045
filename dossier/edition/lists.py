"""Lists over instruments: a client's first page, and the bench's index, due list and open list."""

from __future__ import annotations

from datetime import date

from dossier.edition.identity import sender
from dossier.edition.listed import InstrumentRow, LinkRow, Listed, OpenRow
from dossier.edition.pages import BenchIndex, ClientView
from dossier.edition.view import Table
from dossier.edition.voice import Voice, forwarding
from dossier.model import Client, Shop

URGENCY = ("stop", "attention", "good")
"""The levels of a state in the order in which a list of instruments is read."""


def client_view(
    shop: Shop,
    voice: Voice,
    slug: str,
    client: Client | None,
    rows: tuple[InstrumentRow, ...],
) -> ClientView:
    """A client's first page: their instruments, the most urgent first, and what each needs.

    `client` is None where their file can't be read just now; the page then names no one.
    """
    w = voice.words
    attention = sum(1 for row in rows if row.state_level != "good")
    count = w.plural(
        "{n} instrument is looked after here.", "{n} instruments are looked after here.", len(rows)
    )
    needs = (
        w.plural("{n} needs attention.", "{n} need attention.", attention)
        if attention
        else w("None needs attention.")
    )
    return ClientView(
        slug=slug,
        title=client.name if client is not None else w("Your instruments"),
        intro=f"{count} {needs}",
        as_of_text="",
        rows=tuple(
            sorted(rows, key=lambda row: (URGENCY.index(row.state_level), row.title.lower()))
        ),
        sender=sender(shop),
        limits=(forwarding(voice),),
    )


def bench_index(
    shop: Shop,
    voice: Voice,
    today: date,
    listed: Listed,
    links: tuple[LinkRow, ...],
    findings: tuple[str, ...],
) -> BenchIndex:
    """The workshop's own first page, with every open link."""
    w = voice.words
    return BenchIndex(
        title=shop.name,
        today_text=voice.form.date(today),
        rows=tuple(sorted(listed.rows, key=lambda row: (row.client.lower(), row.title.lower()))),
        due=tuple(sorted(listed.due, key=lambda row: (row.when or date.max, row.client))),
        open=_pressing_first(listed.open, voice),
        links=Table(
            caption=w("Private links"),
            columns=(
                w("Client"),
                w("Opens"),
                w("Address below the public folder"),
                w("Label"),
                w("Made"),
                w("Last day"),
            ),
            rows=tuple(_link(row, voice) for row in links),
            numeric=(False,) * 6,
        ),
        findings=findings,
        sender=sender(shop),
    )


def _pressing_first(rows: tuple[OpenRow, ...], voice: Voice) -> tuple[OpenRow, ...]:
    """Warnings first, then problems, advice by its state, and marks, which can wait longest."""
    w = voice.words
    places = {w("Warnings"): 0, w("Problems"): 1, w("Marks"): 3}
    return tuple(sorted(rows, key=lambda row: (places.get(row.kind, 2), row.kind)))


def _link(row: LinkRow, voice: Voice) -> tuple[str, ...]:
    return (
        row.client,
        row.opens or voice.words("all instruments"),
        row.address,
        row.label,
        voice.form.date(row.made),
        voice.form.date(row.last_day) if row.last_day else "",
    )
