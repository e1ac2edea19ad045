"""A statement for a sale or an appraisal, from the notes to its own folder, in order."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dossier import __version__
from dossier.checks.leaving import given_away
from dossier.diagnostics import Diagnostic, in_order
from dossier.edition.declared import EDITIONS, Edition
from dossier.edition.pages import InstrumentView
from dossier.model import History, Notebook
from dossier.publish.folder import one_build
from dossier.publish.issued import (
    HISTORY,
    Issued,
    IssuedManifest,
    bag,
    earlier,
    free_name,
    sealed,
    write_issued,
)
from dossier.quantities import suggest
from dossier.read import list_folder, read_sources
from dossier.sites.ground import theme_for
from dossier.theme import Theme

if TYPE_CHECKING:
    from dossier.edition.view import Clip
    from dossier.pictures import Picture

LOCK_SECONDS = 30.0
PDF, PAGE, TABLES = "statement.pdf", "index.html", "figures/"
PROGRAM = f"dossier {__version__}"


class IssueError(ValueError):
    """A statement is asked for that there can't be; the message says which there are."""


@dataclass(frozen=True, slots=True)
class IssueRequest:
    """What to issue: the folders, the day, the instrument, the edition, and whether as a bag.

    `sign` gives back a PDF signed, its field named as told; without it nothing is signed.
    """

    content: Path
    out: Path
    state: Path
    today: date
    instrument: str
    edition: str
    bagged: bool = False
    sign: Callable[[bytes, str], bytes] | None = None


@dataclass(frozen=True, slots=True)
class IssueOutcome:
    """What came of it.

    `folder` is where the statement lies, None where none was issued; `before` the folder's name
    of the statement that it differs from, "" for the first.
    """

    findings: tuple[Diagnostic, ...]
    folder: Path | None = None
    number: int = 0
    before: str = ""


def statements() -> tuple[Edition, ...]:
    """The editions that are issued; the others are pages at an address, and the bench's own."""
    return tuple(edition for edition in EDITIONS if "statement" in edition.shows)


def issue(request: IssueRequest) -> IssueOutcome:
    """Write a statement into a folder of its own, or say what in the notes is in the way.

    Raises IssueError, and PublishError where the disk or an earlier statement is in the way;
    PictureError, RecordingError, PdfError and PageError where a page would not be as it should;
    and what `request.sign` raises.
    """
    edition = _edition(request.edition)
    with one_build(request.state, LOCK_SECONDS):
        sources, trouble = list_folder(request.content)
        if sources is None:
            return IssueOutcome(trouble)
        notebook, found = read_sources(sources, request.today)
        if notebook is None:
            return IssueOutcome(in_order(found))
        _refuse_strangers(notebook, request.instrument)
        concerned = _concerning(found, notebook, request.instrument)
        if request.instrument in notebook.stopped:
            return IssueOutcome(concerned)
        history = notebook.history(request.instrument)
        stop = _held(history)
        theme, faults = theme_for(request.content)
        concerned = in_order((*concerned, *faults, *((stop,) if stop else ())))
        if stop or theme is None:
            return IssueOutcome(concerned)
        before = earlier(request.out, request.instrument, request.edition)
        view, told_of = _statement(edition, history, request, before)
        leaks = given_away(notebook, told_of, edition.name, "\n".join(_words(view)))
        if leaks:
            return IssueOutcome(in_order((*concerned, *leaks)))
        files = statement_files(view, told_of, theme, sources)
        if request.sign:
            files |= {PDF: request.sign(files[PDF], _label(told_of))}
        name, number = _write(request, history, files, before)
        last = before[-1].name if before else ""
        return IssueOutcome(concerned, name, number, last)


def _edition(name: str) -> Edition:
    known = {edition.name: edition for edition in statements()}
    if name in known:
        return known[name]
    if name == "owner":
        raise IssueError(
            "The owner’s page is not issued: it stands at a private link, and dossier build makes "
            f"it. Issue {' or '.join(known)}."
        )
    raise IssueError(f"There is no edition “{name}” to issue. Issue {' or '.join(known)}.")


def _refuse_strangers(notebook: Notebook, name: str) -> None:
    known = sorted({*notebook.instruments, *notebook.stopped})
    if name not in known:
        nearest = suggest(name, known)
        hint = f"Did you mean {nearest}?" if nearest else f"There are {', '.join(known)}."
        raise IssueError(f"There is no instrument “{name}”. {hint}")


def _concerning(
    found: tuple[Diagnostic, ...], notebook: Notebook, name: str
) -> tuple[Diagnostic, ...]:
    """The findings of this instrument, its client and the shop; others are no matter here."""
    known = notebook.instruments.get(name)
    stops = {"shop:", f"instrument:{name}"} | ({f"client:{known.client}"} if known else set())
    files = (f"instruments/{name}/", f"clients/{known.client}.md" if known else "shop.md")
    return in_order(
        one
        for one in found
        if stops & set(one.stops) or one.span.file.startswith(files) or one.span.file == "shop.md"
    )


def _held(history: History) -> Diagnostic | None:
    for visit in history.visits:
        if visit.hold:
            return Diagnostic(
                "held",
                f"{history.instrument.id} is on hold, and nothing of it is handed out.",
                visit.place_of("hold"),
                "Take hold out of the note, and issue again.",
            )
    return None


def _statement(
    edition: Edition, history: History, request: IssueRequest, before: tuple[Issued, ...]
) -> tuple[InstrumentView, History]:
    """The statement, and the history that it was told from: what the present owner may read."""
    from dossier.analysis.findings import analyse
    from dossier.edition.hands import handed_on
    from dossier.edition.situation import situation
    from dossier.edition.statement import Issue, statement_view
    from dossier.edition.told import Told
    from dossier.edition.voice import voice_of
    from dossier.words import load

    known = handed_on(history)
    findings = analyse(known)
    voice = voice_of(known.shop, load(known.shop.locale))
    told = Told(known, findings, situation(known, findings, request.today), voice)
    number = before[-1].manifest.number + 1 if before else 1
    last = json.loads(before[-1].history)["history"] if before else None
    return statement_view(edition, told, Issue(request.today, number, last)), known


