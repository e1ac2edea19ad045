"""Files that aren't what they say, lie where they shouldn't, or swell when they are opened."""

from __future__ import annotations

import csv
import io
import os
import re
import struct
import zipfile
import zlib
from pathlib import Path

import pytest
from PIL import Image, PngImagePlugin

from dossier.pictures import MOST_BYTES, PictureError, picture
from tests.build.small_shop import VISIT, Shop, errors, small_shop
from tests.hostile.poisoned import photograph

SCRIPT = b"<script>window.hit=1</script>"
MEDIA = "instruments/heron/media/"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return small_shop(tmp_path)


def names(shop: Shop, line: str) -> None:
    """Let the visit name a file of media."""
    shop.says(VISIT, "work: tuning", f"work: tuning\n{line}")


ESCAPES = (
    "../../../../etc/passwd.jpg",
    "../../wren/media/x.jpg",
    "media/../../x.jpg",
    "/etc/passwd.jpg",
    "~/.ssh/id.jpg",
    "..\\..\\x.jpg",
    "C:\\x.jpg",
    "file:///etc/passwd.jpg",
    "https://evil.invalid/x.jpg",
    "\\\\evil.invalid\\x.jpg",
)


@pytest.mark.parametrize("name", ESCAPES)
def test_a_name_that_leads_out_of_the_folder_is_refused(shop: Shop, name: str) -> None:
    names(shop, f"photos:\n  - '{name}'")
    outcome = shop.build()
    (error,) = errors(outcome)
    assert error.startswith(f"{VISIT}:7:")
    assert f"leads out of {MEDIA}. Put the file into {MEDIA} and write only its name." in error
    assert outcome.missing == ("heron",)


@pytest.mark.parametrize("inside", [False, True])
def test_a_link_is_followed_only_within_the_notes(shop: Shop, *, inside: bool) -> None:
    target = shop.root / ("content/clients/x.jpg" if inside else "secret.jpg")
    target.write_bytes(photograph())
    place = shop.content / MEDIA / "pins.jpg"
    place.parent.mkdir(parents=True)
    place.symlink_to(target)
    names(shop, "photos: pins.jpg")
    outcome = shop.build()
    assert errors(outcome) == (
        []
        if inside
        else [
            (
                f'{VISIT}:6:9: error: "pins.jpg" is a link that leads out of the notes. '
                f"Put the file itself into {MEDIA}."
            )
        ]
    )


def test_a_folder_that_links_out_is_not_gone_into(shop: Shop) -> None:
    (shop.root / "elsewhere").mkdir()
    (shop.root / "elsewhere/pins.jpg").write_bytes(photograph())
    (shop.content / MEDIA).parent.mkdir(parents=True, exist_ok=True)
    (shop.content / MEDIA.rstrip("/")).symlink_to(shop.root / "elsewhere")
    names(shop, "photos: pins.jpg")
    (error,) = errors(shop.build())
    assert "pins.jpg" in error


def test_a_pipe_is_not_waited_for(shop: Shop) -> None:
    (shop.content / MEDIA).mkdir(parents=True)
    os.mkfifo(shop.content / MEDIA / "pins.jpg")
    names(shop, "photos: pins.jpg")
    (error,) = errors(shop.build())
    assert error.startswith(f'{VISIT}:6:9: error: There is no "pins.jpg" in {MEDIA}.')


