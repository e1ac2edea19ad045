"""Care and safety: each rule where it is relevant, and nowhere else."""

from __future__ import annotations

from datetime import date

import pytest

from dossier.edition.card import card_view
from dossier.edition.care import CARD, CARE, SAFETY
from dossier.edition.voice import Voice
from dossier.quantities import Formatter
from dossier.words import load
from tests.analysis.one_piano import dry_log, history
from tests.edition.pages import page, plain_spaces

VISIT = {"2026-03-14": "air: 20 °C, 45 %\nwork: tuning"}
MOVED = 'provenance:\n  - "2026-02-10 moved, upstairs, source: own work"'


def titles(
    notes: dict[str, str] | None = None, today: str = "2026-06-01", instrument: str = ""
) -> set[str]:
    view = page(history(VISIT if notes is None else notes, instrument=instrument), today)
    return {rule.title for rule in (*view.care, *view.safety)}


ALWAYS = {"Keep the air steady", "Everyday care", "Leave the inside alone", "Never move it alone"}


def test_an_upright_in_a_steady_room_gets_the_few_rules_that_always_hold() -> None:
    assert titles() == {*ALWAYS, "An upright can tip"}


def test_a_grand_does_not_tip_but_has_a_lid_and_legs() -> None:
    assert titles(instrument="shape: grand") == {*ALWAYS, "Lid, legs and lyre"}


def test_before_the_first_visit_the_same_rules_hold() -> None:
    assert titles({}) == {*ALWAYS, "An upright can tip"}


@pytest.mark.parametrize(
    ("title", "relevant", "irrelevant"),
    [
        ("Watch for mould", "air: 20 °C, 61 %", "air: 20 °C, 60 %"),
        ("Dry months", "air: 20 °C, 34 %", "air: 20 °C, 35 %"),
        ("Moth", "moth: C4 larvae", "sticking keys: C4"),
        ("Old dust, felt and lead", "moth: C4 larvae", "sticking keys: C4"),
        (
            "There is a standing warning on this instrument",
            "unsafe: the lid is loose",
            "safe: the lid is firm",
        ),
        (
            "Thin adhesive was used",
            "work: treatment with thin adhesive at C5-E5",
            "work: treatment of the pin block",
        ),
        ("Humidity equipment", "humidity equipment: fitted", "humidity equipment: removed"),
    ],
)
def test_what_a_visit_makes_relevant(title: str, relevant: str, irrelevant: str) -> None:
    assert titles({"2026-03-14": relevant}) - titles({"2026-03-14": irrelevant}) >= {title}
    assert title not in titles({"2026-03-14": irrelevant})


@pytest.mark.parametrize(
    ("title", "relevant", "irrelevant"),
    [
        ("Old dust, felt and lead", "made: 1959", "made: 1960"),
        (
            "Old strings",
            "consent: raise on old wire, 2022-04-02, by the owner",
            "consent: leave it flat, 2022-04-02, by the owner",
        ),
        (
            "Before you sell it or take it across a border",
            "controlled materials: ivory, keytops, said by the first owner",
            "materials: beech and spruce",
        ),
        ("After a move", MOVED, MOVED.replace("2026-02-10", "2025-05-01")),
        ("Humidity equipment", "humidity equipment: fitted 2024-10-04", "wood: Sitka spruce"),
    ],
)
def test_what_the_instrument_makes_relevant(title: str, relevant: str, irrelevant: str) -> None:
    assert title in titles(instrument=relevant)
    assert title not in titles(instrument=irrelevant)


def stands(line: str) -> set[str]:
    text = f"---\nclient: marsh\ntitle: The heron upright\nstands: {line}\n---\n"
    told = history(VISIT, files={"instruments/heron/instrument.md": text})
    return {rule.title for rule in page(told).care}


def test_where_it_stands_makes_a_rule_relevant() -> None:
    assert "Keep heat at a distance" in stands("parlour, stove near")
    assert "Leave air behind it" in stands("parlour, outside wall")
    assert stands("parlour, inside wall") == {"Keep the air steady", "Everyday care"}


def test_a_warning_that_was_lifted_is_told_no_more() -> None:
    notes = {"2026-03-14": "unsafe: the lid is loose", "2026-04-01": "safe: hinge screwed"}
    assert titles(notes) == {*ALWAYS, "An upright can tip"}


def test_the_rule_for_a_move_goes_a_year_after_it() -> None:
    assert "After a move" in titles(today="2027-02-09", instrument=MOVED)
    assert "After a move" not in titles(today="2027-02-10", instrument=MOVED)
    assert "After a move" not in titles(today="2026-02-09", instrument=MOVED)


def test_a_log_speaks_also_where_no_visit_read_the_air() -> None:
    log = {"rooms/parlour/2026.csv": dry_log(date(2026, 1, 1), 40, humidity=30)}
    told = history({"2026-03-14": "work: tuning"}, files=log)
    assert "Dry months" in {rule.title for rule in page(told).care}


def test_what_the_air_rests_on_is_said_once() -> None:
    log = {"rooms/parlour/2026.csv": dry_log(date(2026, 1, 1), 40, humidity=30)}
    facts = page(history({"2026-03-14": "work: tuning"}, files=log)).air_facts
    assert (facts[0].label, facts[-1].label) == ("Mean humidity", "Rests on")
    assert plain_spaces(facts[-1].value).endswith("% of the span covered")
    assert [fact.source for fact in facts] == [""] * len(facts)


def test_the_comfort_band_is_the_shops() -> None:
    view = page(history(VISIT, shop="comfort band: 40-60 %"))
    assert "Aim for 40 to 60 % relative humidity." in plain_spaces(view.care[0].text)


def test_controlled_materials_are_named() -> None:
    ivory = "controlled materials:\n  - ivory, keytops\n  - rosewood, case"
    told = page(history(VISIT, instrument=ivory)).safety
    (rule,) = (rule for rule in told if rule.title.startswith("Before you sell"))
    assert "that trade law controls: ivory and rosewood." in rule.text


def test_every_rule_has_its_source_and_a_name_of_its_own() -> None:
    for rows in ((*CARE, *SAFETY), CARD):
        assert rows
        assert all(row.source for row in rows)
        assert len({row.id for row in rows}) == len(rows)


def test_the_card_warns_of_the_same_whatever_stands_there_with_the_band_of_the_shop() -> None:
    told = history(VISIT, shop="comfort band: 40-60 %")
    voice = Voice(load("en-GB"), Formatter("en-GB"))
    assert [plain_spaces(line) for line in card_view(page(told), told, voice, "").cautions] == [
        (
            "Leave the inside to a technician: the strings pull with tons of force, and one that "
            "breaks can hurt."
        ),
        "No oil, water or spray inside. No drinks or plants on it.",
        "Keep the air around it between 40 % and 60 %, away from stoves, vents and sun.",
        "Do not move it alone: it can tip.",
    ]
