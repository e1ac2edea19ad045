"""The workshop's own site: index, due list, open list, and a page an instrument."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from dossier.diagnostics import Diagnostic, Severity
from dossier.edition import LinkRow, Listed, Voice, bench_index
from dossier.model import Notebook
from dossier.publish.state import Link
from dossier.sites.clients import Sites
from dossier.store import Content
from dossier.tasks import Made
from dossier.theme import Theme


@dataclass(frozen=True, slots=True)
class Ground:
    """What every page of one build stands on: the notes, how they are told, the theme, the day."""

    notebook: Notebook
    voice: Voice
    theme: Theme
    today: date


def bench_tree(
    ground: Ground,
    sites: Sites,
    made: Mapping[str, Made],
    links: tuple[Link, ...],
    findings: tuple[Diagnostic, ...],
) -> dict[str, Content]:
    """All of the bench's pages, by path below its folder; it is never uploaded."""
    from dossier.render import html
    from dossier.render.assets import site_assets

    notebook, voice, theme = ground.notebook, ground.voice, ground.theme
    listed = Listed(
        rows=sites.bench_rows,
        due=tuple(row for one in made.values() for row in one.due),
        open=tuple(row for one in made.values() for row in one.open),
    )
    addresses = tuple(_address(link, notebook) for link in links)
    told = tuple(str(one) for one in findings if one.severity is not Severity.INFO)
    view = bench_index(notebook.shop, voice, ground.today, listed, addresses, told)
    words = voice.words
    return {
        **sites.bench,
        **site_assets(theme, view.sender),
        "index.html": html.bench_index(view, words, theme),
        "due.html": html.bench_due(view, words, theme),
        "open.html": html.bench_open(view, words, theme),
    }


def _address(link: Link, notebook: Notebook) -> LinkRow:
    client = notebook.clients.get(link.client)
    instrument = notebook.instruments.get(link.target.partition("/")[2])
    return LinkRow(
        client=client.name if client else link.client,
        opens=instrument.title if instrument else "",
        address=f"{link.token}/",
        label=link.label,
        made=link.made,
        last_day=link.last_day,
    )
