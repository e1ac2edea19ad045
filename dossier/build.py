"""The pipeline in order: read, check, make, assemble, review, publish, keep."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date

from dossier.charts.engine import engine, engine_name
from dossier.checks import run_checks
from dossier.diagnostics import Diagnostic, Severity, Span, in_order
from dossier.edition import client_view, voice_of
from dossier.edition.identity import sender
from dossier.edition.pages import InstrumentRow
from dossier.guide.site import FOLDER as GUIDE
from dossier.model import Notebook
from dossier.publish.folder import one_build
from dossier.publish.gate import SHARED
from dossier.publish.kept import Keeping, Kept, load_kept, prepare, settle
from dossier.publish.review import ClientChanges, changes
from dossier.publish.site import (
    Places,
    public_sum,
    public_tree,
    publish,
    refuse_places,
    standing_sum,
)
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
from dossier.read import list_folder, read_sources
from dossier.sites.bench import Ground, bench_tree
from dossier.sites.cache import Cache, key_for
from dossier.sites.clients import INDEX, assemble, instruments_of, with_sites
from dossier.sites.idle import FOLDER, given, remember
from dossier.sites.jobs import Tell, jobs, make_all
from dossier.sites.outcome import Outcome, Request
from dossier.sites.recalling import Maker
from dossier.sites.statements import opened_statements
from dossier.sites.workers import Workers, processes
from dossier.store import Content
from dossier.tasks import CHARTS
from dossier.theme import Theme, accent, broken, find_theme, pale
from dossier.words import load

__all__ = ["Approve", "Outcome", "Request", "UnknownClientError", "run"]

THEME = Span("theme/colours.toml")
LOCK_SECONDS = 30.0

Approve = Callable[[tuple[ClientChanges, ...]], bool]


class UnknownClientError(ValueError):
    """A client is asked for whom no note names; the message names the nearest."""


def run(request: Request, tell: Tell, approve: Approve, workers: Workers | None = None) -> Outcome:
    """Read the notes, make every instrument, and swap the pages in, or leave what stands.

    `tell` is told of progress as (what, done, total); `approve` sees what owners will read anew
    and may refuse; `workers` are those of another machine, say, in place of processes of this one.
    Raises UnknownClientError, and PublishError where folders or the disk are in
    the way.
    """
    refuse_places(Places(request.content, request.out, request.state))
    with one_build(request.state, LOCK_SECONDS):
        try:
            return _remembered(request, tell, approve, workers)
        except LostPageError:  # the cache was damaged; what was lost is now gone from it
            return _remembered(request, tell, approve, workers)


def _remembered(request: Request, tell: Tell, approve: Approve, workers: Workers | None) -> Outcome:
    before = given(request)
    outcome = _run(request, tell, approve, workers)
    remember(request, before, outcome)
    return outcome


def _run(request: Request, tell: Tell, approve: Approve, workers: Workers | None) -> Outcome:
    sources, trouble = list_folder(request.content)
    if sources is None:
        return Outcome(trouble)
    cache = Cache(request.state / FOLDER)
    notes = cache.notes
    notebook, findings = read_sources(sources, request.today, memory=notes)
    state, trouble = load_state(request.state, request.out)
    if notebook is None or state is None:
        return Outcome(in_order((*findings, *trouble)))
    keeping, lost = load_kept(request.state, lambda: standing_sum(request.out))
    _refuse_strangers(request, notebook, keeping)
    theme = find_theme(request.content / "theme")
    if fault := broken(theme):
        hint = "Mend it, or take the file away: the house's own is then used."
        return Outcome(in_order((*findings, Diagnostic("theme-colours", f"{fault}.", THEME, hint))))
    voice = voice_of(notebook.shop, load(notebook.shop.locale))
    ground = Ground(notebook, voice, theme, request.today)
    standing = _standing(request, notebook, keeping)
    clients = tuple(
        client for client in with_sites(notebook, keeping, standing) if _may(notebook, client)
    )
    minted = _minted(state, clients, request.today)
    opened = open_links(State(links=(*state.links, *minted)), clients, request.today)
    links = _addresses(opened)
    issued, closed = opened_statements(state, notebook, keeping, request.out, request.today)
    wanted, unread = jobs(notebook, keeping, sources, theme, links, request.today, pdf=request.pdf)
    keys = {key_for(job): job for job in wanted}
    # Workers of another machine share no disk, and so no memory.
    maker = Maker(cache.parts) if workers is None else None
    made, failed = make_all(keys, cache, workers or processes(request.jobs), tell, maker)
    opens = {link.token: "" for link in state.links} | {link.token: link.target for link in opened}
    sites = assemble(notebook, keeping, made, standing, front(ground), opens)
    # A client of whom nothing could be made has no site, and gets no address to it.
    minted = tuple(link for link in minted if link.target in sites.sites)
    there = {**sites.sites, **sites.singles, **issued.sites}
    opened = (*(link for link in opened if link.target in there), *issued.links)
    shown = {link.target for link in opened}
    seen = run_checks(notebook, request.today)
    findings = in_order(
        (*findings, *seen, *lost, *_colour(notebook, theme), *unread, *failed, *closed)
    )
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
    shared = _engine(cache, (sites.bench, *there.values()))
    bench = {**bench_tree(ground, sites, made, opened, findings), **shared}
    public = public_tree(there, opened, not_found_page(ground), shared)
    places = Places(request.content, request.out, request.state)
    state = State(links=(*state.links, *minted))
    pages = (page for page in sites.pages if _kept_for(page, shown))
    keys_kept = prepare(request.state, pages, said, public_sum(public))
    published, faults = publish({"bench": bench, "public": public}, places, state)
    outcome = replace(outcome, findings=in_order((*findings, *faults)))
    if published is None:
        return outcome
    settle(request.state, keys_kept)
    cache.sweep(keys)
    notes.sweep()
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


def front(
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


def _engine(cache: Cache, trees: Iterable[Mapping[str, Content]]) -> dict[str, Content]:
    """What draws charts in a browser, once for all sites, where any of them has a chart."""
    if not any(CHARTS.search(path) for tree in trees for path in tree):
        return {}
    name = engine_name()
    return {f"{SHARED}/{name}": cache.shared(name, engine)}


def not_found_page(ground: Ground) -> bytes:
    """What an address that is none shows."""
    from dossier.render.html import not_found

    return not_found(sender(ground.notebook.shop), ground.voice.words, ground.theme)


def _colour(notebook: Notebook, theme: Theme) -> tuple[Diagnostic, ...]:
    """A warning where the shop's colour, or one of its theme, can't be read on its ground."""
    _, reason = accent(theme, notebook.shop.look.accent)
    faint = tuple(
        Diagnostic("theme-pale", f"{one}.", THEME, severity=Severity.WARNING) for one in pale(theme)
    )
    if not reason:
        return faint
    span = notebook.shop.look.span
    return (Diagnostic("accent", f"{reason}.", span, severity=Severity.WARNING), *faint)


def _count(suffix: str, *trees: Mapping[str, Content]) -> int:
    """How many of the shop's own files end so: the guide is the same for every shop."""
    own = (path for tree in trees for path in tree if not path.startswith(f"{GUIDE}/"))
    return sum(path.endswith(suffix) for path in own)
