"""The pipeline in order: read, check, make, assemble, review, publish, keep."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from dossier.checks import run_checks
from dossier.diagnostics import Diagnostic, Severity, in_order
from dossier.edition import client_view, voice_of
from dossier.edition.identity import sender
from dossier.edition.pages import InstrumentRow
from dossier.model import Notebook
from dossier.publish.folder import one_build
from dossier.publish.kept import Keeping, Kept, keep, load_kept
from dossier.publish.review import ClientChanges, changes
from dossier.publish.site import Places, public_tree, publish
from dossier.publish.state import (
    TOKEN_BYTES,
    Link,
    State,
    ensure_links,
    load_state,
    open_links,
)
from dossier.publish.trouble import LostPageError
from dossier.quantities import suggest
from dossier.read import open_folder, read_sources
from dossier.sites.bench import Ground, bench_tree
from dossier.sites.cache import FOLDER, Cache, key_for
from dossier.sites.clients import INDEX, assemble, instruments_of, with_sites
from dossier.sites.jobs import Tell, jobs, make_all
from dossier.store import Content
from dossier.theme import Theme, accent, find_theme
from dossier.words import load

LOCK_SECONDS = 30.0

Approve = Callable[[tuple[ClientChanges, ...]], bool]


class UnknownClientError(ValueError):
    """A client is asked for whom no note names; the message names the nearest."""


@dataclass(frozen=True, slots=True)
class Request:
    """What to build: the folders, the day, the clients (none: all), and how many processes.

    Without `pdf` no documents are made: for a quick look, not for what is handed out.
    """

    content: Path
    out: Path
    state: Path
    today: date
    clients: tuple[str, ...] = ()
    jobs: int = 1
    pdf: bool = True


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a build did.

    `kept` are instruments whose last good pages stand, `missing` those without any; `held` the
    clients on hold, `minted` those with a new link; `published` whether the trees now stand as
    this build wants them; `pages` and `pdfs` count what then stands.
    """

    findings: tuple[Diagnostic, ...]
    built: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    held: tuple[str, ...] = ()
    minted: tuple[str, ...] = ()
    changes: tuple[ClientChanges, ...] = ()
    published: bool = False
    pages: int = 0
    pdfs: int = 0


def run(request: Request, tell: Tell, approve: Approve) -> Outcome:
    """Read the notes, make every instrument, and swap the pages in, or leave what stands.

    `tell` is told of progress as (what, done, total); `approve` sees what owners will read anew
    and may refuse.  Raises UnknownClientError, and PublishError where folders or the disk are in
    the way.
    """
    with one_build(request.state, LOCK_SECONDS):
        try:
            return _run(request, tell, approve)
        except LostPageError:  # the cache was damaged; what was lost is now gone from it
            return _run(request, tell, approve)


def _run(request: Request, tell: Tell, approve: Approve) -> Outcome:
    sources = open_folder(request.content)
    notebook, findings = read_sources(sources, request.today)
    state, trouble = load_state(request.state, request.out)
    if notebook is None or state is None:
        return Outcome(in_order((*findings, *trouble)))
    keeping, lost = load_kept(request.state)
    _refuse_strangers(request, notebook, keeping)
    theme = find_theme(request.content / "theme")
    voice = voice_of(notebook.shop, load(notebook.shop.locale))
    ground = Ground(notebook, voice, theme, request.today)
    standing = _standing(request, notebook, keeping)
    clients = tuple(
        client for client in with_sites(notebook, keeping, standing) if _may(notebook, client)
    )
    minted = _minted(state, clients, request.today)
    opened = open_links(State(links=(*state.links, *minted)), clients, request.today)
    links = _addresses(opened)
    wanted, unread = jobs(notebook, keeping, sources, theme, links, request.today, pdf=request.pdf)
    cache, keys = Cache(request.state / FOLDER), {key_for(job): job for job in wanted}
    made, failed = make_all(keys, cache, request.jobs, tell)
    sites = assemble(notebook, keeping, made, standing, _front(ground))
    # A client of whom nothing could be made has no site, and gets no address to it.
    minted = tuple(link for link in minted if link.target in sites.sites)
    there = {**sites.sites, **sites.singles}
    opened = tuple(link for link in opened if link.target in there)
    shown = {link.target for link in opened}
    seen = run_checks(notebook, request.today)
    findings = in_order((*findings, *seen, *lost, *_colour(notebook, theme), *unread, *failed))
    said = {key: text for key, text in sites.said.items() if _reached(key, shown)}
    outcome = Outcome(
        findings=findings,
        built=tuple(made),
        kept=sites.kept,
        missing=sites.missing,
        held=tuple(sorted(notebook.held())),
        changes=changes(keeping.said, said),
    )
    if not approve(outcome.changes):
        return outcome
    bench = bench_tree(ground, sites, made, opened, findings)
    public = public_tree(there, opened, _not_found(ground))
    places = Places(request.content, request.out, request.state)
    state = State(links=(*state.links, *minted))
    published, faults = publish({"bench": bench, "public": public}, places, state)
    outcome = replace(outcome, findings=in_order((*findings, *faults)))
    if published is None:
        return outcome
    cache.sweep(keys)
    keep(request.state, (page for page in sites.pages if _kept_for(page, shown)), said)
    return replace(
        outcome,
        published=True,
        minted=tuple(link.target for link in minted),
        pages=_count(".html", bench, public),
        pdfs=_count(".pdf", bench, public),
    )


