"""Photographs as phones, scanners and strangers send them."""

import io
import struct
import zlib

import pytest
from PIL import Image, ImageCms, ImageDraw, ImageFile, PngImagePlugin

from dossier.pictures import (
    LARGE_SIDE,
    LOGO_SIDE,
    MOST_PIXELS,
    PAGE_SIDE,
    Picture,
    PictureError,
    picture,
)

PLACE = 0x8825
MAKE = 0x010F
ORIENTATION = 0x0112
THUMBNAIL = b"\xff\xd8\xff\xe0 the uncropped preview"


def scene(width: int = 300, height: int = 200) -> Image.Image:
    """Red at the upper left, green at the upper right, blue below."""
    image = Image.new("RGB", (width, height), "blue")
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 0, width // 2, height // 2), "red")
    draw.rectangle((width // 2, 0, width, height // 2), "lime")
    return image


def written(image: Image.Image, kind: str, **options: object) -> bytes:
    stream = io.BytesIO()
    image.save(stream, kind, **options)
    return stream.getvalue()


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def corners(data: bytes) -> list[str]:
    """The colours at the upper left, upper right and lower left."""
    image = opened(data).convert("RGB")
    width, height = image.size
    names = {(1, 0, 0): "red", (0, 1, 0): "green", (0, 0, 1): "blue"}
    places = ((10, 10), (width - 10, 10), (10, height - 10))
    pixels = (image.getpixel(place) for place in places)
    return [
        names[tuple(int(channel > 128) for channel in pixel)]  # type: ignore[index, union-attr]
        for pixel in pixels
    ]


def exif(orientation: int = 1) -> Image.Exif:
    found = Image.Exif()
    found[ORIENTATION] = orientation
    found[MAKE] = "CANARY-CAMERA"
    found.get_ifd(PLACE).update({1: "N", 2: (51.0, 28.0, 38.0), 29: "2026:03:14"})
    return found


def both(made: Picture) -> tuple[bytes, bytes]:
    return made.small, made.large


def test_a_photograph_is_sized_for_the_page_and_for_a_close_look() -> None:
    made = picture(written(scene(4000, 3000), "JPEG", quality=90), "front.jpg")
    assert (made.width, made.height, made.suffix) == (1200, 900, ".jpg")
    assert opened(made.small).size == (1200, 900)
    assert opened(made.large).size == (2000, 1500)
    assert opened(made.small).format == "JPEG"


def test_a_small_one_is_not_blown_up() -> None:
    made = picture(written(scene(300, 200), "JPEG"), "small.jpg")
    assert (made.width, made.height) == (300, 200)
    assert opened(made.large).size == (300, 200)


def test_a_narrow_one_keeps_a_pixel() -> None:
    made = picture(written(Image.new("RGB", (5000, 1), "red"), "PNG"), "line.png")
    assert (opened(made.large).size, opened(made.small).size) == ((LARGE_SIDE, 1), (PAGE_SIDE, 1))


def test_a_photograph_of_detail_has_bytes_that_a_phone_can_fetch() -> None:
    photo = Image.effect_noise((3000, 2000), 24).convert("RGB").resize((4000, 3000))
    made = picture(written(photo, "JPEG", quality=95), "detail.jpg")
    assert len(made.small) < 400_000
    assert len(made.large) < 1_200_000


def test_nothing_is_kept_but_the_pixels() -> None:
    data = written(
        scene(), "JPEG", exif=exif(), comment=b"CANARY-COMMENT", icc_profile=srgb_profile(),
        dpi=(314, 314), xmp=b"<x:xmpmeta>CANARY-XMP</x:xmpmeta>",
    )  # fmt: skip
    data += THUMBNAIL
    assert all(canary in data for canary in (b"CANARY-CAMERA", b"CANARY-COMMENT", b"CANARY-XMP"))
    for made in both(picture(data, "front.jpg")):
        image = opened(made)
        assert dict(image.getexif()) == {}
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", "dpi",
                                   "progressive", "progression"}  # fmt: skip
        assert b"CANARY" not in made
        assert b"preview" not in made
        # Of application segments, the plain JFIF head only; no comment.
        assert made[2:4] == b"\xff\xe0"
        assert segments(made) & {0xFE, *range(0xE1, 0xF0)} == set()


def segments(data: bytes) -> set[int]:
    """The kinds of the segments of a JPEG before its pixels (ITU-T T.81, B.1.1.4)."""
    found, place = set(), 2
    while data[place + 1] != 0xDA:
        found.add(data[place + 1])
        place += 2 + int.from_bytes(data[place + 2 : place + 4], "big")
    return found


def test_no_text_of_a_png_is_kept() -> None:
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Author", "CANARY-NAME")
    notes.add_itxt("XML:com.adobe.xmp", "CANARY-XMP")
    data = written(scene(), "PNG", pnginfo=notes, exif=exif(), dpi=(314, 314))
    assert data.count(b"CANARY") == 3
    made = picture(data, "plan.png")
    for one in both(made):
        assert b"CANARY" not in one
        assert chunks(one) == {b"IHDR", b"IDAT", b"IEND"}


def chunks(data: bytes) -> set[bytes]:
    """The names of the chunks of a PNG."""
    found, place = set(), 8
    while place < len(data):
        found.add(data[place + 4 : place + 8])
        place += 12 + int.from_bytes(data[place : place + 4], "big")
    return found


UPRIGHT = ["red", "green", "blue"]
# How the pixels must lie in the file to stand upright once turned (EXIF 2.32, table 4).
LYING = {
    1: lambda image: image,
    2: lambda image: image.transpose(Image.Transpose.FLIP_LEFT_RIGHT),
    3: lambda image: image.transpose(Image.Transpose.ROTATE_180),
    4: lambda image: image.transpose(Image.Transpose.FLIP_TOP_BOTTOM),
    5: lambda image: image.transpose(Image.Transpose.TRANSPOSE),
    6: lambda image: image.transpose(Image.Transpose.ROTATE_90),
    7: lambda image: image.transpose(Image.Transpose.TRANSVERSE),
    8: lambda image: image.transpose(Image.Transpose.ROTATE_270),
}


@pytest.mark.parametrize("orientation", LYING)
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_it_stands_upright_however_the_camera_was_held(orientation: int, kind: str) -> None:
    lying = LYING[orientation](scene())
    made = picture(written(lying, kind, exif=exif(orientation)), "front")
    assert (made.width, made.height) == (300, 200)
    for one in both(made):
        assert corners(one) == UPRIGHT


@pytest.mark.parametrize("orientation", [0, 9, 60000])
def test_an_orientation_that_is_none_changes_nothing(orientation: int) -> None:
    made = picture(written(scene(), "JPEG", exif=exif(orientation)), "front.jpg")
    assert corners(made.small) == UPRIGHT


def test_damaged_notes_of_the_camera_do_no_harm() -> None:
    data = written(
        scene(), "JPEG", exif=b"Exif\x00\x00MM\x00*\x00\x00\x00\x08\xff\xff\x01\x12broken"
    )
    assert corners(picture(data, "front.jpg").small) == UPRIGHT


def srgb_profile() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def swapped_profile() -> bytes:
    """sRGB with the red and blue primaries changed places: what it calls red is blue."""
    profile = bytearray(srgb_profile())
    count = int.from_bytes(profile[128:132], "big")
    places = {bytes(profile[at : at + 4]): at for at in range(132, 132 + 12 * count, 12)}
    red, blue = places[b"rXYZ"] + 4, places[b"bXYZ"] + 4
    profile[red : red + 8], profile[blue : blue + 8] = (
        profile[blue : blue + 8],
        profile[red : red + 8],
    )
    return bytes(profile)


def test_the_colours_of_another_space_become_srgb() -> None:
    data = written(scene(), "PNG", icc_profile=swapped_profile())
    assert corners(picture(data, "wide.png").small) == ["blue", "green", "red"]


def test_a_damaged_colour_profile_is_passed_over() -> None:
    data = written(scene(), "PNG", icc_profile=b"no profile at all")
    assert corners(picture(data, "wide.png").small) == UPRIGHT


def test_a_print_shops_four_inks_become_srgb() -> None:
    assert corners(picture(written(scene().convert("CMYK"), "JPEG"), "print.jpg").small) == UPRIGHT


def test_a_transparent_ground_is_white() -> None:
    ground = Image.new("RGBA", (60, 60), (0, 0, 0, 0))
    ImageDraw.Draw(ground).rectangle((0, 0, 20, 20), (255, 0, 0, 255))
    for image in (ground, ground.quantize(4)):
        made = opened(picture(written(image, "PNG"), "logo.png").small).convert("RGB")
        assert made.getpixel((50, 50)) == (255, 255, 255)
        assert made.getpixel((5, 5)) == (255, 0, 0)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "I;16", "RGBA"])
