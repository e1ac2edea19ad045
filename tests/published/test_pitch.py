"""Pitch against ISO 16, pretty_midi and music21."""

from collections.abc import Callable

import numpy as np
import pretty_midi
import pytest

from dossier.analysis import pitch

ReadTable = Callable[[str], list[dict[str, str]]]


@pytest.mark.parametrize(
    ("hz", "expected"),
    [
        (435.0, -19.785747),
        (442.0, 7.851415),
    ],
)
def test_cents_of_old_and_orchestral_pitch(hz: float, expected: float) -> None:
    # Source: pretty_midi 0.2.11, 100 (hz_to_note_number(f) - 69)
    assert pitch.cents(hz, 440.0) == pytest.approx(expected, abs=5e-7)


def test_cents_against_pretty_midi(table: ReadTable) -> None:
    # Source: data/cents_checks.csv, by pretty_midi 0.2.11 where the reference is 440 Hz
    rows = table("cents_checks")
    assert len(rows) == 11
    for row in rows:
        got = pitch.cents(float(row["f"]), float(row["ref"]))
        assert got == pytest.approx(float(row["cents"]), abs=1e-6), row
        if row["pretty_midi_cents"]:
            assert got == pytest.approx(float(row["pretty_midi_cents"]), abs=1e-6), row


def test_just_intervals() -> None:
    # Source: Ellis's table of intervals, fifth 701.955 and major third 386.314 (from memory)
    assert pitch.cents(3.0, 2.0) == pytest.approx(701.955, abs=5e-4)
    assert pitch.cents(5.0, 4.0) == pytest.approx(386.314, abs=5e-4)


@pytest.mark.parametrize(
    ("key", "hz"), [(1, 27.5), (40, 261.625565), (49, 440.0), (88, 4186.009045)]
)
def test_keys_at_standard_pitch(key: int, hz: float) -> None:
    # Source: ISO 16:1975, A4 = 440 Hz; equal temperament by pretty_midi and music21
    assert pitch.frequency(key) == pytest.approx(hz, abs=5e-7)


def test_keys_against_two_libraries(table: ReadTable) -> None:
    # Source: data/keys88.csv, by pretty_midi 0.2.11 and music21 10.5.1
    rows = table("keys88")
    assert len(rows) == 10
    for row in rows:
        got = pitch.frequency(int(row["key"]))
        assert got == pytest.approx(float(row["hz_pretty_midi"]), abs=5e-7), row
        assert got == pytest.approx(float(row["hz_music21"]), abs=5e-7), row


def test_every_key_against_pretty_midi() -> None:
    # Source: pretty_midi as installed; MIDI note = key + 20
    keys = np.arange(1.0, 89.0)
    expected = [pretty_midi.note_number_to_hz(key + 20) for key in keys]
    np.testing.assert_allclose(pitch.frequency(keys), expected, rtol=1e-13)
