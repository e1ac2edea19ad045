"""A camera's photographs: each to the visit of its day, named in its note by one line."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from dossier.cli import main
from tests.desk.shop import notebook, write

NOTE = "instruments/heron/visits/2025-03-01.md"
OTHER = "instruments/wren/instrument.md"
MEDIA = "instruments/heron/media"


def photograph(path: Path, taken: str = "", colour: int = 90) -> None:
    path.parent.mkdir(exist_ok=True)
    exif = Image.Exif()
    if taken:
        exif.get_ifd(0x8769)[0x9003] = taken
    Image.new("RGB", (60, 40), (colour, 60, 30)).save(path, exif=exif)


def run(content: Path, *words: str) -> Result:
    folder = str(content.parent / "camera")
    return CliRunner().invoke(main, ["import", "photos", folder, "--content", str(content), *words])


def test_a_photograph_goes_to_the_visit_of_its_day_and_its_note_says_the_rest_as_before(
    tmp_path: Path,
) -> None:
    content = write(tmp_path)
    before = (content / NOTE).read_text("utf-8")
    photograph(tmp_path / "camera" / "IMG 2034.JPG", "2025:03:01 10:12:13")
    photograph(tmp_path / "camera" / "PXL_20250301_1.jpg", colour=10)
    looked = run(content, "--dry-run")
    assert (content / NOTE).read_text("utf-8") == before
    assert looked.stdout.split("\n")[:2] == [
        f"IMG 2034.JPG (2025-03-01, by its camera) -> {MEDIA}/2025-03-01-img-2034.jpg",
        f"{NOTE}: photos: 2025-03-01-img-2034.jpg",
    ]
    assert run(content, "--yes").exit_code == 0
    lines = (content / NOTE).read_text("utf-8").split("\n")
    added = ["photos:", "  - 2025-03-01-img-2034.jpg", "  - 2025-03-01-pxl-1.jpg"]
    assert [line for line in lines if line not in added] == before.split("\n")
    photos = notebook(content).visits["heron"][-1].photos
    assert [photo.file for photo in photos] == [line[4:] for line in added[1:]]
    copied = content / MEDIA / "2025-03-01-img-2034.jpg"
    assert copied.read_bytes() == (tmp_path / "camera" / "IMG 2034.JPG").read_bytes()
    kept = sorted((tmp_path / ".dossier" / "before").iterdir())
    assert before in [path.read_text("utf-8") for path in kept]
    again = run(content, "--yes")
    assert again.stderr.split("\n")[0] == (
        "IMG 2034.JPG (2025-03-01, by its camera): it is in that visit's note already"
    )


@pytest.mark.parametrize(
    ("had", "has"),
    [
        ("Tuned.\n", "---\nphotos: {}\n---\nTuned.\n"),
        ("---\nreason: x\n---\nTuned.\n", "---\nreason: x\nphotos: {}\n---\nTuned.\n"),
        (
            "---\nphoto: pins.jpg the pins\nreason: x\n---\n",
            "---\nphotos:\n  - pins.jpg the pins\n  - {}\nreason: x\n---\n",
        ),
        (
            "---\nphotos:\n- file: pins.jpg\n  caption: the pins\nreason: x\n---\n",
            "---\nphotos:\n- file: pins.jpg\n  caption: the pins\n- {}\nreason: x\n---\n",
        ),
    ],
)
def test_the_line_goes_where_the_note_keeps_its_photographs(
    tmp_path: Path, had: str, has: str
) -> None:
    content = write(tmp_path, {NOTE: had})
    photograph(content / MEDIA / "pins.jpg")
    photograph(tmp_path / "camera" / "a.jpg", "2025:03:01 10:12:13", 10)
    result = run(content, "--yes", "--instrument", "heron")
    assert result.exit_code == 0, result.output
    assert (content / NOTE).read_text("utf-8") == has.format("2025-03-01-a.jpg")


@pytest.mark.parametrize(
    ("had", "has"),
    [
        (b"---\r\nreason: x\r\n---\r\nTuned.\r\n", b"---\r\nreason: x\r\n{}\r\n---\r\nTuned.\r\n"),
        (b"\xef\xbb\xbf---\nreason: x\n---\n", b"\xef\xbb\xbf---\nreason: x\n{}\n---\n"),
        (b"\xef\xbb\xbfTuned.", b"\xef\xbb\xbf---\n{}\n---\nTuned."),
        (b"---\nreason: caf\xe9\n---\n", b"---\nreason: caf\xe9\n{}\n---\n"),
        (b"---\nreason: cafe\xcc\x81\n---", b"---\nreason: cafe\xcc\x81\n{}\n---"),
        (b"---\r\nreason: x\n---\r\n\rTuned.", b"---\r\nreason: x\n{}\r\n---\r\n\rTuned."),
    ],
)
def test_all_other_bytes_of_the_note_stay(tmp_path: Path, had: bytes, has: bytes) -> None:
    """Its mark, its encoding, how its letters are put together, its ends of lines."""
    content = write(tmp_path)
    (content / NOTE).write_bytes(had)
    photograph(tmp_path / "camera" / "a.jpg", "2025:03:01 10:12:13")
    assert run(content, "--yes").exit_code == 0
    assert (content / NOTE).read_bytes() == has.replace(b"{}", b"photos: 2025-03-01-a.jpg")


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_a_note_of_wide_letters_stays_one(tmp_path: Path, encoding: str) -> None:
    content = write(tmp_path)
    had = "\ufeff---\r\nphoto: pins.jpg caf\xe9\r\n---\r\nTuned."
    has = "\ufeff---\r\nphotos:\r\n  - pins.jpg caf\xe9\r\n  - {}\r\n---\r\nTuned."
    (content / NOTE).write_bytes(had.encode(encoding))
    photograph(content / MEDIA / "pins.jpg")
    photograph(tmp_path / "camera" / "a.jpg", "2025:03:01 10:12:13", 10)
    assert run(content, "--yes").exit_code == 0
    assert (content / NOTE).read_bytes() == has.format("2025-03-01-a.jpg").encode(encoding)


def test_a_list_in_a_form_that_is_not_known_is_left(tmp_path: Path) -> None:
    content = write(tmp_path)
    had = b"---\r\nphotos: [pins.jpg,\r\n  nuts.jpg]\r\n---\r\n"
    (content / NOTE).write_bytes(had)
    for name in ("pins.jpg", "nuts.jpg"):
        photograph(content / MEDIA / name)
    photograph(tmp_path / "camera" / "a.jpg", "2025:03:01 10:12:13", 10)
    told = run(content, "--yes")
    assert told.stderr == (
        "a.jpg (2025-03-01, by its camera): its line can't be put into "
        f"{NOTE}: write photos: 2025-03-01-a.jpg there yourself\n"
    )
    assert (content / NOTE).read_bytes() == had


def test_what_fits_no_visit_or_two_or_is_no_picture_is_said_and_left(tmp_path: Path) -> None:
    wren = "instruments/wren/visits/2025-03-01.md"
    content = write(tmp_path, {wren: "Tuned.\n"})
    photograph(tmp_path / "camera" / "a.jpg", "2020:01:02 10:12:13")
    photograph(tmp_path / "camera" / "b.jpg", "2025:03:01 10:12:13")
    (tmp_path / "camera" / "c.jpg").write_bytes(b"no picture")
    result = run(content, "--yes")
    told = result.stderr.split("\n")
    assert result.exit_code == 1
    assert told[:3] == [
        "a.jpg (2020-01-02, by its camera): no visit is of that day",
        (
            "b.jpg (2025-03-01, by its camera): visits to heron, wren are of that day: "
            "name one by --instrument"
        ),
        "c.jpg: is no picture, or a damaged one; it must be a JPEG, PNG or WebP file.",
    ]
    assert result.stdout == ""


def test_a_folder_that_is_none_is_said(tmp_path: Path) -> None:
    result = run(write(tmp_path))
    assert (result.exit_code, result.stderr) == (
        2,
        f"dossier: There is no folder {tmp_path / 'camera'}.\n",
    )
