"""What a note says can't run in a document, nor make it fetch or lead to what it shouldn't."""

from __future__ import annotations

import io
from collections.abc import Iterator

import pypdf
import pytest
from pypdf.generic import DictionaryObject, IndirectObject, NameObject, TextStringObject

from dossier.render.paper import LINKS, Paper, PdfError, write
from tests.hostile.payloads import PAYLOADS
from tests.hostile.poisoned import site

pytestmark = pytest.mark.slow

PARTS, EVERY = 3, 9  # a third of all texts: a document of many takes a while
# Actions and triggers that do something (ISO 32000-1, 12.6), other than to follow a link
ACTING = {
    "/JS", "/JavaScript", "/OpenAction", "/AA", "/Launch", "/GoToR", "/GoToE", "/SubmitForm",
    "/ImportData", "/Rendition", "/RichMedia", "/Movie", "/Sound", "/XFA", "/AcroForm",
}  # fmt: skip


def objects(pdf: pypdf.PdfReader) -> Iterator[DictionaryObject]:
    for number in range(1, len(pdf.xref.get(0, {})) + len(pdf.xref_objStm) + 1):
        found = pdf.get_object(IndirectObject(number, 0, pdf))
        if isinstance(found, DictionaryObject):
            yield from nested(found)


def nested(found: DictionaryObject) -> Iterator[DictionaryObject]:
    yield found
    for value in found.values():
        if isinstance(value, DictionaryObject):
            yield from nested(value)


def acting(data: bytes) -> tuple[set[str], set[str]]:
    """What a document does by itself, and the addresses that it links to."""
    deeds: set[str] = set()
    targets: set[str] = set()
    for one in objects(pypdf.PdfReader(io.BytesIO(data))):
        deeds |= ACTING & set(one.keys())
        deeds |= ACTING & {value for value in one.values() if isinstance(value, NameObject)}
        if "/URI" in one:
            targets.add(str(one["/URI"]))
        if one.get("/Subtype") == "/Link" and "/A" not in one:
            assert "/Dest" in one
    return deeds, targets


LONG = (pytest.mark.audit, pytest.mark.long)


@pytest.mark.parametrize("part", [0, *(pytest.param(n, marks=LONG) for n in range(1, PARTS))])
def test_a_document_does_nothing_and_leads_nowhere_else(part: int) -> None:
    made = site("\n\n".join(PAYLOADS[part::EVERY]), pdf=True)
    documents = [
        data for _, files in made.trees() for path, data in files.items() if path.endswith(".pdf")
    ]
    assert len(documents) == 4
    for data in documents:
        deeds, targets = acting(data)
        assert deeds == set()
        assert [one for one in targets if not one.startswith(LINKS)] == []
        assert b"1787569" not in data


def test_a_sign_that_no_font_has_is_left_out_of_the_document_alone() -> None:
    sign = "\U000f1234"  # of a private area, so that no font of any machine has it
    made = site(f"It rings{sign} well", pdf=True)
    pdf = pypdf.PdfReader(io.BytesIO(made.owner["heron/dossier.pdf"]))
    text = " ".join("".join(page.extract_text() for page in pdf.pages).split())
    assert "It rings[?] well" in text
    assert sign not in text
    assert sign in made.owner["heron/index.html"].decode()
    assert sign in made.owner["heron/history.json"].decode()


def paper(body: str) -> Paper:
    page = f"<!doctype html><html lang=en><title>x</title><body>{body}</body></html>"
    return Paper(page, "", "A title", "A shop", "en", None, b"{}", "a.json", "Data")


@pytest.mark.parametrize(
    "address",
    [
        "https://evil.invalid/x.png",
        "http://evil.invalid/x.png",
        "//evil.invalid/x.png",
        "file:///etc/hostname",
        "ftp://evil.invalid/x.png",
        "dossier:../../etc/hostname",
        "dossier:theme/../../shop.md",
    ],
)
def test_the_renderer_fetches_nothing_that_it_was_not_given(address: str) -> None:
    with pytest.raises(PdfError):
        write(paper(f'<img src="{address}" alt="x">'), lambda _: None)


@pytest.mark.parametrize("address", ["javascript:x()", "file:///etc/passwd", "x.html", "data:,x"])
def test_a_document_with_such_a_link_is_not_made(address: str) -> None:
    with pytest.raises(PdfError):
        write(paper(f'<p><a href="{address}">x</a></p>'), lambda _: None)


def test_what_acts_would_be_seen() -> None:
    writer = pypdf.PdfWriter()
    writer.add_blank_page(100, 100)
    script = {NameObject("/S"): NameObject("/JavaScript"), NameObject("/JS"): TextStringObject("x")}
    writer.root_object[NameObject("/OpenAction")] = DictionaryObject(script)
    stream = io.BytesIO()
    writer.write(stream)
    assert acting(stream.getvalue())[0] >= {"/JS", "/JavaScript", "/OpenAction"}
