"""All that a build reads before it makes anything: notes, links, kept pages, the theme."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.diagnostics import Diagnostic
from dossier.model import Notebook
from dossier.publish.kept import Keeping, load_kept
from dossier.publish.site import standing_sum
from dossier.publish.state import State, load_state
from dossier.quantities import suggest
from dossier.read import Recollection, Sources, list_folder, read_sources
from dossier.sites.cache import Cache
from dossier.sites.clients import instruments_of
from dossier.sites.ground import Ground, ground_for
from dossier.sites.outcome import Request, UnknownClientError
from dossier.sites.recalling import RecallingHand
from dossier.untouched import Untouched


@dataclass(frozen=True, slots=True)
class Shop:
    """What a build stands on: the folder's files, the notes and how they are told, the state."""

    request: Request
    sources: Sources
    ground: Ground
    state: State
    keeping: Keeping
    untouched: Untouched

    @property
    def notebook(self) -> Notebook:
        """The notes of the whole shop."""
        return self.ground.notebook

    @property
    def standing(self) -> frozenset[str]:
        """The clients whose pages stay as they are: on hold, unreadable, or not asked for."""
        known = {*self.notebook.clients, *instruments_of(self.notebook, self.keeping)}
        asked = self.request.clients
        others = known - set(asked) if asked else set()
        return frozenset(self.notebook.held() | others | (known - self.notebook.clients.keys()))


def read_shop(
    request: Request, cache: Cache, untouched: Untouched
) -> tuple[Shop | None, tuple[Diagnostic, ...]]:
    """The shop as its folders have it, or None where nothing can be built, with what was found.

    Raises UnknownClientError where a client is asked for whom no note names.
    """
    sources, trouble = list_folder(request.content, untouched)
    if sources is None:
        return None, trouble
    notebook, findings = read_sources(sources, request.today, Recollection(cache.notes))
    state, trouble = load_state(request.state, request.out)
    if notebook is None or state is None:
        return None, (*findings, *trouble)
    keeping, lost = load_kept(request.state, lambda: standing_sum(request.out))
    _refuse_strangers(request, notebook, keeping)
    hand = RecallingHand(cache.parts)
    ground, faults = ground_for(notebook, sources, request.content, request.today, hand)
    shop = None if ground is None else Shop(request, sources, ground, state, keeping, untouched)
    return shop, (*findings, *lost, *faults)


def _refuse_strangers(request: Request, notebook: Notebook, keeping: Keeping) -> None:
    known = sorted({*notebook.clients, *instruments_of(notebook, keeping)})
    for name in request.clients:
        if name not in known:
            nearest = suggest(name, known)
            hint = f"Did you mean {nearest}?" if nearest else f"There are {', '.join(known)}."
            raise UnknownClientError(f"There is no client “{name}”. {hint}")
