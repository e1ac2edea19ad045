"""The PDF is read back by other hands than wrote it: pypdf, qpdf and pdfua."""

import gc
import io
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pypdf
import pytest
from PIL import Image
from pypdf.generic import IndirectObject

from dossier import words as catalogues
from dossier.edition.pages import InstrumentView
from dossier.edition.view import Passage, Photo, WorkLine
from dossier.render.data import history_json
from dossier.render.paper import Paper, write
from dossier.render.pdf import PdfError, document
from dossier.theme import Theme, find_theme, theme_of
from tests.render import sample_view

WORDS = catalogues.load("en-GB")
TITLE = "The parlour upright · Owner's dossier"


def chart(name: str) -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="400" height="90" viewBox="0 0 400 90">'
        f'<path d="M0 80H400" stroke="#1c2127"/><text x="4" y="20">{name} ♯ −3</text></svg>'
    )


CHARTS = {figure.id: chart(figure.id) for figure in sample_view.every_figure()}


def photograph() -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (40, 30), "#776655").save(stream, "JPEG")
    return stream.getvalue()


def made(view: InstrumentView, theme: Theme, **pictures: bytes) -> bytes:
    names = {name.replace("_", "."): data for name, data in pictures.items()}
    return document(view, CHARTS, names, WORDS, theme, history_json(view))


def prose(text: str) -> InstrumentView:
    """Little more than a passage, which is quick to set."""
    return replace(sample_view.bare_view(), about=(Passage(text),))


def read(data: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data), strict=True)


def plain(text: str) -> str:
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def texts(data: bytes) -> list[str]:
    return [plain(page.extract_text()) for page in read(data).pages]


def root(data: bytes) -> Any:
    return read(data).trailer["/Root"]


def chapters(data: bytes) -> list[tuple[str, int]]:
    """The bookmarks below the document's own, with the page that each leads to."""
    reader: Any = read(data)
    title, entries = reader.outline
    assert title.title == reader.metadata["/Title"].partition(" · ")[0]
    return [
        (entry.title, reader.get_destination_page_number(entry) + 1)
        for entry in entries
        if not isinstance(entry, list)
    ]


def structure(data: bytes) -> Iterator[dict[str, Any]]:
    """Every element of the tree that a screen reader walks."""
    waiting = [root(data)["/StructTreeRoot"]]
    while waiting:
        element = waiting.pop().get_object()
        if isinstance(element, list):
            waiting += reversed(element)
        elif isinstance(element, dict):
            if "/S" in element:
                yield element
            waiting += [element["/K"]] if "/K" in element else []


def addresses(data: bytes) -> list[str]:
    links = (note.get_object() for page in read(data).pages for note in page.get("/Annots", ()))
    return [link["/A"]["/URI"] for link in links if "/A" in link]


@pytest.fixture(scope="module")
def theme() -> Theme:
    return find_theme()


@pytest.fixture(scope="module")
def owner(theme: Theme) -> bytes:
    return made(sample_view.owner_view(), theme, front_jpg=photograph(), pins_jpg=photograph())


def test_the_cover_says_what_it_is_how_it_is_and_who_says_so(owner: bytes) -> None:
    cover = texts(owner)[0]
    for said in (
        "The parlour upright",
        "In tune and playing well; three things want watching.",
        "Safety first. One caster is loose: please don't move the piano, not even for cleaning.",
        "Owner's dossier",
        "As of 14 March 2026",
        "Ines Marlow, journeyman piano maker; 19 years on the road, Alder & Reed Piano Service",
    ):
        assert said in cover
    assert "Page 1" not in cover


def test_every_page_after_the_cover_bears_its_foot(owner: bytes) -> None:
    pages = texts(owner)
    for number, text in enumerate(pages[1:], start=2):
        assert "The parlour upright · Owner's dossier · As of 14 March 2026" in text
        assert f"Page {number} of {len(pages)}" in text


