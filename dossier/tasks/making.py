"""One instrument made: its history told in both editions, and each edition's files."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from dossier.model import History
from dossier.tasks.hand import Hand, PlainHand
from dossier.tasks.job import Job, Made

if TYPE_CHECKING:
    from dossier.edition.told import Told


def make(job: Job, hand: Hand | None = None) -> Made:
    """Build one instrument's pages, documents and data in both editions.

    Raises PictureError for a picture that can't be shown, RecordingError for what can't be copied,
    PdfError and PageError where a page
    would not be as it should.
    """
    from dossier.analysis.findings import analyse
    from dossier.edition.declared import BENCH, OWNER
    from dossier.edition.hands import handed_on
    from dossier.edition.instrument_page import instrument_view, sentences
    from dossier.edition.rows import due_rows, instrument_row, open_rows
    from dossier.edition.situation import situation
    from dossier.edition.told import Told
    from dossier.edition.voice import voice_of
    from dossier.tasks.files import bench_files, card_files, owner_files
    from dossier.tasks.shelf import owners_share, shelf_of
    from dossier.words import load

    history, hand = job.history, hand or PlainHand()
    words = load(history.shop.locale)
    voice = voice_of(history.shop, words)

    def tell(known: History) -> Told:
        findings = analyse(known)
        return Told(known, findings, situation(known, findings, job.today), voice)

    told = tell(history)
    known = handed_on(history)
    theirs = told if known is history else tell(known)
    owner = instrument_view(OWNER, theirs)
    bench = instrument_view(BENCH, told, job.link)
    shelf = shelf_of(job, bench, hand)
    return Made(
        instrument=history.instrument.id,
        client=history.client.id,
        owner=owner_files(job, owner, owners_share(job, known, owner, bench, shelf), words),
        bench={**bench_files(job, bench, shelf, words), **card_files(job, owner, words)},
        row=instrument_row(theirs, owner, bench=False),
        bench_row=instrument_row(told, bench, bench=True),
        due=due_rows(told, bench),
        open=open_rows(told, bench),
        said=sentences(owner, words),
        limits=owner.limits,
        steady=_steady(job.today, told, theirs),
    )


def _steady(today: date, *told: Told) -> tuple[date, date]:
    from dossier.edition.situation import steady

    spans = [steady(one.findings, today) for one in told]
    return max(first for first, _ in spans), min(last for _, last in spans)
