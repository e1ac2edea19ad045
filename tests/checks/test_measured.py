"""Measured figures with a slipped decimal point or a wrong unit."""

from tests.checks.conftest import HERON, Told, only

NOTE = f"{HERON}2026-03-14.md"


def note(line: str) -> dict[str, str]:
    return {"2026-03-14": f"---\n{line}\n---\n"}


def test_a_decimal_point_that_slipped(told: Told) -> None:
    dip = "is far from what key dip can be; its target is 9.5 to 10.5 mm."
    assert told(note("key dip: A1 10 mm, A4 102 mm")) == [
        f"{NOTE}:2:20: warning: 102 mm {dip} Check the decimal point and the unit."
    ]
    assert told(note("key dip: A4 1.02 mm")) == [
        f"{NOTE}:2:10: warning: 1.02 mm {dip} Check the decimal point and the unit."
    ]
    assert told(note("key dip: A1 10.2 mm, A4 13 mm")) == []


def test_inches_without_their_unit(told: Told) -> None:
    assert told(note("key dip: A4 0.4")) == only(
        f"{NOTE}:2:10: warning: 0.4 mm is far from what key dip can be; its target is 9.5 to "
        "10.5 mm. Did you mean 0.4 in?"
    )
    assert told(note("key dip: A4 0.4 in")) == []


def test_inch_pounds_without_their_unit(told: Told) -> None:
    assert told(note("pin torque: A4 48")) == only(
        f"{NOTE}:2:13: warning: 48 N·m is far from what pin torque can be; its target is 5.6 to "
        "13.6 N·m. Did you mean 48 in-lb?"
    )
    assert told(note("pin torque: A4 48 in-lb")) == []


def test_a_slack_pin_is_a_finding_and_no_slip(told: Told) -> None:
    assert told(note("pin torque: A4 0.5 N·m")) == []
    assert told(note("pin torque: A4 0 N·m")) == only(
        f"{NOTE}:2:13: warning: A pin torque of 0 N·m holds no string. "
        "Check the figure, or mark the pin under loose pins."
    )
    assert told(note("lost motion: A4 0 mm")) == []


def test_the_instruments_own_target_comes_first(told: Told) -> None:
    own = """
        ---
        client: marsh
        title: The heron
        targets:
          key dip: 90-110 mm
        ---
        """
    assert told({**note("key dip: A4 102 mm"), "instruments/heron/instrument.md": own}) == only(
        f"{HERON}2025-03-14.md:5:10: warning: 10 mm is far from what key dip can be; its target "
        "is 90 to 110 mm. Check the decimal point and the unit."
    )
