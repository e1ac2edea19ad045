"""Small recordings of every kind, made here byte by byte, with a place in each of their corners."""

from __future__ import annotations

import io
import struct
import wave

PLACE = b"+48.2082+016.3738 Otterbank Lane"


def plain_wav(seconds: float = 0.1) -> bytes:
    stream = io.BytesIO()
    with wave.open(stream, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(8000)
        out.writeframes(b"\x01\x02" * int(8000 * seconds))
    return stream.getvalue()


def chunk(name: bytes, body: bytes) -> bytes:
    return name + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)


def wav() -> bytes:
    """With what a field recorder and a studio leave: LIST, bext, iXML, and words behind it all."""
    body = plain_wav()[12:]
    said = chunk(b"LIST", b"INFOICMT" + struct.pack("<I", len(PLACE)) + PLACE)
    whole = chunk(b"bext", PLACE * 3) + body + said + chunk(b"iXML", PLACE) + chunk(b"id3 ", PLACE)
    return b"RIFF" + struct.pack("<I", len(whole) + 4) + b"WAVE" + whole + PLACE


def id3() -> bytes:
    frame = b"COMM" + struct.pack(">I", len(PLACE) + 5) + b"\0\0\0eng\0" + PLACE
    size = len(frame)
    return b"ID3\x03\0\0" + bytes([0, 0, size >> 7, size & 0x7F]) + frame


def plain_mp3(frames: int = 4) -> bytes:
    """Silence: MPEG-1 Layer III, 32 kbit/s, 32 kHz, 144 bytes a frame."""
    return (b"\xff\xfb\x18\xc4" + bytes(140)) * frames


def mp3() -> bytes:
    ape = b"APETAGEX" + bytes(24) + PLACE + b"APETAGEX" + bytes(24)
    return id3() + plain_mp3() + ape + (b"TAG" + PLACE).ljust(128, b"\0")


def _block(kind: int, body: bytes, *, last: bool = False) -> bytes:
    return bytes([kind | (0x80 if last else 0)]) + len(body).to_bytes(3) + body


_STREAM = struct.pack(">HH", 4096, 4096) + bytes(6) + (
    (8000 << 44) | (0 << 41) | (15 << 36) | 4096
).to_bytes(8) + bytes(16)  # fmt: skip
_FRAME = b"\xff\xf8\xc4\x08\x00\x00" + bytes(20)


def plain_flac() -> bytes:
    return b"fLaC" + _block(0, _STREAM, last=True) + _FRAME


def flac() -> bytes:
    said = struct.pack("<I", 0) + struct.pack("<II", 1, len(PLACE) + 8) + b"COMMENT=" + PLACE
    blocks = _block(0, _STREAM) + _block(4, said) + _block(2, b"GPSD" + PLACE) + _block(6, PLACE)
    return b"fLaC" + blocks + _block(1, PLACE, last=True) + _FRAME + (b"TAG" + PLACE).ljust(128)


def ogg(*, serials: tuple[int, ...] = (77, 77, 77), padding: bytes = b"\x01" + PLACE) -> bytes:
    """Opus in Ogg, its comment with a place and with words that a tagger has to keep."""
    from mutagen.ogg import OggPage

    head = b"OpusHead" + struct.pack("<BBHIHB", 1, 1, 0, 48000, 0, 0)
    said = b"COMMENT=" + PLACE
    tags = b"OpusTags" + struct.pack("<I", len(PLACE)) + PLACE
    tags += struct.pack("<II", 1, len(said)) + said + padding
    pages = []
    for number, packet in enumerate((head, tags, b"\xfc\xff\xfe")):
        page = OggPage()
        page.packets, page.serial, page.sequence = [packet], serials[number], number
        page.first, page.last = number == 0, number == 2
        page.position = 4800 if number == 2 else 0
        pages.append(page)
    return b"".join(page.write() for page in pages)


def box(name: bytes, *bodies: bytes) -> bytes:
    body = b"".join(bodies)
    return struct.pack(">I", len(body) + 8) + name + body


def full(name: bytes, *bodies: bytes) -> bytes:
    return box(name, bytes(4), *bodies)


def numbers(*values: int) -> bytes:
    return struct.pack(f">{len(values)}I", *values)


def _entry(codec: bytes) -> bytes:
    if codec in (b"mp4a", b"mebx"):
        audio = struct.pack(">6xH8xHHII", 1, 1, 16, 0, 8000 << 16)
        return box(codec, audio, box(b"uuid", PLACE))
    shown = bytes(6) + b"\0\x01" + bytes(16) + struct.pack(">HH", 16, 16) + bytes(14)
    return box(codec, shown, PLACE[:31].rjust(32), struct.pack(">Hh", 24, -1), box(b"avcC", b"\1"))


def _track(handler: bytes, codec: bytes, at: int, size: int) -> bytes:
    table = box(
        b"stbl",
        full(b"stsd", numbers(1), _entry(codec)),
        full(b"stts", numbers(1, 1, 800)),
        full(b"stsc", numbers(1, 1, 1, 1)),
        full(b"stsz", numbers(0, 1, size)),
        full(b"stco", numbers(1, at)),
    )
    told = full(b"hdlr", bytes(4), handler, bytes(12), PLACE + b"\0")
    where = box(b"dinf", full(b"dref", numbers(1), box(b"url ", b"\0\0\0\1")))
    media = box(
        b"mdia",
        full(b"mdhd", numbers(3_800_000_000, 3_800_000_000, 8000, 800, 0)),
        told,
        box(b"minf", where, table),
    )
    return box(b"trak", full(b"tkhd", numbers(3_800_000_000, 3_800_000_000, 1, 0, 800)), media)


def mp4(*tracks: tuple[bytes, bytes], brand: bytes = b"isom", also: bytes = b"") -> bytes:
    """A film or a recording with a sample of 16 bytes a track, and a place wherever one fits."""
    head = box(b"ftyp", brand, bytes(4), b"mp42")
    first = len(head) + 8
    samples = b"".join(bytes([65 + n]) * 16 + PLACE for n in range(len(tracks)))
    told = [
        _track(handler, codec, first + n * (16 + len(PLACE)), 16)
        for n, (handler, codec) in enumerate(tracks)
    ]
    udta = box(b"udta", box(b"\xa9xyz", PLACE), full(b"loci", PLACE), full(b"meta", PLACE))
    head_of_all = full(b"mvhd", numbers(3_800_000_000, 3_800_000_000, 1000, 100))
    movie = box(b"moov", head_of_all, *told, udta)
    rest = box(b"uuid", PLACE) + box(b"free", PLACE) + full(b"meta", PLACE) + also
    return head + box(b"mdat", samples) + movie + rest


SOUND, SHOWN, PLACES = (b"soun", b"mp4a"), (b"vide", b"avc1"), (b"meta", b"mebx")
