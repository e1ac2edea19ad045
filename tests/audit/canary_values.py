"""Every form in which a key may be written, found by the reader itself, with room for canaries.

Nothing here is a list of keys: what a key may hold is read off the shapes that editors are told,
and what the reader takes of them is asked of the reader.  A new key is covered by itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import islice
from typing import Any

import yaml

from dossier.diagnostics import Severity
from dossier.read import Field, Setting, Table
from dossier.read.fields import read_fields
from dossier.read.note import open_text
from dossier.read.pieces import Findings
from dossier.schemas.making import Shape
from dossier.schemas.shapes import SHAPES, shape_of

TEXT, AMOUNT, DAY = "⟦text⟧", "⟦amount⟧", "⟦day⟧"
"""Where a canary goes: a word, an amount of money, a day."""
SAMPLE: Mapping[str, str] = {TEXT: "qz00000xq", AMOUNT: "7000000.19", DAY: "1971-01-01"}
SETTING = replace(Setting(currency="EUR"), day=date(2025, 3, 1))
DATED = frozenset({"client", "instrument"})  # a visit has its own day, and its dates follow from it

_MONEY = re.compile(r"\b\d[\d.,]*(?=\s(?:EUR|USD)\b)")
_DAY = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
Takes = Callable[[Any], bool]


def filled(value: Any, words: Callable[[str], str]) -> Any:
    """A form with what `words` gives in each place for a canary."""
    if isinstance(value, dict):
        return {filled(key, words): filled(one, words) for key, one in value.items()}
    if isinstance(value, list):
        return [filled(one, words) for one in value]
    return re.sub("⟦[a-z]+⟧", lambda found: words(found[0]), value)


def written(values: Mapping[str, Any]) -> str:
    """Front matter as a note has it."""
    if not values:
        return "---\n---\n"
    told = yaml.safe_dump(dict(values), sort_keys=False, allow_unicode=True, width=10**6)
    return f"---\n{told}---\n"


@cache
def forms(kind: str, field: Field) -> tuple[Any, ...]:
    """What may stand behind a key of a kind of file, each as the reader takes it."""

    def takes(value: Any) -> bool:
        return _taken(field, filled(value, SAMPLE.__getitem__))

    plain = [one for one in _plain(shape_of(kind, field, SETTING), takes) if takes(one)]
    found = [_marked(one, takes, dated=kind in DATED) for one in plain]
    found += [more for one in found if isinstance(one, str) for more in _longer(one, takes)]
    return tuple(one for at, one in enumerate(found) if one not in found[:at])


def _taken(field: Field, value: Any) -> bool:
    findings = Findings()
    table = Table.of("a note", (field,))
    note = open_text(written({field.key: value}), "note.md", table, findings)
    if note is not None:
        read_fields(note.tree, table, SETTING, findings)
    return not any(one.severity is Severity.ERROR for one in findings.all)


def _plain(shape: Shape, takes: Takes) -> Iterator[Any]:
    """Values of a shape, as its examples have them; some may be none to the reader."""
    if "anyOf" in shape:
        for one in shape["anyOf"]:
            yield from _plain(one, takes)
    elif "enum" in shape:
        yield from shape["enum"]
    elif shape["type"] == "object":
        yield from _maps(shape, takes) if "properties" in shape else ()
    elif shape["type"] == "array":
        items = list(islice(_plain(shape["items"], takes), 3))
        yield items[:1]
        yield items
    else:
        yield from _leaves(shape)


def _leaves(shape: Shape) -> Iterator[str]:
    if "examples" in shape:
        yield from shape["examples"]
        return
    # One without an example is a word of one's own, else it is written as something else is.
    fit = (one for one in (TEXT, *_pool()) if re.search(shape["pattern"], _sample(one)))
    yield from islice(fit, 1)


def _maps(shape: Shape, takes: Takes) -> Iterator[dict[str, Any]]:
    """A nested map with what it must have, with one key more, and with all that goes together."""
    values = {key: list(islice(_plain(one, takes), 2)) for key, one in shape["properties"].items()}
    first = {key: some[0] for key, some in values.items() if some}
    required = {key: first[key] for key in shape.get("required", ())}
    yield first
    for seed in (required, *({**required, key: value} for key, value in first.items())):
        if not seed or not takes(seed):
            continue
        yield seed
        grown = seed
        for key, some in values.items():
            for value in some:
                if key not in grown and takes({**grown, key: value}):
                    grown = {**grown, key: value}
        yield grown


def _marked(value: Any, takes: Takes, *, dated: bool) -> Any:
    """The value with a place for a canary in every part of it in which the reader takes one."""

    def put(old: Any, again: Callable[[Any], Any]) -> Any:
        if not isinstance(old, dict | list):
            return _marked_text(old, lambda new: takes(again(new)), dated=dated)
        for at in old if isinstance(old, dict) else range(len(old)):

            def around(new: Any, at: Any = at, old: Any = old) -> Any:
                return again(_with(old, at, new))

            old = _with(old, at, put(old[at], around))
        return old

    return put(value, lambda new: new)


def _with(old: Any, at: Any, new: Any) -> Any:
    """A map or a list with another value at one place."""
    if isinstance(old, dict):
        return {**old, at: new}
    return [*old[:at], new, *old[at + 1 :]]


def _marked_text(text: str, takes: Takes, *, dated: bool) -> str:
    parts = text.split(", ")
    for at, part in enumerate(parts):
        if TEXT in part:
            continue
        tries = [_MONEY.sub(AMOUNT, part)]
        tries += [_DAY.sub(DAY, part)] if dated else []
        tries += [f"{part} {TEXT}"]
        for one in tries:
            if one != part and takes(", ".join((*parts[:at], one, *parts[at + 1 :]))):
                parts[at] = one
                break
    whole = ", ".join(parts)
    more = f"{whole}, {TEXT}"
    return more if TEXT not in whole and takes(more) else whole


def _longer(text: str, takes: Takes) -> Iterator[str]:
    """The text with one part more between two others, where the reader takes it."""
    parts = text.split(", ")
    for at in range(1, len(parts)):
        more = ", ".join((*parts[:at], TEXT, *parts[at:]))
        if takes(more):
            yield more


def _sample(text: str) -> str:
    return str(filled(text, SAMPLE.__getitem__))


@cache
def _pool() -> tuple[str, ...]:
    """Every example of every key."""

    def examples(shape: Any) -> Iterator[str]:
        if isinstance(shape, dict):
            yield from (one for one in shape.get("examples", ()) if isinstance(one, str))
            for value in shape.values():
                yield from examples(value)
        elif isinstance(shape, list):
            for one in shape:
                yield from examples(one)

    return tuple(dict.fromkeys(one for make in SHAPES.values() for one in examples(make(SETTING))))
