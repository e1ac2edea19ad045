"""The register of the shop."""

from tests.checks.conftest import HERON, SANE, Told, only

NOTE = f"{HERON}2026-03-14.md"


def test_a_client_without_an_instrument(told: Told) -> None:
    other = "---\nname: Bram Thistlewood\n---\n"
    assert told({"clients/thistlewood.md": other}) == only(
        "clients/thistlewood.md:1:1: warning: No instrument names thistlewood as its client. "
        'Write the instrument\'s file, or "status: left" here.'
    )
    gone = other.replace("name:", "status: left\nname:")
    assert told({"clients/thistlewood.md": gone}) == []


def test_an_instrument_without_a_visit(told: Told) -> None:
    eider = "instruments/eider/instrument.md"
    assert told({eider: SANE["instruments/heron/instrument.md"]}) == [
        f"{eider}:1:1: info: This instrument has no visit yet."
    ]
    visit = {"instruments/eider/visits/2026-03-14.md": "---\nfound: 3 flat\n---\n"}
    assert told({eider: SANE["instruments/heron/instrument.md"], **visit}) == []


def test_a_technician_whose_name_is_misspelt(told: Told) -> None:
    assert told({"2026-03-14": "---\ntechnician: Quila Lanterncroft\n---\nAll well.\n"}) == only(
        f'{NOTE}:2:13: warning: "Quila Lanterncroft" is not the shop\'s technician, '
        "Quilla Lanterncroft. Check how it is written."
    )
    assert told({"2026-03-14": "---\ntechnician: Quilla Lanterncroft\n---\nAll well.\n"}) == []


def test_another_technician_is_told_of_once(told: Told) -> None:
    visit = "---\ntechnician: Bo Reedmace\n---\nAll well.\n"
    assert told({"2026-03-14": visit, "2026-04-14": visit}) == [
        f'{NOTE}:2:13: info: "Bo Reedmace" is not the shop\'s technician, Quilla Lanterncroft.'
    ]


def test_a_picture_that_is_named_twice(told: Told) -> None:
    media = {"instruments/heron/media/pins.jpg": "x", "instruments/heron/media/lyre.jpg": "x"}
    photos = "---\nphotos:\n  - pins.jpg the splice\n  - pins.jpg the lyre\n---\n"
    assert told({**media, "2026-03-14": photos}) == only(
        f'{NOTE}:4:5: warning: "pins.jpg" is named on line 3 already. '
        "Keep one of the two, or name the other picture."
    )
    assert told({**media, "2026-03-14": photos.replace("pins.jpg the lyre", "lyre.jpg")}) == []


def test_a_change_of_hands_to_someone_else(told: Told) -> None:
    heron = "instruments/heron/instrument.md"
    sold = SANE[heron].replace("stands:", "provenance: 2024-05 sold, to quay\n        stands:")
    quay = "---\nname: Bram Thistlewood\nstatus: left\n---\n"
    assert told({"clients/quay.md": quay, heron: sold}) == only(
        f"{heron}:6:30: warning: The last change of hands was to quay, but its client is marsh: "
        "nothing that was written for anyone is shown. "
        'Write a line for the later change, as in "2026-05 sold, to marsh".'
    )
    assert told({"clients/quay.md": quay, heron: sold.replace("to quay", "to marsh")}) == []


def test_a_change_of_hands_without_an_end(told: Told) -> None:
    heron = "instruments/heron/instrument.md"
    sold = SANE[heron].replace("stands:", "provenance: 2024-05/.. sold, to marsh\n        stands:")
    assert told({heron: sold}) == only(
        f"{heron}:6:13: warning: The day by which it had changed hands is open: nothing that was "
        "written for anyone is shown. Write the day, the month or the year."
    )
