"""The pages that no instrument makes: a client's first page, and what a wrong address shows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache as remembered

from pydantic_core import to_json

from dossier.edition.listed import InstrumentRow
from dossier.guide import FOLDER as GUIDE
from dossier.publish.gate import SHARED
from dossier.sites.cache import Cache
from dossier.sites.clients import INDEX
from dossier.sites.ground import Ground
from dossier.store import Content
from dossier.tasks import CHARTS

_PAGES = frozenset((
    "404.html", "base.html", "bench-due.html", "bench-index.html", "bench-open.html",
    "client.html", "pieces.html",
))  # fmt: skip


def loaded(ground: Ground) -> None:
    """Load what these pages and the bench's lists are made with, at a time when nobody waits."""
    from dossier.render.html import compiled

    compiled(ground.theme, lambda name: name in _PAGES)


def front(
    ground: Ground,
) -> Callable[[str, tuple[InstrumentRow, ...]], Mapping[str, bytes]]:
    """Draws the first page of a client with more than one instrument, the same one once."""
    shop = ground.notebook.shop

    @remembered
    def draw(client: str, rows: tuple[InstrumentRow, ...]) -> Mapping[str, bytes]:
        from dossier.edition.lists import client_view
        from dossier.render.assets import site_assets
        from dossier.render.html import client_page

        view = client_view(shop, ground.voice, client, ground.notebook.clients.get(client), rows)
        page = client_page(view, ground.logo.pictures, ground.voice.words, ground.theme)
        return {INDEX: page, **site_assets(ground.theme, view.sender), **ground.logo.files}

    return draw


def not_found_page(ground: Ground) -> bytes:
    """What an address that is none shows."""
    from dossier.edition.identity import sender
    from dossier.render.html import not_found

    return not_found(sender(ground.notebook.shop), ground.voice.words, ground.theme)


def lasting(ground: Ground, cache: Cache) -> dict[str, bytes]:
    """The bench's pages that stay the same from build to build: the guide, and the look's page.

    By path below the bench's folder.
    """
    shop, theme, pictures = ground.notebook.shop, ground.theme, ground.logo.pictures

    def made() -> dict[str, bytes]:
        from dossier.edition.identity import sender
        from dossier.edition.style_view import style_view
        from dossier.guide.site import guide_tree
        from dossier.render.style_page import style_files

        guide = guide_tree(shop, sender(shop), theme, pictures)
        look = style_files(style_view(shop, ground.voice), ground.voice.words, theme, pictures)
        return {**{f"{GUIDE}/{path}": page for path, page in guide.items()}, **look}

    made_of = (to_json(shop), theme.digest, sorted(pictures.items()))
    return cache.once("lasting", repr(made_of).encode(), made)


def chart_engine(cache: Cache, trees: Iterable[Mapping[str, Content]]) -> dict[str, Content]:
    """What draws charts in a browser, once for all sites, where any of them has a chart."""
    return drawing(cache) if any(CHARTS.search(path) for tree in trees for path in tree) else {}


def drawing(cache: Cache) -> dict[str, Content]:
    """The library that draws charts in a browser, which takes a second to put together."""
    from dossier.charts.engine import engine, engine_name

    return {**cache.once("engine", b"", lambda: {f"{SHARED}/{engine_name()}": engine()})}
