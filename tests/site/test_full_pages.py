"""The documents of the demo on paper: no page is left half empty but a document's last."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from PIL import Image, ImageChops

pytestmark = pytest.mark.slow

DPI = 36
TOP, FOOT = 23.0, 25.0
"""The margins of a page of A4 in mm, with the running foot in the lower one."""
LEAST = 60
"""How much of a page's height is to be used, in per cent."""


def used(page: Image.Image) -> int:
    """How far down a page is printed, in per cent of its height between the margins."""
    mm = DPI / 25.4
    top, bottom = round(TOP * mm), page.height - round(FOOT * mm)
    text = page.convert("L").crop((0, top, page.width, bottom))
    box = ImageChops.invert(text).point(lambda level: 255 if level > 40 else 0).getbbox()
    return round(100 * box[3] / (bottom - top)) if box else 0


@pytest.mark.parametrize("instrument", ["heron", "swan", "gannet", "plover"])
def test_no_page_is_half_empty(demo_site: Path, tmp_path: Path, instrument: str) -> None:
    (document,) = demo_site.glob(f"public/*/{instrument}/dossier.pdf")
    subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-gray", str(document), str(tmp_path / "page")],
        check=True,
        timeout=120,
    )
    pages = [used(Image.open(path)) for path in sorted(tmp_path.glob("page*"))]
    assert len(pages) > 8
    assert [(number, part) for number, part in enumerate(pages, 1) if part < LEAST] in (
        [],
        [(len(pages), pages[-1])],
    )
