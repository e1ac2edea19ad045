"""The sheet beneath every document, and how its page is read."""

import io
from collections.abc import Callable
from xml.etree import ElementTree as ET

import pypdf
import pytest
import weasyprint

from dossier import words as catalogues
from dossier.edition.pages import InstrumentView
from dossier.render import paper, plain_page
from dossier.render.pdf import document
from dossier.theme import find_theme
from tests.render import sample_view

WORDS = catalogues.load("en-GB")
STRUCTURE = """<html lang="en"><head><title>All of it</title></head><body>
<h1>One</h1><h2>Two</h2><h3>Three</h3><h4>Four</h4><h5>Five</h5><h6>Six</h6>
<p>An <em>even</em> <strong>firm</strong> <code>code</code> <del>gone</del> <s>gone</s> line,<br/>
<sub>low</sub> <sup>high</sup> <small>small</small> <a href="https://example.com">there</a>.</p>
<ul><li>one<ul><li>two<ul><li>three</li></ul></li></ul></li></ul>
<ol><li>one<ol><li>two</li></ol><ul><li>a</li></ul></li><li>two</li></ol>
<blockquote><p>said</p></blockquote><pre>as   it
stands</pre><hr/>
<dl><dt>term</dt><dd>meaning</dd></dl><figure><figcaption>below</figcaption></figure>
<address>here</address><section><div>there</div></section>
<table><caption>Table</caption><thead><tr><th>a</th><th>b</th></tr></thead>
<tbody><tr><th>c</th><td>d</td></tr></tbody><tfoot><tr><td>e</td><td>f</td></tr></tfoot></table>
<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><path d="M0 0h9v9z"/></svg>
</body></html>"""
CSS = """@page { @bottom-left { content: "foot"; text-align: left; vertical-align: middle } }
html { font-family: sans-serif } a { color: inherit }"""


def structure(html: str = STRUCTURE) -> paper.Paper:
    return paper.Paper(html, CSS, "All of it", "The shop", "en", None)


def well_formed(html: str) -> bool:
    try:
        return bool(ET.fromstring(html).tag)  # noqa: S314  # our templates wrote it
    except ET.ParseError:
        return False


def nothing(_: str) -> None:
    return None


def as_the_renderer_has_it(monkeypatch: pytest.MonkeyPatch, made: Callable[[], bytes]) -> bytes:
    with monkeypatch.context() as patched:
        patched.setattr(plain_page, "_sheet", lambda: weasyprint.html.UA_STYLESHEET)
        return made()


def test_each_element_looks_as_the_renderers_own_sheet_has_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def made() -> bytes:
        return paper.write(structure(), nothing)

    assert made() == as_the_renderer_has_it(monkeypatch, made)


def test_a_document_looks_as_over_the_renderers_own_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    view, theme = sample_view.sale_view(), find_theme()

    def made() -> bytes:
        return document(view, {}, {}, WORDS, theme, b"{}")

    assert made() == as_the_renderer_has_it(monkeypatch, made)


@pytest.mark.parametrize(
    "view", [sample_view.owner_view(), sample_view.sale_view(), sample_view.bare_view()]
)
def test_the_templates_write_what_the_quick_parser_reads(
    view: InstrumentView, monkeypatch: pytest.MonkeyPatch
) -> None:
    held: list[paper.Paper] = []

    def keep(one: paper.Paper, _: paper.Shelf) -> bytes:
        held.append(one)
        return b""

    monkeypatch.setattr("dossier.render.pdf.write", keep)
    document(view, {}, {}, WORDS, find_theme(), b"{}")
    assert well_formed(held[0].html)


def test_a_page_that_is_not_well_formed_is_read_as_html() -> None:
    open_ended = STRUCTURE.replace("<br/>", "<br>").replace("<hr/>", "<hr>")
    assert well_formed(STRUCTURE)
    assert not well_formed(open_ended)
    said = [
        pypdf.PdfReader(io.BytesIO(paper.write(structure(html), nothing))).pages[0].extract_text()
        for html in (open_ended, STRUCTURE)
    ]
    assert "meaning" in said[0]
    assert said[0] == said[1]