def _refuse_strangers(request: Request, notebook: Notebook, keeping: Keeping) -> None:
    """Raises UnknownClientError before anything is built."""
    known = sorted({*notebook.clients, *instruments_of(notebook, keeping)})
    for name in request.clients:
        if name not in known:
            nearest = suggest(name, known)
            hint = f"Did you mean {nearest}?" if nearest else f"There are {', '.join(known)}."
            raise UnknownClientError(f"There is no client “{name}”. {hint}")


def _minted(state: State, clients: tuple[str, ...], today: date) -> tuple[Link, ...]:
    return ensure_links(state, clients, today, lambda: secrets.token_hex(TOKEN_BYTES))[1]


def _addresses(opened: tuple[Link, ...]) -> dict[str, str]:
    """Each client's oldest open address, for the bench to lead to."""
    return {link.client: link.token for link in reversed(opened) if link.kind == "client"}


def _reached(target: str, shown: set[str]) -> bool:
    """Whether an open link leads to "client/instrument": the client's, or its own."""
    return target in shown or target.partition("/")[0] in shown


def _kept_for(page: Kept, shown: set[str]) -> bool:
    """Whether a page is kept: what no open link leads to is forgotten."""
    kind, _, name = page.name.partition(":")
    return page.client in shown if kind == "client" else _reached(f"{page.client}/{name}", shown)


def _may(notebook: Notebook, client: str) -> bool:
    """Whether a client may have a site: not who left.

    One whose file can't be read now keeps what stands.
    """
    return client not in notebook.clients or notebook.clients[client].status != "left"


def _standing(request: Request, notebook: Notebook, keeping: Keeping) -> frozenset[str]:
    """The clients whose pages stay as they are: on hold, unreadable, or not asked for."""
    known = {*notebook.clients, *instruments_of(notebook, keeping)}
    others = known - set(request.clients) if request.clients else set()
    return frozenset(notebook.held() | others | (known - notebook.clients.keys()))


def _front(
    ground: Ground,
) -> Callable[[str, tuple[InstrumentRow, ...]], Mapping[str, bytes]]:
    """Draws the first page of a client with more than one instrument."""
    from dossier.render.assets import site_assets
    from dossier.render.html import client_page

    shop = ground.notebook.shop

    def draw(client: str, rows: tuple[InstrumentRow, ...]) -> Mapping[str, bytes]:
        view = client_view(shop, ground.voice, client, ground.notebook.clients.get(client), rows)
        page = client_page(view, {}, ground.voice.words, ground.theme)
        return {INDEX: page, **site_assets(ground.theme, view.sender)}

    return draw


def _not_found(ground: Ground) -> bytes:
    from dossier.render.html import not_found

    return not_found(sender(ground.notebook.shop), ground.voice.words, ground.theme)


def _colour(notebook: Notebook, theme: Theme) -> tuple[Diagnostic, ...]:
    """A warning where the shop's colour can't be read on the theme's ground."""
    _, reason = accent(theme, notebook.shop.look.accent)
    if not reason:
        return ()
    span = notebook.shop.look.span
    return (Diagnostic("accent", f"{reason}.", span, severity=Severity.WARNING),)


def _count(suffix: str, *trees: Mapping[str, Content]) -> int:
    return sum(path.endswith(suffix) for tree in trees for path in tree)