def test_every_layout_of_a_png_is_read(mode: str) -> None:
    grey = Image.linear_gradient("L")
    if mode == "I;16":
        image = grey.convert("I").point(lambda level: level * 256).convert("I;16")
    else:
        image = grey.convert(mode)
    made = opened(picture(written(image, "PNG"), "scan.png").small).convert("L")
    top, bottom = made.getpixel((128, 4)), made.getpixel((128, 251))
    assert isinstance(top, float | int)
    assert isinstance(bottom, float | int)
    assert top < 40
    assert bottom > 215


def test_a_drawing_stays_a_png_and_a_photograph_does_not() -> None:
    drawing = Image.new("RGB", (1600, 1200), "white")
    ImageDraw.Draw(drawing).line((0, 0, 1600, 1200), "black", 3)
    assert picture(written(drawing, "PNG"), "plan.png").suffix == ".png"
    photo = Image.effect_noise((800, 600), 60).convert("RGB")
    assert picture(written(photo, "PNG"), "photo.png").suffix == ".jpg"


def test_the_same_bytes_give_the_same_bytes() -> None:
    data = written(scene(2400, 1600), "WEBP", exif=exif(6))
    assert picture(data, "a.webp") == picture(data, "b.webp")


def bomb(width: int, height: int) -> bytes:
    """A PNG that is small as a file and huge as pixels."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    pixels = zlib.compress(bytes(1_000_000))
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", pixels) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("side", [9_000, 10_000, 60_000])
def test_a_picture_of_too_many_pixels_is_refused_before_it_is_read(side: int) -> None:
    assert side * side > MOST_PIXELS
    with pytest.raises(PictureError) as caught:
        picture(bomb(side, side), "bomb.png")
    assert str(caught.value) == (
        "bomb.png has too many pixels; a picture may have 80 million. Export it smaller."
    )


def test_a_file_of_too_many_bytes_is_refused() -> None:
    with pytest.raises(PictureError) as caught:
        picture(bytes(61_000_000), "scan.png")
    assert str(caught.value) == "scan.png has 61 MB; a picture may have 60 MB."


def test_a_note_that_unpacks_without_end_is_refused() -> None:
    def chunk(name: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    data = written(scene(), "PNG")
    text = chunk(b"zTXt", b"Comment\x00\x00" + zlib.compress(bytes(80_000_000)))
    with pytest.raises(PictureError) as caught:
        picture(data[:33] + text + data[33:], "notes.png")
    assert str(caught.value) == (
        "notes.png is no picture, or a damaged one; it must be a JPEG, PNG or WebP file."
    )


@pytest.mark.parametrize("lenient", [False, True])
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_file_that_ends_early_is_refused(
    kind: str, lenient: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also in a process in which a PDF was made before: WeasyPrint makes Pillow lenient."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", lenient)
    data = written(Image.effect_noise((400, 300), 60).convert("RGB"), kind)
    with pytest.raises(PictureError) as caught:
        picture(data[: len(data) // 2], "front")
    assert str(caught.value) in {
        "front is damaged: it can't be read to its end.",
        "front is no picture, or a damaged one; it must be a JPEG, PNG or WebP file.",
    }
    assert lenient == ImageFile.LOAD_TRUNCATED_IMAGES


NO_PICTURE = "no picture, or a damaged one; it must be a JPEG, PNG or WebP file."


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"Dear Ines, the piano ...", NO_PICTURE),
        (b"\xff\xd8\xff\xe0 and then a letter", NO_PICTURE),
        (b"", NO_PICTURE),
        (
            b"\x00\x00\x00\x18ftypheic\x00\x00",
            "a HEIC or AVIF picture; export it as JPEG, PNG or WebP.",
        ),
        (
            b'  <svg xmlns="http://www.w3.org/2000/svg"/>',
            "an SVG drawing; export it as JPEG, PNG or WebP.",
        ),
        (
            b"\xef\xbb\xbf<?xml version='1.0'?><svg/>",
            "an SVG drawing; export it as JPEG, PNG or WebP.",
        ),
    ],
)
def test_what_is_no_picture_is_called_so(data: bytes, said: str) -> None:
    with pytest.raises(PictureError) as caught:
        picture(data, "front.jpg")
    assert str(caught.value) == f"front.jpg is {said}"


def test_what_moves_is_refused() -> None:
    frames = [Image.new("RGB", (20, 20), colour) for colour in ("red", "blue")]
    gif = written(frames[0], "GIF", save_all=True, append_images=frames[1:])
    with pytest.raises(
        PictureError, match=r"^a is a GIF picture; export it as JPEG, PNG or WebP\.$"
    ):
        picture(gif, "a")
    for kind in ("PNG", "WEBP"):
        moving = written(frames[0], kind, save_all=True, append_images=frames[1:])
        with pytest.raises(PictureError, match=r"^a is animated; a picture must stand still\.$"):
            picture(moving, "a")


def test_a_phones_jpeg_of_several_frames_gives_its_first() -> None:
    data = written(scene(), "MPO", save_all=True, append_images=[Image.new("RGB", (300, 200))])
    assert corners(picture(data, "phone.jpg").small) == UPRIGHT


def test_a_small_place_gets_a_small_picture() -> None:
    made = picture(written(scene(4000, 3000), "JPEG", quality=90), "front.jpg")
    assert (opened(made.thumb).size, made.thumb_width) == ((560, 420), 560)
    assert len(made.thumb) < len(made.small)
    tiny = picture(written(scene(300, 200), "JPEG"), "small.jpg")
    assert (tiny.thumb, tiny.thumb_width) == (tiny.small, 300)
    logo = picture(written(scene(600, 400), "JPEG"), "logo.jpg", LOGO_SIDE)
    assert opened(logo.thumb).size == (160, 107)
