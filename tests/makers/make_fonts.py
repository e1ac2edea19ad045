"""Makes the theme's fonts again: two openly licensed families, subset, renamed, with accidentals.

    apt-get install fonts-sil-gentiumplus fonts-crosextra-carlito fonts-linuxlibertine
    .venv/bin/python tests/makers/make_fonts.py

The text face comes from Gentium Book Plus, the one for figures and labels from Carlito.  Both
lack ♮, one lacks ♯ ♭ and ′ too: these are taken for both from Linux Libertine, so that a note's
name looks the same in a sentence and in a table, and so is a minus sign longer than a hyphen.
All three stand under the SIL Open Font License; a changed font may not keep a reserved name, hence
"Dossier Text" and "Dossier Figures".
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

SYSTEM = Path("/usr/share/fonts")
DOCS = Path("/usr/share/doc")
TARGET = Path(__file__).resolve().parents[2] / "themes" / "default" / "fonts"
ACCIDENTALS = SYSTEM / "opentype/linux-libertine/LinLibertine_R.otf"
BORROWED = {"Dossier Text": "♯♭♮′−", "Dossier Figures": "♯♭♮′"}
LARGER = dict.fromkeys("♯♭♮", 1.3)
SAME_SHAPE = ((0xA0, 0x20), (0xAD, 0x2D), (0x2010, 0x2D), (0x2011, 0x2D))
KEEP = ("kern", "mark", "mkmk", "ccmp", "locl", "liga", "lnum", "tnum", "frac", "case")


@dataclass(frozen=True)
class Style:
    """One font file to make: where it comes from, and what it is called."""

    source: str
    family: str
    style: str
    weight: int
    file: str


GENTIUM = "truetype/gentiumplus/GentiumBookPlus"
CARLITO = "truetype/crosextra/Carlito"
STYLES = (
    Style(f"{GENTIUM}-Regular.ttf", "Dossier Text", "Regular", 400, "dossier-text-regular"),
    Style(f"{GENTIUM}-Italic.ttf", "Dossier Text", "Italic", 400, "dossier-text-italic"),
    Style(f"{GENTIUM}-Bold.ttf", "Dossier Text", "Bold", 700, "dossier-text-bold"),
    Style(f"{CARLITO}-Regular.ttf", "Dossier Figures", "Regular", 400, "dossier-figures-regular"),
    Style(f"{CARLITO}-Bold.ttf", "Dossier Figures", "Bold", 700, "dossier-figures-bold"),
)
LICENCES = (
    ("fonts-sil-gentiumplus", "OFL-dossier-text.txt"),
    ("fonts-crosextra-carlito", "OFL-dossier-figures.txt"),
    ("fonts-linuxlibertine", "licence-accidentals.txt"),
)


def wanted() -> Iterator[int]:
    """The characters of a dossier: European Latin, the trade's signs, figures and fractions."""
    yield from range(0x20, 0x7F)
    yield from range(0xA0, 0x180)
    yield from (0x218, 0x219, 0x21A, 0x21B, 0x2BC, 0x2C6, 0x2C7, 0x2D8, 0x2DA, 0x2DC, 0x1E9E)
    yield from map(ord, "‐‑–—‘’‚“”„†•…‰′″‹›⁄№™Ω€£")
    yield from map(ord, "⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉")
    yield from map(ord, "¼½¾⅓⅔⅛⅜⅝⅞←↑→↓−∞≈≠≤≥√∆µμ×÷±♭♮♯")
    yield from (0x2002, 0x2009, 0x200A, 0x202F, 0x2007, 0x2060)


def borrow(font: TTFont, signs: str, bold: bool) -> None:
    """The accidentals, scaled to this font's capitals; bold is the shape drawn thrice, shifted."""
    donor = TTFont(ACCIDENTALS)
    names, shapes = donor.getBestCmap(), donor.getGlyphSet()
    capitals = font["OS/2"].sCapHeight
    base = capitals / donor["OS/2"].sCapHeight
    thick = round(capitals * 0.022) if bold else 0
    for sign in signs:
        scale = base * LARGER.get(sign, 1.0)
        pen = TTGlyphPen(None)
        for shift in sorted({-thick, 0, thick}):
            shape = shapes[names[ord(sign)]]
            move = (scale, 0, 0, scale, shift + thick, 0)
            shape.draw(TransformPen(Cu2QuPen(pen, 1.0, reverse_direction=True), move))
        name = f"borrowed{ord(sign):04X}"
        glyph = pen.glyph()
        font["glyf"][name] = glyph
        glyph.recalcBounds(font["glyf"])
        advance = round(shapes[names[ord(sign)]].width * scale) + 2 * thick
        font["hmtx"][name] = (advance, glyph.xMin)
        for table in font["cmap"].tables:
            if table.isUnicode():
                table.cmap[ord(sign)] = name
    font.setGlyphOrder(font["glyf"].glyphOrder)


