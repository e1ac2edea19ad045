"""Which pictures a statement shows, and which customary views it misses."""

from __future__ import annotations

from collections.abc import Iterator

from dossier.edition.declared import Edition, stands
from dossier.edition.pages import StatementPart
from dossier.edition.told import Told
from dossier.edition.view import Table
from dossier.edition.voice import capital
from dossier.model import VIEWS, Photo, Visit


def views_part(edition: Edition, told: Told) -> StatementPart:
    """The released pictures by the view that each shows, and the views that nothing shows.

    Source of the views: Object ID (ICOM), "Take photographs".
    """
    voice = told.voice
    w, f = voice.words, voice.form
    meanings = {view.name: w.term(view.meaning) for view in VIEWS}
    found = tuple(_released(edition, told))
    shown = {photo.shows for photo, _ in found}
    missing = [meanings[one.name] for one in VIEWS if one.customary and one.name not in shown]
    said = [
        w.plural("{n} picture is released.", "{n} pictures are released.", len(found))
        if found
        else w("No picture is released.")
    ]
    if missing:
        said.append(w("Of these customary views there is none: {views}.", views="; ".join(missing)))
    else:
        said.append(w("Each customary view is there."))
    table = Table(
        caption=w("Pictures released for this statement"),
        columns=(w("View"), w("Caption"), w("Taken at the visit of"), w("Noted in")),
        rows=tuple(
            (
                capital(meanings.get(photo.shows, w("view not noted"))),
                capital(photo.caption) or w("none noted"),
                f.date(visit.date),
                w("line {n}", n=photo.span.line),
            )
            for photo, visit in found
        ),
        numeric=(False,) * 4,
    )
    after = w(
        "Object ID (ICOM) asks for the whole from several sides, and for markings, damage and "
        "repairs from near; for a piano, the inside is customary too. Where nothing is damaged, "
        "there is nothing to show."
    )
    return StatementPart(
        "views", w("Pictures, and views that are missing"), tuple(said),
        tables=(table,) if found else (), after=(after,),
    )  # fmt: skip


def _released(edition: Edition, told: Told) -> Iterator[tuple[Photo, Visit]]:
    for visit in told.history.visits:
        for photo in visit.photos:
            if photo.kind == "picture" and stands(edition, told.history, "pictures", photo.release):
                yield photo, visit
