"""What the demo shop shows was made by these scripts, and they make it again."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image, ImageChops

from tests.makers import scale
from tests.makers.drawings import CONTENT, PICTURES
from tests.makers.logs import LOGS, path_of


@pytest.mark.parametrize("number", range(len(LOGS)))
def test_a_log_is_made_again_byte_for_byte(number: int) -> None:
    logger, text = LOGS[number]
    assert path_of(logger).read_text(encoding="utf-8") == text()


def test_the_scale_is_made_again() -> None:
    assert scale.FILE.read_text(encoding="utf-8") == scale.table()


def test_every_picture_of_the_demo_has_its_drawing() -> None:
    shown = {
        file.relative_to(CONTENT).as_posix()
        for file in CONTENT.rglob("*")
        if file.suffix in (".jpg", ".png")
    }
    assert shown == {name for name, _ in PICTURES}


def test_a_picture_is_drawn_again_alike() -> None:
    """Compared by pixels and loosely: another version of Pillow may round its letters otherwise."""
    name, draw = next(one for one in PICTURES if one[0].endswith("splice.jpg"))
    fresh = draw().finished()
    stored = Image.open(BytesIO((CONTENT / name).read_bytes()))
    assert stored.size == fresh.size
    grey = ImageChops.difference(stored.convert("L"), fresh.convert("L"))
    off = sum(count for level, count in enumerate(grey.histogram()) if level > 60)
    assert off < 0.001 * fresh.size[0] * fresh.size[1]
