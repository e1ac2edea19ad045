"""JSON Schema for the front matter of each kind of file, so that an editor helps while one writes.

Made from the reader's own tables of keys: a key that is added there is in the schema by itself.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from dossier.model import Shop
from dossier.read import (
    CLIENT_TABLE,
    INSTRUMENT_TABLE,
    ROOM_TABLE,
    SHOP_TABLE,
    Field,
    Setting,
    shop_setting,
)
from dossier.read.inbox import INBOX_FIELDS
from dossier.read.rounds import ROUND_CLIENT
from dossier.read.visit import table_for
from dossier.schemas.patterns import SLUG, key_pattern
from dossier.schemas.shapes import shape_of

DIALECTS: Mapping[str, str] = {
    "2020-12": "https://json-schema.org/draft/2020-12/schema",
    "draft-07": "http://json-schema.org/draft-07/schema#",
}
"""The dialects by name, the first of them the usual one.  What is written means the same in both;
some tools for Markdown know the older alone."""
KINDS: tuple[tuple[str, str, str], ...] = (
    ("shop", "shop.md", "The shop"),
    ("client", "clients/*.md", "A client"),
    ("instrument", "instruments/*/instrument.md", "An instrument"),
    ("visit", "instruments/*/visits/*.md", "A visit"),
    ("round", "rounds/*.md", "A round: a visit to each instrument of its table"),
    ("room", "rooms/*.md", "A room"),
    ("inbox", "inbox/*.md", "A visit that waits to be filed"),
)
"""Every kind of file: its name, where it lies below the folder of notes, and what it is."""

REQUIRED: Mapping[str, tuple[str, ...]] = {
    "shop": ("name", "technician"),
    "client": ("name",),
    "instrument": ("client", "title"),
    "room": ("name",),
    "inbox": ("instrument",),
}
MADE_BY = "Made by `dossier schema` from the keys that the reader knows; not edited by hand."


def schema(kind: str, shop: Shop | None = None, dialect: str = "2020-12") -> dict[str, Any]:
    """The schema of a kind of file; with a shop, also of the kinds that it added."""
    setting = Setting() if shop is None else shop_setting(shop)
    places = {name: (place, title) for name, place, title in KINDS}
    place, title = places[kind]
    fields = _fields(kind, setting)
    required = REQUIRED.get(kind, ())
    named: dict[str, Any] = {}
    properties = {field.key: _property(kind, field, setting, named) for field in fields}
    return {
        "$schema": DIALECTS[dialect],
        "$comment": MADE_BY,
        "title": title,
        "description": f"The front matter of {place}.",
        # A note of nothing but prose has none.
        "type": "object" if required else ["object", "null"],
        "properties": properties,
        "patternProperties": dict(_other_spellings(fields)),
        "additionalProperties": False,
        **({"required": list(required)} if required else {}),
        "$defs": dict(sorted(named.items())),
    }


def _fields(kind: str, setting: Setting) -> tuple[Field, ...]:
    tables = {
        "shop": SHOP_TABLE,
        "client": CLIENT_TABLE,
        "instrument": INSTRUMENT_TABLE,
        "room": ROOM_TABLE,
    }
    if kind in tables:
        return tables[kind].fields
    own = {"round": (ROUND_CLIENT,), "inbox": INBOX_FIELDS}.get(kind, ())
    return (*own, *table_for(setting).fields)


def _property(kind: str, field: Field, setting: Setting, named: dict[str, Any]) -> dict[str, Any]:
    """A key with what an editor shows for it; definitions that it needs are put into `named`."""
    made = shape_of(kind, field, setting)
    examples = {"examples": made["examples"]} if "examples" in made else {}
    shape = _hoisted(made, named)
    about = f"{field.about[:1].upper()}{field.about[1:]}."
    if not field.many:
        return {"description": about, **examples, **shape}
    several = {"type": "array", "items": shape, "minItems": 1}
    return {"description": f"{about} One, or a list.", **examples, "anyOf": [shape, several]}


def _hoisted(shape: Any, named: dict[str, Any]) -> Any:
    """The shape with each named part of it as a reference to its definition."""
    if isinstance(shape, list):
        return [_hoisted(one, named) for one in shape]
    if not isinstance(shape, dict):
        return shape
    name = shape.get("$name")
    plain = {key: _hoisted(value, named) for key, value in shape.items() if key != "$name"}
    if name is None:
        return plain
    named[name] = plain
    return {"$ref": f"#/$defs/{name}"}


def _other_spellings(fields: tuple[Field, ...]) -> list[tuple[str, dict[str, str]]]:
    """The same keys in another case, with other hyphens, in the other number, with a name."""
    found = []
    for field in fields:
        spellings = [field.key, *field.aliases]
        if field.many:
            singular = field.key.removesuffix("s")
            spellings.append(singular if singular != field.key else f"{field.key}s")
        pattern = key_pattern(spellings)
        same = {"$ref": f"#/properties/{quote(field.key)}"}
        found.append((f"^(?!{field.key}$){pattern}$", same))
        if field.slugged:
            found.append((rf"^{pattern}\s*\(\s*{SLUG}\s*\)\s*$", same))
    return found


def schema_text(kind: str, shop: Shop | None = None, dialect: str = "2020-12") -> str:
    """The schema as a file has it."""
    return f"{json.dumps(schema(kind, shop, dialect), indent=2, ensure_ascii=False)}\n"
