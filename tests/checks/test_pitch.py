"""Pitches that are readable and unlikely."""

from tests.checks.conftest import HERON, Told, only

NOTE = f"{HERON}2026-03-14.md"
FILE = "instruments/heron/instrument.md"
OLD = """
    ---
    client: marsh
    title: The heron
    made: 1962
    breaks: F2, C5
    leave below pitch: rusty wire, plain to see
    ---
    """


def note(*lines: str) -> dict[str, str]:
    return {"2026-03-14": "\n".join(("---", *lines, "---", ""))}


def test_a_semitone_flat_wants_its_raise(told: Told) -> None:
    found = "found: A1 -118, A3 -120, A4 -125"
    assert told(note(found, "left: on pitch", "work: tuning")) == only(
        f"{NOTE}:2:8: warning: It was found 120 cents flat, and no pitch raise is noted. "
        "Check the figures and their signs, or write what was done about it under work."
    )
    assert told(note(found, "left: on pitch", "work: pitch raise")) == []
    assert told(note(found, "left: as found", "work: inspection")) == []
    assert told(note("found: A1 -98, A3 -97, A4 -99", "work: tuning")) == []


def test_a_semitone_sharp_wants_its_lowering(told: Told) -> None:
    assert told(note("found: 130 sharp", "work: tuning")) == only(
        f"{NOTE}:2:8: warning: It was found 130 cents sharp, and no lowering is noted. "
        "Check the figures and their signs, or write what was done about it under work."
    )
    assert told(note("found: 130 sharp", "work: pitch lowering")) == []


def test_more_than_three_semitones_is_another_note(told: Told) -> None:
    assert told(note("found: A3 +4, A4 +380, A5 +6")) == only(
        f"{NOTE}:2:15: warning: A4 is 380 cents sharp, more than three semitones. "
        "Check the figure, and the octave of the note."
    )
    assert told(note("found: A4 554.4 Hz")) == only(
        f"{NOTE}:2:8: warning: A4 is 400.1 cents sharp, more than three semitones. "
        "Check the figure, and the octave of the note."
    )
    assert told(note("found: A3 +4, A4 440.1 Hz, A5 +6")) == []


def test_neighbours_that_part_by_sixty_cents_were_misread(told: Told) -> None:
    assert told(note("found: A1 +6, A3 +9, A4 -80, A5 +8")) == only(
        f"{NOTE}:2:22: warning: A4 is 89 cents flat of A3, the reading beside it. "
        "One of the two may be misread, or have the wrong sign."
    )
    # F2 begins a section: what the wire does below it says nothing of what it does above.
    assert told(note("found: E2 -50, F2 +15, A3 +9, A4 +7")) == []
    assert told(note("found: A3 +9, A4.1 +7, A4.2 +12, A4.3 -40")) == []


def test_a_note_is_read_as_a_whole_or_by_its_strings(told: Told) -> None:
    assert told(note("found: A3 +2, A4 +7, A4.2 +9")) == only(
        f"{NOTE}:2:22: warning: A4.2 was read on line 2 already, as A4. "
        "Keep the note, or its single strings."
    )
    assert told(note("found: A3 +2, A4.1 +7, A4.2 +9")) == []


def test_one_figure_for_the_whole_beside_single_notes_is_not_used(told: Told) -> None:
    assert told(note("found: 8 sharp, A4 +7")) == only(
        f"{NOTE}:2:8: warning: The figure for the whole instrument is not used, because single "
        "notes were read. Take it out."
    )
    assert told(note("found: 8 sharp")) == []


def test_what_is_left_off_pitch_wants_a_word(told: Told) -> None:
    left = "left: A1 -2, A4 -8, A5 -6"
    assert told(note("found: A4 -8", left, "work: tuning")) == only(
        f"{NOTE}:3:14: warning: A4 was left 8 cents flat of the target, and nothing says why. "
        'Write "floated: yes", the pitch that was aimed at, as in "pitch: A4 = 435 Hz", or, in '
        'instrument.md, "leave below pitch" with its reason.'
    )
    assert told(note("found: A4 -8", "left: A1 -2, A4 -5", "work: tuning")) == []
    assert told(note("found: A4 -8", left, "work: tuning", "floated: yes")) == []
    assert told(note("found: A4 -8", left, "work: tuning", "pitch: A4 = 438 Hz")) == []
    assert told(note("found: A4 -60", left, "work: pitch raise")) == []
    assert told({**note("found: A4 -8", left, "work: tuning"), FILE: OLD}) == []


def test_what_must_stay_below_pitch_is_not_left_on_it(told: Told) -> None:
    work = ("found: 20 flat", "left: on pitch", "work: tuning")
    assert told({**note(*work), FILE: OLD}) == only(
        f"{NOTE}:3:7: warning: It was left on pitch, and its file says to leave it below: "
        '"rusty wire, plain to see". Write the pitch that was aimed at, as in '
        '"pitch: A4 = 435 Hz", or take the reason out of instrument.md.'
    )
    assert told({**note(*work, "pitch: A4 = 435 Hz"), FILE: OLD}) == []
    assert told({**note("found: 20 flat", "left: 20 flat", "work: tuning"), FILE: OLD}) == []


def test_a_reference_pitch_is_one_that_instruments_were_built_for(told: Told) -> None:
    hint = (
        "is an unlikely reference pitch; 415 to 466 Hz is usual. "
        "Check the figure. How far below pitch an instrument stands belongs under found."
    )
    assert told(note("pitch: A4 = 402 Hz", "found: 3 flat")) == [
        f"{NOTE}:2:8: warning: A4 = 402 Hz {hint}"
    ]
    own = OLD.replace("leave below pitch: rusty wire, plain to see", "reference pitch: A4 = 470 Hz")
    assert told({FILE: own}) == [f"{FILE}:6:18: warning: A4 = 470 Hz {hint}"]
    assert told(note("pitch: A4 = 435 Hz", "found: 3 flat")) == []
