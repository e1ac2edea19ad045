"""Which instruments are to be made, and the making of them over processes."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor, as_completed
from datetime import date

from dossier.diagnostics import Diagnostic, Span
from dossier.model import History, Notebook
from dossier.pictures import PictureError
from dossier.publish.kept import Keeping
from dossier.read import Sources
from dossier.render.html import PageError
from dossier.sites.clients import instruments_of
from dossier.tasks import Job, Made, make
from dossier.theme import Theme

Tell = Callable[[str, int, int], None]


def jobs(
    notebook: Notebook,
    keeping: Keeping,
    sources: Sources,
    theme: Theme,
    links: Mapping[str, str],
    day: date,
    *,
    pdf: bool,
) -> Iterator[Job]:
    """A job for every instrument that could be read, by slug."""
    owned = instruments_of(notebook, keeping)
    logo = sources[notebook.shop.look.logo] if notebook.shop.look.logo else None
    for name in sorted(notebook.instruments):
        if name in notebook.stopped:
            continue
        history = notebook.history(name)
        token = links.get(history.client.id, "")
        yield Job(
            history=history,
            today=day,
            theme=theme,
            media=_media(history, sources),
            logo=logo,
            link=f"public/{token}/index.html" if token else "",
            alone=len(owned[history.client.id]) == 1,
            pdf=pdf,
        )


def _media(history: History, sources: Sources) -> dict[str, bytes]:
    """The pictures that the pages show, by the name that the notes give them."""
    folder = f"instruments/{history.instrument.id}/media/"
    names = {
        photo.file for visit in history.visits for photo in visit.photos if photo.kind == "picture"
    }
    if history.instrument.photo:
        names.add(history.instrument.photo)
    return {name: sources[folder + name] for name in sorted(names)}


def make_all(
    wanted: tuple[Job, ...], processes: int, tell: Tell
) -> tuple[dict[str, Made], tuple[Diagnostic, ...]]:
    """Every job's result by instrument, and an error for each that failed.

    One that fails stops no other.  Workers are started afresh and not forked: a process that has
    drawn a chart can't be forked.
    """
    made: dict[str, Made] = {}
    failed: list[Diagnostic] = []
    for done, (job, result) in enumerate(_results(wanted, processes), 1):
        name = job.history.instrument.id
        if isinstance(result, Made):
            made[name] = result
        else:
            failed.append(_failure(name, result))
        tell("Building", done, len(wanted))
    return dict(sorted(made.items())), tuple(failed)


def _results(wanted: tuple[Job, ...], processes: int) -> Iterator[tuple[Job, Made | Exception]]:
    if processes == 1 or len(wanted) < 2:
        for job in wanted:
            yield job, _tried(job)
        return
    context = multiprocessing.get_context("forkserver")
    with ProcessPoolExecutor(min(processes, len(wanted)), mp_context=context) as pool:
        futures = {pool.submit(_tried, job): job for job in wanted}
        for future in as_completed(futures):
            error = future.exception()
            if error is None:
                yield futures[future], future.result()
            elif isinstance(error, Exception):
                yield futures[future], error


def _tried(job: Job) -> Made | Exception:
    try:
        return make(job)
    except Exception as error:  # noqa: BLE001  # one instrument's fault must not stop the others
        return error


def _failure(name: str, error: Exception) -> Diagnostic:
    from dossier.render.pdf import PdfError

    plain = isinstance(error, PictureError | PageError | PdfError)
    what = str(error) if plain else f"{type(error).__name__}: {error}"
    return Diagnostic(
        "not-built",
        f"The pages of {name} could not be made. {what}",
        Span(f"instruments/{name}/instrument.md"),
        "" if plain else "This is a fault of the program; the notes are not to blame.",
        stops=(f"instrument:{name}",),
    )
