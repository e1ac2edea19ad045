"""The pieces of the renderer that quicker ones of ours stand for: nothing else may come out."""

import io
import re
import subprocess
from pathlib import Path

import pypdf
import pytest

from dossier import charts
from dossier import words as catalogues
from dossier.edition.pages import InstrumentView
from dossier.render import paper
from dossier.render.kept_lines import kept_lines
from dossier.render.known_sizes import known_sizes
from dossier.render.known_styles import known_styles
from dossier.render.packing import packing
from dossier.render.pdf import document
from dossier.render.swaps import swapped
from dossier.theme import find_theme
from tests.render import sample_view

WORDS = catalogues.load("en-GB")
KNOWN = {"transform", "x", "y", "fill", "text-anchor", "font-size", "font-weight", "font-family"}
CHART = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 60" width="200" height="60"
 font-family="Dossier Figures, sans-serif" font-size="10">
<text x="100" y="10">begins</text><text x="100" y="30" text-anchor="middle">stands</text>
<g text-anchor="end" transform="translate(40,0)">
<text transform="translate(60,50)">closes</text></g>
</svg>"""


@pytest.mark.parametrize("view", [sample_view.owner_view(), sample_view.sale_view()])
def test_what_is_known_changes_no_byte(
    view: InstrumentView, monkeypatch: pytest.MonkeyPatch
) -> None:
    theme = find_theme()

    def made() -> bytes:
        return document(view, {}, {}, WORDS, theme, b"{}")

    quick = made()
    known = (known_sizes, known_styles)
    others = tuple(part for part in paper.QUICKER if part not in known)
    monkeypatch.setattr(paper, "QUICKER", others)
    assert quick == made()


def test_kept_lines_change_no_byte(monkeypatch: pytest.MonkeyPatch) -> None:
    said = "Lines of plain words that turn. " * 60
    html = f'<html lang="en"><body><p>{said}</p></body></html>'
    page = paper.Paper(html, "html { font-family: serif }", "Lines", "The shop", "en", None)
    quick = paper.write(page, lambda _: None)
    without = tuple(part for part in paper.QUICKER if part is not kept_lines)
    monkeypatch.setattr(paper, "QUICKER", without)
    assert quick == paper.write(page, lambda _: None)


def test_a_packed_file_holds_what_an_unpacked_one_does(monkeypatch: pytest.MonkeyPatch) -> None:
    view, theme = sample_view.sale_view(), find_theme()
    sizes, texts = [], []
    for parts in (paper.QUICKER, tuple(part for part in paper.QUICKER if part is not packing)):
        monkeypatch.setattr(paper, "QUICKER", parts)
        made = document(view, {}, {}, WORDS, theme, b"{}")
        pages = pypdf.PdfReader(io.BytesIO(made), strict=True).pages
        texts.append([page.extract_text() for page in pages])
        sizes.append(len(made))
    assert texts[0] == texts[1]
    assert sizes[0] < 1.05 * sizes[1]


def test_a_text_of_a_chart_begins_stands_or_ends_at_its_place(tmp_path: Path) -> None:
    css = "@page { size: 200px 60px; margin: 0 } html, body { margin: 0; line-height: 0 }"
    html = '<html lang="en"><body><img src="dossier:chart" alt="three texts"/></body></html>'
    page = paper.Paper(html, css, "Texts", "The shop", "en", None)
    file = tmp_path / "texts.pdf"
    file.write_bytes(paper.write(page, {"chart": (CHART.encode(), "image/svg+xml")}.get))
    told = subprocess.run(
        ["pdftotext", "-bbox", file, "-"], capture_output=True, text=True, check=True
    ).stdout
    found = {
        word: (float(left) / 0.75, float(right) / 0.75)
        for left, right, word in re.findall(
            r'xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)" yMax="[\d.]+">(\w+)<', told
        )
    }
    assert found["begins"][0] == pytest.approx(100, abs=0.5)
    assert sum(found["stands"]) / 2 == pytest.approx(100, abs=0.5)
    assert found["closes"][1] == pytest.approx(100, abs=0.5)


def test_no_text_of_a_printed_chart_asks_for_more_than_is_drawn() -> None:
    drawn = charts.draw(sample_view.every_figure(), charts.LIGHT, "print")
    for svg in drawn.values():
        assert "<tspan" not in svg
        for attributes in re.findall(r"<text\b([^>]*)>", svg):
            assert set(re.findall(r'([\w-]+)="', attributes)) <= KNOWN


def test_a_swap_ends_where_it_was_made_even_by_a_failure() -> None:
    names = {"one": 1, "two": 2}

    def fail() -> None:
        assert names == {"one": 10, "two": 20}
        raise KeyError

    with pytest.raises(KeyError), swapped([(names, "one", 10), (names, "two", 20)]):
        fail()
    assert names == {"one": 1, "two": 2}
