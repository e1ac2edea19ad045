"""The card that is left in an instrument: one page, and a code that a telephone reads."""

from __future__ import annotations

import io
import subprocess
from dataclasses import replace
from datetime import date
from pathlib import Path

import pypdf
import pytest
import zxingcpp
from PIL import Image

from dossier.edition.card import CardView, card_view
from dossier.edition.voice import Voice
from dossier.quantities import Formatter
from dossier.render.card import CODE_MM, LEAST_MODULE_MM, card, qr_code
from dossier.theme import find_theme
from dossier.words import load
from tests.analysis.one_piano import notebook
from tests.edition.pages import page
from tests.render.sample_view import sender

WORDS, TOKEN = load("en-GB"), "k" * 40
NOTES = {"2026-03-14": "air: 19 °C, 44 %\nfound: A3 -4, A4 -6, A5 -5\nwork: tuning\n"}
CARD = CardView(
    title="The heron upright",
    visited="Last visit: 10 October 2026",
    coming="In March 2027.",
    as_of=date(2026, 10, 10),
    cautions=("Leave the inside to a technician.", "No oil, water or spray inside."),
    address=f"https://pianos.example/{TOKEN}/heron/",
    sender=sender(),
)


def told(shop: str, client: str) -> CardView:
    read = notebook(NOTES, shop=shop, client=client).history("heron")
    return card_view(page(read), read, Voice(WORDS, Formatter("en-GB")), TOKEN)


@pytest.fixture(scope="module")
def pdf() -> bytes:
    return card(CARD, WORDS, find_theme())


def test_a_card_is_one_page_of_a7_with_what_whoever_lifts_the_lid_should_know(pdf: bytes) -> None:
    read = pypdf.PdfReader(io.BytesIO(pdf))
    (sheet,) = read.pages
    size = [round(float(side) / 72 * 25.4) for side in sheet.mediabox[2:]]
    assert size == [105, 74]
    text = " ".join(sheet.extract_text().split())
    for line in (CARD.sender.name, CARD.title, "Next visit: In March 2027.", *CARD.cautions):
        assert line in text
    root = read.root_object
    assert root["/MarkInfo"]["/Marked"]  # type: ignore[index]  # a dictionary
    assert "/AF" not in root


def test_a_telephone_reads_the_code_off_the_print(pdf: bytes, tmp_path: Path) -> None:
    (tmp_path / "card.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-r", "150", "-png", "-singlefile", "card.pdf", "card"]
    subprocess.run(command, cwd=tmp_path, check=True)
    (code,) = zxingcpp.read_barcodes(Image.open(tmp_path / "card.png"))
    assert code.text == CARD.address


def test_a_square_of_the_code_is_large_enough_for_a_telephone() -> None:
    longest = f"https://{'p' * 104}.example/{TOKEN}/the-upright-of-the-rehearsal-room/"
    assert CODE_MM / qr_code(longest).side >= LEAST_MODULE_MM
    with pytest.raises(ValueError, match="too long for the code on a card"):
        qr_code("https://pianos.example/" + "x" * 300)


def test_without_an_address_a_card_has_no_code(tmp_path: Path) -> None:
    (tmp_path / "card.pdf").write_bytes(card(replace(CARD, address=""), WORDS, find_theme()))
    command = ["pdftoppm", "-r", "150", "-png", "-singlefile", "card.pdf", "card"]
    subprocess.run(command, cwd=tmp_path, check=True)
    assert list(zxingcpp.read_barcodes(Image.open(tmp_path / "card.png"))) == []


LONG = replace(
    CARD,
    title="The upright with the mended soundboard from the rehearsal room of the Quernhithe and "
    "Great Thornsay Amateur Operatic Society",
    coming="Between 24 October and 23 November 2027.",
    cautions=("Leave the inside to a technician: the strings pull with tons of force.",) * 4,
    sender=replace(
        CARD.sender,
        name="Alder, Reed & Daughters, Piano and Harpsichord Workshop of the Thornsay Isles",
        technician="Philippa Wilhelmina Featherstonehaugh-Alder",
        email="philippa.featherstonehaugh-alder@alder-and-reed-and-daughters-workshop.example",
        web="https://www.alder-and-reed-and-daughters-workshop.example",
    ),
)


def test_long_names_stay_on_the_one_side_and_are_whole() -> None:
    (sheet,) = pypdf.PdfReader(io.BytesIO(card(LONG, WORDS, find_theme()))).pages
    text = " ".join(sheet.extract_text().split())
    for line in (LONG.title, LONG.sender.name, f"Next visit: {LONG.coming}"):
        assert line in text
    assert text.count(LONG.cautions[0]) == len(LONG.cautions)


def test_the_same_card_has_the_same_bytes(pdf: bytes) -> None:
    assert card(CARD, WORDS, find_theme()) == pdf


@pytest.mark.parametrize(
    ("shop", "client", "address"),
    [
        ("", "card link: yes", ""),
        ("public address: https://pianos.example/", "", ""),
        ("public address: https://pianos.example/", "card link: no", ""),
        (
            "public address: https://pianos.example/",
            "card link: yes",
            f"https://pianos.example/{TOKEN}/",
        ),
    ],
)
def test_the_private_page_is_named_only_where_shop_and_client_want_it(
    shop: str, client: str, address: str
) -> None:
    assert told(shop, client).address == address
