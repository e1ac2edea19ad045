"""MP4 and M4A: what is played stays in its place, and all else is made empty.

Every offset stays true that way: a box that isn't named here becomes a `free` one of the same
size, full of zeros, and so does every byte that no sample of the picture or the sound lies in.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dossier.recordings.trouble import DAMAGED, RecordingError

# ISO/IEC 14496-12: the boxes that lead to the samples, and those that say how they are played.
_HOLDERS = frozenset((b"moov", b"trak", b"mdia", b"minf", b"dinf", b"stbl", b"edts"))
_KEPT = frozenset((
    b"ftyp", b"mdat", b"mvhd", b"tkhd", b"mdhd", b"hdlr", b"vmhd", b"smhd", b"elst", b"dref",
    b"stsd", b"stts", b"ctts", b"stss", b"stsc", b"stsz", b"stco", b"co64", b"sdtp", b"sgpd",
    b"sbgp", b"cslg",
))  # fmt: skip
_TIMED = frozenset((b"mvhd", b"tkhd", b"mdhd"))
_PLAYED = {
    b"vide": (frozenset((b"avc1", b"avc3", b"av01", b"vp09")), 78),
    b"soun": (frozenset((b"mp4a", b"Opus", b"fLaC", b"alac")), 28),
}
"""The codecs of each kind of track, and the bytes of an entry before its own boxes."""
_SETTINGS = frozenset((
    b"avcC", b"av1C", b"vpcC", b"esds", b"dOps", b"dfLa", b"alac", b"btrt", b"pasp", b"colr",
    b"fiel", b"chnl", b"chan",
))  # fmt: skip
_MOST_BOXES = 10_000
_DEEPEST = 8  # boxes within boxes; a whole MP4 has five

Bytes = bytes | bytearray


@dataclass(frozen=True, slots=True)
class _Box:
    """A box by its name, where it begins, where its body does, and where it ends."""

    name: bytes
    start: int
    body: int
    end: int


def bare(data: bytes) -> tuple[bytes, bool]:
    """The file with only what is played, and whether it shows anything.  Raises RecordingError."""
    out = bytearray(data)
    top = list(_boxes(out, 0, len(out)))
    tracks = [box for box in _boxes(out, *_movie(data, top)) if box.name == b"trak"]
    kinds = {track: _kind(out, track) for track in tracks}
    played = []
    for track, kind in kinds.items():
        if kind in _PLAYED:
            played += _samples(out, track)
        else:
            _emptied(out, track)
    if not played:
        raise RecordingError(DAMAGED)
    for box in top:
        _cleaned(out, box)
        if box.name == b"mdat":
            _blanked(out, box, played)
    return bytes(out), b"vide" in kinds.values()


def _movie(data: bytes, top: list[_Box]) -> tuple[int, int]:
    """Where the tracks are told of.  Raises RecordingError for what isn't one whole MP4."""
    names = [box.name for box in top]
    if data[8:12] == b"qt  ":
        raise RecordingError("is a QuickTime film. Export it as MP4.")
    if b"moof" in names:
        raise RecordingError("is written in fragments. Export it as one whole MP4 or M4A.")
    if names.count(b"moov") != 1 or b"mdat" not in names:
        raise RecordingError(DAMAGED)
    moov = top[names.index(b"moov")]
    return moov.body, moov.end


def _boxes(data: Bytes, at: int, end: int) -> Iterator[_Box]:
    count = 0
    while at < end:
        size, name, body = int.from_bytes(data[at : at + 4]), bytes(data[at + 4 : at + 8]), at + 8
        if size == 1:
            size, body = int.from_bytes(data[at + 8 : at + 16]), at + 16
        elif size == 0:
            size = end - at
        count += 1
        if size < body - at or at + size > end or count > _MOST_BOXES:
            raise RecordingError(DAMAGED)
        yield _Box(name, at, body, at + size)
        at += size


def _inside(data: Bytes, box: _Box, *path: bytes) -> _Box:
    """The box that lies within another by its path.  Raises RecordingError."""
    for name in path:
        found = [one for one in _boxes(data, box.body, box.end) if one.name == name]
        if len(found) != 1:
            raise RecordingError(DAMAGED)
        box = found[0]
    return box


def _kind(data: Bytes, track: _Box) -> bytes:
    at = _inside(data, track, b"mdia", b"hdlr").body
    return bytes(data[at + 8 : at + 12])


def _emptied(out: bytearray, box: _Box) -> None:
    out[box.start + 4 : box.start + 8] = b"free"
    out[box.body : box.end] = bytes(box.end - box.body)


