"""WAV, FLAC and MP3 put together anew from their sound alone."""

from __future__ import annotations

import struct
from collections.abc import Iterator

from dossier.recordings.trouble import DAMAGED, RecordingError

# Microsoft and IBM, Multimedia Programming Interface 1.0 (1991): WAVE needs no other chunk.
_WAV_CHUNKS = frozenset((b"fmt ", b"fact", b"data"))
_WAV_CODES = frozenset((0x0001, 0x0003, 0xFFFE))  # PCM, float, and either by a longer header
# RFC 9639, 8.1: of the blocks, only these two are about the sound.
_STREAMINFO, _SEEKTABLE = 0, 3
_ID3V1 = 128  # bytes, at the end of a file
_TAILS = (b"TAG", b"APETAGEX", b"LYRICSBEGIN", b"ID3", b"3DI")

# ISO/IEC 11172-3 and 13818-3, 2.4.2.3: kbit/s by the index in a frame's header, for Layer III.
_RATES_1 = (32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320)
_RATES_2 = (8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160)
_HZ = {3: (44100, 48000, 32000), 2: (22050, 24000, 16000), 0: (11025, 12000, 8000)}
_MPEG_1, _LAYER_3 = 3, 1


def behind_id3(data: bytes) -> bytes:
    """What follows the ID3v2 tags at the start (id3.org, ID3v2.4, 3.1), and their padding."""
    at = 0
    while data[at : at + 3] == b"ID3" and len(data) >= at + 10:
        size = 0
        for byte in data[at + 6 : at + 10]:
            size = size << 7 | byte & 0x7F
        at += 10 + size + (10 if data[at + 5] & 0x10 else 0)
    return data[at:].lstrip(b"\0") if at else data


def wav(data: bytes) -> bytes:
    """A WAV file of its format and its samples.  Raises RecordingError."""
    if data[8:12] != b"WAVE":
        raise RecordingError("is no recording, or one of an unusual kind. Save it as WAV.")
    kept: dict[bytes, bytes] = {}
    for name, body in _chunks(data[12:]):
        if name in _WAV_CHUNKS and name in kept:
            raise RecordingError(DAMAGED)
        if name in _WAV_CHUNKS:
            kept[name] = body
    form = kept.get(b"fmt ", b"")
    if b"data" not in kept or len(form) < 16:
        raise RecordingError(DAMAGED)
    if struct.unpack("<H", form[:2])[0] not in _WAV_CODES:
        raise RecordingError("is packed in a way that browsers don't play. Save it as plain WAV.")
    whole = b"".join(
        name + struct.pack("<I", len(kept[name])) + kept[name] + b"\0" * (len(kept[name]) % 2)
        for name in (b"fmt ", b"fact", b"data")
        if name in kept
    )
    return b"RIFF" + struct.pack("<I", len(whole) + 4) + b"WAVE" + whole


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = 0
    while len(data) - at >= 8:
        name, size = data[at : at + 4], struct.unpack("<I", data[at + 4 : at + 8])[0]
        if at + 8 + size > len(data):
            if name in _WAV_CHUNKS:
                raise RecordingError(DAMAGED)
            return
        yield name, data[at + 8 : at + 8 + size]
        at += 8 + size + size % 2


def flac(data: bytes) -> bytes:
    """A FLAC file of what its decoder needs, its places to jump to, and its frames."""
    kept, at, last = [], 4, False
    while not last:
        if len(data) < at + 4:
            raise RecordingError(DAMAGED)
        last, kind = bool(data[at] & 0x80), data[at] & 0x7F
        end = at + 4 + int.from_bytes(data[at + 1 : at + 4])
        if kind in (_STREAMINFO, _SEEKTABLE):
            kept.append((kind, data[at + 4 : end]))
        at = end
    frames = data[at:-_ID3V1] if data[-_ID3V1:].startswith(b"TAG") else data[at:]
    if frames[:2] not in (b"\xff\xf8", b"\xff\xf9") or not kept or kept[0][0] != _STREAMINFO:
        raise RecordingError(DAMAGED)
    if frames[-32:].startswith(b"APETAGEX"):
        raise RecordingError("holds tags that can't be taken out. Export it without them.")
    blocks = b"".join(
        bytes([kind | (0x80 if n == len(kept) else 0)]) + len(body).to_bytes(3) + body
        for n, (kind, body) in enumerate(kept, 1)
    )
    return b"fLaC" + blocks + frames


def mp3(data: bytes) -> bytes:
    """The frames of an MP3 file, one behind the other; whatever stands behind them is left out."""
    at, count = 0, 0
    while (length := _frame(data, at)) and at + length <= len(data):
        at, count = at + length, count + 1
    rest = data[at:]
    # A frame that was cut off is what many a recorder leaves at the end.
    if count < 2 or not (length or rest.startswith(_TAILS) or not rest.strip(b"\0")):
        raise RecordingError(DAMAGED)
    return data[:at]


def _frame(data: bytes, at: int) -> int:
    """The length in bytes of the frame that begins there; 0 where none does."""
    head = data[at : at + 4]
    if len(head) < 4 or head[0] != 0xFF or head[1] & 0xE0 != 0xE0:
        return 0
    version, layer = head[1] >> 3 & 3, head[1] >> 1 & 3
    rate, hertz = head[2] >> 4, head[2] >> 2 & 3
    if version not in _HZ or layer != _LAYER_3 or rate in (0, 15) or hertz == 3:
        return 0
    first = version == _MPEG_1
    kbits = (_RATES_1 if first else _RATES_2)[rate - 1]
    return (144_000 if first else 72_000) * kbits // _HZ[version][hertz] + (head[2] >> 1 & 1)