def test_the_contents_name_the_page_on_which_each_chapter_begins(owner: bytes) -> None:
    found = chapters(owner)
    assert [title for title, _ in found] == [
        "1 How it is and what to do",
        "2 Its life",
        "3 Pitch",
        "4 The air around it",
        "5 Condition and marks",
        "6 Problems and advice",
        "7 Work and its cost",
        "8 Visits",
        "9 Care and safety",
        "10 Identity",
        "11 Glossary",
        "12 Sources and limits",
    ]
    contents = texts(owner)[1]
    for title, page in found:
        assert f"{title} {page}" in contents


def test_a_grade_has_the_same_number_in_the_table_and_in_its_key(owner: bytes) -> None:
    text = next(page for page in texts(owner) if "5 Condition and marks" in page and "of 5" in page)
    for word, number in re.findall(r"(very good|good|fair|poor|failed) (\d) of 5", text):
        assert f"{number} {word}: " in text


def test_a_buyer_reads_first_what_it_is(theme: Theme) -> None:
    sale = made(sample_view.sale_view(), theme)
    assert [title for title, _ in chapters(sale)] == [
        "1 In short",
        "2 Identity",
        "3 Work",
        "4 Pitch and humidity",
        "5 Notes and pictures",
        "6 Scope and limits",
        "7 Signature",
    ]
    pages = texts(sale)
    assert "Statement for a sale" in pages[0]
    assert "Safety first. Warning of 14 March 2026, not lifted since" in pages[0]
    assert "Place and date Signature Name" in pages[-1]


def test_an_instrument_that_was_only_just_met_has_a_document(theme: Theme) -> None:
    pages = texts(made(sample_view.bare_view(), theme))
    assert len(pages) == 2
    assert "The square in the attic" in pages[0]
    assert "1 How it is Not examined yet. 2 Sources and limits" in pages[1]


def test_an_owners_copy_has_room_to_sign(owner: bytes) -> None:
    heights: dict[str, float] = {}

    def see(text: str, _: object, place: list[float], *__: object) -> None:
        heights[text.strip()] = place[5] * 0.75  # set in px

    read(owner).pages[-1].extract_text(visitor_text=see)
    lines = [heights[name] for name in ("Place and date", "Signature", "Name")]
    # 13 mm and the line itself
    assert all(abs(above - below) > 13 * 72 / 25.4 for above, below in pairwise(lines))


@pytest.mark.parametrize("lines", [36, 44])
def test_a_place_to_sign_never_has_the_last_page_for_itself(theme: Theme, lines: int) -> None:
    last = texts(made(prose("\n\n".join(["A line."] * lines)), theme))[-1]
    assert last.index("Who wrote it") < last.index("Signature")


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_the_sheet_is_the_shops(theme: Theme, paper: str, size: tuple[int, int]) -> None:
    bare = sample_view.bare_view()
    data = made(replace(bare, sender=replace(bare.sender, paper=paper)), theme)
    assert {tuple(map(round, page.mediabox[2:])) for page in read(data).pages} == {size}


def test_no_row_is_torn_and_the_head_is_repeated(theme: Theme) -> None:
    day = date(2026, 3, 14)
    work = tuple(
        WorkLine(day, "14 March 2026", "repair", f"«{n:02} {'mended a part ' * 14}{n:02}»")
        for n in range(40)
    )
    pages = texts(made(replace(sample_view.bare_view(), work=work), theme))
    bearing = [page for page in pages if "mended a part" in page]
    assert len(bearing) > 2
    for page in bearing:
        assert "When Work Page" in page
    for n in range(40):
        assert [f"{n:02}»" in page for page in bearing] == [f"«{n:02}" in page for page in bearing]


def test_both_standards_are_claimed_in_one_file(owner: bytes) -> None:
    catalogue = root(owner)
    claims = catalogue["/Metadata"].get_data().decode()
    for claim in (
        "<pdfaid:part>3</pdfaid:part>",
        "<pdfaid:conformance>U</pdfaid:conformance>",
        "<pdfuaid:part>1</pdfuaid:part>",
        "<xmp:ModifyDate>2026-03-14</xmp:ModifyDate>",
    ):
        assert claim in claims
    # Once: WeasyPrint's own claim is not left beside it.
    assert claims.count("rdf:RDF") == 2
    assert catalogue["/Lang"] == "en-GB"
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/ViewerPreferences"]["/DisplayDocTitle"]
    assert catalogue["/OutputIntents"][0]["/S"] == "/GTS_PDFA1"
    assert f'<rdf:li xml:lang="x-default">{TITLE}</rdf:li>' in claims
    metadata = read(owner).metadata
    assert metadata is not None
    assert metadata.title == TITLE


