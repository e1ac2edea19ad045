"""Days that do not fit each other."""

from datetime import date

from tests.checks.conftest import HERON, SANE, Told, only

NOTE = f"{HERON}2026-03-14.md"
FILE = "instruments/heron/instrument.md"
VISIT = "---\nfound: 3 flat\n---\n"


def note(*lines: str, day: str = "2026-03-14") -> dict[str, str]:
    return {day: "\n".join(("---", *lines, "---", ""))}


def test_a_visit_before_the_instrument_was_made(told: Told) -> None:
    own = SANE[FILE].replace("1962", "2024~").replace(", since 2015", "")
    assert told({FILE: own, "2023-03-14": VISIT}) == only(
        f"{HERON}2023-03-14.md:1:1: warning: The visit is dated 2023-03-14, before the instrument "
        "was made (2024~). Check the year in the file's name, and made in instrument.md."
    )
    assert told({FILE: own, "2024-03-14": VISIT}) == []


def test_a_visit_before_the_first_place_that_is_known(told: Told) -> None:
    assert told({"2014-03-14": VISIT, "2014-05-14": VISIT}) == only(
        f"{HERON}2014-03-14.md:1:1: warning: The visit is dated 2014-03-14, and the first place "
        "that the instrument's file knows of is since 2015-01-01. "
        "Check the year, or write in instrument.md where it stood before."
    )
    undated = SANE[FILE].replace("parlour, since 2015", "parlour")
    assert told({FILE: undated, "2014-03-14": VISIT}) == []
    nowhere = SANE[FILE].replace("stands: parlour, since 2015", "wood: Sitka spruce")
    assert told({FILE: nowhere, "2014-03-14": VISIT}) == []


def test_a_season_that_is_asked_for_while_it_lasts(told: Told) -> None:
    assert told(note("next: tuning, spring")) == only(
        f'{NOTE}:2:15: warning: "tuning" is taken for 2027-03-01 to 2027-05-31, for the visit '
        "itself was in that season. Write the year, as in spring 2027, or a month."
    )
    assert told(note("next: spring")) == only(
        f"{NOTE}:2:7: warning: The next visit is taken for 2027-03-01 to 2027-05-31, for the visit "
        "itself was in that season. Write the year, as in spring 2027, or a month."
    )
    assert told(note("next: tuning, spring 2027")) == []
    assert told(note("next: tuning, autumn")) == []


def test_what_follows_comes_after_the_visit(told: Told) -> None:
    assert told(note("next: check the splice, April 2025")) == only(
        f'{NOTE}:2:25: warning: "check the splice" is asked for by April 2025, before the visit '
        "of 2026-03-14 itself. Check the year."
    )
    assert told(note("next: 2026-02-01")) == only(
        f"{NOTE}:2:7: warning: The next visit is asked for by 2026-02-01, before the visit of "
        "2026-03-14 itself. Check the year."
    )
    assert told(note("next: check the splice, March 2026")) == []
    assert told(note("next: check the splice, April")) == []
    assert told(note("next: check the splice, 4-8 weeks")) == []


def test_a_service_comes_after_the_visit(told: Told) -> None:
    assert told(note("humidity equipment: serviced, next service 2025-10")) == only(
        f"{NOTE}:2:21: warning: The next service is asked for by 2025-10, before the visit of "
        "2026-03-14 itself. Check the year."
    )
    assert told(note("humidity equipment: serviced, next service 2026-10")) == []


def test_a_visit_that_is_a_year_overdue(told: Told) -> None:
    asked = note("next: tuning, May 2025", day="2025-04-14")
    assert told(asked) == only(
        f'{HERON}2025-04-14.md:2:15: info: "tuning" was asked for by May 2025, and no later visit '
        "is noted. Check the year, or set the client's status to dormant or left."
    )
    assert told(asked, date(2026, 5, 1)) == []
    assert told({**asked, "2025-06-14": VISIT}) == []
    rests = SANE["clients/marsh.md"].replace("phone:", "status: dormant\n        phone:")
    assert told({**asked, "clients/marsh.md": rests}) == []


def test_advice_is_for_the_days_to_come(told: Told) -> None:
    assert told(note("advice: move it off the outer wall, before 2025-10-01")) == only(
        f'{NOTE}:2:9: warning: "move it off the outer wall" is to be done before 2025-10-01, '
        "before the visit of 2026-03-14 itself. Check the year."
    )
    assert told(note("advice: move it off the outer wall, before 2026-10-01")) == []
    assert told(note("advice: move it off the outer wall, before October")) == []


def test_a_hold_that_was_forgotten(told: Told) -> None:
    assert told(note("hold: yes")) == only(
        f"{NOTE}:2:7: warning: This note has kept the client's pages as they are since "
        "2026-03-14, for more than 90 days. Take the line out when the pages may change."
    )
    assert told(note("hold: yes"), date(2026, 6, 12)) == []
    assert told(note("hold: no")) == []


def test_humidity_equipment_that_nobody_looks_after(told: Told) -> None:
    fitted = "fitted 2021-10-04, next service 2022-10"
    own = SANE[FILE].replace("stands:", f"humidity equipment: {fitted}\n        stands:")
    assert told({FILE: own}) == only(
        f"{FILE}:6:21: warning: The humidity equipment was to be serviced by 2022-10-31, and no "
        "note names it since 2021-10-04. Service it, or note what became of it, as in "
        "humidity equipment: removed"
    )
    assert told({FILE: own, **note("humidity equipment: serviced, next service 2027-03")}) == []
    assert told({FILE: own, **note("humidity equipment: working")}) == []


def test_an_instrument_that_nothing_calls_back(told: Told) -> None:
    shop = {"shop.md": "---\nname: Lanterncroft\ntechnician: Quilla Lanterncroft\n---\n"}
    assert told(shop) == only(
        f"{FILE}:1:1: warning: No interval is known for this instrument, and its last note asks "
        "for nothing; it will never fall due. Write one here, in the client's file or in shop.md, "
        'as in "interval: 1 year".'
    )
    assert told({**shop, **note("next: tuning, autumn")}) == []
    own = SANE[FILE].replace("stands:", "interval: 6 months\n        stands:")
    assert told({**shop, FILE: own}) == []
