"""Which instruments are to be made, and the making of them over processes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing
from functools import partial

from dossier.analysis.hands import theirs_since
from dossier.diagnostics import Diagnostic, Span
from dossier.model import History, Notebook
from dossier.pictures import PictureError
from dossier.publish.kept import Keeping
from dossier.read import Sources
from dossier.recordings import RecordingError
from dossier.sites.cache import Cache
from dossier.sites.clients import instruments_of
from dossier.sites.ground import Ground
from dossier.sites.logo import unread
from dossier.sites.media import Media, MediaError
from dossier.sites.workers import LostWorkerError, Workers, nothing, over
from dossier.tasks import Job, Made, make

_MANY = 8
"""So few instruments take no longer than an errand."""

Tell = Callable[[str, int, int], None]
Meanwhile = Callable[[Mapping[str, Made]], None]


def jobs(
    ground: Ground, keeping: Keeping, sources: Sources, links: Mapping[str, str], *, pdf: bool
) -> tuple[tuple[Job, ...], tuple[Diagnostic, ...]]:
    """A job for every instrument that could be read, by slug, and an error for each other file.

    A picture or recording that can't be opened stops its own instrument, the shop's logo all of
    them; so does a change of hands without a date.
    """
    if ground.logo.fault is not None:
        return (), (ground.logo.fault,)
    notebook = ground.notebook
    owned = instruments_of(notebook, keeping)
    wanted: list[Job] = []
    faults: list[Diagnostic] = []
    for name in sorted(notebook.instruments.keys() - notebook.stopped):
        history = notebook.history(name)
        media, wrong = _media(history, sources)
        wrong += _untold(history, notebook, keeping)
        faults += wrong
        if wrong:
            continue
        token = links.get(history.client.id, "")
        wanted.append(
            Job(
                history=history,
                today=ground.today,
                theme=ground.theme,
                media=media,
                logo=ground.logo.data,
                link=f"public/{token}/index.html" if token else "",
                alone=len(owned[history.client.id]) == 1,
                pdf=pdf,
            )
        )
    return tuple(wanted), tuple(faults)


def _media(history: History, sources: Sources) -> tuple[Media, tuple[Diagnostic, ...]]:
    """The pictures and recordings of the pages, by the name that the notes give them."""
    instrument = history.instrument
    media = Media(f"instruments/{instrument.id}/media/", sources)
    faults: list[Diagnostic] = []
    for name, place in sorted(_files(history).items()):
        try:
            media.note(name)
        except OSError as error:
            faults.append(unread(name, place, error, f"instrument:{instrument.id}"))
    return media, tuple(faults)


def _files(history: History) -> dict[str, Span]:
    """Every picture and recording that the notes of an instrument name, with its line."""
    instrument = history.instrument
    named = {instrument.photo: instrument.place_of("photo")} if instrument.photo else {}
    for photo in (photo for visit in history.visits for photo in visit.photos):
        named[photo.file] = photo.span
    return named


def _untold(history: History, notebook: Notebook, keeping: Keeping) -> tuple[Diagnostic, ...]:
    """An error where an instrument is another client's now, and no line says since when.

    Without its date, what was written for the person before would be told to the new owner.
    """
    own = history.instrument
    last = keeping.entries.get(f"instrument:{own.id}")
    if last is None or last.client in (own.client, "") or theirs_since(own) is not None:
        return ()
    if last.client not in notebook.clients:
        return ()  # the client's own file was renamed
    return (
        Diagnostic(
            "hands-untold",
            f"It was {last.client}'s when it was last published, and is {own.client}'s now.",
            own.place_of("client"),
            f'Write since when below provenance:, as in "2026-05 sold, to {own.client}".',
            stops=(f"instrument:{own.id}",),
        ),
    )


def make_all(
    keys: Mapping[str, Job],
    cache: Cache,
    workers: Workers,
    tell: Tell,
    work: Callable[[Job], Made] | None = None,
    meanwhile: Meanwhile = lambda _: None,
    errand: Callable[[], object] = nothing,
) -> tuple[dict[str, Made], tuple[Diagnostic, ...]]:
    """Every job's result by instrument, and an error for each that failed.

    `keys` are the jobs by their key in the cache, which is asked first.  One that fails stops no
    other.  `work` is a way of the caller's own that gives what `make` gives; `meanwhile` is done in
    this process, with what is known, while others work, and in any case; `errand` is for a worker,
    where many are made.
    """
    made: dict[str, Made] = {}
    failed: list[Diagnostic] = []
    for key, job in keys.items():
        known = cache.made(key, job.today)
        if known is not None:
            made[known.instrument] = known
    key_of = {job.history.instrument.id: key for key, job in keys.items()}
    rest = tuple(job for name, job in _by_name(keys.values()) if name not in made)
    if len(rest) < _MANY:
        errand = nothing
    here = partial(meanwhile, dict(made))
    with closing(over(workers, work or make, rest, here, errand)) as results:
        for done, (job, result) in enumerate(results, 1):
            name = job.history.instrument.id
            if isinstance(result, Made):
                made[name] = cache.keep(key_of[name], result)
            else:
                failed.append(_failure(job.history, result))
            tell("Building", done, len(rest))
    return dict(sorted(made.items())), tuple(failed)


def _by_name(wanted: Iterable[Job]) -> Iterator[tuple[str, Job]]:
    return ((job.history.instrument.id, job) for job in wanted)


def _failure(history: History, error: Exception) -> Diagnostic:
    """The error of an instrument that could not be made, at its file's line if that is why."""
    from dossier.render.html import PageError
    from dossier.render.pdf import PdfError

    name = history.instrument.id
    place = Span(f"instruments/{name}/instrument.md")
    about_media = isinstance(error, PictureError | RecordingError | MediaError)
    if about_media:
        named = (at for file, at in _files(history).items() if str(error).startswith(f"{file} "))
        place = next(named, place)
    lost = isinstance(error, LostWorkerError)
    plain = lost or about_media or isinstance(error, PageError | PdfError)
    what = str(error) if plain else f"{type(error).__name__}: {error}"
    hint = "" if plain else "This is a fault of the program; the notes are not to blame."
    return Diagnostic(
        "not-built",
        f"The pages of {name} could not be made. {what}",
        place,
        "The memory may have run out: close other programs and build again." if lost else hint,
        stops=(f"instrument:{name}",),
    )