def test_the_structure_is_whole(owner: bytes, tmp_path: Path) -> None:
    path = tmp_path / "owner.pdf"
    path.write_bytes(owner)
    run = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
    assert (run.returncode, run.stderr) == (0, "")


def test_a_checker_of_pdf_ua_finds_nothing(owner: bytes, tmp_path: Path) -> None:
    """A subset only: 12 checks of the standard's 106 (pdfua's own count)."""
    from pdfua import validate

    path = tmp_path / "owner.pdf"
    path.write_bytes(owner)
    report = validate(str(path))
    assert report.findings == ()
    # One check stumbles over pikepdf itself; were more left out, this would prove nothing.
    assert len(report.skipped) <= 1


def test_every_chart_and_photograph_has_its_alternative_text(owner: bytes) -> None:
    alternatives = [element["/Alt"] for element in structure(owner) if element["/S"] == "/Figure"]
    view = sample_view.owner_view()
    assert view.photo is not None
    assert alternatives == [
        view.photo.alt,
        *(figure.alt for figure in sample_view.every_figure()[1::-1]),
        *(figure.alt for figure in sample_view.every_figure()[2:]),
        view.visits[0].photos[0].alt,
    ]


def test_every_table_head_says_what_it_heads(owner: bytes) -> None:
    scopes = [e["/A"]["/Scope"] for e in structure(owner) if e["/S"] == "/TH"]
    assert set(scopes) == {"/Column", "/Row"}