def fill(font: TTFont) -> None:
    """Spaces and hyphens that forbid a break, where the source has only those that allow it."""
    for table in font["cmap"].tables:
        if table.isUnicode():
            for sign, shape in SAME_SHAPE:
                table.cmap.setdefault(sign, table.cmap[shape])


def rename(font: TTFont, style: Style) -> None:
    """The new name throughout; who made the original, and the licence, stay."""
    kept = {record.nameID: record.toUnicode() for record in font["name"].names}
    full = f"{style.family} {style.style}"
    origin = "Subset for piano dossiers, with accidentals added."
    font["name"].names = []
    entries = {
        0: f"{kept[0].splitlines()[0]} {origin}",
        1: style.family,
        2: style.style,
        3: full,
        4: full,
        5: kept[5],
        6: full.replace(" ", "-"),
        13: "SIL Open Font License, Version 1.1",
        14: "https://openfontlicense.org",
    }
    for number, text in entries.items():
        font["name"].setName(text, number, 3, 1, 0x409)
    font["OS/2"].usWeightClass = style.weight


def make(style: Style) -> TTFont:
    """One style: subset, given the accidentals, renamed."""
    font = TTFont(SYSTEM / style.source, recalcTimestamp=False)
    options = Options(
        hinting=False, layout_features=list(KEEP), name_IDs=["*"], notdef_outline=True
    )
    options.drop_tables += ["Silf", "Silt", "Glat", "Gloc", "Feat", "Sill", "DSIG", "meta"]
    options.recalc_timestamp = False
    borrowed = BORROWED[style.family]
    own = [n for n in wanted() if chr(n) not in borrowed]
    missing = [n for n in own if n not in font.getBestCmap()]
    print(f"{style.file}: not in the source: {' '.join(f'U+{n:04X}' for n in missing) or 'none'}")
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=own)
    subsetter.subset(font)
    borrow(font, borrowed, style.weight > 400)
    fill(font)
    rename(font, style)
    return font


OFTEN = frozenset(map(ord, "ÄÖÜßäöüàçèéê×÷"))
"""Of the letters with marks, those that a page in English or German has."""
SHOWN = ("kern", "mark", "liga", "locl")
"""Of the features kept for paper, those that no style sheet has to ask for."""


def first(sign: int) -> bool:
    """Whether a sign is among those of most pages, which a browser is sent at once."""
    late = 0xC0 <= sign < 0x2000 or 0x2070 <= sign < 0x20A0
    return not late or sign in OFTEN


def packed(plain: bytes, signs: list[int]) -> bytes:
    """A part of a face as woff2."""
    font = TTFont(BytesIO(plain), recalcTimestamp=False)
    options = Options(layout_features=list(SHOWN), name_IDs=["*"], notdef_outline=True)
    options.recalc_timestamp = False
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=signs)
    subsetter.subset(font)
    font.flavor = "woff2"
    small = BytesIO()
    font.save(small)
    return small.getvalue()


def save(font: TTFont, file: str) -> None:
    """As TrueType for paper and for measuring text, as woff2 in two parts for the screen."""
    plain = BytesIO()
    font.save(plain)
    (TARGET / f"{file}.ttf").write_bytes(plain.getvalue())
    pack(plain.getvalue(), file)


def pack(plain: bytes, file: str) -> None:
    """The signs of most pages in one file and the others in another, fetched where they stand."""
    held = sorted(TTFont(BytesIO(plain)).getBestCmap())
    for name, signs in (
        (file, [sign for sign in held if first(sign)]),
        (f"{file}-more", [sign for sign in held if not first(sign)]),
    ):
        small = packed(plain, signs)
        (TARGET / f"{name}.woff2").write_bytes(small)
        print(f"{name}: {len(signs)} signs, {len(small)} bytes")


def main() -> int:
    TARGET.mkdir(parents=True, exist_ok=True)
    for style in STYLES:
        save(make(style), style.file)
    for package, file in LICENCES:
        text = (DOCS / package / "copyright").read_text("utf-8")
        (TARGET / file).write_text(text.rstrip() + "\n", "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
