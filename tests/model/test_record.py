"""Records check what they are given, never change, and hold their values and nothing else."""

from __future__ import annotations

import pickle
from dataclasses import FrozenInstanceError, fields, is_dataclass, replace
from decimal import Decimal
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError
from pydantic_core import to_json

from dossier import model
from dossier.diagnostics import Span
from dossier.model import Air, History, Reading, Record
from tests.analysis.one_piano import notebook

HERE = Span("instruments/heron/visits/2026-03-14.md", 4, 8, 5)
NOTES = {"2026-03-14": "---\nair: 19 °C, 44 %\nfound: A1 +6, A3 +9.0\nleft: on pitch\n---\nDry.\n"}


def history() -> History:
    return notebook(NOTES).history("heron")


def held(value: Any) -> list[Any]:
    """A record and all records that it holds."""
    if isinstance(value, dict):
        return [one for item in value.values() for one in held(item)]
    if isinstance(value, tuple):
        return [one for item in value for one in held(item)]
    if not is_dataclass(value):
        return []
    return [value, *(one for name in fields(value) for one in held(getattr(value, name.name)))]


def test_a_record_checks_what_it_is_given() -> None:
    with pytest.raises(ValidationError):
        Reading(span=HERE, cents="flat")  # type: ignore[arg-type]
    with pytest.raises(ValidationError):
        Reading(span=HERE, cents=Decimal(6), pitch="flat")  # type: ignore[call-arg]
    with pytest.raises(ValidationError):
        replace(Reading(span=HERE, cents=Decimal(6)), key="A1")  # type: ignore[arg-type]


def test_a_record_never_changes() -> None:
    with pytest.raises(FrozenInstanceError):
        Reading(span=HERE, cents=Decimal(6)).cents = Decimal(7)  # type: ignore[misc]


def test_no_record_holds_more_than_its_values() -> None:
    found = [one for one in held(history()) if isinstance(one, Record)]
    assert {Air, Reading} < {type(one) for one in found}
    assert [type(one).__name__ for one in found if hasattr(one, "__dict__")] == []
    kinds = {one for one in vars(model).values() if isinstance(one, type)}
    made = {one for one in kinds if issubclass(one, Record | History)}
    assert len(made) > 30
    assert [one.__name__ for one in made if one.__dictoffset__] == []


def test_records_without_places_share_what_says_so_and_equal_figures_are_one() -> None:
    first, second = (Reading(span=HERE, cents=Decimal("6.5")) for _ in range(2))
    assert first.places is second.places
    assert first.cents is second.cents
    with_places = replace(first, places={"key": HERE})
    assert (with_places.place_of("key"), first.places) == (HERE, {})


def test_figures_keep_their_digits() -> None:
    written = ("6", "6.0", "6.00", "6.0", "6", "-0", "0")
    read = [Reading(span=HERE, cents=Decimal(one)) for one in written]
    assert [str(one.cents) for one in read] == [*written]


def test_a_history_comes_back_from_json_and_from_another_process() -> None:
    known = history()
    again = TypeAdapter(History).validate_json(
        to_json(known, exclude={"rooms"})[:-1] + b',"rooms":{}}'
    )
    assert again == replace(known, rooms={})
    assert pickle.loads(pickle.dumps(known)) == known  # noqa: S301 -- of this test alone
