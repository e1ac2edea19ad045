"""The one gate to a reader: what the notes say and what follows, as page-ready views."""

from dossier.edition.declared import APPRAISAL, BENCH, EDITIONS, OWNER, SALE, Edition
from dossier.edition.hands import handed_on, pictures, recordings
from dossier.edition.instrument_page import instrument_view, sentences
from dossier.edition.lists import (
    LinkRow,
    Listed,
    bench_index,
    client_view,
    due_rows,
    instrument_row,
    open_rows,
)
from dossier.edition.situation import Situation, situation, steady
from dossier.edition.statement import Issue, statement_view
from dossier.edition.told import Told
from dossier.edition.view import canonical, digest
from dossier.edition.voice import Voice, voice_of

__all__ = [
    "APPRAISAL",
    "BENCH",
    "EDITIONS",
    "OWNER",
    "SALE",
    "Edition",
    "Issue",
    "LinkRow",
    "Listed",
    "Situation",
    "Told",
    "Voice",
    "bench_index",
    "canonical",
    "client_view",
    "digest",
    "due_rows",
    "handed_on",
    "instrument_row",
    "instrument_view",
    "open_rows",
    "pictures",
    "recordings",
    "sentences",
    "situation",
    "statement_view",
    "steady",
    "voice_of",
]
