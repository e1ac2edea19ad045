"""What a preview adds to a page: the way to its twin, what is wrong in the notes, and the reload.

It is put into the bytes as they are served; nothing of it is ever in a page that is built.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from dossier.diagnostics import Severity, with_caret
from dossier.preview.site import BENCH, PUBLIC, Pages, Told
from dossier.publish.headers import POLICY
from dossier.sites.clients import INDEX

OWN = "~preview/"
"""Where the preview's own script and style lie; no slug and no folder of a page begins so."""

PREVIEW_POLICY = f"{POLICY}; connect-src 'self'"
_META = '<meta http-equiv="Content-Security-Policy"'


def with_overlay(page: bytes, path: str, pages: Pages, stand: str) -> bytes:
    """A page as the preview shows it, with the policy of its own that the headers then say."""
    head, tag, rest = page.decode("utf-8").partition(_META)
    text = head + rest.partition(">")[2] if tag else head
    links = (
        f'<link rel="stylesheet" href="/{OWN}preview.css">'
        f'<script src="/{OWN}reload.js" data-stand="{escape(stand)}" defer></script>'
    )
    text = text.replace("</head>", f"{links}\n</head>", 1)
    return text.replace("</body>", f"{bar(path, pages)}\n</body>", 1).encode("utf-8")


def bare_page(path: str, pages: Pages, stand: str, said: str) -> bytes:
    """A page of one sentence, where there is no other to show: before the first could be made."""
    page = (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<title>Preview</title>\n</head>\n"
        f"<body>\n<main>\n<h1>Preview</h1>\n<p>{escape(said)}</p>\n</main>\n</body>\n</html>\n"
    )
    return with_overlay(page.encode(), path, pages, stand)


def bar(path: str, pages: Pages) -> str:
    """The strip at the foot of every page: where else to look, and what was found."""
    wrong = [one for one in pages.told if one.finding.severity is Severity.ERROR]
    unlikely = [one for one in pages.told if one.finding.severity is Severity.WARNING]
    parts = [
        f'<aside id="preview" aria-label="Preview"{" class=wrong" if wrong else ""}>',
        f"<p><span>Preview, not published</span> {' '.join(_ways(path, pages))}</p>",
        *_owners(pages),
        *_listed(wrong),
        *_folded(unlikely),
        "</aside>",
    ]
    return "\n".join(parts)


def _ways(path: str, pages: Pages) -> Iterator[str]:
    yield f'<a href="/{BENCH}{INDEX}">Bench</a>'
    twin = pages.twins.get(path)
    if twin is not None:
        said = "As its owner sees it" if path.startswith(BENCH) else "On the bench"
        yield f'<a href="/{escape(twin)}">{said}</a>'


def _owners(pages: Pages) -> Iterator[str]:
    if pages.clients:
        named = sorted(pages.clients.items(), key=lambda one: one[1].casefold())
        links = (
            f'<li><a href="/{PUBLIC}{escape(slug)}/{INDEX}">{escape(name)}</a></li>'
            for slug, name in named
        )
        yield f"<details><summary>Owners’ pages</summary><ul>{''.join(links)}</ul></details>"


def _listed(told: list[Told]) -> Iterator[str]:
    if told:
        yield f'<ul class="findings" role="alert">{"".join(map(_finding, told))}</ul>'


def _folded(told: list[Told]) -> Iterator[str]:
    if told:
        count = "1 warning" if len(told) == 1 else f"{len(told)} warnings"
        items = "".join(map(_finding, told))
        yield f'<details><summary>{count}</summary><ul class="findings">{items}</ul></details>'


def _finding(told: Told) -> str:
    found = told.finding
    _, *shown = with_caret(found, told.line).split("\n")
    label = found.severity.label
    cut = f"<pre>{escape(chr(10).join(line[4:] for line in shown))}</pre>" if shown else ""
    return (
        f'<li class="{label}"><code>{escape(str(found.span))}</code> <strong>{label}</strong>: '
        f"{escape(found.sentence)}{cut}</li>"
    )
