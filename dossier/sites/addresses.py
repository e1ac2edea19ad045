"""The private addresses of a build: those that open today, and those that are new."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace

from dossier.diagnostics import Diagnostic
from dossier.publish.kept import Kept
from dossier.publish.state import TOKEN_BYTES, Link, State, ensure_links, open_links
from dossier.sites.clients import Sites, with_sites
from dossier.sites.shop import Shop
from dossier.sites.statements import Opened, opened_statements
from dossier.store import Content


@dataclass(frozen=True, slots=True)
class Addresses:
    """The links that stand, those that are new, those that open, and the statements opened.

    `shown` is what an open address leads to, known once the sites are put together.
    """

    known: tuple[Link, ...]
    minted: tuple[Link, ...]
    opened: tuple[Link, ...]
    issued: Opened
    shown: frozenset[str] = frozenset()

    @property
    def state(self) -> State:
        """What is written back: every link, the new ones last."""
        return State(links=(*self.known, *self.minted))

    @property
    def of_clients(self) -> dict[str, str]:
        """Each client's oldest open address, for the bench to lead to."""
        return {link.client: link.token for link in reversed(self.opened) if link.kind == "client"}

    @property
    def opens(self) -> dict[str, str]:
        """What each known address opens; "" where it opens nothing."""
        return {link.token: "" for link in self.known} | {
            link.token: link.target for link in self.opened
        }

    def trees(self, sites: Sites) -> dict[str, Mapping[str, Content]]:
        """The files that each address can open, by what it opens."""
        return {**sites.sites, **sites.singles, **self.issued.sites}

    def settled(self, sites: Sites) -> Addresses:
        """Those that really lead somewhere.

        A client of whom nothing could be made has no site, and gets no address to it.
        """
        there = self.trees(sites)
        opened = (*(one for one in self.opened if one.target in there), *self.issued.links)
        return replace(
            self,
            minted=tuple(link for link in self.minted if link.target in sites.sites),
            opened=opened,
            shown=frozenset(link.target for link in opened),
        )

    def reach(self, target: str) -> bool:
        """Whether an open link leads to "client/instrument": the client's, or its own."""
        return target in self.shown or target.partition("/")[0] in self.shown

    def keep(self, page: Kept) -> bool:
        """Whether a page is kept: what no open link leads to is forgotten."""
        kind, _, name = page.name.partition(":")
        return (
            page.client in self.shown if kind == "client" else self.reach(f"{page.client}/{name}")
        )


def addresses(shop: Shop) -> tuple[Addresses, tuple[Diagnostic, ...]]:
    """The addresses of today, a new one for each client who has none, and what is closed and why.

    Raises PublishError where the disk is in the way.
    """
    request, notebook, known = shop.request, shop.notebook, shop.state.links
    with_pages = with_sites(notebook, shop.keeping, shop.standing)
    # Who left has no site; one whose file can't be read now keeps what stands.
    clients = tuple(
        client
        for client in with_pages
        if client not in notebook.clients or notebook.clients[client].status != "left"
    )
    _, minted = ensure_links(
        shop.state, clients, request.today, lambda: secrets.token_hex(TOKEN_BYTES)
    )
    opened = open_links(State(links=(*known, *minted)), clients, request.today)
    issued, closed = opened_statements(
        shop.state, notebook, shop.keeping, request.out, request.today
    )
    return Addresses(known, minted, opened, issued), closed