def test_running_feet_are_no_part_of_what_is_read_aloud(owner: bytes) -> None:
    reader = read(owner)
    parents = root(owner)["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    for number, page in enumerate(reader.pages):
        contents = page.get_contents()
        assert contents is not None
        drawn = contents.get_data()
        feet = re.findall(rb"/Artifact\s+<</Type /Pagination>>\s+BDC", drawn)
        assert bool(feet) == (number > 0)
        # What is left is all in the tree.
        held = [one for one in parents[2 * number + 1] if isinstance(one, IndirectObject)]
        assert len(held) == len(re.findall(rb"/MCID \d+", drawn))


def test_the_history_is_attached_once_and_named_as_data(owner: bytes) -> None:
    history = history_json(sample_view.owner_view())
    assert read(owner).attachments == {"history.json": [history]}
    (attached,) = root(owner)["/AF"]
    assert attached["/AFRelationship"] == "/Data"


def test_links_lead_to_the_shop_and_nowhere_else(owner: bytes) -> None:
    assert addresses(owner) == [
        "tel:+15550142",
        "mailto:ines@alder-and-reed.example",
        "https://alder-and-reed.example",
        "https://alder-and-reed.example/humidity",
    ]


@pytest.mark.parametrize(
    "target", ["javascript:alert(1)", "file:///etc/passwd", "visits/2026-03-14.md", "//host/x"]
)
def test_a_note_brings_no_other_link(theme: Theme, target: str) -> None:
    data = made(prose(f"See [this]({target})."), theme)
    assert "See this." in " ".join(texts(data))
    assert not [address for address in addresses(data) if target in address]


def bare_paper(html: str) -> Paper:
    return Paper(html, "", "Room 3", "Alder & Reed", "en", None, b"{}", "history.json", "data")


@pytest.mark.parametrize(
    "target", ["javascript:alert(1)", "file:///etc/passwd", "http://a.example"]
)
def test_a_template_brings_no_other_link_either(target: str) -> None:
    page = bare_paper(f'<html lang="en"><p><a href="{target}">here</a>')
    with pytest.raises(PdfError) as caught:
        write(page, lambda _: None)
    assert str(caught.value) == f"A link leads to “{target}”; a PDF may link to https, mail or tel."


@pytest.mark.parametrize(
    "source", ["file:///etc/passwd", "https://a.example/x.png", "dossier:picture/7", "data:,x"]
)
def test_nothing_is_fetched_but_from_memory(source: str) -> None:
    page = bare_paper(f'<html lang="en"><img src="{source}" alt="x">')
    with pytest.raises(PdfError) as caught:
        write(page, lambda _: None)
    assert str(caught.value) == (
        f"Room 3: Error fetching \"{source}\", which isn't among the build's files."
    )


def test_a_warning_of_the_renderer_fails_the_build(theme: Theme) -> None:
    broken = theme_of({**theme.files, "print/document.css": b"p { colour: red; }"})
    with pytest.raises(PdfError) as caught:
        made(sample_view.bare_view(), broken)
    assert str(caught.value) == (
        "The square in the attic · Owner's dossier: Ignored `colour: red` at 1:5, unknown property."
    )


def test_a_chart_that_is_none_is_refused(theme: Theme) -> None:
    view = sample_view.owner_view()
    with pytest.raises(PdfError, match=r"^The chart pitch-years is no SVG\.$"):
        document(view, {"pitch-years": "<p>oh</p>"}, {}, WORDS, theme, b"{}")


def test_a_title_can_end_neither_the_page_nor_its_style(theme: Theme) -> None:
    title = '"} </style><script>x</script> \\ “upright”'
    pages = texts(made(replace(sample_view.bare_view(), title=title), theme))
    # A line may break within it.
    assert title.replace(" ", "") in pages[0].replace(" ", "")
    assert f"{title} · Owner's dossier" in pages[1]


def test_a_picture_that_is_not_given_leaves_no_gap(theme: Theme) -> None:
    photo = Photo("gone.jpg", "The piano in the attic", "A piano under a sheet")
    data = made(replace(sample_view.bare_view(), photo=photo), theme)
    assert "The piano in the attic" not in texts(data)[0]


def test_a_note_places_its_picture_by_name(theme: Theme) -> None:
    data = made(prose("The crack:\n\n![](crack.jpg)"), theme, crack_jpg=photograph())
    (figure,) = (element for element in structure(data) if element["/S"] == "/Figure")
    assert figure["/Alt"] == "A photograph without a description"
    assert not [address for address in addresses(data) if address.startswith("dossier:")]


@pytest.mark.parametrize("epoch", [None, "86400"])
def test_the_process_is_left_as_it_was(
    theme: Theme, monkeypatch: pytest.MonkeyPatch, epoch: str | None
) -> None:
    if epoch is None:
        monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    else:
        monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    made(sample_view.bare_view(), theme)
    assert os.environ.get("SOURCE_DATE_EPOCH") == epoch
    assert gc.isenabled()
    with pytest.raises(PdfError):
        write(bare_paper('<html lang="en"><img src="file:///x" alt="x">'), lambda _: None)
    assert os.environ.get("SOURCE_DATE_EPOCH") == epoch
    assert gc.isenabled()


PROGRAM = """
import hashlib
from tests.render.test_pdf import CHARTS, WORDS, document, find_theme, history_json, sample_view
view = sample_view.owner_view()
data = document(view, CHARTS, {}, WORDS, find_theme(), history_json(view))
print(hashlib.sha256(data).hexdigest())
"""


@pytest.mark.slow
def test_the_same_view_gives_the_same_bytes_in_any_process(repo: Path) -> None:
    run = partial(subprocess.run, capture_output=True, text=True, check=True, cwd=repo)
    surroundings = (
        {"TZ": "Pacific/Auckland", "LANG": "C", "PYTHONHASHSEED": "1"},
        {"TZ": "America/Adak", "LANG": "de_DE.UTF-8", "PYTHONHASHSEED": "77"},
    )
    sums = {
        run([sys.executable, "-c", PROGRAM], env={"PATH": os.environ["PATH"], **given}).stdout
        for given in surroundings
    }
    assert len(sums) == 1
