"""The pipeline in order: read, check, make, assemble, review, publish, keep."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache, partial

from dossier.diagnostics import in_order
from dossier.guide import FOLDER as GUIDE
from dossier.publish.folder import one_build
from dossier.publish.kept import prepare, settle
from dossier.publish.review import ClientChanges, changes
from dossier.publish.site import Before, Places, public_sum, public_tree, publish, refuse_places
from dossier.publish.trouble import LostPageError
from dossier.sites.addresses import Addresses, addresses
from dossier.sites.bench import bench_tree
from dossier.sites.cache import Cache, key_for
from dossier.sites.checked import checked
from dossier.sites.clients import Sites, assemble, draw_ahead
from dossier.sites.fronts import chart_engine, drawing, front, lasting, loaded, not_found_page
from dossier.sites.idle import FOLDER, Look, look, remember
from dossier.sites.jobs import Tell, jobs, make_all
from dossier.sites.outcome import Outcome, Request, UnknownClientError
from dossier.sites.recalling import Maker
from dossier.sites.shop import Shop, read_shop
from dossier.sites.workers import Workers, nothing, processes
from dossier.store import Content, flowing
from dossier.tasks import Made
from dossier.untouched import Untouched

__all__ = ["Approve", "Outcome", "Request", "UnknownClientError", "run"]

LOCK_SECONDS = 30.0

Approve = Callable[[tuple[ClientChanges, ...]], bool]
Trees = Mapping[str, Mapping[str, Content]]


def run(
    request: Request,
    tell: Tell,
    approve: Approve,
    workers: Workers | None = None,
    before: Look | None = None,
) -> Outcome:
    """Read the notes, make every instrument, and swap the pages in, or leave what stands.

    `tell` is told of progress as (what, done, total); `approve` sees what owners will read anew
    and may refuse; `workers` are those of another machine, say, in place of processes of this one;
    `before` is the look that was taken at what it would read.
    Raises UnknownClientError, and PublishError where folders or the disk are in the way.
    """
    refuse_places(Places(request.content, request.out, request.state))
    with one_build(request.state, LOCK_SECONDS):
        chosen = workers or processes(request.jobs)
        means = _Means(chosen, workers is None, before or look(request))
        try:
            return _remembered(request, tell, approve, means)
        except LostPageError:  # the cache was damaged; what was lost is now gone from it
            return _remembered(request, tell, approve, means)


@dataclass(frozen=True, slots=True)
class _Means:
    """Who works, whether they share the cache's disk and so its memory, what was known before."""

    workers: Workers
    shares_disk: bool
    before: Look

    @property
    def untouched(self) -> Untouched:
        return self.before.untouched


def _remembered(request: Request, tell: Tell, approve: Approve, means: _Means) -> Outcome:
    outcome = _run(request, tell, approve, means)
    means.untouched.settle()
    remember(request, means.before, outcome)
    means.untouched.keep(all_asked=outcome.published)
    return outcome


def _run(request: Request, tell: Tell, approve: Approve, means: _Means) -> Outcome:
    cache = Cache(request.state / FOLDER)
    shop, found = read_shop(request, cache, means.untouched)
    if shop is None:
        return Outcome(in_order(found))
    known, closed = addresses(shop)
    wanted, unread = jobs(
        shop.ground, shop.keeping, shop.sources, known.of_clients, pdf=request.pdf
    )
    keys = {key_for(job): job for job in wanted}
    seen = lru_cache(partial(checked, shop.notebook, request.today, keys, cache.checked))
    first_pages = front(shop.ground)

    def meanwhile(there: Mapping[str, Made]) -> None:
        seen()
        loaded(shop.ground)
        draw_ahead(shop.notebook, shop.keeping, there, shop.standing, first_pages)

    maker = Maker(cache.parts, cache.pages, cache.store) if means.shares_disk else None
    errand = partial(drawing, Cache(cache.folder)) if means.shares_disk else nothing
    with flowing(request.state):
        made, failed = make_all(keys, cache, means.workers, tell, maker, meanwhile, errand)
    sites = assemble(shop.notebook, shop.keeping, made, shop.standing, first_pages, known.opens)
    known = known.settled(sites)
    said = {key: text for key, text in sites.said.items() if known.reach(key)}
    outcome = Outcome(
        findings=in_order((*found, *seen(), *unread, *failed, *closed)),
        built=tuple(made),
        kept=sites.kept,
        missing=sites.missing,
        held=tuple(sorted(shop.notebook.held())),
        changes=changes(shop.keeping.said, said),
    )
    if not approve(outcome.changes):
        return outcome
    trees = _trees(shop, known, sites, made, outcome, cache)
    outcome = _published(shop, known, sites, said, trees, outcome, cache)
    if outcome.published:
        cache.sweep(keys, outcome.stands)
    return outcome


def _trees(
    shop: Shop,
    known: Addresses,
    sites: Sites,
    made: Mapping[str, Made],
    outcome: Outcome,
    cache: Cache,
) -> Trees:
    """All that will stand: the bench's own site, and what is uploaded."""
    there = known.trees(sites)
    shared = chart_engine(cache, (sites.bench, *there.values()))
    pages = lasting(shop.ground, cache)
    bench = bench_tree(shop.ground, sites, made, known.opened, outcome.findings, pages)
    public = public_tree(there, known.opened, not_found_page(shop.ground), shared)
    return {"bench": {**bench, **shared}, "public": public}


def _published(
    shop: Shop,
    known: Addresses,
    sites: Sites,
    said: Mapping[str, tuple[str, ...]],
    trees: Trees,
    outcome: Outcome,
    cache: Cache,
) -> Outcome:
    """The outcome once the trees are swapped in and what is kept is settled, or why not."""
    request = shop.request
    places = Places(request.content, request.out, request.state)
    pages = tuple(page for page in sites.pages if known.keep(page))
    kept = prepare(
        request.state,
        pages,
        said,
        public_sum(trees["public"]),
        shop.untouched,
        shop.keeping.keys,
    )
    published, faults = publish(trees, places, known.state, Before(shop.untouched, cache.pages))
    outcome = replace(outcome, findings=in_order((*outcome.findings, *faults)))
    if published is None:
        return outcome
    settle(request.state, kept)
    return replace(
        outcome,
        published=True,
        minted=tuple(link.target for link in known.minted),
        pages=_count(".html", trees),
        pdfs=_count(".pdf", trees),
        stands=published.stands,
    )


def _count(suffix: str, trees: Trees) -> int:
    """How many of the shop's own files end so: the guide is the same for every shop."""
    own = (path for tree in trees.values() for path in tree if not path.startswith(f"{GUIDE}/"))
    return sum(path.endswith(suffix) for path in own)