def png_of(width: int, height: int) -> bytes:
    """The head of a PNG of that size, and almost nothing of its pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    pixels = zlib.compress(b"\0" * 1000)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", pixels) + chunk(b"IEND", b"")
    )


def zipped() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("x.html", SCRIPT)
    return stream.getvalue()


NO_PICTURE = "pins.jpg is no picture, or a damaged one; it must be a JPEG, PNG or WebP file."
BAD: dict[str, tuple[bytes, str]] = {
    "pixels": (
        png_of(60_000, 60_000),
        "pins.jpg has too many pixels; a picture may have 80 million. Export it smaller.",
    ),
    "cut": (photograph()[:-40], "pins.jpg is damaged: it can't be read to its end."),
    "page": (b"<!doctype html>" + SCRIPT, NO_PICTURE),
    "drawing": (
        b"<svg xmlns='http://www.w3.org/2000/svg' onload='window.hit=1'/>",
        "pins.jpg is an SVG drawing; export it as JPEG, PNG or WebP.",
    ),
    "film": (
        b"GIF89a/*" + SCRIPT + b"*/",
        "pins.jpg is a GIF picture; export it as JPEG, PNG or WebP.",
    ),
    "document": (b"%PDF-1.7\n1 0 obj<</JS(x)>>endobj", NO_PICTURE),
    "archive": (zipped(), NO_PICTURE),
    "script": (b"#!/bin/sh\nid\n", NO_PICTURE),
    "postscript": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", NO_PICTURE),
    "nothing": (b"", NO_PICTURE),
}


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_is_no_picture_stops_its_instrument_alone(shop: Shop, name: str) -> None:
    data, reason = BAD[name]
    shop.write(f"{MEDIA}pins.jpg", data)
    names(shop, "photos: pins.jpg")
    outcome = shop.build()
    (error,) = errors(outcome)
    assert error.endswith(reason)
    assert (outcome.built, outcome.missing) == (("robin", "wren"), ("heron",))


def test_a_huge_file_is_refused_before_it_is_decoded() -> None:
    with pytest.raises(PictureError, match=r"^pins\.jpg has 60 MB; a picture may have 60 MB\.$"):
        picture(photograph() + b"\0" * MOST_BYTES, "pins.jpg")


def polyglots() -> dict[str, bytes]:
    texts = PngImagePlugin.PngInfo()
    texts.add_text("Comment", SCRIPT.decode())
    png = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(png, "PNG", pnginfo=texts)
    noted = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(noted, "JPEG", comment=SCRIPT)
    return {
        "a page behind a photograph": photograph() + SCRIPT,
        "an archive behind a photograph": photograph() + zipped(),
        "a script in a comment": noted.getvalue(),
        "a script in a text": png.getvalue(),
        "a script behind a drawing": png.getvalue() + SCRIPT,
    }


@pytest.mark.parametrize("name", polyglots())
def test_only_the_pixels_of_a_file_with_two_faces_are_published(shop: Shop, name: str) -> None:
    shop.write(f"{MEDIA}pins.jpg", polyglots()[name])
    names(shop, "photos: pins.jpg the pins")
    shop.good()
    published = b"".join(shop.public().values())
    assert b"The pins" in published
    assert b"window.hit" not in published
    assert b"PK\x03\x04" not in published


@pytest.mark.parametrize(
    "name",
    ["p\u0456ns.jpg", "<img src=x onerror=window.hit=1>.jpg", "=cmd|x.jpg", "a b'\"&;$(id).jpg"],
)
def test_no_file_keeps_the_name_that_a_note_gives_it(shop: Shop, name: str) -> None:
    """A homoglyph, a tag, a formula, a command: what is published is named by its content."""
    shop.write(f"{MEDIA}{name}", photograph())
    names(shop, "photos:\n  - file: '{}'\n    caption: seen".format(name.replace("'", "''")))
    shop.good()
    public = shop.public()
    assert not [path for path in public if Path(name).stem in path]
    assert not any(name.encode() in data for data in public.values())


def test_names_of_two_alphabets_are_shown_as_written_and_never_mixed_up(shop: Shop) -> None:
    shop.write("clients/marsh.md", "---\nname: The Mаrshes\n---\n")  # the second letter is Cyrillic
    shop.good()
    assert "The M\u0430rshes" in shop.page("marsh")


def test_a_file_that_is_no_recording_stops_its_instrument_alone(shop: Shop) -> None:
    shop.write(f"{MEDIA}bass.mp3", b"#!/bin/sh\nid\n")
    names(shop, "audio: bass.mp3 the buzz")
    outcome = shop.build()
    assert errors(outcome) == [
        (
            f"{VISIT}:6:8: error: The pages of heron could not be made. bass.mp3 is none of the "
            "recordings that every browser plays. Save sound as WAV, MP3, Ogg, FLAC or M4A, and a "
            "film as MP4."
        )
    ]
    assert outcome.missing == ("heron",)
    assert shop.site("school")


def test_no_cell_that_is_handed_out_is_a_formula_to_a_spreadsheet(shop: Shop) -> None:
    """Cells that begin with = + - @ would be worked out; honest negative figures may stand."""
    shop.says(VISIT, "fine piece", "=HYPERLINK(A1) fine piece")
    names(shop, "sticking keys: F3-B3 =HYPERLINK(A1)")
    shop.good()
    seen = 0
    for path in shop.out.rglob("*.csv"):
        with path.open(encoding="utf-8-sig", newline="") as stream:
            for cell in (cell for row in csv.reader(stream) for cell in row):
                seen += 1
                assert not re.match(r"[=+@\t\r]|-(?![\d.])", cell), (path.name, cell)
    assert seen > 0
    assert {path.suffix for path in shop.out.rglob("*")} & {
        ".tsv",
        ".xls",
        ".xlsx",
        ".ods",
    } == set()
