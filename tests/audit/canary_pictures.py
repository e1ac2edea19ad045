"""Pictures that tell of people in every place they can, and are known by their colour."""

from __future__ import annotations

import io
from collections.abc import Callable

from PIL import Image, PngImagePlugin

Colour = tuple[int, int, int]
_KINDS = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP"}
_NEAR = 24  # of 255: what a lossy picture of one colour strays by, and less than half a step


def photograph(name: str, colour: Colour, canary: Callable[[], str]) -> bytes:
    """A picture of one colour, with a canary in its EXIF, comments and profile, and behind it."""
    kind = _KINDS[name.rpartition(".")[2]]
    image = Image.new("RGB", (48, 36), colour)
    exif = image.getexif()
    exif[0x010E], exif[0x013B], exif[0x9C9B] = canary(), canary(), canary().encode("utf-16-le")
    exif.get_ifd(0x8769)[0xA430] = canary()
    exif.get_ifd(0x8825)[0x001D] = canary()
    told = {"exif": exif.tobytes(), "icc_profile": canary().encode() * 20}
    stream = io.BytesIO()
    if kind == "PNG":
        text = PngImagePlugin.PngInfo()
        text.add_text("Author", canary())
        text.add_text("Comment", canary(), zip=True)
        text.add_itxt("XML:com.adobe.xmp", canary())
        image.save(stream, kind, pnginfo=text, **told)
    elif kind == "JPEG":
        image.save(stream, kind, comment=canary().encode(), xmp=canary().encode(), **told)
    else:
        image.save(stream, kind, xmp=canary().encode(), **told)
    return stream.getvalue() + canary().encode()


def colour_of(image: Image.Image) -> Colour:
    """The mean colour of a picture."""
    small = image.convert("RGB").resize((1, 1), Image.Resampling.BOX)
    red, green, blue = small.tobytes()
    return red, green, blue


def alike(one: Colour, other: Colour) -> bool:
    return max(abs(a - b) for a, b in zip(one, other, strict=True)) <= _NEAR