def _cleaned(out: bytearray, box: _Box, depth: int = 1) -> None:
    """The box without what is not played; the days on which it was made become zero."""
    if depth > _DEEPEST:
        raise RecordingError(DAMAGED)
    if box.name in _HOLDERS:
        for inner in _boxes(out, box.body, box.end):
            _cleaned(out, inner, depth + 1)
    elif box.name == b"stsd":
        _cleaned_entries(out, box)
    elif box.name == b"dref":
        _within(out, box)
    elif box.name in _TIMED:
        width = 16 if box.end > box.body and out[box.body] == 1 else 8
        _zero(out, box.body + 4, box.body + 4 + width, box)
    elif box.name == b"hdlr":
        _zero(out, min(box.body + 24, box.end), box.end, box)
    elif box.name not in _KEPT:
        _emptied(out, box)


def _within(out: bytearray, box: _Box) -> None:
    """Refuse samples that lie in another file.  Raises RecordingError."""
    for entry in _boxes(out, box.body + 8, box.end):
        if entry.name != b"url " or entry.end - entry.body != 4 or not out[entry.body + 3] & 1:
            raise RecordingError("leads to another file. Export it as one whole file.")


def _zero(out: bytearray, start: int, end: int, box: _Box) -> None:
    if end > box.end:
        raise RecordingError(DAMAGED)
    out[start:end] = bytes(end - start)


def _cleaned_entries(out: bytearray, box: _Box) -> None:
    """How the samples are packed: a codec that browsers play, and no more than it needs."""
    for entry in _boxes(out, box.body + 8, box.end):
        fixed = next((size for names, size in _PLAYED.values() if entry.name in names), 0)
        if not fixed:
            codec = entry.name.decode("latin-1").strip()
            raise RecordingError(
                f"is packed in a way that not every browser plays ({codec}). Let the camera save "
                "in its most compatible way, or export it as MP4 with H.264."
            )
        if fixed == 28 and int.from_bytes(out[entry.body + 8 : entry.body + 10]) != 0:
            raise RecordingError("is of an old QuickTime kind. Export it as MP4 or M4A.")
        if entry.body + fixed > entry.end:
            raise RecordingError(DAMAGED)
        if fixed == 78:
            out[entry.body + 42 : entry.body + 74] = bytes(32)  # the name of the compressor
        for inner in _boxes(out, entry.body + fixed, entry.end):
            if inner.name not in _SETTINGS:
                _emptied(out, inner)


def _samples(data: Bytes, track: _Box) -> list[tuple[int, int]]:
    """Where a track's samples lie: the first byte and the one behind the last, chunk by chunk."""
    table = _inside(data, track, b"mdia", b"minf", b"stbl")
    sizes = _sizes(data, _inside(data, table, b"stsz"))
    names = {box.name for box in _boxes(data, table.body, table.end)}
    wide = b"co64" in names
    starts = _numbers(data, _inside(data, table, b"co64" if wide else b"stco"), 8 if wide else 4)
    runs = _numbers(data, _inside(data, table, b"stsc"), 12)
    spans, used = [], 0
    counts = [(run >> 64, run >> 32 & 0xFFFFFFFF) for run in runs]
    at = -1
    for number, start in enumerate(starts, 1):
        while at + 1 < len(counts) and counts[at + 1][0] <= number:
            at += 1
        if at < 0:
            raise RecordingError(DAMAGED)
        here = sizes[used : used + counts[at][1]]
        used += counts[at][1]
        spans.append((start, start + sum(here)))
    return spans


def _numbers(data: Bytes, box: _Box, width: int) -> list[int]:
    count, first = int.from_bytes(data[box.body + 4 : box.body + 8]), box.body + 8
    if first + count * width > box.end:
        raise RecordingError(DAMAGED)
    return [int.from_bytes(data[first + n * width : first + (n + 1) * width]) for n in range(count)]


def _sizes(data: Bytes, box: _Box) -> list[int]:
    each = int.from_bytes(data[box.body + 4 : box.body + 8])
    count = int.from_bytes(data[box.body + 8 : box.body + 12])
    if each:
        if count * each > len(data):
            raise RecordingError(DAMAGED)
        return [each] * count
    if box.body + 12 + count * 4 > box.end:
        raise RecordingError(DAMAGED)
    first = box.body + 12
    return [int.from_bytes(data[first + n * 4 : first + n * 4 + 4]) for n in range(count)]


def _blanked(out: bytearray, box: _Box, played: list[tuple[int, int]]) -> None:
    """Zeros for every byte of the media that no sample lies in."""
    at = box.body
    for start, end in sorted(played):
        if start >= box.end or end <= box.body:
            continue
        if end > box.end or start < box.body:
            raise RecordingError(DAMAGED)
        if start > at:
            out[at:start] = bytes(start - at)
        at = max(at, end)
    out[at : box.end] = bytes(box.end - at)
