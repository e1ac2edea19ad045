"""Photographs: decoded within limits and made anew from their pixels.

A photograph is part of someone's home: its metadata can hold the place, the camera's owner and an
uncropped preview.  So nothing of the file is kept but the colour of each pixel.
"""

from __future__ import annotations

import io
import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 60_000_000
MOST_PIXELS = 80_000_000  # a few phones go beyond; their ordinary mode doesn't
PAGE_SIDE = 1200
LARGE_SIDE = 2000
THUMB_SIDE = 560
LOGO_SIDE = 160
FORMATS = ("JPEG", "PNG", "WEBP")
_QUALITY = {LOGO_SIDE: 80, THUMB_SIDE: 70, PAGE_SIDE: 80, LARGE_SIDE: 84}
_ORIENTATION = 0x0112  # EXIF 2.32, table 4
# What a damaged file can raise inside the decoder, besides OSError, which covers most.
_DAMAGE = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    struct.error,
    IndexError,
    KeyError,
    TypeError,
)


class PictureError(ValueError):
    """A picture that can't be shown; the message is a sentence for the technician."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture for the page, one to look at closely and one for a small place, without metadata.

    `width` and `height` are those of `small` in pixels; the longer side of `thumb` is at most
    560 px, that of `small` 1200 px and that of `large` 2000 px.  `suffix` is ".jpg" or ".png", for
    all of them.
    """

    small: bytes
    large: bytes
    width: int
    height: int
    suffix: str
    thumb: bytes
    thumb_width: int


def picture(data: bytes, name: str, thumb: int = THUMB_SIDE) -> Picture:
    """A photograph ready to be shown.

    It stands upright, its colours are sRGB and a transparent ground is white.  A PNG stays one
    where that is smaller, as for a drawing.  The same bytes give the same bytes.

    `thumb` is the longer side of its smallest size in pixels: THUMB_SIDE, or LOGO_SIDE for a logo.

    Raises PictureError where the file is too large, damaged, or no still JPEG, PNG or WebP
    picture; `name` is how its message calls the file.
    """
    from PIL import Image

    if len(data) > MOST_BYTES:
        raise PictureError(
            f"{name} has {len(data) / 1e6:.0f} MB; a picture may have {MOST_BYTES / 1e6:.0f} MB."
        )
    with _strictly():
        try:
            opened = Image.open(io.BytesIO(data), formats=FORMATS)
        except Image.DecompressionBombError as error:
            raise PictureError(_too_many(name)) from error
        except _DAMAGE as error:
            raise PictureError(_no_picture(data, name)) from error
        with opened:
            _within_limits(opened, name)
            lossless = opened.format == "PNG"
            try:
                pixels = _pixels(opened)
            except _DAMAGE as error:
                raise PictureError(f"{name} is damaged: it can't be read to its end.") from error
    large = _sized(pixels, LARGE_SIDE)
    return _encoded(_sized(large, PAGE_SIDE), large, lossless, thumb)


@contextmanager
def _strictly() -> Iterator[None]:
    """Damage as an error, and no warnings: of what Pillow warns, we refuse it or can live with it.

    WeasyPrint, once imported, has Pillow fill up what is missing of any picture in the process.
    """
    from PIL import ImageFile

    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


def _within_limits(image: Image, name: str) -> None:
    if image.width * image.height > MOST_PIXELS:
        raise PictureError(_too_many(name))
    # A JPEG of several frames is what many phones write: the first is the photograph.
    if image.format != "MPO" and getattr(image, "is_animated", False):
        raise PictureError(f"{name} is animated; a picture must stand still.")


def _too_many(name: str) -> str:
    return (
        f"{name} has too many pixels; a picture may have {MOST_PIXELS / 1e6:.0f} million. "
        "Export it smaller."
    )


def _no_picture(data: bytes, name: str) -> str:
    start = data[:512].removeprefix(b"\xef\xbb\xbf").lstrip().lower()
    if data[4:8] == b"ftyp":
        kind = "a HEIC or AVIF picture"
    elif start.startswith((b"<svg", b"<?xml", b"<!doctype svg")):
        kind = "an SVG drawing"
    elif start.startswith(b"gif8"):
        kind = "a GIF picture"
    else:
        return f"{name} is no picture, or a damaged one; it must be a JPEG, PNG or WebP file."
    return f"{name} is {kind}; export it as JPEG, PNG or WebP."


