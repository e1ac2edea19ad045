"""Ogg files of one stream, Opus or Vorbis, with their comments emptied."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from dossier.recordings.trouble import DAMAGED, RecordingError

if TYPE_CHECKING:
    from mutagen.ogg import OggPage

# RFC 7845, 5, and Vorbis I, 4.2 and 5.2: how the stream begins; a comment that says nothing; how
# many packets stand before the sound, behind the first.
_KINDS = (
    (b"OpusHead", b"OpusTags" + bytes(8), 1),
    (b"\x01vorbis", b"\x03vorbis" + bytes(8) + b"\x01", 2),
)


def bare(data: bytes) -> bytes:
    """The stream with an empty comment, its pages numbered anew.  Raises RecordingError."""
    from mutagen.ogg import OggPage

    pages = _pages(data)
    kind = next((one for one in _KINDS if pages[0].packets[0].startswith(one[0])), None)
    if kind is None or len({page.serial for page in pages}) > 1:
        raise RecordingError(
            "holds another stream than one of Opus or Vorbis. Export the sound alone."
        )
    _, comment, wanted = kind
    head = _until(pages[1:], wanted)
    try:
        packets = OggPage.to_packets(head, strict=True)
    except ValueError as error:
        raise RecordingError(DAMAGED) from error
    if len(packets) != wanted or len(pages) == len(head) + 1:
        raise RecordingError(DAMAGED)
    whole = [pages[0], *OggPage.from_packets([comment, *packets[1:]]), *pages[1 + len(head) :]]
    for number, page in enumerate(whole):
        page.serial, page.sequence = 1, number
    return b"".join(page.write() for page in whole)


def _pages(data: bytes) -> list[OggPage]:
    from mutagen.ogg import OggPage, error

    stream, pages = io.BytesIO(data), []
    try:
        while stream.tell() < len(data):
            pages.append(OggPage(stream))
    except (error, EOFError, ValueError) as fault:
        raise RecordingError(DAMAGED) from fault
    if not pages[0].packets:
        raise RecordingError(DAMAGED)
    return pages


def _until(pages: list[OggPage], wanted: int) -> list[OggPage]:
    """The pages in which the packets before the sound stand."""
    ended = 0
    for count, page in enumerate(pages, 1):
        ended += len(page.packets) - (not page.complete)
        if ended >= wanted:
            return pages[:count]
    raise RecordingError(DAMAGED)
