"""The numbers of pages that a document refers to."""

import io

import pytest
from pypdf import PdfReader

from dossier.render.paper import Paper, PdfError, write

BREAKS = "<p>.</p>" * 9
PAGE = (
    '<html lang="en"><p>Level: <a class="page" href="#level">00</a></p>'
    '<table><tr><th scope="row">Work<td style="text-align: right">'
    '<a class="page" href="#work">00</a></table>'
    f'<div id="level">{BREAKS}</div>{BREAKS}<div id="work">{BREAKS}</div>'
)


def paper(html: str) -> Paper:
    css = "html { font-family: sans-serif } @page { size: 100mm 100mm } p { break-after: page }"
    return Paper(html, css, "Numbers", "The shop", "en", None)


def test_a_reference_says_the_page_on_which_its_place_begins() -> None:
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(made(PAGE))).pages]
    assert pages[0].split() == ["Level:", "2"]
    assert pages[1].split()[:2] == ["Work", "20"]


def test_a_reference_to_no_place_is_refused() -> None:
    with pytest.raises(PdfError) as caught:
        made('<html lang="en"><p><a class="page" href="#gone">00</a></p>')
    assert str(caught.value) == "Numbers: no page has the anchor “gone”."


def made(html: str) -> bytes:
    return write(paper(html), lambda _: None)