def statement_files(
    view: InstrumentView, history: History, theme: Theme, sources: Mapping[str, bytes]
) -> dict[str, bytes]:
    """The page, the document, the data and the charts' figures of a statement, by their paths.

    Only the pictures and recordings that the statement shows are looked at, so that prose can bring
    in no other.  Raises PictureError, RecordingError, PdfError and PageError.
    """
    from dossier.charts import LIGHT, draw, for_screen
    from dossier.recordings import recording
    from dossier.render.assets import site_assets
    from dossier.render.beside import Beside, PictureFile, unnamed
    from dossier.render.data import history_json
    from dossier.render.figure_csv import figure_csv, file_name
    from dossier.render.html import instrument_page
    from dossier.render.pdf import document
    from dossier.words import load

    words = load(history.shop.locale)
    files: dict[str, bytes] = {**site_assets(theme, view.sender, "statement")}
    pages: dict[str, PictureFile] = {}
    paper: dict[str, bytes] = {}
    for name, data in _pictures(view, history, sources).items():
        is_logo = name == view.sender.logo
        made, (small, large, thumb) = _made(data, name, is_logo=is_logo)
        files |= {small: made.small, large: made.large, thumb: made.thumb}
        pages[name] = PictureFile(small, made.width, made.height, large, thumb, made.thumb_width)
        paper[name] = made.small
    clips: dict[str, str] = {}
    for clip in _clips(view):
        data = _opened(sources, f"instruments/{history.instrument.id}/media/{clip.file}")
        bare = recording(data, clip.file, is_film=clip.is_film)
        clips[clip.file] = unnamed(bare.data, bare.suffix)
        files[clips[clip.file]] = bare.data
    parts = view.statement.parts if view.statement else ()
    figures = tuple(figure for part in parts for figure in part.figures)
    screen, printed = draw(figures, LIGHT, "screen"), draw(figures, LIGHT, "print")
    ready = {name: for_screen(svg, LIGHT) for name, svg in screen.items()}
    data = history_json(view)
    tables = {f"{TABLES}{file_name(one.id)}": figure_csv(one, words) for one in figures}
    beside = Beside(pdf=PDF, data=HISTORY, tables=TABLES if tables else "", clips=clips)
    return {
        **files,
        **tables,
        PAGE: instrument_page(view, ready, pages, words, theme, "", beside),
        PDF: document(view, printed, paper, words, theme, data),
        HISTORY: data,
    }


def _label(history: History) -> str:
    from dossier.words import load

    return load(history.shop.locale)("Signature")


def _pictures(
    view: InstrumentView, history: History, sources: Mapping[str, bytes]
) -> dict[str, bytes]:
    """The bytes of the pictures that the view names, and of the shop's logo."""
    parts = view.statement.parts if view.statement else ()
    shown = {photo.file for part in parts for note in part.notes for photo in note.photos}
    shown |= {view.photo.file} if view.photo else set()
    folder = f"instruments/{history.instrument.id}/media/"
    paths = {name: folder + name for name in sorted(shown)}
    if view.sender.logo:
        paths[view.sender.logo] = view.sender.logo
    return {name: _opened(sources, path) for name, path in paths.items()}


def _opened(sources: Mapping[str, bytes], path: str) -> bytes:
    """The bytes of a picture.  Raises PictureError for a file that can't be opened."""
    from dossier.pictures import PictureError

    try:
        return sources[path]
    except OSError as error:
        raise PictureError(f"{path} cannot be opened: {error.strerror or error}.") from error


def _made(data: bytes, name: str, *, is_logo: bool) -> tuple[Picture, tuple[str, str, str]]:
    """A picture made anew, and the paths of its three sizes by their content."""
    from dossier.pictures import LOGO_SIDE, THUMB_SIDE, picture
    from dossier.render.beside import unnamed

    made = picture(data, name, LOGO_SIDE if is_logo else THUMB_SIDE)
    small, large, thumb = (
        unnamed(one, made.suffix) for one in (made.small, made.large, made.thumb)
    )
    return made, (small, large, thumb)


def _clips(view: InstrumentView) -> tuple[Clip, ...]:
    """The recordings that the statement plays."""
    parts = view.statement.parts if view.statement else ()
    return tuple(clip for part in parts for note in part.notes for clip in note.clips)


def _write(
    request: IssueRequest,
    history: History,
    files: Mapping[str, bytes],
    before: tuple[Issued, ...],
) -> tuple[Path, int]:
    number = before[-1].manifest.number + 1 if before else 1
    manifest = IssuedManifest(
        instrument=request.instrument,
        edition=request.edition,
        issued=request.today.isoformat(),
        number=number,
        program=PROGRAM,
        files={},
    )
    name = free_name(request.out, request.instrument, request.edition, request.today)
    whole = sealed(manifest, files)
    if request.bagged:
        whole = bag(whole, name, request.today, history.shop.name, PROGRAM)
    return write_issued(request.out, name, whole), number


def _words(view: InstrumentView) -> list[str]:
    """All that the statement says, text by text."""
    from dossier.edition.view import plain

    def texts(value: Any) -> list[str]:
        if isinstance(value, str):
            return [value]
        if not isinstance(value, dict | list):
            return []
        items = value.values() if isinstance(value, dict) else value
        return [text for item in items for text in texts(item)]

    return texts(plain(view))
