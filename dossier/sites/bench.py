"""The workshop's own site: index, due list, open list, and a page an instrument."""

from __future__ import annotations

from collections.abc import Mapping

from dossier.diagnostics import Diagnostic, Severity
from dossier.edition.listed import LinkRow, Listed
from dossier.model import Notebook
from dossier.publish.state import Link
from dossier.sites.clients import Sites
from dossier.sites.ground import Ground
from dossier.store import Content
from dossier.tasks import Made


def bench_tree(
    ground: Ground,
    sites: Sites,
    made: Mapping[str, Made],
    links: tuple[Link, ...],
    findings: tuple[Diagnostic, ...],
    lasting: Mapping[str, bytes],
) -> dict[str, Content]:
    """All of the bench's pages, by path below its folder; it is never uploaded.

    `lasting` are those of its pages that stay the same from build to build.
    """
    from dossier.edition.lists import bench_index
    from dossier.render import html
    from dossier.render.assets import script, site_assets

    notebook, voice, theme, logo = ground.notebook, ground.voice, ground.theme, ground.logo
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
        **lasting,
        **site_assets(theme, view.sender, "bench"),
        **sites.bench,
        **logo.files,
        script(theme, "sift"): theme.files["screen/sift.js"],
        "index.html": html.bench_index(view, words, theme, logo.pictures),
        "due.html": html.bench_due(view, words, theme, logo.pictures),
        "open.html": html.bench_open(view, words, theme, logo.pictures),
    }


def _address(link: Link, notebook: Notebook) -> LinkRow:
    client = notebook.clients.get(link.client)
    instrument = notebook.instruments.get(link.target.partition("/")[2])
    return LinkRow(
        client=client.name if client else link.client,
        opens=link.statement or (instrument.title if instrument else ""),
        address=f"{link.token}/",
        label=link.label,
        made=link.made,
        last_day=link.last_day,
    )
