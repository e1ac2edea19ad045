"""Recordings are copied without a word of where, when and with what they were made, or refused."""

from __future__ import annotations

import io
import wave
from collections.abc import Callable

import mutagen
import pytest

from dossier.recordings import MOST_BYTES, RecordingError, recording
from tests.recordings import samples
from tests.recordings.samples import PLACE, PLACES, SHOWN, SOUND

KINDS: tuple[tuple[str, Callable[[], bytes]], ...] = (
    (".wav", samples.wav),
    (".mp3", samples.mp3),
    (".flac", samples.flac),
    (".ogg", samples.ogg),
    (".m4a", lambda: samples.mp4(SOUND, PLACES)),
    (".mp4", lambda: samples.mp4(SHOWN, SOUND, PLACES)),
)


def bare(data: bytes, *, is_film: bool = False) -> bytes:
    return recording(data, "bass", is_film=is_film).data


def refused(data: bytes, *, is_film: bool = False) -> str:
    with pytest.raises(RecordingError) as error:
        recording(data, "bass.mp3", is_film=is_film)
    return str(error.value)


@pytest.mark.parametrize(("suffix", "make"), KINDS)
def test_no_place_is_left_anywhere(suffix: str, make: Callable[[], bytes]) -> None:
    data = make()
    assert data.count(PLACE) >= 2
    made = recording(data, "bass", is_film=suffix == ".mp4")
    assert made.suffix == suffix
    assert [word for word in (b"Otterbank", b"+48.2") if word in made.data] == []
    assert made == recording(data, "bass", is_film=suffix == ".mp4")
    assert made.data == recording(made.data, "bass", is_film=suffix == ".mp4").data


def test_the_sound_itself_stays_bit_for_bit() -> None:
    assert bare(samples.wav()) == samples.plain_wav()
    with wave.open(io.BytesIO(bare(samples.wav()))) as played:
        assert (played.getframerate(), played.getnframes()) == (8000, 800)
    assert bare(samples.mp3()) == samples.plain_mp3()
    assert bare(samples.flac()) == samples.plain_flac()
    opus = mutagen.File(io.BytesIO(bare(samples.ogg())))
    assert opus.info.length == pytest.approx(0.1)
    assert b"\xfc\xff\xfe" in bare(samples.ogg())


def test_in_a_film_every_byte_stays_in_its_place() -> None:
    data = samples.mp4(SHOWN, SOUND, PLACES)
    film = bare(data, is_film=True)
    assert len(film) == len(data)
    at = data.index(b"A" * 16)
    assert film[at : at + 16] == b"A" * 16
    assert b"B" * 16 in film
    assert b"C" * 16 not in film  # the samples of the track that tells the places
    assert (3_800_000_000).to_bytes(4) not in film  # the day
    assert film.count(b"free") == 6
    assert film.count(b"trak") == 2


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"MThd\0\0\0\6", "is none of the recordings that every browser plays."),
        (b"", "is none of the recordings that every browser plays."),
        (bytes(MOST_BYTES + 1), "has 30 MB; a recording may have 30 MB."),
        (samples.plain_wav()[:-9], "is damaged: it can't be read to its end."),
        (samples.plain_wav()[:20] + b"\x55\0" + samples.plain_wav()[22:], "is packed in a way"),
        (samples.plain_mp3() + b"words behind it", "is damaged: it can't be read to its end."),
        (samples.plain_flac()[:20], "is damaged: it can't be read to its end."),
        (samples.ogg()[:-1], "is damaged: it can't be read to its end."),
        (samples.ogg(serials=(1, 1, 2)), "holds another stream than one of Opus or Vorbis."),
        (samples.mp4(SOUND, brand=b"qt  "), "is a QuickTime film. Export it as MP4."),
        (samples.mp4(SOUND, also=samples.box(b"moof")), "is written in fragments."),
        (samples.mp4(SOUND)[:-30], "is damaged: it can't be read to its end."),
        (samples.mp4(PLACES), "is damaged: it can't be read to its end."),
        (samples.mp4((b"vide", b"hvc1")), "is packed in a way that not every browser plays (hvc1)"),
        (samples.mp4(SHOWN), "is a film. Write it below video:"),
        (
            samples.mp4(SOUND).replace(b"url \0\0\0\1", b"url \0\0\0\0"),
            "leads to another file. Export it as one whole file.",
        ),
    ],
)  # fmt: skip
def test_what_cant_be_copied_is_refused_with_the_reason(data: bytes, why: str) -> None:
    assert refused(data).startswith(f"bass.mp3 {why}")


def test_sound_alone_is_no_film() -> None:
    assert refused(samples.mp4(SOUND), is_film=True) == (
        "bass.mp3 is sound alone. Write it below audio:"
    )


@pytest.mark.parametrize(("suffix", "make"), KINDS)
def test_damage_anywhere_is_refused_or_harmless(suffix: str, make: Callable[[], bytes]) -> None:
    """Never a traceback, whatever byte is another, and wherever the file ends."""
    data, refusals = make(), 0
    broken = [data[:at] + bytes([data[at] ^ 0x55]) + data[at + 1 :] for at in range(len(data))]
    for one in (*broken[::3], *(data[:at] for at in range(0, len(data), 7))):
        try:
            recording(one, "bass", is_film=suffix == ".mp4")
        except RecordingError:
            refusals += 1
    assert 10 < refusals < len(data)


def test_boxes_without_end_within_boxes_are_refused() -> None:
    deep = b""
    for _ in range(3000):
        deep = samples.box(b"trak", deep)
    data = samples.mp4(SOUND)
    moov = data.index(b"moov") - 4
    grown = data[moov + 8 : moov + int.from_bytes(data[moov : moov + 4])]
    assert refused(data[:moov] + samples.box(b"moov", grown, samples.box(b"edts", deep))) == (
        "bass.mp3 is damaged: it can't be read to its end."
    )
