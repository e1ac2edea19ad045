"""Work without its problem, problems without their work, and risks nobody agreed to."""

from tests.checks.conftest import HERON, SANE, Told, only

NOTE = f"{HERON}2026-03-14.md"
FILE = "instruments/heron/instrument.md"


def note(*lines: str, day: str = "2026-03-14") -> dict[str, str]:
    return {day: "\n".join(("---", *lines, "---", ""))}


BUZZ = note("problem: D#1 buzzes", day="2026-02-02")


def test_a_repair_at_the_keys_of_an_open_problem(told: Told) -> None:
    assert told({**BUZZ, **note("work: spliced the D#1 string")}) == only(
        f'{NOTE}:2:7: warning: This work is where the open problem "D#1 buzzes" of 2026-02-02 is, '
        "and the note does not say what became of it. "
        "Write fixed: or watched: and a word of the problem."
    )
    assert told({**BUZZ, **note("work: spliced the D#1 string", "fixed: D#1 buzzes")}) == []
    assert told({**BUZZ, **note("work: spliced the D#1 string", "watched: D#1 buzzes")}) == []
    assert told({**BUZZ, **note("work: spliced the E1 string")}) == []
    assert told({**BUZZ, **note("work: tuning")}) == []


def test_a_problem_is_open_until_it_is_fixed(told: Told) -> None:
    fixed = note("fixed: D#1 buzzes", "work: spliced the D#1 string", day="2026-02-20")
    assert told({**BUZZ, **fixed, **note("work: replaced the D#1 string")}) == []


def test_a_problem_fixed_by_nothing(told: Told) -> None:
    assert told({**BUZZ, **note("fixed: D#1 buzzes")}) == only(
        f"{NOTE}:2:8: info: A problem is fixed, and the note names no work. "
        "Write how behind it, as in fixed: G4 buzz, a loose screw in the lyre"
    )
    assert told({**BUZZ, **note("fixed: D#1 buzzes, a coin on the soundboard")}) == []
    assert told({**BUZZ, **note("fixed: D#1 buzzes", "work: spliced the D#1 string")}) == []


def test_keys_that_got_better_by_themselves(told: Told) -> None:
    poor = note("condition:", "  keys: poor", day="2026-02-02")
    good = ("condition:", "  keys: good")
    assert told({**poor, **note(*good)}) == only(
        f'{NOTE}:3:9: warning: "keys" went from poor on 2026-02-02 to good, and no work on it is '
        "noted between. Check the two grades, or note the work."
    )
    assert told({**poor, **note("condition:", "  keys: fair")}) == []
    assert told({**poor, **note(*good, "work: eased keys")}) == []
    assert told({**poor, **note("work: rebushed the keys", day="2026-02-20"), **note(*good)}) == []
    assert told({**poor, **note(*good, "work: tuning")}) != []


def test_a_rebuild_elsewhere_is_work_too(told: Told) -> None:
    poor = note("condition:", "  strings: poor", day="2026-02-02")
    good = note("condition:", "  strings: very good")
    line = "provenance: 2026-02-20 restrung, in another shop\n        stands:"
    assert told({**poor, **good, FILE: SANE[FILE].replace("stands:", line)}) == []
    assert told({**poor, **good}) != []


def test_what_cannot_be_undone_is_agreed_to(told: Told) -> None:
    work = ("work:", "  - treatment: thin adhesive at the pins", "    irreversible: stays in it")
    consent = "consent: thin adhesive in the pin block, 2026-03-14, by the owner\n        stands:"
    assert told(note(*work)) == only(
        f'{NOTE}:3:5: warning: "stays in it" cannot be undone, and instrument.md records no '
        "consent to it. Write in instrument.md, as in "
        "consent: thin adhesive in the pin block, 2022-02-05, by the owner"
    )
    assert told({**note(*work), FILE: SANE[FILE].replace("stands:", consent)}) == []
    later = consent.replace("2026-03-14", "2026-03-15")
    assert told({**note(*work), FILE: SANE[FILE].replace("stands:", later)}) != []
    other = consent.replace("thin adhesive in the pin block", "raise on old wire")
    assert told({**note(*work), FILE: SANE[FILE].replace("stands:", other)}) != []


def test_old_wire_is_raised_with_the_owners_consent(told: Told) -> None:
    raised = note("found: 70 flat", "left: on pitch", "work: pitch raise")
    old = SANE[FILE].replace("1962", "1912~")
    assert told({**raised, FILE: old}) == only(
        f"{NOTE}:2:8: warning: It was made 1912~ and raised by 70 cents, and instrument.md records "
        "no consent to that. Write in instrument.md, as in "
        "consent: raise on old wire, 2026-03-14, by the owner"
    )
    consent = "consent: raise on old wire, 2026-03-14, by the owner\n        stands:"
    assert told({**raised, FILE: old.replace("stands:", consent)}) == []
    assert told(raised) == []
    step = note("found: 70 flat", "left: 30 flat", "work: pitch raise")
    assert told({**step, FILE: old}) == []