def _pixels(image: Image) -> Image:
    """All the pixels in sRGB, upright, on white."""
    import PIL.Image

    # A JPEG decoder can leave out detail that no page shows, which saves most of the memory.
    image.draft(None, (LARGE_SIDE, LARGE_SIDE))
    image.load()
    orientation, profile = _orientation(image), image.info.get("icc_profile")
    upright = _upright(_in_srgb(_eight_bit(image), profile), orientation)
    if upright.mode != "RGBA":
        return upright.convert("RGB")
    ground = PIL.Image.new("RGB", upright.size, "white")
    ground.paste(upright, mask=upright.getchannel("A"))
    return ground


def _orientation(image: Image) -> int:
    """How the camera was held; 1, upright, where its note of that can't be read."""
    try:
        value = image.getexif().get(_ORIENTATION, 1)
    except _DAMAGE:
        return 1
    return value if value in range(1, 9) else 1


def _upright(image: Image, orientation: int) -> Image:
    from PIL.Image import Transpose

    turns = (
        None,
        Transpose.FLIP_LEFT_RIGHT,
        Transpose.ROTATE_180,
        Transpose.FLIP_TOP_BOTTOM,
        Transpose.TRANSPOSE,
        Transpose.ROTATE_270,
        Transpose.TRANSVERSE,
        Transpose.ROTATE_90,
    )
    turn = turns[orientation - 1]
    return image if turn is None else image.transpose(turn)


def _eight_bit(image: Image) -> Image:
    """L, RGB, RGBA or CMYK, whatever the file's own layout."""
    if image.mode.startswith("I") or image.mode == "F":
        return image.convert("I").point(lambda level: level / 256).convert("L")
    if image.mode in {"LA", "PA", "La", "RGBa"} or "transparency" in image.info:
        return image.convert("RGBA")
    return image if image.mode in {"L", "RGB", "RGBA", "CMYK"} else image.convert("RGB")


def _in_srgb(image: Image, profile: object) -> Image:
    """The colours as sRGB; where the file's profile is damaged or of another kind, as they are."""
    from PIL import ImageCms

    if not isinstance(profile, bytes) or not profile:
        return image
    wanted = "RGBA" if image.mode == "RGBA" else "RGB"
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        target = ImageCms.createProfile("sRGB")
        changed = ImageCms.profileToProfile(image, source, target, outputMode=wanted)
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return image
    return changed or image


def _sized(image: Image, side: int) -> Image:
    """The image with its longer side at most `side` pixels."""
    from PIL.Image import Resampling

    ratio = side / max(image.size)
    if ratio >= 1:
        return image
    size = (max(1, round(image.width * ratio)), max(1, round(image.height * ratio)))
    return image.resize(size, Resampling.LANCZOS)


def _encoded(small: Image, large: Image, lossless: bool, side: int) -> Picture:
    thumb = _sized(small, side)
    sides = ((small, PAGE_SIDE), (large, LARGE_SIDE), (thumb, side))
    page, full, tiny = (_jpeg(image, side) for image, side in sides)
    suffix = ".jpg"
    if lossless:
        drawn = tuple(_png(image) for image, _ in sides)
        if sum(map(len, drawn[:2])) <= len(page) + len(full):
            (page, full, tiny), suffix = drawn, ".png"
    if thumb.size == small.size:
        tiny = page
    return Picture(page, full, small.width, small.height, suffix, tiny, thumb.width)


def _jpeg(image: Image, side: int) -> bytes:
    stream = io.BytesIO()
    _bare(image).save(stream, "JPEG", quality=_QUALITY[side], optimize=True, progressive=True)
    return stream.getvalue()


def _png(image: Image) -> bytes:
    stream = io.BytesIO()
    _bare(image).save(stream, "PNG", optimize=True)
    return stream.getvalue()


def _bare(image: Image) -> Image:
    """A new image of the same pixels: saving a read one again would keep a JPEG's comment."""
    import PIL.Image

    return PIL.Image.frombytes("RGB", image.size, image.tobytes())
