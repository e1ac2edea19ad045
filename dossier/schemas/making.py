"""What all shapes are made of: words, a choice, a map of keys, one or a list.

A shape with a name (`$name`) becomes a definition of the schema, so that it stands there once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from dossier.read import Setting
from dossier.read.pieces import key_shape
from dossier.schemas import patterns as p

Shape = dict[str, Any]
Make = Callable[[Setting], Shape]

# YAML 1.2 makes numbers and true of plain words, which the reader takes as they are written.
ANY_WORD = ["string", "number", "boolean"]


def text(*examples: str) -> Shape:
    """Any words at all."""
    return {"type": ANY_WORD, "pattern": r"\S", **examples_of(examples)}


def matching(pattern: str, *examples: str) -> Shape:
    """A value in one of its short forms."""
    # Editors that know this key show it in place of the pattern; all others pass it over.
    told = f" Write it like {examples[0]}." if examples else ""
    return {
        "type": ["string", "number"],
        "pattern": pattern,
        "patternErrorMessage": f"This can't be read.{told}",
        **examples_of(examples),
    }


def named(name: str, shape: Shape) -> Shape:
    """The shape as a definition of its own."""
    return {"$name": name, **shape}


def examples_of(examples: Iterable[str]) -> Shape:
    """The examples that an editor shows, where there are any."""
    return {"examples": list(examples)} if examples else {}


def choice(*names: str) -> Shape:
    """One of a few words: listed for an editor to offer, and in any spelling of theirs."""
    return {
        "anyOf": [{"enum": list(names)}, {"type": "string", "pattern": p.whole(p.any_word(*names))}]
    }


def keyed(properties: Mapping[str, Shape], *required: str) -> Shape:
    """A nested map with its keys in any spelling, and no other key."""
    spelt = {
        f"^(?!{name}$){p.key_pattern((key_shape(name),))}$": shape
        for name, shape in properties.items()
    }
    return {
        "type": "object",
        "properties": dict(properties),
        "patternProperties": spelt,
        "additionalProperties": False,
        "minProperties": 1,
        **({"required": list(required)} if required else {}),
    }


def either(*shapes: Shape) -> Shape:
    """One shape or another."""
    return {"anyOf": list(shapes)}


def shown(shape: Shape, example: Mapping[str, Any]) -> Shape:
    """A nested map with an example of its own."""
    return {**shape, "examples": [dict(example)]}


def always(shape: Shape) -> Make:
    """A shape that hangs on nothing that a shop adds."""
    return lambda _: shape


def list_or_one(shape: Shape) -> Shape:
    """One value, or a list of them."""
    return either(shape, {"type": "array", "items": shape, "minItems": 1})
